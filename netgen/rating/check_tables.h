// The checks of each part; allChecks() joins them. Internal to rating/.
#pragma once

#include <span>

#include "rating/check.h"

namespace splitstart
{

std::span<const Check> supplyChecks();
std::span<const Check> motorChecks();
std::span<const Check> capacitorChecks();
std::span<const Check> potentialRelayChecks();
std::span<const Check> currentRelayChecks();
std::span<const Check> ptcChecks();
std::span<const Check> startSwitchChecks();
std::span<const Check> contactChecks();
std::span<const Check> windingChecks();
std::span<const Check> feedChecks();
std::span<const Check> protectorChecks();

}  // namespace splitstart
