#include "study/cause.h"

#include <algorithm>
#include <array>

#include "circuit/wire_mistakes.h"

namespace splitstart
{

namespace
{

struct KindWeight {
    CauseKind kind;
    double weight;
};

// How often which is to blame (assumed, no source).
constexpr std::array kindWeights = {
    KindWeight{CauseKind::nothing, 0.05},      KindWeight{CauseKind::wiring, 0.27},
    KindWeight{CauseKind::startDevice, 0.22},  KindWeight{CauseKind::startCapacitor, 0.14},
    KindWeight{CauseKind::runCapacitor, 0.09}, KindWeight{CauseKind::load, 0.08},
    KindWeight{CauseKind::supply, 0.06},       KindWeight{CauseKind::motor, 0.03},
    KindWeight{CauseKind::protector, 0.03},    KindWeight{CauseKind::feed, 0.02},
    KindWeight{CauseKind::fan, 0.01},
};

struct SlipWeight {
    WireMistakeKind kind;
    double weight;
};

// The same among slips of wiring (assumed, no source).
constexpr double looseWires = 0.25;
constexpr std::array slipWeights = {
    SlipWeight{WireMistakeKind::exchangedPins, 0.30},
    SlipWeight{WireMistakeKind::exchangedTerminals, 0.20},
    SlipWeight{WireMistakeKind::missingWire, looseWires},
    SlipWeight{WireMistakeKind::movedEnd, 0.15},
    SlipWeight{WireMistakeKind::exchangedEnds, 0.07},
    SlipWeight{WireMistakeKind::extraWire, 0.03},
};

std::vector<Cause> wiringCauses(const Circuit& circuit, bool onlyLoose)
{
    std::vector<WireMistake> mistakes = wireMistakes(circuit);
    if (onlyLoose) {
        for (WireMistake& mistake : mistakes) {
            std::erase_if(mistake.ways, [](const MistakeWay& way) {
                return way.kind != WireMistakeKind::missingWire;
            });
        }
        std::erase_if(mistakes, [](const WireMistake& mistake) { return mistake.ways.empty(); });
    }
    std::map<WireMistakeKind, double> count;
    for (const WireMistake& mistake : mistakes) {
        for (const MistakeWay& way : mistake.ways) {
            count[way.kind] += 1;
        }
    }
    std::vector<Cause> causes;
    for (const WireMistake& mistake : mistakes) {
        Cause cause;
        cause.kind = CauseKind::wiring;
        cause.what = mistake.ways.front().text;
        cause.cure =
            "Lock out and follow the wires against the list of `splitstart wiring`; its two ohm "
            "readings prove the compressor's three.";
        for (const MistakeWay& way : mistake.ways) {
            if (&way != &mistake.ways.front()) {
                cause.alsoBy.push_back(way.text);
            }
            for (const SlipWeight& slip : slipWeights) {
                cause.weight += slip.kind == way.kind ? slip.weight / count[way.kind] : 0;
            }
        }
        cause.connections = connectionText(mistake.circuit);
        cause.put = [mistake](MachineSetup& setup) {
            setup.circuit = mistake.circuit;
            setup.commonLeadOn = mistake.commonLeadOn;
            setup.startLeadOn = mistake.startLeadOn;
        };
        causes.push_back(std::move(cause));
    }
    return causes;
}

}  // namespace

std::vector<Cause> possibleCauses(const Case& input, const Circuit& circuit)
{
    std::vector<Cause> causes = {
        {CauseKind::nothing,
         input.asFound ? "nothing beyond what the wires found do"
                       : "all is wired as it should be and sound",
         "Nothing to mend; if it still fails, one of the observations or the case is not right.",
         {},
         1,
         [](MachineSetup& /*setup*/) {}}};
    for (Cause& fault : partFaults(input, circuit)) {
        fault.weight = 1;
        causes.push_back(std::move(fault));
    }
    for (Cause& mistake : wiringCauses(circuit, input.asFound.has_value())) {
        causes.push_back(std::move(mistake));
    }
    // Loose wires are as likely in wires that were listed as in others.
    const auto shareOf = [&input](CauseKind kind) {
        const auto row = std::find_if(kindWeights.begin(), kindWeights.end(),
                                      [kind](const KindWeight& each) { return each.kind == kind; });
        const bool onlyLoose = kind == CauseKind::wiring && input.asFound;
        return row->weight * (onlyLoose ? looseWires : 1);
    };
    std::map<CauseKind, double> sum;
    for (const Cause& cause : causes) {
        sum[cause.kind] += cause.weight;
    }
    double present = 0;
    for (const KindWeight& each : kindWeights) {
        present += sum.count(each.kind) > 0 ? shareOf(each.kind) : 0;
    }
    for (Cause& cause : causes) {
        cause.weight *= shareOf(cause.kind) / (sum[cause.kind] * present);
    }
    return causes;
}

}  // namespace splitstart
