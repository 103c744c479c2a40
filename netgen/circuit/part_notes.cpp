#include "circuit/part_notes.h"

#include <fmt/format.h>

#include "case/capacitor_pair.h"
#include "circuit/case_circuit.h"
#include "circuit/conductor.h"
#include "circuit/part_physics.h"

namespace splitstart
{

namespace
{

void noteStartDevice(const Case& input, std::vector<std::string>& notes)
{
    if (const auto* ptc = chosenPart<Ptc>(input, &CircuitChoice::startDevice)) {
        notes.push_back(fmt::format(
            "PTC: resistance rises by {:.0f} % a kelvin above {:.0f} degC{} (assumed); its heat "
            "capacity follows from its switching time",
            ptcRise_per_K * 100, ptc->reference_degC,
            ptc->referenceGiven ? "" : ", a temperature that is not on its label"));
        if (!ptc->runningGiven) {
            notes.push_back(
                fmt::format("PTC: {:g} W in running (assumed), which sets how fast it "
                            "cools",
                            ptc->running_W));
        }
    }
    if (!input.circuit->startDevice.empty() && !input.circuit->ambient_degC) {
        notes.emplace_back(
            "air around the start device: 25 degC beside a cold motor, 60 degC beside a hot one "
            "(assumed)");
    }
}

}  // namespace

std::vector<std::string> assumedPartNotes(const Case& input)
{
    std::vector<std::string> notes;
    if (!input.circuit) {
        return notes;
    }
    noteStartDevice(input, notes);
    const auto* start = chosenPart<StartCapacitor>(input, &CircuitChoice::startCapacitor);
    if (start != nullptr && start->pair) {
        notes.push_back(fmt::format("start capacitor: it is two parts, {}: {}",
                                    pairWords(*start->pair), pairWiring(*start->pair)));
    }
    if (const auto* fan = chosenPart<CapacitorFan>(input, &CircuitChoice::fan)) {
        notes.push_back(fmt::format(
            "fan: its motor is estimated from its label, balanced at its rated point, {} poles{} "
            "(assumed)",
            fan->poles, fan->polesGiven ? " as given" : ""));
    }
    if (const auto* protector = chosenPart<Protector>(input, &CircuitChoice::protector)) {
        notes.push_back(
            protector->location == ProtectorPlace::internal
                ? "protector: its disc is taken to be as warm as the windings (assumed)"
                : "protector: its disc is taken to be half way between 25 degC and the windings "
                  "(assumed)");
    }
    if (input.supply.kind == SupplyKind::inverter) {
        notes.emplace_back(
            "supply: a sine is assumed; one with steps heats capacitors and motor more, and relays "
            "see other volts");
    }
    if (chosenPart<Contactor>(input, &CircuitChoice::contactor) != nullptr) {
        notes.emplace_back("contactor: its coil is taken to hold at every line voltage (assumed)");
    }
    for (std::size_t i = 0; i < input.supply.conductors.size(); ++i) {
        const ConductorRun& run = input.supply.conductors[i];
        constexpr double squareMillimetre_m2 = 1e-6;
        const double area_mm2 = run.area_m2 / squareMillimetre_m2;
        notes.push_back(fmt::format(
            "conductor {}: {:.3g} m of {:.3g} mm2 {} at {:.0f} degC make {:.3g} ohm there and back",
            i + 1, run.length_m, area_mm2,
            run.material == ConductorMaterial::copper ? "copper" : "aluminium",
            run.temperature_degC,
            conductorResistance_ohm(run.length_m, area_mm2, run.material, run.temperature_degC)));
    }
    if (input.supply.limit_A) {
        notes.emplace_back(
            "supply: its volts fall within about a cycle when its limit is reached, and it does "
            "not switch off (assumed)");
    }
    return notes;
}

}  // namespace splitstart
