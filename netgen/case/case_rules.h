// Rules that join several attributes or elements of a case file. Internal to case/; problems go to
// the list that the element was made with.
#pragma once

#include "case/case.h"
#include "case/element.h"

namespace splitstart
{

void checkNameplate(const Element& nameplate);
void checkMeasured(const Element& measured);
void checkLoad(const Element& load);
void checkCompressor(const Element& compressor);
// Length in metres or feet, section in square millimetres or by gauge, each once.
void checkConductor(const Element& conductor);
void checkCircuit(const Element& circuit, bool supplyGiven);

// Looks every id of the circuit up and spells it as the parts list does.
void resolveReferences(const Element& circuit, const PartsList& parts, CircuitChoice& choice);

}  // namespace splitstart
