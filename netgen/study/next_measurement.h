// Which measurement would settle most of what is undecided.
#pragma once

#include <string>
#include <vector>

#include "study/case_study.h"

namespace splitstart
{

struct NextMeasurement {
    std::string what;        // "volts between S and C while it runs"
    std::string instrument;  // "AC voltmeter, insulated probes"
    std::string how;         // one sentence
    std::string caution;     // one sentence
    std::string field;       // where it goes in the case file
    double settles = 0;      // undecided findings that it is expected to settle
    double explains = 0;     // mean share of the undecided margins' spread that it explains, 0 to 1
};

// The measurements that nobody has made yet, best first; empty where no finding is undecided for
// want of one, and where the readings say that the compressor must not be energised. What each
// would settle is worked out from the machines that were looked at: with the correlation r of what
// it would show and a finding's margin over them (normal scores, so that only their order counts;
// the instrument's error lessens r), the finding's share after the reading is Phi((r z - t)/sqrt(1
// - r^2)) at a reading z deviations from the expected one, t the normal score of the share that
// fails now; it is settled where that is beyond the rule's share either way (normal copula; any
// text on multivariate statistics). Throws SimulationError.
std::vector<NextMeasurement> nextMeasurements(const Case& input, const CheckStudy& study,
                                              const DecisionRule& rule);

}  // namespace splitstart
