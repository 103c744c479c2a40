// The standard circuit that a case asks for.
#pragma once

#include "case/case.h"
#include "circuit/circuit.h"

namespace splitstart
{

// The standard circuit of the case's type and variant that has places for just the parts that the
// case names, with the parts it leaves out removed: no fan, no contactor, no protector, or a
// protector inside the shell (then it is not among the wires, and the model places it between pin C
// and the windings). A dual run capacitor takes the places of run and fan capacitor.
// Throws InputError if there is no such standard circuit, a needed part is not named, a part is
// named for which there is no place, a named part is not in the parts list or is of another kind, a
// fan or a PTC has figures that no such part has at these volts.
Circuit caseCircuit(const Case& input);

// The kind of start device that a part is; empty where it is none.
std::optional<PartKind> startDeviceKind(const PartData& data);

// What the case's parts list has for the parts of that kind in its circuit, or null: where the case
// names none, and for supply, compressor and thermostat, which are in no parts list.
const CatalogPart* catalogPartOf(const Case& input, PartKind kind);

// The part that the case puts into that place of the circuit, or null.
template <typename Data>
const Data* chosenPart(const Case& input, const std::string CircuitChoice::*place)
{
    const CatalogPart* part = input.circuit ? input.parts.find((*input.circuit).*place) : nullptr;
    return part != nullptr ? std::get_if<Data>(&part->data) : nullptr;
}

}  // namespace splitstart
