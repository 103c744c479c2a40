// What the tests of case/ share: places of files, reading that keeps the message, small documents.
#pragma once

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>

#include "case/input_error.h"
#include "case/reader.h"

namespace splitstart::testing
{

inline std::filesystem::path caseTestFolder()
{
    return std::filesystem::path(SPLITSTART_SOURCE_DIR) / "tests/unit/case";
}

inline std::string textOfFile(const std::filesystem::path& path)
{
    std::ifstream stream(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

// What the reader says about a text; empty when it has nothing to say.
inline std::string caseMessage(std::string_view text)
{
    try {
        readCaseText(text, "dairy.xml", (caseTestFolder() / "good").string());
        return {};
    } catch (const InputError& error) {
        return error.what();
    }
}

inline std::string partsMessage(std::string_view text)
{
    try {
        readPartsText(text, "stock.xml");
        return {};
    } catch (const InputError& error) {
        return error.what();
    }
}

// A case that is right as it stands, with a supply and more inside the compressor.
inline std::string caseWith(std::string_view supply, std::string_view insideCompressor = "",
                            std::string_view afterCompressor = "")
{
    std::string text = "<case name=\"n\">\n";
    text += supply;
    text += "\n<compressor>\n<readings>";
    text += "<reading between=\"A B\" ohms=\"2\"/><reading between=\"B C\" ohms=\"3\"/>";
    text += "<reading between=\"A C\" ohms=\"1\"/></readings>\n";
    text += insideCompressor;
    text += "\n</compressor>\n";
    text += afterCompressor;
    text += "\n</case>\n";
    return text;
}

// A supply with these volts, and what the reader says about them.
inline std::string voltsMessage(std::string_view volts)
{
    return caseMessage(caseWith("<supply hertz=\"60\" volts=\"" + std::string(volts) + "\"/>"));
}

}  // namespace splitstart::testing
