// What the fuzzers once found, and some made-up inputs of each kind, through the same functions.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "fuzz/choices.h"
#include "fuzz/deck_properties.h"
#include "fuzz/targets.h"

namespace splitstart
{

namespace
{

using Target = bool (*)(fuzz::Bytes);

std::vector<std::uint8_t> bytesOf(const std::filesystem::path& path)
{
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

void expectAllSound(const char* kind, Target target)
{
    const std::filesystem::path folder =
        std::filesystem::path(SPLITSTART_SOURCE_DIR) / "tests/fuzz/finds" / kind;
    if (!std::filesystem::exists(folder)) {
        GTEST_SKIP() << "nothing was found yet";
    }
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        EXPECT_NO_THROW(target(bytesOf(entry.path()))) << entry.path();
    }
}

std::vector<std::uint8_t> randomBytes(std::uint32_t seed, std::size_t count)
{
    fuzz::RandomChoices choices(seed);
    std::vector<std::uint8_t> bytes(count);
    for (std::uint8_t& byte : bytes) {
        byte = static_cast<std::uint8_t>(choices.bits(8));
    }
    return bytes;
}

}  // namespace

TEST(FuzzFinds, OfCaseFilesAreReadOrRefused)
{
    expectAllSound("case", fuzz::tryCase);
}

TEST(FuzzFinds, OfPartsFilesAreReadOrRefused)
{
    expectAllSound("parts", fuzz::tryParts);
}

TEST(FuzzFinds, OfWireListsAreComparedOrRefused)
{
    expectAllSound("wires", fuzz::tryWires);
}

TEST(FuzzFinds, OfValidCasesMakeWholeDecks)
{
    expectAllSound("netlist", fuzz::tryNetlist);
}

// The fuzzer is worth something only while most of what it makes is a case.
TEST(RandomCases, AreValidAndMakeWholeDecks)
{
    int valid = 0;
    constexpr int all = 60;
    for (std::uint32_t seed = 0; seed < all; ++seed) {
        const std::vector<std::uint8_t> bytes = randomBytes(seed, 900);
        EXPECT_NO_THROW(valid += fuzz::tryNetlist(bytes) ? 1 : 0) << seed;
    }
    EXPECT_GT(valid, all * 3 / 4);
}

// And only while it sees what is broken.
TEST(DeckProperties, SeeWhatIsBroken)
{
    const std::string sound =
        "* title\n.param a=1\nxone n 0 box x={a}\n.subckt box p q x=2\nr1 p q {x}\n.ends "
        "box\n.end\n";
    EXPECT_NO_THROW(fuzz::requireWhole(sound));
    const auto with = [&sound](const std::string& part, const std::string& other) {
        std::string deck = sound;
        return deck.replace(deck.find(part), part.size(), other);
    };
    EXPECT_ANY_THROW(fuzz::requireWhole(with("* title", "*# shell rm")));
    EXPECT_ANY_THROW(fuzz::requireWhole(with("* title", "*ng_script")));
    EXPECT_ANY_THROW(fuzz::requireWhole(with("* title", "* $x")));
    EXPECT_ANY_THROW(fuzz::requireWhole(with("{a}", "{b}")));
    EXPECT_ANY_THROW(fuzz::requireWhole(with("{x}", "{y}")));
    EXPECT_ANY_THROW(fuzz::requireWhole(with("0 box", "0 bag")));
    EXPECT_ANY_THROW(fuzz::requireWhole(with(".end\n", "")));
    EXPECT_ANY_THROW(fuzz::requireSameButComments(sound, with("* title", ".title")));
    EXPECT_NO_THROW(fuzz::requireSameButComments(sound, with("title", "name")));
}

}  // namespace splitstart
