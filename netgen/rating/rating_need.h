// What a part's ratings would have to be for the checks to pass, taken from the checks' own
// comparisons, so that the two cannot disagree.
#pragma once

#include <optional>
#include <string_view>

#include "rating/check.h"

namespace splitstart
{

// With a part whose rating is `rating`: what the rating must be at the least (a check that the
// value is at most the limit), or at the most (one that it is at least the limit), for that check
// to pass exactly. Every limit must be in proportion to the rating. Empty where no check of
// that id applies (start devices of different kinds share some ids), or it compares nothing, cannot
// be judged, or is beyond its limit by an unknown amount.
std::optional<double> neededRating(std::string_view checkId, const CheckContext& context,
                                   double rating);

// Of a potential relay with its coil, from held shafts.
struct PotentialRelayNeed {
    double lowestPickUp_V = 0;   // every pick-up must be above
    double highestPickUp_V = 0;  // and below
    double highestDropOut_V = 0;
    double coilContinuous_V = 0;  // at the least
};

// Of a current relay.
struct CurrentRelayNeed {
    double lowestPullIn_A = 0;
    double highestPullIn_A = 0;
    double lowestDropOut_A = 0;
    double highestDropOut_A = 0;
    double coilContinuous_A = 0;
};

// By relay-closed-at-standstill, relay-pick-up-reached, relay-holds-running and relay-coil-volts;
// the lowest pick-up also by the coil volts at the earliest speed of opening (60 %) at the highest
// line, from the same tables, since a relay that picks up there opens too early. The case's relay
// gives the coil. Empty where the motor cannot carry its load, or there is nothing to compare.
std::optional<PotentialRelayNeed> potentialRelayNeed(const CheckContext& context);

// By relay-pulls-in, relay-stays-open-running, relay-lets-go and relay-coil-amps; the highest
// drop-out by the coil amps at the earliest speed of opening at the lowest line.
std::optional<CurrentRelayNeed> currentRelayNeed(const CheckContext& context);

// The least torque at standstill with hot windings at the lowest line; zero without tables.
double startingTorque_Nm(const CheckContext& context);

}  // namespace splitstart
