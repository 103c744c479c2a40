// Pages: whole, of nothing but themselves, and with nobody's text as markup.
#include "report/html_page.h"

#include <gtest/gtest.h>

#include <regex>
#include <string>

#include "case/embedded_files.h"
#include "report/html_prose.h"

namespace splitstart
{

namespace
{

std::size_t countOf(const std::string& text, const std::string& piece)
{
    std::size_t count = 0;
    for (std::size_t at = text.find(piece); at != std::string::npos;
         at = text.find(piece, at + 1)) {
        ++count;
    }
    return count;
}

std::string decoded(const std::string& text)
{
    std::string plain;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '%') {
            plain += static_cast<char>(std::stoi(text.substr(i + 1, 2), nullptr, 16));
            i += 2;
        } else {
            plain += text[i];
        }
    }
    return plain;
}

}  // namespace

TEST(HtmlPage, ShowsMarkupInTextAsText)
{
    HtmlPage page("<b>name</b> & \"quotes\"", false);
    pugi::xml_node section = page.addSection("one", "</section><script>x</script>");
    addElement(section, "p", "<img src=x onerror=alert(1)>");
    addTable(section, "\"><i>", {"<u>"}, {{"<s>"}});
    const std::string html = page.document();
    for (const char* markup : {"<b>", "<img", "<i>", "<u>", "<s>", "<script"}) {
        EXPECT_EQ(countOf(html, markup), 0U) << markup;
    }
    EXPECT_EQ(countOf(html, "</section>"), 1U);
    EXPECT_NE(html.find("<title>&lt;b&gt;name"), std::string::npos);
}

TEST(HtmlPage, DataCannotEndItsElement)
{
    HtmlPage page("page", false);
    const Json json = {{"name", "</script><script>alert(1)</script><!-- & \xff"}};
    page.addData("data", json);
    const std::string html = page.document();
    EXPECT_EQ(countOf(html, "</script>"), 1U);
    EXPECT_EQ(countOf(html, "<!--"), 0U);
    std::smatch found;
    ASSERT_TRUE(std::regex_search(
        html, found, std::regex("<script type=\"application/json\" id=\"data\">(.*?)</script>")));
    const std::string name = Json::parse(found[1].str())["name"];
    EXPECT_EQ(name, "</script><script>alert(1)</script><!-- & \xef\xbf\xbd");
}

TEST(HtmlPage, LeavesOutControlCharactersAndBrokenBytes)
{
    HtmlPage page(
        "a\x01\x02"
        "b",
        false);
    addElement(page.addSection("one",
                               "c\x7f"
                               "d"),
               "p",
               "e\xff"
               "f");
    const std::string html = page.document();
    EXPECT_NE(html.find("<h1>ab</h1>"), std::string::npos);
    EXPECT_NE(html.find("<h2>cd</h2>"), std::string::npos);
    EXPECT_NE(html.find("<p>ef</p>"), std::string::npos);
}

TEST(HtmlPage, ClosesEveryElementAsHtmlWantsIt)
{
    HtmlPage page("page", false);
    pugi::xml_node section = page.addSection("one", "heading");
    addElement(section, "div");
    addTable(section, "table", {"a", "b"}, {{"x"}});
    section.append_child("input").append_attribute("type") = "checkbox";
    const std::string html = page.document();
    EXPECT_NE(html.find("<div></div>"), std::string::npos);
    EXPECT_NE(html.find("<td></td>"), std::string::npos);
    EXPECT_NE(html.find("<input type=\"checkbox\"/>"), std::string::npos);
    EXPECT_EQ(html.find("</input>"), std::string::npos);
}

TEST(HtmlPage, MayLoadNothing)
{
    HtmlPage page("page", true);
    page.addScript("dygraph.min.js");
    const std::string html = page.document();
    EXPECT_NE(html.find("default-src 'none'"), std::string::npos);
    EXPECT_EQ(countOf(html, "<link "), 1U);  // the icon, empty
    EXPECT_FALSE(
        std::regex_search(html, std::regex("<(script|img|iframe|link)[^>]*(src|href)=\"[^d]")));
    EXPECT_NE(html.find("INVENTED"), std::string::npos);
}

TEST(HtmlPage, KnowsOnlyEmbeddedScripts)
{
    HtmlPage page("page", false);
    EXPECT_THROW(page.addScript("no-such.js"), std::out_of_range);
}

TEST(HtmlPage, EmbeddedScriptsAndStylesCannotEndTheirElements)
{
    int seen = 0;
    for (const EmbeddedFile& file : embeddedFiles()) {
        if (file.name.ends_with(".js") || file.name.ends_with(".css")) {
            ++seen;
            EXPECT_EQ(countOf(std::string(file.text), "</script"), 0U) << file.name;
            EXPECT_EQ(countOf(std::string(file.text), "<!--"), 0U) << file.name;
            EXPECT_EQ(countOf(std::string(file.text), "</style"), 0U) << file.name;
        }
    }
    EXPECT_GE(seen, 5);
}

TEST(HtmlPage, HandsOutTheNetlistByteForByte)
{
    const std::string netlist = "* start of <a & b> 100 % + \"x\"\n.param a=1e-4 b={a*2}\n.end\n";
    HtmlPage page("page", false);
    addNetlist(page.addSection("netlist", "The netlist"), netlist, "start.cir");
    pugi::xml_document document;
    const std::string html = page.document();
    const std::string body =
        html.substr(html.find("<body>"), html.find("</body>") + 7 - html.find("<body>"));
    ASSERT_TRUE(document.load_string(body.c_str(), pugi::parse_default | pugi::parse_ws_pcdata));
    const std::string link =
        document.select_node("//a[@download]").node().attribute("href").value();
    EXPECT_EQ(decoded(link.substr(link.find(',') + 1)), netlist);
    EXPECT_EQ(std::string(document.select_node("//pre").node().text().get()), netlist);
}

TEST(HtmlProse, SaysWhatTheTextSays)
{
    HtmlPage page("page", false);
    HtmlProse prose(page.addSection("one", "heading"));
    prose.heading("What fails");
    prose.paragraph("[FAIL] relay-opens it never opens", 2, 2, Shade::red);
    prose.paragraph("[ ]  1  relay 2  to  compressor S", 2, 8);
    prose.line("a  b");
    prose.line("c  d");
    prose.blank();
    prose.line("e  f");
    prose.paragraph("! hot", 4, 2);
    const std::string html = page.document();
    EXPECT_NE(html.find("<h3>What fails</h3>"), std::string::npos);
    EXPECT_NE(html.find("<strong class=\"word-fail\">Fails: </strong>relay-opens it never opens"),
              std::string::npos);
    EXPECT_NE(html.find("<label class=\"tick\"><input type=\"checkbox\"/><span>"),
              std::string::npos);
    EXPECT_EQ(countOf(html, "<pre"), 2U);
    EXPECT_NE(html.find("a  b\nc  d\n"), std::string::npos);
    EXPECT_NE(html.find("! </strong>hot"), std::string::npos);
}

}  // namespace splitstart
