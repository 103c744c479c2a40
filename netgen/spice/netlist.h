// Writing a simulation model as SPICE text. The same text runs in embedded ngspice and, with its
// control section, in stock `ngspice -b`.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "circuit/simulation_model.h"
#include "spice/control_section.h"

namespace splitstart
{

// The source that holds a held shaft at its speed [rad/s].
inline constexpr std::string_view shaftSource = "vshaft";

// What to run, and how finely. A transient starts from rest with all capacitors discharged.
struct Analysis {
    enum class Kind { transient, fixedFrequency };
    Kind kind = Kind::transient;
    double end_s = 3.0;
    // The switching instant of the textbook quarter-horsepower motor is then within 0.01 % of an
    // independent integrator, peak currents and volts within 0.03 % (tests/physics).
    double largestStep_s = 2e-4;
    double frequency_Hz = 60;  // of a fixedFrequency analysis
};

struct DeckText {
    std::string title;                  // first line, after "* "; any text, made harmless here
    std::vector<std::string> comments;  // lines below it; any text, made harmless here
    // Add the .control section for stock ngspice, and what its prompt's commands need to know.
    bool controlSection = false;
    bool readOften = false;    // for no person: plain numbers, no unused blocks, read faster
    PartRatings ratings = {};  // for the commands at the prompt of ngspice
};

// The deck. Numbers are plain and exact (shortest text that reads back the same); every parameter
// of every part is a .param line at the top (one that is read often, and a fixedFrequency deck
// without a control section, have plain numbers). Throws std::logic_error if an instance does not
// fit its subcircuit's ports and parameters.
std::string writeDeck(const SimulationModel& model, const Analysis& analysis, const DeckText& text);

// The end of a transient of about end_s that falls between two steps. With an end on a whole number
// of steps, rounding can leave ngspice a last step of 1e-14 s, in which an inductor's volts are
// rounding error of some kilovolts.
double endBetweenSteps_s(double end_s, double largestStep_s);

// What times every reactance makes up for the trapezoidal rule's steps at line frequency: x /
// tan(x), x half the angle of the line's sine in one step; models/README.md, "Long steps". Without
// it a start of the textbook motor is 0.05 % late with steps of 200 us and 0.2 % with 400 us, with
// it below 0.01 and 0.03 % (tests/physics).
double trapezoidRatio(double step_s, double frequency_Hz);

// Shortest decimal text that reads back as exactly this number, whatever the locale, without
// suffixes. Requires a finite value.
std::string spiceNumber(double value);

// Text made safe for a SPICE comment line: printable ASCII only, no control line can begin in it,
// shortened to 200 characters.
std::string commentText(std::string_view text);

}  // namespace splitstart
