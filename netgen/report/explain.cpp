// What a check asks and what it rests on.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "rating/decision.h"
#include "report/report.h"
#include "report/text_page.h"

namespace splitstart
{

namespace
{

const char* basisWords(Basis basis)
{
    return basis == Basis::standard  ? "a published standard"
           : basis == Basis::physics ? "physics"
                                     : "common practice of the trade";
}

}  // namespace

std::vector<const Check*> checksNamed(std::string_view id)
{
    std::vector<const Check*> found;
    for (const Check& check : allChecks()) {
        if (id == "all" || check.id == id) {
            found.push_back(&check);
        }
    }
    return found;
}

std::string explainText(const std::vector<const Check*>& checks, const TextStyle& style)
{
    TextPage page(style.colour, style.width);
    for (const Check* check : checks) {
        if (check != checks.front()) {
            page.blank();
        }
        page.heading(std::string(check->id));
        page.paragraph(std::string(check->meaning), 2, 2);
        page.paragraph(fmt::format("Part: {}", check->part), 2, 2);
        page.paragraph(fmt::format("Passes if: {}", check->rule), 2, 2);
        if (check->presumes != Presumes::nothing) {
            page.paragraph(fmt::format("Counted over: machines {}, if a quarter of "
                                       "all are so; whether this one is so another check asks",
                                       presumptionText(check->presumes)),
                           2, 2);
        }
        page.paragraph(fmt::format("Margin in: {}", check->unit.empty() ? "a count" : check->unit),
                       2, 2);
        page.paragraph(fmt::format("Rests on: {}", basisWords(check->basis)), 2, 2);
        page.paragraph(fmt::format("Source: {}", check->source), 2, 2);
        page.paragraph(fmt::format("If it fails: {}", check->remedy), 2, 2);
    }
    return page.text();
}

std::string explainJson(const std::vector<const Check*>& checks)
{
    using Json = nlohmann::ordered_json;
    Json rows = Json::array();
    for (const Check* check : checks) {
        rows.push_back({{"id", check->id},
                        {"part", check->part},
                        {"meaning", check->meaning},
                        {"rule", check->rule},
                        {"among", check->presumes == Presumes::nothing
                                      ? Json(nullptr)
                                      : Json(presumptionText(check->presumes))},
                        {"unit", check->unit},
                        {"basis", basisWords(check->basis)},
                        {"source", check->source},
                        {"remedy", check->remedy}});
    }
    return Json{{"schema", 1}, {"checks", rows}}.dump(2) + "\n";
}

}  // namespace splitstart
