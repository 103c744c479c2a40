// The names of types and variants, from the circuit files.
#include <pugixml.hpp>
#include <set>
#include <string>
#include <vector>

#include "case/embedded_files.h"
#include "case/vocabulary.h"

namespace splitstart
{

namespace
{

// Each value of that attribute of the circuit files, once, `first` ahead of all; the strings live
// as long as the program.
std::vector<std::string_view> namesInCircuitFiles(const char* attribute, std::string_view first)
{
    static std::set<std::string> texts;
    std::vector<std::string_view> names;
    if (!first.empty()) {
        names.push_back(first);
    }
    std::set<std::string_view> seen(names.begin(), names.end());
    for (const EmbeddedFile& file : embeddedFiles()) {
        pugi::xml_document document;
        if (!file.name.ends_with(".xml") ||
            !document.load_buffer(file.text.data(), file.text.size())) {
            continue;
        }
        const std::string value = document.child("circuit").attribute(attribute).value();
        if (!value.empty() && !seen.contains(value)) {
            names.push_back(*texts.insert(value).first);
            seen.insert(names.back());
        }
    }
    return names;
}

}  // namespace

std::span<const std::string_view> circuitTypeNames()
{
    static const std::vector<std::string_view> names = namesInCircuitFiles("type", {});
    return names;
}

std::span<const std::string_view> circuitVariantNames()
{
    static const std::vector<std::string_view> names =
        namesInCircuitFiles("variant", standardVariant);
    return names;
}

}  // namespace splitstart
