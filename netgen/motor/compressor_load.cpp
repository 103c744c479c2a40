#include "motor/compressor_load.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace splitstart
{

namespace
{

// Invented, of the order of a medium-temperature cold room; only their ratio shapes the torque over
// the crank angle, since the swept volume follows from the mean torque.
constexpr double typicalSuction_Pa = 3.0e5;
constexpr double typicalDischarge_Pa = 14.0e5;
constexpr double typicalEqualised_Pa = 7.0e5;
constexpr double typicalClearance_ratio = 0.04;  // common practice, no source
// Between isothermal and adiabatic for the usual refrigerants (common practice, no source).
constexpr double typicalPolytropicExponent = 1.1;
// Share of the rated torque that bearings and piston take (assumed).
constexpr double frictionShare_ratio = 0.08;
// An equalised system builds its pressures over some tens of turns (assumed): about half a second.
constexpr double typicalBuildUp_revolutions = 60;

}  // namespace

double indicatedWork_J(const LoadParameters& load)
{
    const double n = load.polytropicExponent;
    const double pressureRatio = load.discharge_Pa / load.suction_Pa;
    const double inducedVolume_m3 =
        load.sweptVolume_m3 *
        (1 + load.clearance_ratio - load.clearance_ratio * std::pow(pressureRatio, 1 / n));
    return n / (n - 1) * load.suction_Pa * inducedVolume_m3 *
           (std::pow(pressureRatio, (n - 1) / n) - 1);
}

LoadParameters loadParameters(const CompressorLoad& load, double ratedTorque_Nm,
                              std::optional<Pressures> pressures)
{
    LoadParameters result;
    result.kind = load.kind;
    result.suction_Pa = load.suction_Pa.value_or(typicalSuction_Pa);
    result.discharge_Pa = load.discharge_Pa.value_or(typicalDischarge_Pa);
    result.equalised_Pa = load.equalised_Pa.value_or(
        load.suction_Pa || load.discharge_Pa ? std::sqrt(result.suction_Pa * result.discharge_Pa)
                                             : typicalEqualised_Pa);
    result.clearance_ratio = typicalClearance_ratio;
    result.polytropicExponent = typicalPolytropicExponent;
    result.startAngle_deg = load.startAngle_deg;
    result.meanTorque_Nm = ratedTorque_Nm;
    result.friction_Nm = frictionShare_ratio * ratedTorque_Nm;
    const bool equalised = pressures.value_or(load.pressures) == Pressures::equalised;
    result.buildUp_revolutions = equalised ? typicalBuildUp_revolutions : 0;
    result.sweptVolume_m3 = 1;
    const double workPerVolume_Pa = indicatedWork_J(result);
    result.sweptVolume_m3 =
        2 * std::numbers::pi * (ratedTorque_Nm - result.friction_Nm) / workPerVolume_Pa;
    return result;
}

std::vector<std::string> assumedLoadNotes(const CompressorLoad& load)
{
    std::vector<std::string> notes;
    if (!load.kindGiven) {
        notes.emplace_back("kind of pump not given: one-cylinder reciprocating assumed");
    }
    if (!load.pressuresGiven) {
        notes.emplace_back(
            "pressures at the start not given: equalised assumed (off for some minutes)");
    }
    if (load.kind == LoadKind::reciprocating && !(load.suction_Pa && load.discharge_Pa)) {
        notes.push_back(fmt::format(
            "running pressures assumed {:.0f} and {:.0f} bar absolute; only their ratio matters "
            "here, the mean torque is that of rated load",
            load.suction_Pa.value_or(typicalSuction_Pa) / 1e5,
            load.discharge_Pa.value_or(typicalDischarge_Pa) / 1e5));
    }
    return notes;
}

}  // namespace splitstart
