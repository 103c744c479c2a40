// From checked elements to parts. Internal to case/.
#pragma once

#include <string_view>

#include "case/element.h"
#include "case/parts.h"
#include "case/problem_list.h"

namespace splitstart
{

// Appends the parts that stand in a <parts> element, and checks each in itself. Parts that do not
// say so themselves are invented when the whole list is.
void readParts(const Element& list, bool listInvented, PartsList& parts);

// Adds a problem for each id that was used before.
void checkIds(const PartsList& parts, ProblemList& problems);

// Works out what each pair of start capacitors is together, once all parts are read; a problem for
// each that names no two capacitors that can be a pair. Only where the parts were understood, so
// that no pair is blamed for a misspelt part.
void resolvePairs(PartsList& parts, ProblemList& problems);

// The parts file's text; problems are added to the list.
PartsList readPartsXml(const XmlText& xml, ProblemList& problems);

// Adds a problem when the root is not the wanted element; `hint` says what a root of the other kind
// means.
bool rootIs(const XmlText& xml, std::string_view wanted, std::string_view otherKind,
            std::string_view hint, ProblemList& problems);

}  // namespace splitstart
