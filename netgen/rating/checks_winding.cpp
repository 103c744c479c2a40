// How hot the windings' wire gets in the seconds of a start.
#include <array>
#include <utility>

#include "motor/winding_heat.h"
#include "rating/check_readers.h"
#include "rating/check_tables.h"
#include "rating/winding_range.h"

namespace splitstart
{

WindingRange mainWinding(const CheckContext& context)
{
    const WindingWire& wire = context.input.compressor.wire;
    if (wire.main_m2) {
        return {*wire.main_m2, *wire.main_m2, wire.material, true};
    }
    // Without the start circuit, whose parts are what is being judged.
    const double stalled_A = context.evidence.held.front().startCircuitOut.front().main_A;
    return {areaHeatingAt_m2(stalled_A, fastestHeating_K_s),
            areaHeatingAt_m2(stalled_A, slowestHeating_K_s), ConductorMaterial::copper, false};
}

WindingRange auxiliaryWinding(const CheckContext& context)
{
    const WindingWire& wire = context.input.compressor.wire;
    if (wire.auxiliary_m2) {
        return {*wire.auxiliary_m2, *wire.auxiliary_m2, wire.material, true};
    }
    const HeldShaftMeasurement& stalled = context.evidence.held.front().startCircuitIn.front();
    const double amps_A = context.evidence.auxiliaryOnLine_A.value_or(stalled.auxiliary_A);
    return {areaHeatingAt_m2(amps_A, fastestAuxiliaryHeating_K_s),
            areaHeatingAt_m2(amps_A, slowestHeating_K_s), ConductorMaterial::copper, false};
}

namespace
{

using Winding = WindingRange (*)(const CheckContext&);

// Copper melts at 1085 degC (any handbook). The law of heating knows nothing of it and goes on
// beyond all numbers; the wire is gone by then, and how hot it would be says nothing.
constexpr double molten_degC = 1085;

// The hottest that a start makes a winding, which began as warm as the corner says.
CheckReading readStartHeat(const CheckContext& context, Winding winding,
                           std::optional<double> StartMeasurement::*heat_A2s)
{
    // The same starts in the thinnest wire and in the thickest.
    CheckReading thin;
    CheckReading thick;
    bool perhaps = false;
    bool surely = false;
    const WindingRange wire = winding(context);
    for (const StartRun& run : context.evidence.starts) {
        const std::optional<double> heat = run.measured.*heat_A2s;
        if (!heat) {
            continue;
        }
        const auto hottest_degC = [&](double area_m2) {
            return adiabaticTemperature_degC(area_m2, wire.material, run.corner.winding_degC,
                                             *heat);
        };
        const double thin_degC = hottest_degC(wire.thinnest_m2);
        const double thick_degC = hottest_degC(wire.thickest_m2);
        perhaps = perhaps || thin_degC > shortTimeLimit_degC;
        surely = surely || thick_degC > shortTimeLimit_degC;
        const auto compared = [&](double wire_degC) {
            return Comparison{cornerText(run.corner), wire_degC, shortTimeLimit_degC, false,
                              wire_degC > molten_degC};
        };
        thin.comparisons.push_back(compared(thin_degC));
        thick.comparisons.push_back(compared(thick_degC));
    }
    if (perhaps && !surely) {
        thin.undecidedBecause = "how thick the winding's wire is is not known (see <winding-wire>)";
    }
    return surely ? thick : thin;
}

}  // namespace

std::span<const Check> windingChecks()
{
    static constexpr const char* rule =
        "wire temperature when it is up to speed and the start circuit out, or at the end of the "
        "run, with no heat leaving it, is at most 200 degC";
    static const std::array<Check, 2> checks = {{
        {"run-winding-heat", "compressor", "Does the run winding stay cool enough in a start?",
         rule, "degC", Basis::physics,
         "IEC 60949 adiabatic heating (constants from memory) by the wire's cross section, else by "
         "8 to 18 K/s at standstill; that range and the 200 degC limit are assumed, no source",
         "look for what makes the start slow; give the winding time to cool",
         [](const CheckContext& context) { return !context.evidence.held.empty(); },
         [](const CheckContext& context) {
             return readStartHeat(context, mainWinding, &StartMeasurement::mainHeat_A2s);
         },
         false, Presumes::comesUpToSpeed},
        {"start-winding-heat", "compressor", "Does the start winding stay cool enough in a start?",
         rule, "degC", Basis::physics,
         "IEC 60949 adiabatic heating (constants from memory) by the wire's cross section, else by "
         "8 to 50 K/s at standstill; that range and the 200 degC limit are assumed, no source",
         "look for what makes the start slow or keeps the start circuit in; give the winding time "
         "to cool",
         [](const CheckContext& context) {
             return !context.evidence.held.empty() &&
                    context.evidence.held.front().startCircuitIn.front().auxiliary_A > 0;
         },
         [](const CheckContext& context) {
             return readStartHeat(context, auxiliaryWinding, &StartMeasurement::auxiliaryHeat_A2s);
         },
         false, Presumes::comesUpToSpeed},
    }};
    return checks;
}

}  // namespace splitstart
