// Made-up cases as a workshop might have them, for the benchmark of random cases: a random motor,
// and parts of the size that goes with it, well or badly.
#pragma once

#include <cstdint>
#include <string>

namespace splitstart::bench
{

enum class CaseKind {
    ofAWorkshop,  // parts that go with the motor, more or less
    anywhere,     // every number anywhere in its range
    twoWindings,  // such that the independent integrator can follow it
};

// The text of that case; the same for the same number.
std::string madeUpCase(std::uint32_t number, CaseKind kind);

}  // namespace splitstart::bench
