// What was observed, as people write it.
#include "case/symptom.h"

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <stdexcept>

#include "case/number.h"
#include "case/text.h"

namespace splitstart
{

namespace
{

std::string refusalOf(const std::string& text)
{
    try {
        parseSymptom(text);
    } catch (const std::invalid_argument& error) {
        return error.what();
    }
    return "";
}

std::string rangeText(const SymptomInfo& info)
{
    if (!info.words.empty()) {
        return joined(info.words);
    }
    return plainNumber(info.least) + " to " + plainNumber(info.most) +
           (info.mayBeOpen ? ", or open" : "");
}

}  // namespace

// The list that people read has a row for each kind, with its unit and its values.
TEST(Symptoms, StandInTheReadme)
{
    std::ifstream file(std::filesystem::path(SPLITSTART_SOURCE_DIR) / "netgen/case/SYMPTOMS.md");
    std::stringstream text;
    text << file.rdbuf();
    for (const SymptomInfo& info : symptomKinds()) {
        const std::string unit(info.words.empty() ? info.unit : "word");
        const std::string row =
            "| `" + std::string(info.name) + "` | " + unit + " | " + rangeText(info) + " | ";
        EXPECT_NE(text.str().find(row), std::string::npos) << row;
    }
}

TEST(Symptoms, AreWordsOrNumbersInTheirUnits)
{
    EXPECT_EQ(parseSymptom("motor=hums").word, "hums");
    EXPECT_EQ(parseSymptom("Motor=HUMS").word, "hums");
    EXPECT_EQ(parseSymptom("line-amps-stalled=62.5").value, 62.5);
    EXPECT_EQ(parseSymptom("start-capacitor-microfarads=88").value, 88e-6);
    EXPECT_TRUE(std::isinf(parseSymptom("contact-ohms=open").value));
    EXPECT_EQ(parseSymptom("start-lead-amps-stalled=0").value, 0);
}

TEST(Symptoms, AreListedInTheOrderOfTheirKinds)
{
    std::set<std::string_view> names;
    for (std::size_t i = 0; i < symptomKinds().size(); ++i) {
        const SymptomInfo& info = symptomKinds()[i];
        EXPECT_EQ(static_cast<std::size_t>(info.kind), i);
        EXPECT_TRUE(names.insert(info.name).second) << info.name;
        EXPECT_FALSE(info.meaning.empty());
        EXPECT_EQ(info.words.empty(), info.most > info.least) << info.name;
        EXPECT_EQ(info.words.empty(), !info.unit.empty()) << info.name;
    }
}

TEST(Symptoms, EveryKindTakesItsOwnValuesAndNoOthers)
{
    for (const SymptomInfo& info : symptomKinds()) {
        const std::string name(info.name);
        for (const std::string_view word : info.words) {
            EXPECT_EQ(parseSymptom(name + "=" + std::string(word)).kind, info.kind);
        }
        if (info.words.empty()) {
            EXPECT_EQ(parseSymptom(name + "=" + std::to_string(info.most)).kind, info.kind);
            EXPECT_NE(refusalOf(name + "=" + std::to_string(1.01 * info.most)), "");
            EXPECT_NE(refusalOf(name + "=-1"), "");
            EXPECT_EQ(refusalOf(name + "=open").empty(), info.mayBeOpen) << name;
        } else {
            EXPECT_NE(refusalOf(name + "=12"), "");
        }
        EXPECT_NE(refusalOf(name + "="), "");
        EXPECT_NE(refusalOf(name), "");
    }
}

TEST(Symptoms, AreRefusedInOneLineThatSaysWhatIsAllowed)
{
    EXPECT_EQ(refusalOf("motor=dances"),
              "--symptom: found \"motor=dances\"; allowed: motor= and then one of starts, slow, "
              "hums, silent, breaker");
    EXPECT_NE(refusalOf("line-amps-staled=3").find("did you mean line-amps-stalled?"),
              std::string::npos);
    EXPECT_NE(refusalOf("line-amps-stalled=62A").find("a number of A from 0 to 1000"),
              std::string::npos);
    EXPECT_NE(refusalOf("line-amps-stalled=nan"), "");
    EXPECT_EQ(refusalOf("motor=hums\nquit").find('\n'), std::string::npos);
}

}  // namespace splitstart
