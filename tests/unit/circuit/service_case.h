// A case that asks for a certain standard circuit with a certain choice of its optional parts, from
// the parts of stockedCase().
#pragma once

#include <stdexcept>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "unit/circuit/circuit_fixture.h"
#include "unit/dairy_cases.h"

namespace splitstart
{

// Which optional parts a case names: ids, empty where it names none.
struct Service {
    std::string fan;
    bool dual = false;  // its capacitor is the second section of a dual run capacitor
    std::string contactor;
    std::string protector;
};

inline std::string serviceText(const Service& service)
{
    return "fan \"" + service.fan + (service.dual ? "\" on a dual capacitor" : "\"") +
           ", contactor \"" + service.contactor + "\", protector \"" + service.protector + "\"";
}

// Every combination that there is.
inline std::vector<Service> everyService()
{
    std::vector<Service> all;
    for (const char* contactor : {"", "one-pole", "two-pole"}) {
        for (const char* protector : {"", "inside", "outside"}) {
            all.push_back({"", false, contactor, protector});
            all.push_back({"fan", false, contactor, protector});
            all.push_back({"fan-with-capacitor", false, contactor, protector});
            all.push_back({"fan-with-capacitor", true, contactor, protector});
        }
    }
    return all;
}

// Heat in the off time needs one line that stays on: not behind a contactor that opens both.
inline bool heatsBehindTwoPoles(const Circuit& circuit, const Service& service)
{
    return circuit.variant == "crankcase-heat" && service.contactor == "two-pole";
}

// Whether that circuit has a place for the two sections of one can.
inline bool takesDual(const Circuit& circuit)
{
    return circuit.find(PartKind::runCapacitor) != nullptr &&
           connected(circuit, "run-capacitor.A", "fan-capacitor.A");
}

inline std::string startDeviceId(const Circuit& circuit)
{
    const auto kind = startDeviceOf(circuit);
    if (!kind) {
        return "";
    }
    switch (*kind) {
        case PartKind::potentialRelay:
            return "potential";
        case PartKind::currentRelay:
            return "current";
        case PartKind::ptc:
            return "ptc";
        case PartKind::timedSwitch:
            return "timer";
        case PartKind::centrifugalSwitch:
            return "shaft";
        default:
            throw std::logic_error("no such start device on the shelf");
    }
}

inline Case caseFor(const Circuit& circuit, const Service& service = {})
{
    Case input = stockedCase();
    CircuitChoice choice;
    choice.type = circuit.type;
    choice.variant = circuit.variant;
    choice.startDevice = startDeviceId(circuit);
    if (circuit.find(PartKind::startCapacitor) != nullptr) {
        choice.startCapacitor = "start";
    }
    if (circuit.find(PartKind::runCapacitor) != nullptr) {
        choice.runCapacitor = service.dual ? "dual" : "run";
    }
    choice.protector = service.protector;
    choice.contactor = service.contactor;
    choice.fan = service.fan;
    if (service.fan == "fan-with-capacitor" && !service.dual) {
        choice.fanCapacitor = "fan-run";
    }
    choice.place = {input.file, 7};
    input.circuit = choice;
    return input;
}

}  // namespace splitstart
