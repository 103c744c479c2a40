#include "motor/cold_proof.h"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "motor/health_findings.h"
#include "motor/pin_posterior.h"

namespace splitstart
{

namespace
{

constexpr double toldApartDeviations = 4;

// Between two different pins, meter leads subtracted; the third pin takes no current.
double between_ohm(char pinA, char pinB, const Identification& windings)
{
    if (pinA != 'C' && pinB != 'C') {
        return windings.run_ohm.value + windings.start_ohm.value;
    }
    return pinA == 'S' || pinB == 'S' ? windings.start_ohm.value : windings.run_ohm.value;
}

// The same as the meter showed it when the pins were read.
double shown_ohm(char pinA, char pinB, const Identification& windings)
{
    const std::string& first = windings.pins.at(std::string(1, pinA));
    const std::string& second = windings.pins.at(std::string(1, pinB));
    for (const PairReading& pair : windings.pairs) {
        if ((pair.pinA == first && pair.pinB == second) ||
            (pair.pinA == second && pair.pinB == first)) {
            return pair.shown_ohm;
        }
    }
    return std::numeric_limits<double>::quiet_NaN();
}

// Distance of two landings in standard deviations, both readings together. The same leads are in
// the first readings and in these, so that only what changes from reading to reading counts, twice.
double separation(const WireLanding& first, const WireLanding& second, const Readings& meter,
                  const IdentifyAssumptions& assumptions)
{
    const auto distance = [&](double a_ohm, double b_ohm) {
        const double own = readingDeviation_ohm(0.5 * (a_ohm + b_ohm), meter, assumptions);
        return (a_ohm - b_ohm) / (std::sqrt(2.0) * own);
    };
    return std::hypot(distance(first.shownRunToCommon_ohm, second.shownRunToCommon_ohm),
                      distance(first.shownStartToCommon_ohm, second.shownStartToCommon_ohm));
}

std::array<WireLanding, 6> sixLandings()
{
    const auto landing = [](const char* name, char common, char start, char run) {
        WireLanding wires;
        wires.name = name;
        wires.commonWireOn = common;
        wires.startWireOn = start;
        wires.runWireOn = run;
        return wires;
    };
    return {landing("correct", 'C', 'S', 'R'),
            landing("S and R exchanged", 'C', 'R', 'S'),
            landing("C and R exchanged", 'R', 'S', 'C'),
            landing("C and S exchanged", 'S', 'C', 'R'),
            landing("rotated: C wire on S, S wire on R, R wire on C", 'S', 'R', 'C'),
            landing("rotated: C wire on R, S wire on C, R wire on S", 'R', 'C', 'S')};
}

}  // namespace

ColdProof coldProof(const Identification& identification, const Readings& meter,
                    const IdentifyAssumptions& assumptions)
{
    ColdProof proof;
    proof.landings = sixLandings();
    for (WireLanding& landing : proof.landings) {
        landing.runToCommon_ohm =
            between_ohm(landing.runWireOn, landing.commonWireOn, identification);
        landing.startToCommon_ohm =
            between_ohm(landing.startWireOn, landing.commonWireOn, identification);
        landing.shownRunToCommon_ohm =
            shown_ohm(landing.runWireOn, landing.commonWireOn, identification);
        landing.shownStartToCommon_ohm =
            shown_ohm(landing.startWireOn, landing.commonWireOn, identification);
    }
    for (std::size_t i = 0; i < proof.landings.size(); ++i) {
        for (std::size_t j = i + 1; j < proof.landings.size(); ++j) {
            WireLanding& first = proof.landings[i];
            WireLanding& second = proof.landings[j];
            if (separation(first, second, meter, assumptions) >= toldApartDeviations) {
                continue;
            }
            proof.allToldApart = false;
            if (i == 0) {
                second.toldFromCorrect = false;
                proof.correctIsProved = false;
            }
            proof.notToldApart.push_back(
                fmt::format("This meter cannot tell \"{}\" from \"{}\".", first.name, second.name));
        }
    }
    proof.cautions = {cautions::lockOut, cautions::discharge};
    return proof;
}

}  // namespace splitstart
