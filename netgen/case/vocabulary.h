// Every element and attribute of case and parts files, with unit, range and default. The reader,
// the messages, the spelling suggestions and the test of README.md all use this one table.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "case/case.h"

namespace splitstart
{

enum class ValueKind {
    number,        // a decimal number
    evenNumber,    // a whole even number
    wholeNumber,   // a whole number
    ohmsOrOpen,    // a number, or "open" or "OL": infinity
    ohmsOrAbove,   // a number, ">number" for the end of the meter's range, or "open" or "OL"
    yesNo,         // "yes" or "no"
    choice,        // one of a fixed list of words
    text,          // 1 to 200 characters for people
    id,            // name of a part
    reference,     // id of a part of certain kinds
    pinPair,       // two labels with a blank between
    pinLabel,      // one label, and not "shell"
    wireEnd,       // "part.terminal"
    relativePath,  // file name relative to this file's folder
};

// Value in SI = value in the file * factor * 10^powerOfTen; the power is applied to the text, so
// that values are rounded once.
struct Unit {
    std::string_view word;  // as in "a number of volts"; empty: a bare number
    int powerOfTen = 0;
    double factor = 1;
};

struct AttributeSpec {
    std::string_view name;
    ValueKind kind = ValueKind::number;
    Unit unit;
    double minimum = 0;  // in the file's unit, both ends allowed
    double maximum = 0;
    bool required = false;
    std::string_view defaultText;  // as it would be written; empty: no value when left out
    std::span<const std::string_view> words;  // choice: the words; reference: elements of its parts
};

enum class Occurs { atMostOnce, exactlyOnce, atLeastOnce, anyNumber };

struct ElementSpec;

struct ChildSpec {
    const ElementSpec* element = nullptr;
    Occurs occurs = Occurs::atMostOnce;
};

struct ElementSpec {
    std::string_view name;
    std::span<const AttributeSpec> attributes;
    std::span<const ChildSpec> children;
};

// Root elements.
const ElementSpec& caseElement();
const ElementSpec& partsFileElement();

// What a sweep may set besides the fields of a case, as if it were an element "start".
const ElementSpec& workingPointElement();

// What may stand in an attribute, for messages: "a number of volts from 50 to 600".
std::string allowedText(const AttributeSpec& attribute);

// The same in columns, for README.md: "volts", "50 to 600", "required" or the default or "none".
std::string unitColumn(const AttributeSpec& attribute);
std::string rangeColumn(const AttributeSpec& attribute);
std::string defaultColumn(const AttributeSpec& attribute);

// A quantity that <measured> may give; the range is in the unit, which is SI.
struct MeasuredQuantitySpec {
    MeasuredQuantity quantity = MeasuredQuantity::turnsRatio;
    std::string_view name;
    Unit unit;
    double minimum = 0;
    double maximum = 0;
};
std::span<const MeasuredQuantitySpec> measuredQuantities();

// "a number of volts from 1 to 1500"; bare numbers have an empty unit.
std::string numberText(const Unit& unit, double minimum, double maximum);

// The words for circuit/type and circuit/variant: those of the circuit files, so that a new file
// is a new circuit. The variant "standard" is that of a file that names none.
std::span<const std::string_view> circuitTypeNames();
std::span<const std::string_view> circuitVariantNames();
constexpr std::string_view standardVariant = "standard";

}  // namespace splitstart
