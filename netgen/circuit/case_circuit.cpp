#include "circuit/case_circuit.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <stdexcept>

#include "case/input_error.h"
#include "case/vocabulary.h"
#include "circuit/part_physics.h"
#include "circuit/simulation_model.h"

namespace splitstart
{

namespace
{

// Refuses an id that the parts list does not have, or has for another kind of part.
template <typename... Data>
void requirePart(const Case& input, const std::string& id, const char* attribute, const char* kind)
{
    const CatalogPart* part = input.parts.find(id);
    if (!id.empty() && (part == nullptr || !(std::holds_alternative<Data>(part->data) || ...))) {
        refuseInput(input.circuit->place, fmt::format("circuit/{}", attribute), id,
                    fmt::format("the id of a {} in the parts list", kind));
    }
}

void requireParts(const Case& input)
{
    const CircuitChoice& choice = *input.circuit;
    requirePart<PotentialRelay, CurrentRelay, Ptc, TimedSwitch, CentrifugalSwitch>(
        input, choice.startDevice, "start-device",
        "potential relay, current relay, PTC, timed switch or centrifugal switch");
    requirePart<StartCapacitor>(input, choice.startCapacitor, "start-capacitor", "start capacitor");
    requirePart<RunCapacitor, DualRunCapacitor>(input, choice.runCapacitor, "run-capacitor",
                                                "run capacitor or dual run capacitor");
    requirePart<Protector>(input, choice.protector, "protector", "protector");
    requirePart<CondenserFan, CapacitorFan>(input, choice.fan, "fan", "condenser fan");
    requirePart<RunCapacitor>(input, choice.fanCapacitor, "fan-capacitor", "run capacitor");
    requirePart<Contactor>(input, choice.contactor, "contactor", "contactor");
}

// What does not fit: quoted as found, or told by `problem` where nothing was written to quote.
struct Misfit {
    const char* field;
    std::string found;
    std::string problem = {};
};

[[noreturn]] void refuseCircuit(const Case& input, const Misfit& misfit,
                                const std::vector<const Circuit*>& known)
{
    std::vector<std::string> allowed;
    allowed.reserve(known.size());
    for (const Circuit* each : known) {
        allowed.push_back(fmt::format("{}{} ({})", each->type,
                                      each->variant == standardVariant
                                          ? std::string()
                                          : fmt::format(" variant=\"{}\"", each->variant),
                                      each->description));
    }
    throw InputError({{input.circuit->place,
                       misfit.field,
                       misfit.found,
                       fmt::format("one of: {}", fmt::join(allowed, "; ")),
                       {},
                       misfit.problem}});
}

// How many capacitors are named without a place, or have a place and are not named.
int misfits(const Circuit& circuit, const CircuitChoice& choice)
{
    const auto misfit = [&circuit](PartKind kind, const std::string& id) {
        return (circuit.find(kind) != nullptr) == id.empty() ? 1 : 0;
    };
    return misfit(PartKind::startCapacitor, choice.startCapacitor) +
           misfit(PartKind::runCapacitor, choice.runCapacitor);
}

// "a, b or c"
std::string alternatives(const std::vector<std::string_view>& words)
{
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        text += fmt::format("{}{}", i == 0 ? "" : i + 1 == words.size() ? " or " : ", ", words[i]);
    }
    return text;
}

// None of these circuits, which are of the case's type, does without a start device.
[[noreturn]] void refuseWithoutStartDevice(const Case& input,
                                           const std::vector<const Circuit*>& ofType)
{
    std::vector<std::string_view> devices;
    for (const Circuit* each : ofType) {
        const std::string_view words = partKindInfo(*startDeviceOf(*each)).words;
        if (std::find(devices.begin(), devices.end(), words) == devices.end()) {
            devices.push_back(words);
        }
    }
    refuseMissing(
        input.circuit->place, "circuit/start-device",
        fmt::format("for {} the id of a {}", input.circuit->type, alternatives(devices)),
        fmt::format("If nobody can read it: splitstart choose {} --stock PARTS.xml.", input.file));
}

// The file that fits type, variant, start device and, if there is one, the capacitors named.
const Circuit& chosenCircuit(const Case& input)
{
    const CircuitChoice& choice = *input.circuit;
    const std::string variant =
        choice.variant.empty() ? std::string(standardVariant) : choice.variant;
    std::optional<PartKind> startDevice;
    if (!choice.startDevice.empty()) {
        startDevice = startDeviceKind(input.parts.find(choice.startDevice)->data);
    }
    std::vector<const Circuit*> all;
    std::vector<const Circuit*> ofType;
    std::vector<const Circuit*> ofDevice;
    const Circuit* nearest = nullptr;
    for (const Circuit& each : standardCircuits()) {
        all.push_back(&each);
        if (each.type != choice.type) {
            continue;
        }
        ofType.push_back(&each);
        if (startDeviceOf(each) != startDevice) {
            continue;
        }
        ofDevice.push_back(&each);
        if (each.variant != variant) {
            continue;
        }
        if (nearest == nullptr || misfits(each, choice) < misfits(*nearest, choice)) {
            nearest = &each;
        }
    }
    if (nearest != nullptr) {
        return *nearest;  // unless it fits, the caller says which part is missing or too many
    }
    if (!ofDevice.empty()) {
        const bool unwritten = variant == standardVariant && !choice.variantGiven;
        refuseCircuit(input,
                      {"circuit/variant", variant,
                       unwritten ? std::string("no variant given") : std::string()},
                      ofDevice);
    }
    if (!ofType.empty() && !startDevice) {
        refuseWithoutStartDevice(input, ofType);
    }
    refuseCircuit(input,
                  {"circuit/type",
                   fmt::format("{}{} with {}", choice.type,
                               variant == standardVariant ? std::string()
                                                          : fmt::format(" variant {}", variant),
                               startDevice ? partKindInfo(*startDevice).words : "no start device")},
                  ofType.empty() ? all : ofType);
}

void leaveOut(Circuit& circuit, PartKind kind)
{
    if (const CircuitPart* part = circuit.find(kind)) {
        circuit = withoutPart(circuit, std::string(part->id));
    }
}

void bridge(Circuit& circuit, PartKind kind)
{
    if (const CircuitPart* part = circuit.find(kind)) {
        circuit = withPartBridged(circuit, std::string(part->id));
    }
}

// Heat in the off time flows from one line through the windings to the other; a contactor that
// opens both stops it.
void requireOffTimeCurrent(const Case& input)
{
    constexpr std::string_view heating = "crankcase-heat";
    const auto* contactor = chosenPart<Contactor>(input, &CircuitChoice::contactor);
    if (input.circuit->variant == heating && contactor != nullptr && contactor->poles > 1) {
        refuseInput(input.circuit->place, "circuit/contactor", input.circuit->contactor,
                    "a contactor of one pole: with two, nothing flows in the off time");
    }
}

// A pill that takes more watts than its cold resistance would at these volts has no temperature.
void requireHotPtc(const Case& input)
{
    const auto* const ptc = chosenPart<Ptc>(input, &CircuitChoice::startDevice);
    if (ptc == nullptr) {
        return;
    }
    const double most_W = mostRunning_W(*ptc, ptcRunning_ratio * ratedVoltage_V(input));
    if (ptc->running_W > most_W) {
        refuseInput(input.parts.find(input.circuit->startDevice)->place, "ptc/running-watts",
                    fmt::format("{:g}{}", ptc->running_W, ptc->runningGiven ? "" : " (assumed)"),
                    fmt::format("at most {:.3g} watts: with more at these volts it would have less "
                                "than twice its cold ohms, and not be hot",
                                most_W));
    }
}

// Fan and its capacitor, which may be the second section of a dual one.
void fitFan(const Case& input, Circuit& circuit)
{
    const CircuitChoice& choice = *input.circuit;
    const bool dual = chosenPart<DualRunCapacitor>(input, &CircuitChoice::runCapacitor) != nullptr;
    const auto* capacitorFan = chosenPart<CapacitorFan>(input, &CircuitChoice::fan);
    if (chosenPart<CondenserFan>(input, &CircuitChoice::fan) == nullptr) {
        leaveOut(circuit, PartKind::condenserFan);
    }
    const auto refuse = [&](const char* attribute, const std::string& found,
                            const std::string& allowed) {
        refuseInput(choice.place, fmt::format("circuit/{}", attribute), found, allowed);
    };
    if (capacitorFan == nullptr) {
        if (!choice.fanCapacitor.empty()) {
            refuse("fan-capacitor", choice.fanCapacitor,
                   choice.fan.empty() ? "nothing: no fan is named"
                                      : "nothing: the fan named is none with a run capacitor");
        }
        if (dual) {
            refuse("run-capacitor", choice.runCapacitor,
                   "a run capacitor: a dual one wants a capacitor-fan on its second section");
        }
        leaveOut(circuit, PartKind::capacitorFan);
        return leaveOut(circuit, PartKind::fanCapacitor);
    }
    if (!isFanMachine(*capacitorFan, input.supply.frequency_Hz)) {
        const CatalogPart* part = input.parts.find(choice.fan);
        const Range fitting_A = fanAmps(*capacitorFan, input.supply.frequency_Hz);
        refuseInput(
            part->place, "capacitor-fan/amps", fmt::format("{:g}", capacitorFan->current_A),
            fmt::format("amps from {:.2f} to {:.2f}, as a motor with this capacitor draws at "
                        "these volts and {:g} Hz",
                        fitting_A.minimum, fitting_A.maximum, input.supply.frequency_Hz));
    }
    if (dual && !choice.fanCapacitor.empty()) {
        refuse("fan-capacitor", choice.fanCapacitor,
               "nothing: the dual run capacitor has a section for the fan");
    }
    if (!dual && choice.fanCapacitor.empty()) {
        refuseMissing(choice.place, "circuit/fan-capacitor",
                      "the id of a run capacitor: this fan needs one");
    }
    if (dual) {
        const CircuitPart* run = circuit.find(PartKind::runCapacitor);
        const CircuitPart* fan = circuit.find(PartKind::fanCapacitor);
        const Nets nets(circuit);
        if (nets.of({run->id, "A"}) != nets.of({fan->id, "A"})) {
            refuse("run-capacitor", choice.runCapacitor,
                   "two separate capacitors: in this circuit they do not share a line side");
        }
        circuit = withDualCapacitor(circuit, std::string(run->id), std::string(fan->id),
                                    "dual-capacitor");
    }
}

}  // namespace

std::optional<PartKind> startDeviceKind(const PartData& data)
{
    if (std::holds_alternative<PotentialRelay>(data)) {
        return PartKind::potentialRelay;
    }
    if (std::holds_alternative<CurrentRelay>(data)) {
        return PartKind::currentRelay;
    }
    if (std::holds_alternative<Ptc>(data)) {
        return PartKind::ptc;
    }
    if (std::holds_alternative<TimedSwitch>(data)) {
        return PartKind::timedSwitch;
    }
    if (std::holds_alternative<CentrifugalSwitch>(data)) {
        return PartKind::centrifugalSwitch;
    }
    return std::nullopt;
}

Circuit caseCircuit(const Case& input)
{
    if (!input.circuit) {
        refuseMissing({input.file, 0}, "case/circuit",
                      "a <circuit type=... start-device=...> that says how it is wired");
    }
    requireParts(input);
    const CircuitChoice& choice = *input.circuit;
    Circuit circuit = chosenCircuit(input);
    const auto require = [&](PartKind kind, const std::string& id, const char* attribute) {
        const bool wanted = circuit.find(kind) != nullptr;
        const std::string_view words = partKindInfo(kind).words;
        const std::string field = fmt::format("circuit/{}", attribute);
        if (wanted && id.empty()) {
            refuseMissing(
                choice.place, field,
                fmt::format("the id of a {}: a {} circuit needs one", words, choice.type));
        }
        if (!wanted && !id.empty()) {
            refuseInput(choice.place, field, id,
                        fmt::format("nothing: a {} circuit has no {}", choice.type, words));
        }
    };
    require(PartKind::startCapacitor, choice.startCapacitor, "start-capacitor");
    require(PartKind::runCapacitor, choice.runCapacitor, "run-capacitor");
    fitFan(input, circuit);
    requireOffTimeCurrent(input);
    requireHotPtc(input);
    // With a contactor the thermostat switches its coil, not the compressor.
    bridge(circuit, choice.contactor.empty() ? PartKind::contactor : PartKind::thermostat);
    const auto* protector = chosenPart<Protector>(input, &CircuitChoice::protector);
    if (protector == nullptr || protector->location != ProtectorPlace::external) {
        bridge(circuit, PartKind::protector);
    }
    if (const std::vector<std::string> faults = circuitFaults(circuit); !faults.empty()) {
        throw std::logic_error(fmt::format("{}: {}", circuit.type, fmt::join(faults, "; ")));
    }
    return circuit;
}

const CatalogPart* catalogPartOf(const Case& input, PartKind kind)
{
    if (!input.circuit) {
        return nullptr;
    }
    const CircuitChoice& choice = *input.circuit;
    switch (kind) {
        case PartKind::potentialRelay:
        case PartKind::currentRelay:
        case PartKind::ptc:
        case PartKind::timedSwitch:
        case PartKind::centrifugalSwitch:
            return input.parts.find(choice.startDevice);
        case PartKind::startCapacitor:
            return input.parts.find(choice.startCapacitor);
        case PartKind::runCapacitor:
        case PartKind::dualRunCapacitor:
            return input.parts.find(choice.runCapacitor);
        case PartKind::fanCapacitor:
            return input.parts.find(choice.fanCapacitor);
        case PartKind::protector:
            return input.parts.find(choice.protector);
        case PartKind::condenserFan:
        case PartKind::capacitorFan:
            return input.parts.find(choice.fan);
        case PartKind::contactor:
            return input.parts.find(choice.contactor);
        case PartKind::supply:
        case PartKind::compressor:
        case PartKind::thermostat:
            break;
    }
    return nullptr;
}

}  // namespace splitstart
