// Winding and insulation health from readings, and whether the compressor may be energised.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "case/case.h"
#include "motor/identify.h"

namespace splitstart
{

enum class HealthVerdict { pass, fail, undecided };
const char* healthVerdictName(HealthVerdict verdict);  // "pass", "fail", "undecided"

// Ids: pins-named, pins-contradict, sum-rule, low-winding, high-winding, odd-ratio, labels-differ,
// three-equal-windings, one-pin-open, protector-open, start-winding-open, run-winding-open,
// all-open, contradictory-open, zero-reading, reading-below-leads, shorted-winding,
// winding-grounded, ground-by-ohmmeter, insulation, insulation-test-volts.
struct HealthFinding {
    std::string id;
    HealthVerdict verdict = HealthVerdict::undecided;
    std::string what;      // what the readings say
    std::string nextStep;  // empty when nothing is to be done
    std::vector<std::string> cautions;
};

// Rungs of the insulation ladder, DC megohms from winding to shell. The sources conflict (0.5, 1,
// 2, 5 and 50 Mohm pass in one or the other), so this is common practice without a single source.
enum class InsulationGrade {
    unknown,   // not read, or by a meter whose volts prove nothing
    failed,    // below 0.5
    doubtful,  // 0.5 to 2
    fair,      // 2 to 20
    good,      // above 20
};
InsulationGrade insulationGrade(double resistance_ohm);

// Insulation resistance at 40 degC: it halves for every 10 K. Source: IEEE 43, from memory.
double insulationAt40_ohm(double resistance_ohm, double winding_degC);

enum class EnergiseAnswer { no, notKnown, yes };

struct SafeToEnergise {
    EnergiseAnswer answer = EnergiseAnswer::notKnown;
    std::string why;  // one plain sentence for each reason
};

struct HealthReport {
    std::vector<HealthFinding> findings;
    InsulationGrade insulation = InsulationGrade::unknown;
    SafeToEnergise safe;
};

// Everything the readings and the insulation test say. `identification` is identify() of the same
// readings, empty when there are none. A compressor with a grounded winding is never safe to
// energise.
HealthReport assessHealth(const Compressor& compressor,
                          const std::optional<Identification>& identification);

// Yes only when every finding passes, the windings were read and an insulation tester has passed
// them.
SafeToEnergise safeToEnergise(const std::vector<HealthFinding>& findings,
                              InsulationGrade insulation, bool windingsRead);

}  // namespace splitstart
