// Valid case files made of choices: any standard circuit, parts in all its places, numbers anywhere
// in their ranges.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <pugixml.hpp>
#include <string>

#include "fuzz/choices.h"

namespace splitstart::fuzz
{

struct CaseWishes {
    std::optional<std::size_t> circuit;  // index into standardCircuits(); empty: any
    // What to write into "element.attribute" in place of something drawn; an empty text: leave the
    // attribute out.
    std::map<std::string, std::string> fields = {};
    // Elements to leave out where it says so: "conductor", "readings", "as-found", ...
    std::map<std::string, bool> without = {};
};

// The reader takes it, but for a few in a hundred where two draws contradict each other. Names and
// descriptions are as hostile as they may be.
pugi::xml_document randomCase(Choices& choices, const CaseWishes& wishes = {});

// The same case with harmless names, descriptions, ids and labels in its texts for people.
void makeHarmless(pugi::xml_document& document);

std::string fileText(const pugi::xml_document& document);

// Shortest text that reads back as that number.
std::string numberText(double value);

}  // namespace splitstart::fuzz
