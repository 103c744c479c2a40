#include "motor/compressor_load.h"

#include <fmt/format.h>

#include <algorithm>
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

// A pressure that is not given keeps its typical ratio to those that are, so that suction,
// equalised and discharge pressure stay in this order whatever the refrigerant.
double runningSuction_Pa(const CompressorLoad& load)
{
    if (load.suction_Pa) {
        return *load.suction_Pa;
    }
    const double byDischarge =
        load.discharge_Pa.value_or(typicalDischarge_Pa) / typicalDischarge_Pa;
    const double byEqualised =
        load.equalised_Pa.value_or(typicalEqualised_Pa) / typicalEqualised_Pa;
    return typicalSuction_Pa * (load.discharge_Pa && load.equalised_Pa
                                    ? std::min(byDischarge, byEqualised)
                                    : byDischarge * byEqualised);  // one of them is 1
}

double runningDischarge_Pa(const CompressorLoad& load)
{
    if (load.discharge_Pa) {
        return *load.discharge_Pa;
    }
    const double bySuction = load.suction_Pa.value_or(typicalSuction_Pa) / typicalSuction_Pa;
    const double byEqualised =
        load.equalised_Pa.value_or(typicalEqualised_Pa) / typicalEqualised_Pa;
    return typicalDischarge_Pa * (load.suction_Pa && load.equalised_Pa
                                      ? std::max(bySuction, byEqualised)
                                      : bySuction * byEqualised);
}

// At a pressure ratio so high that the typical clearance would leave the pump nothing to draw in,
// the clearance that still lets it fill by half.
double clearanceFor(double pressureRatio)
{
    const double growth = std::pow(pressureRatio, 1 / typicalPolytropicExponent) - 1;
    return std::min(typicalClearance_ratio, 0.5 / growth);
}

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
    result.suction_Pa = runningSuction_Pa(load);
    result.discharge_Pa = runningDischarge_Pa(load);
    result.equalised_Pa = load.equalised_Pa.value_or(
        load.suction_Pa || load.discharge_Pa ? std::sqrt(result.suction_Pa * result.discharge_Pa)
                                             : typicalEqualised_Pa);
    result.clearance_ratio = clearanceFor(result.discharge_Pa / result.suction_Pa);
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

double torqueOfSamePump_Nm(const CompressorLoad& rated, double rated_Nm,
                           const CompressorLoad& other)
{
    if (rated.kind != LoadKind::reciprocating || other.kind != LoadKind::reciprocating) {
        return rated_Nm;
    }
    // For the same torque the displacements are as the inverse of the work of each cubic metre.
    const double same_Nm = 1;
    return rated_Nm * loadParameters(rated, same_Nm).sweptVolume_m3 /
           loadParameters(other, same_Nm).sweptVolume_m3;
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
            runningSuction_Pa(load) / 1e5, runningDischarge_Pa(load) / 1e5));
    }
    return notes;
}

}  // namespace splitstart
