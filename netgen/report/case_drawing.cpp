#include "report/case_drawing.h"

#include <fmt/format.h>

#include "circuit/case_circuit.h"
#include "report/part_text.h"
#include "report/wiring_drawing.h"

namespace splitstart
{

std::string caseDrawing(const Case& input, const WiringStudy& study, bool asFound)
{
    DrawingText text;
    text.title = input.name;
    text.invented = input.invented;
    text.pins = study.pins;
    for (const CircuitPart& part : study.circuit.parts) {
        if (part.kind == PartKind::supply) {
            text.ratings[part.id] =
                fmt::format("{} V, {} Hz", input.supply.voltage_V, input.supply.frequency_Hz);
        }
        if (const CatalogPart* entry = catalogPartOf(input, part.kind)) {
            text.ratings[part.id] = labelText(entry->data);
        }
    }
    if (!asFound) {
        return wiringDrawing(study.circuit, text);
    }
    Circuit found = study.found->circuit;
    found.description = "AS FOUND" + std::string(study.found->isRight() ? "" : ", NOT RIGHT");
    return wiringDrawing(found, text);
}

}  // namespace splitstart
