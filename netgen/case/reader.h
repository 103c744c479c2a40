// Reading case and parts files. Every field is checked; nothing unknown is passed over.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "case/case.h"
#include "case/field_change.h"

namespace splitstart
{

// Reads a case file and the parts file it names (relative to the case file's folder).
// Throws InputError with all problems found, and nothing else but std::bad_alloc.
Case readCaseFile(const std::string& path);

// The text of a case file and of the parts file it names, to be read with other values in some of
// its fields, as often as needed.
class CaseSource
{
public:
    // Reads both files. Throws InputError if they cannot be read as they are.
    explicit CaseSource(const std::string& path);

    // Every limit of the reader holds for the changed values, too. Throws InputError.
    [[nodiscard]] Case read(std::span<const FieldChange> changes = {}) const;

    [[nodiscard]] const std::string& text() const { return text_; }
    [[nodiscard]] const std::string& partsText() const { return partsText_; }

private:
    std::string path_;
    std::string folder_;
    std::string text_;
    std::string partsText_;
};

// Reads a parts file on its own. Throws InputError.
PartsList readPartsFile(const std::string& path);

// The same from text; `name` stands for the file in messages, and a named parts file is looked for
// in `folder`. Throws InputError.
Case readCaseText(std::string_view text, const std::string& name, const std::string& folder);
PartsList readPartsText(std::string_view text, const std::string& name);

// The names that an attribute of this kind may have, for messages and other readers.
std::string_view measuredQuantityName(MeasuredQuantity quantity);

// The element's name of that kind of part, such as "run-capacitor".
std::string_view partElementName(const PartData& data);

}  // namespace splitstart
