// Puts changed fields into the text of a case and its parts file. Internal to case/.
#pragma once

#include <span>

#include "case/field_change.h"
#include "case/problem_list.h"
#include "case/xml_text.h"

namespace splitstart
{

// Those of elements that are no parts. An element of which a case has at most one is added where it
// is missing. Adds a problem where the element is not there, or is there more than once.
void changeCase(XmlText& xml, std::span<const FieldChange> changes, ProblemList& problems);

// Those of parts, in the case file and in its parts file (null: it has none). Call it after
// changeCase(): which parts are meant is read from the circuit.
void changeParts(XmlText& xml, XmlText* partsFile, std::span<const FieldChange> changes,
                 ProblemList& problems);

}  // namespace splitstart
