// Files that are no cases at all: too big, too deep, not XML, not text, hostile.
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "unit/case/case_fixture.h"

namespace splitstart
{
namespace
{

using testing::caseMessage;
using testing::caseWith;
using testing::partsMessage;

std::string repeated(const std::string& text, int times)
{
    std::string result;
    for (int i = 0; i < times; ++i) {
        result += text;
    }
    return result;
}

bool startsWith(const std::string& text, const std::string& beginning)
{
    return text.compare(0, beginning.size(), beginning) == 0;
}

TEST(Doctype, IsRefused)
{
    constexpr auto message =
        "dairy.xml:2: a document type declaration (<!DOCTYPE ...>) is not allowed. Leave it out.";
    EXPECT_EQ(caseMessage("\n<!DOCTYPE case>\n" + caseWith("")), message);
    EXPECT_EQ(caseMessage("\n<!DOCTYPE case SYSTEM \"file:///etc/passwd\">" + caseWith("")),
              message);
    EXPECT_EQ(caseMessage("\n<!DOCTYPE case [<!ENTITY e SYSTEM \"file:///etc/passwd\">]>"
                          "<case name=\"&e;\"/>"),
              message);
}

TEST(EntityBomb, IsRefusedWithoutBeingExpanded)
{
    std::string bomb = "<!DOCTYPE case [<!ENTITY e0 \"0123456789\">";
    for (int i = 1; i < 30; ++i) {
        bomb += "<!ENTITY e" + std::to_string(i) + " \"" +
                repeated("&e" + std::to_string(i - 1) + ";", 10) + "\">";
    }
    EXPECT_EQ(caseMessage(bomb + "]><case name=\"&e29;\"/>"),
              "dairy.xml:1: a document type declaration (<!DOCTYPE ...>) is not allowed. Leave it "
              "out.");
}

std::string namedCase(const std::string& name)
{
    const std::string plain = "<case name=\"n\">";
    return "<case name=\"" + name + "\">" + caseWith("").substr(plain.size());
}

TEST(Entities, OfOnesOwnAreRefused)
{
    for (const char* name : {"&e;", "a & b", "&", "&amp", "&AMP;", "&amp;&e;"}) {
        EXPECT_EQ(caseMessage(namedCase(name)),
                  "dairy.xml:1: case/name: \"&\" must be written \"&amp;\"; entities of one's own "
                  "are not allowed.")
            << name;
    }
}

TEST(CharacterNumbers, ThatXmlDoesNotAllowAreRefused)
{
    for (const char* name :
         {"&#0;", "&#x0;", "&#1;", "&#27;", "&#55296;", "&#xFFFE;", "&#x110000;", "&#;", "&#x;",
          "&#99999999999999999999;", "&#x100000041;", "&#-5;", "&#65"}) {
        EXPECT_EQ(caseMessage(namedCase(name)),
                  "dairy.xml:1: case/name: \"&#\" must begin the number of a character that XML "
                  "allows, and \";\" end it.")
            << name;
    }
    EXPECT_EQ(caseMessage(namedCase("&#65;&#x1F9C0;")), "");
}

TEST(CharacterNumbers, CannotHideTheEndOfANumber)
{
    // A character 0 would end the value for the parser and leave "230".
    EXPECT_NE(testing::voltsMessage("230&#0;000"), "");
    EXPECT_EQ(testing::voltsMessage("2&#51;0"), "");  // a 3
}

TEST(SmallerThan, InAnAttributeIsNotXml)
{
    EXPECT_EQ(testing::voltsMessage("<5"),
              "dairy.xml:2: supply/volts: \"<\" in an attribute must be written \"&lt;\".");
}

TEST(Size, AboveFourMebibytesIsRefused)
{
    const std::string text = caseWith("");
    constexpr std::size_t most = std::size_t{4} * 1024 * 1024;
    EXPECT_EQ(caseMessage(text + std::string(most - text.size(), ' ')), "");
    constexpr auto message = "dairy.xml: the file is larger than 4194304 bytes.";
    EXPECT_EQ(caseMessage(text + std::string(most - text.size() + 1, ' ')), message);
    EXPECT_EQ(caseMessage(text + std::string(5000000, ' ')), message);
}

TEST(Depth, AboveThirtyTwoIsRefused)
{
    const std::string deep = repeated("<a>", 32) + repeated("</a>", 32);
    EXPECT_TRUE(startsWith(caseMessage(deep), "dairy.xml:1: the file's first element is <a>"));
    constexpr auto message = "dairy.xml:1: elements are nested more than 32 deep.";
    EXPECT_EQ(caseMessage("<a>" + deep + "</a>"), message);
    EXPECT_EQ(caseMessage(repeated("<a>", 500000) + repeated("</a>", 500000)), message);
}

TEST(Depth, IsCountedAgainAfterClosing)
{
    const std::string branch = repeated("<a>", 31) + repeated("</a>", 31);
    EXPECT_TRUE(startsWith(caseMessage("<a>" + repeated(branch + "<b/>text", 50) + "</a>"),
                           "dairy.xml:1: the file's first element is <a>"));
    EXPECT_EQ(caseMessage("<a>" + repeated(branch, 3) + "\n<a>" + branch + "</a></a>"),
              "dairy.xml:2: elements are nested more than 32 deep.");
}

TEST(Elements, AboveTenThousandAreRefused)
{
    EXPECT_TRUE(startsWith(partsMessage("<parts>" + repeated("<x/>", 9999) + "</parts>"),
                           "stock.xml:1: parts: unknown element <x>"));
    EXPECT_EQ(partsMessage("<parts>" + repeated("<x/>", 10000) + "</parts>"),
              "stock.xml:1: the file has more than 10000 elements.");
    EXPECT_EQ(partsMessage(repeated("<x/>", 1000000)),
              "stock.xml:1: a second element <x> at the top. A file holds one case or one parts "
              "list.");
}

TEST(Attributes, InMasseAreReportedShortly)
{
    std::string text = "<parts";
    for (int i = 0; i < 200000; ++i) {
        text += " a" + std::to_string(i) + "=''";
    }
    const std::string message = partsMessage(text + "/>");
    EXPECT_LT(message.size(), 20000U);
    EXPECT_NE(message.find("199900 more problems are not shown."), std::string::npos);
}

TEST(Attributes, GivenTwiceAreRefused)
{
    EXPECT_EQ(caseMessage(caseWith("<supply volts='230' hertz='60'\nvolts='115'/>")),
              "dairy.xml:3: supply/volts: given twice.");
    EXPECT_EQ(caseMessage(caseWith("<supply volts='' hertz='60' volts='115'/>")),
              "dairy.xml:2: supply/volts: found \"\"; allowed: a number of volts from 50 to 600.\n"
              "dairy.xml:2: supply/volts: given twice.");
}

TEST(ByteOrderMark, OfUtf8IsFine)
{
    EXPECT_EQ(caseMessage("\xEF\xBB\xBF" + caseWith("")), "");
    EXPECT_EQ(
        caseMessage("\xEF\xBB\xBF<?xml version=\"1.0\" encoding=\"utf-8\"?>\n" + caseWith("")), "");
}

TEST(OtherEncodings, AreRefused)
{
    EXPECT_EQ(caseMessage("<?xml version='1.0' encoding='ISO-8859-1'?>" + caseWith("")),
              "dairy.xml:1: the encoding \"ISO-8859-1\" is not allowed. Save the file as UTF-8 "
              "text.");
    EXPECT_EQ(caseMessage(std::string("\xFF\xFE<\0c\0", 6)),
              "dairy.xml:1: byte 0xFF is not UTF-8. Save the file as UTF-8 text.");
    EXPECT_EQ(caseMessage("<case name='n'>\n<!-- K\xE4se -->\n</case>"),
              "dairy.xml:2: byte 0xE4 is not UTF-8. Save the file as UTF-8 text.");
    EXPECT_EQ(caseMessage("<case name='n'>\n<!-- \xC0\xAF -->\n</case>"),
              "dairy.xml:2: byte 0xC0 is not UTF-8. Save the file as UTF-8 text.");
}

TEST(ControlCharacters, AreRefused)
{
    EXPECT_EQ(caseMessage("\n\x1b[2J" + caseWith("")),
              "dairy.xml:2: control character 0x1B is not allowed in XML. Save the file as UTF-8 "
              "text.");
    // The parser would stop at a character 0 and pass over the rest.
    const std::string hidden = caseWith("") + std::string("\0", 1) + "<more/>";
    EXPECT_TRUE(startsWith(caseMessage(hidden), "dairy.xml:9: control character 0x00"))
        << caseMessage(hidden);
}

TEST(NotXml, IsReportedInTheParsersWordsWithItsLine)
{
    EXPECT_EQ(caseMessage("<case name='n'>\n<supply volts=230/>\n</case>"),
              "dairy.xml:2: not well-formed XML: Error parsing element attribute.");
    EXPECT_EQ(caseMessage("<case name='n'>\n<compressor>\n</case>"),
              "dairy.xml:3: not well-formed XML: Start-end tags mismatch. Every <name> needs its "
              "</name>, or a \"/\" before its \">\".");
    EXPECT_TRUE(startsWith(caseMessage("<case name='n'"), "dairy.xml:1: not well-formed XML: "));
    EXPECT_TRUE(startsWith(caseMessage("<!-- "), "dairy.xml:1: not well-formed XML: "));
    EXPECT_TRUE(startsWith(caseMessage("<"), "dairy.xml:1: not well-formed XML: "));
}

TEST(NoElement, IsReported)
{
    EXPECT_EQ(caseMessage(""), "dairy.xml:1: the file holds no element.");
    EXPECT_EQ(caseMessage("\n\n"), "dairy.xml:1: the file holds no element.");
    EXPECT_EQ(caseMessage("<!-- nothing -->"), "dairy.xml:1: the file holds no element.");
    EXPECT_EQ(caseMessage("\nvolts = 230\n"),
              "dairy.xml:2: text outside the elements: \"volts = 230\".");
    EXPECT_EQ(caseMessage(caseWith("") + "more"),
              "dairy.xml:9: text outside the elements: \"more\".");
}

TEST(Comments, AndInstructionsArePassedOver)
{
    EXPECT_EQ(caseMessage("<!-- a --><?xml-stylesheet href='x'?>" +
                          caseWith("<!-- b -->", "<?y?><!-- <!DOCTYPE -->") + "<!-- c -->"),
              "");
}

class FilesOnDisk : public ::testing::Test
{
protected:
    void SetUp() override
    {
        std::string pattern = (std::filesystem::temp_directory_path() / "splitstart-case-XXXXXX");
        ASSERT_NE(mkdtemp(pattern.data()), nullptr);
        folder_ = pattern;
        std::filesystem::permissions(folder_, std::filesystem::perms(0755));
    }
    void TearDown() override { std::filesystem::remove_all(folder_); }

    std::string write(const std::string& name, const std::string& text)
    {
        std::ofstream(folder_ / name, std::ios::binary) << text;
        return (folder_ / name).string();
    }

    // The message without the folder.
    [[nodiscard]] std::string messageFor(const std::string& path) const
    {
        try {
            readCaseFile(path);
            return {};
        } catch (const InputError& error) {
            EXPECT_EQ(error.problems().front().place.file, path);
            std::string text = error.what();
            const std::string prefix = folder_.string() + "/";
            for (std::size_t at = text.find(prefix); at != std::string::npos;
                 at = text.find(prefix)) {
                text.erase(at, prefix.size());
            }
            return text;
        }
    }

    std::filesystem::path folder_;
};

TEST_F(FilesOnDisk, ThatAreMissingAreReportedWithoutALine)
{
    EXPECT_EQ(messageFor((folder_ / "none.xml").string()), "none.xml: no such file.");
    EXPECT_EQ(messageFor(write("plain", "") + "/none.xml"), "plain/none.xml: no such file.");
    EXPECT_THROW(readCaseFile(""), InputError);
    EXPECT_THROW(readPartsFile((folder_ / "none.xml").string()), InputError);
    EXPECT_THROW(readCaseFile(std::string(10000, 'x')), InputError);
}

TEST_F(FilesOnDisk, MustBePlainFiles)
{
    std::filesystem::create_directory(folder_ / "sub.xml");
    EXPECT_EQ(messageFor((folder_ / "sub.xml").string()), "sub.xml: is a folder, not a file.");
    ASSERT_EQ(mkfifo((folder_ / "pipe.xml").c_str(), 0600), 0);
    EXPECT_EQ(messageFor((folder_ / "pipe.xml").string()), "pipe.xml: is not a plain file.");
    EXPECT_EQ(messageFor("/dev/zero"), "/dev/zero: is not a plain file.");
}

TEST_F(FilesOnDisk, WithoutPermissionAreReported)
{
    const std::string path = write("secret.xml", caseWith(""));
    std::filesystem::permissions(path, std::filesystem::perms::none);
    // Root may read everything, so the test steps down for the moment of reading.
    constexpr uid_t nobody = 65534;
    const uid_t before = geteuid();
    if (before == 0) {
        ASSERT_EQ(seteuid(nobody), 0);
    }
    const std::string message = messageFor(path);
    ASSERT_EQ(seteuid(before), 0);
    EXPECT_EQ(message, "secret.xml: cannot be opened; look at its permissions.");
}

TEST_F(FilesOnDisk, ThatAreTooLargeAreNotEvenRead)
{
    const std::string path = write("big.xml", "");
    std::filesystem::resize_file(path, 5000000);
    EXPECT_EQ(messageFor(path), "big.xml: the file is larger than 4194304 bytes.");
    std::filesystem::resize_file(path, std::uintmax_t{1} << 40U);  // holes only
    EXPECT_EQ(messageFor(path), "big.xml: the file is larger than 4194304 bytes.");
}

TEST_F(FilesOnDisk, AreReadAsTheyAre)
{
    const std::string path = write("a.xml", caseWith("<supply volts='115' hertz='60'/>"));
    EXPECT_EQ(readCaseFile(path).supply.voltage_V, 115);
    EXPECT_EQ(readCaseFile(path).file, path);
}

TEST_F(FilesOnDisk, NamedAsPartsAreLookedForBesideTheCase)
{
    write("stock.xml", "<parts><condenser-fan id='f' volts='115' amps='1'/></parts>");
    std::filesystem::create_directory(folder_ / "sub");
    const std::string here = write("a.xml", caseWith("", "", "<parts file='stock.xml'/>"));
    const std::string below = write("sub/b.xml", caseWith("", "", "<parts file='../stock.xml'/>"));
    EXPECT_EQ(readCaseFile(here).parts.parts.size(), 1U);
    EXPECT_EQ(readCaseFile(below).parts.parts.size(), 1U);
}

TEST_F(FilesOnDisk, NamedAsPartsThatCannotBeReadAreReportedWhereTheyAreNamed)
{
    std::filesystem::create_directory(folder_ / "sub");
    EXPECT_EQ(messageFor(write("a.xml", caseWith("", "", "<parts file='none.xml'/>"))),
              "a.xml:7: parts/file: found \"none.xml\"; allowed: a parts file that can be read. "
              "none.xml: no such file.");
    EXPECT_EQ(
        messageFor(write("b.xml", caseWith("", "", "<parts file='sub'/>"))),
        "b.xml:7: parts/file: found \"sub\"; allowed: a parts file that can be read. sub: is a "
        "folder, not a file.");
    EXPECT_EQ(messageFor(write("c.xml", caseWith("", "", "<parts file='/etc/passwd'/>"))),
              "c.xml:7: parts/file: found \"/etc/passwd\"; allowed: the name of a parts file, "
              "starting from this file's folder.");
}

TEST_F(FilesOnDisk, ReportTheirProblemsTogetherWithTheCases)
{
    write("stock.xml", "<parts>\n<condenser-fan id='f' volts='1' amps='1'/></parts>");
    const std::string path =
        write("a.xml", caseWith("<supply volts='1' hertz='60'/>", "",
                                "<circuit type='PSC' fan='f'/><parts file='stock.xml'/>"));
    EXPECT_EQ(
        messageFor(path),
        "a.xml:2: supply/volts: found \"1\"; allowed: a number of volts from 50 to 600.\n"
        "stock.xml:2: condenser-fan/volts: found \"1\"; allowed: a number of volts from 50 to "
        "600.");
}

TEST_F(FilesOnDisk, AndInlinePartsShareOneSetOfIds)
{
    write("stock.xml", "<parts>\n<condenser-fan id='f' volts='115' amps='1'/></parts>");
    EXPECT_EQ(
        messageFor(write("a.xml", caseWith("", "",
                                           "<parts file='stock.xml'><condenser-fan id='F' "
                                           "volts='115' amps='1'/></parts>"))),
        "a.xml:7: condenser-fan/id: found \"F\"; allowed: an id that no other part has. It is "
        "also in stock.xml:2.");
}

TEST_F(FilesOnDisk, ThatHoldACaseCannotStandForParts)
{
    write("other.xml", caseWith(""));
    EXPECT_EQ(
        messageFor(write("a.xml", "<parts/>")),
        "a.xml:1: the file's first element is <parts>; allowed: <case>. This is a parts file; "
        "name it in <parts file=\"...\"/>.");
    try {
        readPartsFile((folder_ / "other.xml").string());
        FAIL() << "a case was taken for a parts file";
    } catch (const InputError& error) {
        EXPECT_NE(
            std::string(error.what()).find("This is a case file; a parts file is wanted here."),
            std::string::npos);
    }
}

}  // namespace
}  // namespace splitstart
