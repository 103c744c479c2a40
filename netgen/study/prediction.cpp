#include "study/prediction.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "circuit/case_circuit.h"
#include "circuit/link_graph.h"
#include "circuit/ohm_network.h"
#include "circuit/wire_mistakes.h"
#include "circuit/wiring_faults.h"
#include "circuit/wiring_plan.h"

namespace splitstart
{

namespace
{

constexpr double never = std::numeric_limits<double>::infinity();
constexpr double open_ohm = 1e6;          // and above: any meter shows it as open
constexpr double worstContact_ohm = 0.5;  // of a sound contact
constexpr double coilSpread_ratio = 0.10;

// Of what the supply should be: utilities keep within a tenth (IEC 60038, from memory).
constexpr double lowestLine_ratio = 0.5;
constexpr double lowLine_ratio = 0.9;
constexpr double highLine_ratio = 1.1;

constexpr double atSpeed_ratio = 0.85;
constexpr double standing_ratio = 0.10;
constexpr double silent_A = 0.05;
constexpr double silent_V = 0.5;
constexpr double chatterOpenings = 3;
constexpr double fanRuns_ratio = 0.6;   // of its rated volts
constexpr double fanTurns_ratio = 0.5;  // of synchronous speed

Range exactly(double value)
{
    return {value, value};
}

// What a meter would show of it: nothing of a trickle.
Range shown(const std::optional<double>& a, const std::optional<double>& b, double least)
{
    const auto seen = [least](double value) { return value < least ? 0 : value; };
    return {seen(std::min(*a, *b)), seen(std::max(*a, *b))};
}

Range spread(double value, double ratio)
{
    return {value * (1 - ratio), value * (1 + ratio)};
}

double shownOhms(double ohm)
{
    return ohm >= open_ohm ? never : ohm;
}

std::optional<double> ratedFanVolts(const Case& input)
{
    if (const auto* fan = chosenPart<CondenserFan>(input, &CircuitChoice::fan)) {
        return fan->voltage_V;
    }
    if (const auto* fan = chosenPart<CapacitorFan>(input, &CircuitChoice::fan)) {
        return fan->voltage_V;
    }
    return std::nullopt;
}

const CircuitPart* fanOf(const Circuit& circuit)
{
    const CircuitPart* const plain = circuit.find(PartKind::condenserFan);
    return plain != nullptr ? plain : circuit.find(PartKind::capacitorFan);
}

struct LeadAmps {
    std::optional<double> stalled_A;
    std::optional<double> running_A;
};

// Amps of a wire on that pin (WireMistake); empty where they are not known.
LeadAmps ampsOf(const std::string& leadOn, const StartMeasurement& measured)
{
    if (leadOn == leadOff) {
        return {0, 0};
    }
    return leadOn == "C"   ? LeadAmps{measured.pinCStalled_A, measured.pinCRunning_A}
           : leadOn == "S" ? LeadAmps{measured.pinSStalled_A, measured.pinSRunning_A}
           : leadOn == "R" ? LeadAmps{measured.pinRStalled_A, measured.pinRRunning_A}
                           : LeadAmps{};
}

// Whether a wire joins what its contact (the first of its connections inside) should part.
bool isBridged(const Circuit& circuit, const CircuitPart& device)
{
    const bool currentRelay = device.kind == PartKind::currentRelay;
    const auto& [a, b] = partKindInfo(device.kind).inside.front();
    const Nets nets(circuit);
    const auto netOf = [&](std::string_view name) {
        return nets.of({device.id, std::string(name)});
    };
    return currentRelay ? netOf("S") == netOf("L") || netOf("S") == netOf("M")
                        : netOf(a) == netOf(b);
}

// Puts the terminal on a part that is present, joined to it in `wired`; false if there is none.
bool moveToPresentPart(Terminal& terminal, const Circuit& wired, const Circuit& present)
{
    if (present.find(terminal.part) != nullptr || wired.find(terminal.part) == nullptr) {
        return true;
    }
    const Nets nets(wired);
    const std::vector<Terminal>& net = nets.all().at(nets.of(terminal));
    const auto other = std::find_if(net.begin(), net.end(), [&present](const Terminal& each) {
        return present.find(each.part) != nullptr;
    });
    if (other == net.end()) {
        return false;
    }
    terminal = *other;
    return true;
}

// Whether the supply can drive a current through that part.
bool isFed(const Circuit& circuit, const std::string& id)
{
    const LinkGraph graph(circuit);
    return std::any_of(graph.links().begin(), graph.links().end(),
                       [&](const Link& link) { return link.part->id == id && graph.isFed(link); });
}

Circuit conducting(const MachineSetup& setup)
{
    return setup.openParts.empty() ? setup.circuit : withPartsDead(setup.circuit, setup.openParts);
}

}  // namespace

Predictor::Predictor(const Case& input, const Circuit& circuit) : input_(input), circuit_(circuit)
{
    const WiringPlan plan = wiringPlan(circuit);
    commonEnd_ = plan.commonEnd;
    startEnd_ = plan.startEnd;
    runEnd_ = plan.runEnd;
}

void Predictor::addOhms(Prediction& prediction, const MachineSetup& setup) const
{
    const WindingOhms windings{setup.motor.main_ohm, setup.motor.auxiliary_ohm};
    std::vector<OhmBranch> branches = branchesAtRest(setup.input, setup.circuit, windings);
    const std::optional<PartKind> device = startDeviceOf(circuit_);
    std::erase_if(branches, [&](const OhmBranch& branch) {
        const CircuitPart& part = *setup.circuit.find(branch.a.part);
        const bool isContact = device && part.kind == *device && branch.a.name == "1";
        return setup.openParts.count(part.id) > 0 || part.kind == PartKind::thermostat ||
               part.kind == PartKind::contactor ||
               (isContact && setup.setting.contact == StartContact::heldOpen);
    });
    if (device == PartKind::currentRelay && setup.setting.contact == StartContact::heldClosed) {
        const auto* const relay =
            chosenPart<CurrentRelay>(setup.input, &CircuitChoice::startDevice);
        const std::string& id = setup.circuit.find(*device)->id;
        branches.push_back({{id, relay->contactFromM ? "M" : "L"}, {id, "S"}, 1e-4});
    }
    const auto add = [&](SymptomKind kind, const Terminal& end) {
        prediction.values[kind] =
            exactly(shownOhms(ohmsBetween(setup.circuit, branches, end, commonEnd_)));
    };
    add(SymptomKind::runCommonOhms, runEnd_);
    add(SymptomKind::startCommonOhms, startEnd_);
}

void Predictor::addCapacitors(Prediction& prediction, const MachineSetup& setup) const
{
    const auto add = [&](SymptomKind kind, PartKind part, const Range& capacitance_F) {
        const CircuitPart* const place = circuit_.find(part);
        if (place == nullptr || setup.shortedParts.count(place->id) > 0) {
            return;
        }
        const bool isOpen = setup.openParts.count(place->id) > 0;
        prediction.values[kind] = isOpen ? exactly(0) : capacitance_F;
    };
    if (const auto* start =
            chosenPart<StartCapacitor>(setup.input, &CircuitChoice::startCapacitor)) {
        add(SymptomKind::startCapacitorMicrofarads, PartKind::startCapacitor, start->capacitance_F);
    }
    if (const auto* run = chosenPart<RunCapacitor>(setup.input, &CircuitChoice::runCapacitor)) {
        add(SymptomKind::runCapacitorMicrofarads, PartKind::runCapacitor, run->capacitance_F);
    } else if (const auto* dual =
                   chosenPart<DualRunCapacitor>(setup.input, &CircuitChoice::runCapacitor)) {
        add(SymptomKind::runCapacitorMicrofarads, PartKind::dualRunCapacitor, dual->compressor_F);
    }
    const auto* const own = chosenPart<StartCapacitor>(input_, &CircuitChoice::startCapacitor);
    if (own != nullptr && own->bleed_ohm) {
        const auto* const now =
            chosenPart<StartCapacitor>(setup.input, &CircuitChoice::startCapacitor);
        prediction.values[SymptomKind::bleedOhms] =
            now->bleed_ohm ? spread(*now->bleed_ohm, coilSpread_ratio) : exactly(never);
    }
}

void Predictor::addStartDevice(Prediction& prediction, const MachineSetup& setup) const
{
    const std::optional<PartKind> kind = startDeviceOf(circuit_);
    if (!kind) {
        return;
    }
    const std::string& id = circuit_.find(*kind)->id;
    const auto place = &CircuitChoice::startDevice;
    if (const auto* ptc = chosenPart<Ptc>(setup.input, place)) {
        prediction.values[SymptomKind::contactOhms] = setup.openParts.count(id) > 0 ? exactly(never)
                                                      : setup.shortedParts.count(id) > 0
                                                          ? exactly(0)
                                                          : ptc->cold_ohm;
        return;
    }
    const bool madeAtRest = *kind != PartKind::currentRelay;
    const StartContact held = setup.setting.contact;
    const bool made =
        held == StartContact::automatic ? madeAtRest : held == StartContact::heldClosed;
    prediction.values[SymptomKind::contactOhms] =
        made ? Range{0, worstContact_ohm} : exactly(never);
    if (const auto* potential = chosenPart<PotentialRelay>(setup.input, place)) {
        prediction.values[SymptomKind::coilOhms] =
            potential->coil_ohm >= open_ohm ? exactly(never)
                                            : spread(potential->coil_ohm, coilSpread_ratio);
    } else if (const auto* current = chosenPart<CurrentRelay>(setup.input, place)) {
        prediction.values[SymptomKind::coilOhms] = exactly(shownOhms(current->coil_ohm));
    }
}

Prediction Predictor::withoutPower(const MachineSetup& setup) const
{
    Prediction prediction;
    addOhms(prediction, setup);
    addCapacitors(prediction, setup);
    addStartDevice(prediction, setup);
    if (input_.compressor.load.kind == LoadKind::reciprocating) {
        prediction.words[SymptomKind::gauges] = setup.corner.pressures == Pressures::unequalised
                                                    ? gaugesWord::apart
                                                    : gaugesWord::equal;
    }
    const std::string& supply = circuit_.find(PartKind::supply)->id;
    const bool noSupply = setup.openParts.count(supply) > 0;
    const Range share = noSupply          ? exactly(0)
                        : setup.lowSupply ? Range{lowestLine_ratio, lowLine_ratio}
                                          : Range{lowLine_ratio, highLine_ratio};
    const double should_V = input_.supply.voltage_V;
    prediction.values[SymptomKind::supplyVoltsIdle] = {share.minimum * should_V,
                                                       share.maximum * should_V};
    const CircuitPart* const fan = fanOf(circuit_);
    const auto silent = [&](const char* why) {
        prediction.notSimulated = why;
        prediction.words[SymptomKind::motor] = motorWord::silent;
        if (startDeviceOf(circuit_)) {
            prediction.words[SymptomKind::startDevice] = startDeviceWord::never;
        }
        for (const SymptomKind kind :
             {SymptomKind::lineAmpsStalled, SymptomKind::startLeadAmpsStalled}) {
            prediction.values[kind] = exactly(0);
        }
        const double line_V = noSupply ? 0 : setup.corner.line_ratio * ratedVoltage_V(setup.input);
        prediction.values[SymptomKind::supplyVoltsStalled] = exactly(line_V);
        if (noSupply) {
            prediction.values[SymptomKind::startCommonVoltsStalled] = exactly(0);
        }
    };
    if (noSupply) {
        silent("no supply");
        if (fan != nullptr) {
            prediction.words[SymptomKind::fan] = fanWord::still;
        }
        return prediction;
    }
    if (setup.grounded) {
        prediction.notSimulated = "a grounded winding is not energised, not even here";
        prediction.words[SymptomKind::motor] = motorWord::breaker;
        return prediction;
    }
    const Circuit circuit = conducting(setup);
    for (const WiringFault& fault : wiringFaults(circuit)) {
        if (fault.kind == WiringFaultKind::deadShort ||
            fault.kind == WiringFaultKind::shortThroughClosedContact) {
            prediction.notSimulated = "a short from line to line";
            prediction.words[SymptomKind::motor] = motorWord::breaker;
            return prediction;
        }
    }
    const LinkGraph graph(circuit);
    const std::string& compressor = circuit_.find(PartKind::compressor)->id;
    const bool windingsOpen =
        setup.motor.main_ohm >= open_ohm && setup.motor.auxiliary_ohm >= open_ohm;
    if (windingsOpen || !isFed(circuit, compressor)) {
        silent("no current can flow in the compressor");
        if (fan != nullptr) {
            const bool fed = circuit.find(fan->id) != nullptr && isFed(circuit, fan->id);
            prediction.words[SymptomKind::fan] = fed ? fanWord::runs : fanWord::still;
        }
    }
    return prediction;
}

std::optional<StartJob> Predictor::job(const MachineSetup& setup,
                                       const Prediction& prediction) const
{
    if (!prediction.notSimulated.empty()) {
        return std::nullopt;
    }
    const Circuit wired = conducting(setup);
    SimulableCircuit circuit = simulable(wired);
    // Where the part at a wire's end is left out, any point joined to it does for the meter.
    LeadEnds ends{commonEnd_, startEnd_};
    bool found = true;
    for (Terminal* end : {&ends.common, &ends.start}) {
        found = moveToPresentPart(*end, wired, circuit.circuit) && found;
    }
    if (!found) {
        circuit = simulable(wired, true);
        ends = {commonEnd_, startEnd_};
    }
    StartJob job{setup.corner, setup.corner.restartAfter_s.has_value(),
                 simulationModel(setup.input, circuit.circuit, setup.motor, setup.ratedTorque_Nm,
                                 setup.corner, setup.setting)};
    job.model.leadEnds = ends;
    job.extra_s = std::max(startDeviceTime_s(setup.input) - startDeviceTime_s(input_), 0.0);
    return job;
}

std::string_view Predictor::fanWordOf(const StartMeasurement& measured) const
{
    const double volts_ratio =
        measured.fanRunning_V.value_or(0) / ratedFanVolts(input_).value_or(ratedVoltage_V(input_));
    const double speed_ratio = measured.fanSpeedAtEnd_ratio.value_or(1);
    return volts_ratio >= fanRuns_ratio && std::abs(speed_ratio) >= fanTurns_ratio ? fanWord::runs
                                                                                   : fanWord::still;
}

std::string_view Predictor::startDeviceWordOf(const MachineSetup& setup,
                                              const StartMeasurement& measured) const
{
    const CircuitPart& device = *circuit_.find(*startDeviceOf(circuit_));
    const bool bridged = isBridged(setup.circuit, device);
    // It is judged by the amps of its wires, so that a contact without amps is one that never
    // makes, and one with a bridge across it stays.
    if (bridged) {
        return *measured.auxiliaryPeak_A < silent_A ? startDeviceWord::never
                                                    : startDeviceWord::stays;
    }
    if (!measured.startContactMade_s || measured.contactCurrentMade_A.value_or(0) < silent_A) {
        return startDeviceWord::never;
    }
    return measured.startContactOpenings.value_or(0) >= chatterOpenings ? startDeviceWord::chatters
           : measured.startContactAtEnd > 0.5                           ? startDeviceWord::stays
                                                                        : startDeviceWord::opens;
}

void Predictor::addStart(Prediction& prediction, const MachineSetup& setup,
                         const StartMeasurement& measured) const
{
    using Kind = SymptomKind;
    auto& values = prediction.values;
    const double speed_ratio = std::abs(measured.speedAtEnd_ratio.value_or(0));
    const bool tripped = measured.protectorTripped == 1;
    const bool starts = measured.timeToSpeed_s.has_value() || speed_ratio >= atSpeed_ratio;
    const bool carries = *measured.mainPeak_A > silent_A || *measured.auxiliaryPeak_A > silent_A;
    prediction.words[Kind::motor] = starts                          ? motorWord::starts
                                    : speed_ratio >= standing_ratio ? motorWord::slow
                                    : carries                       ? motorWord::hums
                                                                    : motorWord::silent;
    if (startDeviceOf(circuit_)) {
        prediction.words[Kind::startDevice] = startDeviceWordOf(setup, measured);
    }
    // Standing, a person may read at any time; starting, only a meter that holds shows it.
    const bool steady = !starts && !tripped;
    const bool gradual = circuit_.find(PartKind::ptc) != nullptr ||
                         (startDeviceOf(circuit_) &&
                          prediction.words.at(Kind::startDevice) == startDeviceWord::chatters);
    const auto stalled = [&](Kind kind, const std::optional<double>& soon,
                             const std::optional<double>& later, double least) {
        if (soon && later) {
            values[kind] = shown(soon, steady ? later : soon, least);
            if (steady && !gradual) {
                prediction.eitherEnd.insert(kind);
            }
        }
    };
    const LeadAmps common = ampsOf(setup.commonLeadOn, measured);
    const LeadAmps start = ampsOf(setup.startLeadOn, measured);
    stalled(Kind::lineAmpsStalled, common.stalled_A, common.running_A, silent_A);
    stalled(Kind::startLeadAmpsStalled, start.stalled_A, start.running_A, silent_A);
    stalled(Kind::startCommonVoltsStalled, measured.startCommonStalled_V,
            measured.startCommonRunning_V, silent_V);
    values[Kind::supplyVoltsStalled] = exactly(*measured.supplyStalled_V);
    if (starts && !tripped) {
        const auto running = [&](Kind kind, const std::optional<double>& value, double least) {
            if (value) {
                values[kind] = shown(value, value, least);
            }
        };
        running(Kind::lineAmpsRunning, common.running_A, silent_A);
        running(Kind::startLeadAmpsRunning, start.running_A, silent_A);
        running(Kind::startCommonVoltsRunning, measured.startCommonRunning_V, silent_V);
    }
    if (measured.timeToSpeed_s) {
        values[Kind::secondsToStart] = exactly(*measured.timeToSpeed_s);
    }
    if (chosenPart<Protector>(setup.input, &CircuitChoice::protector) != nullptr) {
        values[Kind::secondsToTrip] =
            protectorOpens_s(setup.input, measured).value_or(exactly(never));
    }
    if (fanOf(circuit_) != nullptr) {
        prediction.words[Kind::fan] = fanWordOf(measured);
    }
}

std::string whyNotSeen(SymptomKind kind, const Case& input, const Circuit& circuit)
{
    const auto without = [&circuit](PartKind part, const char* name) {
        return circuit.find(part) == nullptr
                   ? fmt::format("the circuit of this case has no {}", name)
                   : std::string();
    };
    switch (kind) {
        case SymptomKind::startDevice:
        case SymptomKind::contactOhms:
            return startDeviceOf(circuit) ? "" : "the circuit of this case has no start device";
        case SymptomKind::coilOhms:
            return circuit.find(PartKind::currentRelay) != nullptr
                       ? ""
                       : without(PartKind::potentialRelay, "relay with a coil");
        case SymptomKind::fan:
            return fanOf(circuit) != nullptr ? "" : "the circuit of this case has no fan";
        case SymptomKind::startCapacitorMicrofarads:
            return without(PartKind::startCapacitor, "start capacitor");
        case SymptomKind::runCapacitorMicrofarads:
            return circuit.find(PartKind::dualRunCapacitor) != nullptr
                       ? ""
                       : without(PartKind::runCapacitor, "run capacitor");
        case SymptomKind::bleedOhms: {
            const auto* const start =
                chosenPart<StartCapacitor>(input, &CircuitChoice::startCapacitor);
            return start != nullptr && start->bleed_ohm
                       ? ""
                       : "no start capacitor of this case has a bleed resistor";
        }
        case SymptomKind::secondsToTrip:
            return chosenPart<Protector>(input, &CircuitChoice::protector) != nullptr
                       ? ""
                       : "the case names no overload protector";
        default:
            return "";
    }
}

}  // namespace splitstart
