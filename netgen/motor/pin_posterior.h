// The statistics behind identify.h.
//
// Model of one set of readings, for a naming of the pins:
//   y(C-R) = R + l + e1     y(C-S) = S + l + e2     y(S-R) = R + S - 2 p + l + e3
// R, S: pin to pin resistances, log-normal R and S/R; l: leads and contacts left in each reading;
// p: path to C that both windings share; e: meter, contact and drift, independent. The sum
//   d = y(C-R) + y(C-S) - y(S-R) = l + 2 p + e1 + e2 - e3
// is free of R and S. With the least-squares (R, S) the readings split into d and that estimate at
// a Jacobian of 1 for every naming, so evidence = N(d) * E[prior(R, S)], the mean taken over the
// estimate's normal distribution. A small share of jobs has coarse errors; they get their own term.
#pragma once

#include <array>

#include "motor/identify.h"

namespace splitstart
{

// Three readings by the pin they do not touch: reading[0] is between pins 1 and 2.
struct ThreeReadings {
    std::array<double, 3> opposite_ohm{};   // a given lead resistance subtracted
    std::array<double, 3> deviation_ohm{};  // of the independent error
    double lead_ohm = 0;                    // expected of l
    double leadDeviation_ohm = 0;
};

// Standard deviation of a reading's own error: accuracy (95 % bound), last digit, contact and
// drift.
double readingDeviation_ohm(double shown_ohm, const Readings& meter,
                            const IdentifyAssumptions& assumptions);

// Expected value and deviation of l, what is left of meter leads and contacts after subtracting
// what the user gave.
struct LeadPrior {
    double mean_ohm = 0;
    double deviation_ohm = 0;
};
LeadPrior leadPrior(const Readings& meter, const IdentifyAssumptions& assumptions);

struct Naming {
    std::array<int, 3> pin{};  // of C, S, R
    double probability = 0;
    double run_ohm = 0;
    double runDeviation_ohm = 0;
    double start_ohm = 0;
    double startDeviation_ohm = 0;
    double misfit_ohm = 0;           // d less its expected value
    double misfitDeviation_ohm = 0;  // without coarse error
    double coarseDeviation_ohm = 0;  // of d, with coarse error
};

struct PinPosterior {
    std::array<Naming, 6> namings;  // most probable first
    double threeEqualProbability = 0;
    bool threeEqualFits = false;  // the readings are equal within 99.99 % of the meter's error
    bool sumRuleFits = false;     // the best naming's misfit is possible, coarse errors included
};

PinPosterior pinPosterior(const ThreeReadings& readings, const IdentifyAssumptions& assumptions);

// Bayes' rule once more: a diagram names the pins so, and is wrong in a share of cases that falls
// to the five other namings, and to three equal windings, alike. That naming becomes the first,
// probable or not.
void applyDiagram(PinPosterior& posterior, const std::array<int, 3>& pin, double wrongShare_ratio);

}  // namespace splitstart
