// What makes each check fail or leaves it undecided on evidence that is otherwise sound.
#pragma once

#include <map>
#include <string_view>

#include "unit/rating/sound_bench.h"

namespace splitstart
{

using Spoil = void (*)(RatingBench&);

// By the check's id. Start devices of different kinds have some ids in common; what spoils the one
// spoils the other.
const std::map<std::string_view, Spoil>& failures();

// What is not known when a check is undecided, by its id; checks that are only undecided where
// nothing was simulated are left out.
struct Unknown {
    Spoil spoil = nullptr;
    std::string_view because;  // words that the reason has to have
};
const std::multimap<std::string_view, Unknown>& unknowns();

}  // namespace splitstart
