#include "circuit/wiring_plan.h"

#include <algorithm>
#include <array>
#include <optional>
#include <stdexcept>

namespace splitstart
{

namespace
{

PartKind kindOf(const Circuit& circuit, const Terminal& terminal)
{
    return circuit.find(terminal.part)->kind;
}

bool touches(const Circuit& circuit, const Wire& wire, PartKind kind)
{
    return kindOf(circuit, wire.from) == kind || kindOf(circuit, wire.to) == kind;
}

bool isOn(const Wire& wire, const Terminal& terminal)
{
    return wire.from == terminal || wire.to == terminal;
}

const Terminal& otherEnd(const Wire& wire, const Terminal& terminal)
{
    return wire.from == terminal ? wire.to : wire.from;
}

// Ahead of the start circuit: what brings the line to it, and the fan beside it. The start circuit
// begins at the load side of thermostat or contactor.
bool isFeed(const Circuit& circuit, const Terminal& terminal)
{
    const PartKind kind = kindOf(circuit, terminal);
    constexpr std::array feedKinds = {PartKind::supply, PartKind::condenserFan,
                                      PartKind::capacitorFan, PartKind::fanCapacitor};
    return std::find(feedKinds.begin(), feedKinds.end(), kind) != feedKinds.end() ||
           (kind == PartKind::contactor && terminal.name.starts_with('L')) ||
           (kind == PartKind::thermostat && terminal.name == "1") ||
           (kind == PartKind::dualRunCapacitor && terminal.name == "FAN");
}

// Far end of the wire on a pin; of several the one towards the line, since coils and capacitors
// hang beside the way of the current.
Terminal farEnd(const Circuit& circuit, const std::string& pin)
{
    const Terminal terminal{circuit.find(PartKind::compressor)->id, pin};
    std::optional<Terminal> found;
    for (const Wire& wire : circuit.wires) {
        if (!isOn(wire, terminal)) {
            continue;
        }
        const Terminal& far = otherEnd(wire, terminal);
        const PartKind kind = kindOf(circuit, far);
        const bool isTowardsLine = kind == PartKind::protector || kind == PartKind::thermostat ||
                                   kind == PartKind::contactor || kind == PartKind::supply;
        if (!found || isTowardsLine) {
            found = far;
        }
    }
    if (!found) {
        throw std::invalid_argument("no wire on pin " + pin + " of the compressor");
    }
    return *found;
}

// Terminal of the start device that has to stay off while the windings are read; none where the
// device is open at rest or a capacitor blocks the meter's current.
std::optional<Terminal> liftedTerminal(const Circuit& circuit)
{
    const std::optional<PartKind> kind = startDeviceOf(circuit);
    constexpr std::array closed = {PartKind::ptc, PartKind::timedSwitch,
                                   PartKind::centrifugalSwitch};
    if (!kind || std::find(closed.begin(), closed.end(), *kind) == closed.end()) {
        return std::nullopt;
    }
    const CircuitPart& device = *circuit.find(*kind);
    const auto& names = *kind == PartKind::ptc ? std::array{"A", "B"} : std::array{"1", "2"};
    // With the device a plain wire, does the way from R to S lead through wires alone?
    Circuit bridged = circuit;
    bridged.wires.push_back({{device.id, names[0]}, {device.id, names[1]}});
    const std::string compressor(circuit.find(PartKind::compressor)->id);
    const Nets nets(bridged);
    if (nets.of({compressor, "R"}) != nets.of({compressor, "S"})) {
        return std::nullopt;
    }
    // Rather not a wire on a pin, since its far end is where the meter goes.
    for (const char* name : names) {
        const Terminal terminal{device.id, name};
        const bool onPin =
            std::any_of(circuit.wires.begin(), circuit.wires.end(), [&](const Wire& wire) {
                return isOn(wire, terminal) &&
                       kindOf(circuit, otherEnd(wire, terminal)) == PartKind::compressor;
            });
        if (!onPin) {
            return terminal;
        }
    }
    return Terminal{device.id, names[0]};
}

// Points that are joined to that one.
std::vector<Terminal> joinedTo(const Circuit& circuit, const Terminal& terminal)
{
    const Nets nets(circuit);
    std::vector<Terminal> joined = nets.all().at(nets.of(terminal));
    std::erase(joined, terminal);
    return joined;
}

int rank(const Circuit& circuit, const WiringStep& step)
{
    if (step.stage == WiringStage::feed && touches(circuit, step.wire, PartKind::supply)) {
        return static_cast<int>(WiringStage::feed) + 1;
    }
    return static_cast<int>(step.stage);
}

}  // namespace

WiringPlan wiringPlan(const Circuit& circuit)
{
    WiringPlan plan;
    plan.commonEnd = farEnd(circuit, "C");
    plan.startEnd = farEnd(circuit, "S");
    plan.runEnd = farEnd(circuit, "R");
    const std::optional<Terminal> lifted = liftedTerminal(circuit);
    for (const Wire& wire : circuit.wires) {
        WiringStep step;
        step.wire = wire;
        const bool feedEnd = isFeed(circuit, wire.from) || isFeed(circuit, wire.to);
        if (touches(circuit, wire, PartKind::compressor)) {
            step.farEndLater = feedEnd;
        } else if (feedEnd) {
            step.stage = WiringStage::feed;
        } else if (lifted && isOn(wire, *lifted)) {
            step.stage = WiringStage::afterProof;
        }
        plan.steps.push_back(step);
    }
    std::stable_sort(plan.steps.begin(), plan.steps.end(),
                     [&](const WiringStep& a, const WiringStep& b) {
                         return rank(circuit, a) < rank(circuit, b);
                     });
    Circuit soFar = circuit;
    soFar.wires.clear();
    for (WiringStep& step : plan.steps) {
        step.fromMayBe = joinedTo(soFar, step.wire.from);
        step.toMayBe = joinedTo(soFar, step.wire.to);
        soFar.wires.push_back(step.wire);
    }
    return plan;
}

Circuit wiredForProof(const Circuit& circuit, const WiringPlan& plan)
{
    Circuit result = circuit;
    result.wires.clear();
    for (const WiringStep& step : plan.steps) {
        if (step.stage == WiringStage::startCircuit) {
            result.wires.push_back(step.wire);
        }
    }
    return result;
}

}  // namespace splitstart
