// How the rows of the vocabulary are written; for vocabulary.cpp and parts_vocabulary.cpp only.
#pragma once

#include <array>
#include <span>
#include <string_view>

#include "case/vocabulary.h"

namespace splitstart::vocabulary
{

constexpr Unit plain{""};
constexpr Unit unitOfQuantity{"the quantity's unit"};
constexpr Unit volts{"volts"};
constexpr Unit amps{"amps"};
constexpr Unit hertz{"hertz"};
constexpr Unit ohms{"ohms"};
constexpr Unit megohms{"megohms", 6};
constexpr Unit henries{"henries"};
constexpr Unit millihenries{"millihenries", -3};
constexpr Unit microfarads{"microfarads", -6};
constexpr Unit watts{"watts"};
constexpr Unit horsepower{"horsepower", 0, 745.7};  // 550 ft lbf/s = 745.6999 W (NIST SP 811, B.8)
constexpr Unit percent{"percent", -2};
constexpr Unit seconds{"seconds"};
constexpr Unit milliseconds{"milliseconds", -3};
constexpr Unit hours{"hours"};  // kept in hours: a rating that people read in hours
constexpr Unit rpm{"revolutions a minute", 0, 0.10471975511965977};  // 2 pi / 60 rad/s
constexpr Unit metres{"metres"};
constexpr Unit feet{"feet", 0, 0.3048};  // exact (NIST SP 811)
constexpr Unit squareMillimetres{"square millimetres", -6};
constexpr Unit voltSeconds{"volt seconds"};
constexpr Unit startsPerHour{"starts an hour"};
constexpr Unit secondsPerHour{"seconds an hour"};
constexpr Unit degreesCelsius{"degrees Celsius"};
constexpr Unit degrees{"degrees"};
constexpr Unit newtonMetres{"newton metres"};
constexpr Unit bar{"bar absolute", 5};
constexpr Unit kilogramSquareMetres{"kilogram square metres"};

struct Presence {
    bool required = false;
    std::string_view defaultText;
};
constexpr Presence required{true, {}};
constexpr Presence optional{false, {}};
constexpr Presence otherwise(std::string_view text)
{
    return {false, text};
}

constexpr AttributeSpec number(std::string_view name, Unit unit, double minimum, double maximum,
                               Presence presence, ValueKind kind = ValueKind::number)
{
    return {name, kind, unit, minimum, maximum, presence.required, presence.defaultText, {}};
}

constexpr AttributeSpec special(std::string_view name, ValueKind kind, Presence presence)
{
    return {name, kind, plain, 0, 0, presence.required, presence.defaultText, {}};
}

constexpr AttributeSpec oneOf(std::string_view name, std::span<const std::string_view> words,
                              Presence presence)
{
    return {name, ValueKind::choice, plain, 0, 0, presence.required, presence.defaultText, words};
}

constexpr AttributeSpec reference(std::string_view name,
                                  std::span<const std::string_view> partElements,
                                  Presence presence = optional)
{
    return {name, ValueKind::reference, plain, 0, 0, presence.required, {}, partElements};
}

// The elements that stand for parts, as children of <parts>.
std::span<const ChildSpec> partElements();

}  // namespace splitstart::vocabulary
