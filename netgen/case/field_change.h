// Fields of a case by name, and a case read with other values in them than its file has.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "case/vocabulary.h"
#include "case/working_point.h"

namespace splitstart
{

// One field: ELEMENT.ATTRIBUTE or ELEMENT/WHICH.ATTRIBUTE, names as in the case and parts files,
// such as "supply.volts", "start-capacitor.microfarads", "measured/seconds-to-start.value",
// "run-capacitor/run-40.volts". WHICH is the element's first attribute, or its number among its
// like (1: the first). A part without WHICH is the one of that kind in the case's circuit. An
// ATTRIBUTE that the element has as ATTRIBUTE-min and ATTRIBUTE-max stands for both: a number
// moves the range so that its middle lies there and its width keeps its share; "88-108" sets both
// ends. The element "start" holds what is no part of a case; see WorkingPoint.
struct FieldName {
    std::string written;
    std::string which;  // empty: there is only one
    std::string attribute;
    const ElementSpec* element = nullptr;
    const AttributeSpec* spec = nullptr;  // of a range without a middle: the lower end's
    bool hasEnds = false;                 // ATTRIBUTE-min and ATTRIBUTE-max exist
    bool isPart = false;
    bool isWorkingPoint = false;
    // It says what is known of the motor, not what is done with it: readings, nameplate,
    // measurements, the equivalent circuit, poles, the wire of the windings.
    bool tellsTheMotor = false;
    [[nodiscard]] bool isNumber() const;
};

// Throws InputError, in the words of the option --vary and with a suggestion, if there is no such
// field or its value must not be changed (names, labels, files).
FieldName fieldNamed(std::string_view text);

struct FieldChange {
    FieldName field;
    std::string value;  // as it would stand in the file
};

// The working point that those changes of "start" describe. Throws InputError.
WorkingPoint workingPointOf(std::span<const FieldChange> changes);

}  // namespace splitstart
