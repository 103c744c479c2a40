#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "case/capacitor_pair.h"
#include "circuit/case_circuit.h"
#include "report/number_text.h"
#include "report/part_text.h"
#include "report/prose_sections.h"
#include "report/report.h"
#include "report/text_page.h"

namespace splitstart
{

namespace
{

class WiringPage
{
public:
    WiringPage(Prose& page, const Case& input, const WiringStudy& study,
               const FoundStartAnswer& found)
        : input_(input), study_(study), found_(found), page_(page)
    {
    }

    void write();

private:
    [[nodiscard]] std::string words(const Terminal& terminal) const
    {
        return terminalWords(terminal, study_.pins);
    }
    [[nodiscard]] std::string wordsOf(const std::vector<Terminal>& terminals) const
    {
        std::vector<std::string> all;
        all.reserve(terminals.size());
        for (const Terminal& terminal : terminals) {
            all.push_back(words(terminal));
        }
        return fmt::format("{}", fmt::join(all, " or "));
    }
    // Where the meter goes: a terminal, or a wire's end that is not landed on it yet.
    [[nodiscard]] std::string meterPoint(const Terminal& terminal) const;
    void writeParts();
    void writeFound();
    void writeFoundStart();
    void writeRow(const char* what, const std::string& found, const std::string& wanted);
    void writeProtector(const WiredStart& found);
    void writeHeating(const char* winding, const std::optional<HeatingTime>& time);
    void writeSteps(WiringStage stage);
    void writeProof();
    void writeLandings();

    const Case& input_;
    const WiringStudy& study_;
    const FoundStartAnswer& found_;
    Prose& page_;
    int number_ = 0;
};

std::string WiringPage::meterPoint(const Terminal& terminal) const
{
    for (const WiringStep& step : study_.plan.steps) {
        if (step.farEndLater && (step.wire.from == terminal || step.wire.to == terminal)) {
            return fmt::format("the free end meant for {}", words(terminal));
        }
    }
    return words(terminal);
}

void WiringPage::writeParts()
{
    page_.heading("Parts");
    for (const CircuitPart& part : study_.circuit.parts) {
        const CatalogPart* entry = catalogPartOf(input_, part.kind);
        if (entry != nullptr) {
            page_.paragraph(
                fmt::format("{}: {} ({})", partWords(part.id), entry->id, ratingText(entry->data)),
                2, 4);
            if (std::holds_alternative<CurrentRelay>(entry->data)) {
                page_.paragraph(
                    "Mount it upright as marked: gravity opens its contact (common practice, no "
                    "source).",
                    4, 2);
            }
            const auto* start = std::get_if<StartCapacitor>(&entry->data);
            if (start != nullptr && start->pair) {
                page_.paragraph(fmt::format("These are two parts, {}: {}.", pairWords(*start->pair),
                                            pairWiring(*start->pair)),
                                4, 2);
            }
        }
    }
    if (study_.circuit.find(PartKind::protector) == nullptr) {
        if (const CatalogPart* entry = catalogPartOf(input_, PartKind::protector)) {
            page_.paragraph(fmt::format("overload protector: {} ({}; it has no wires)", entry->id,
                                        ratingText(entry->data)),
                            2, 4);
        }
    }
}

void WiringPage::writeFound()
{
    const FoundWiringStudy& found = *study_.found;
    const WireComparison& comparison = found.comparison;
    page_.heading("As found");
    if (found.isRight()) {
        page_.paragraph(comparison.linesExchanged
                            ? "[?] Right but for the supply's two lines, which are exchanged: the "
                              "motor runs the same, but where one line is a neutral, thermostat "
                              "and protector stand in the wrong one."
                            : "[ok] The wires found connect what they should, by whatever route.",
                        2, 4, comparison.linesExchanged ? Shade::yellow : Shade::green);
        return;
    }
    page_.paragraph("[FAIL] The wires found are not right. Do not power it as it is.", 2, 7,
                    Shade::red);
    // What means the same is said once.
    std::vector<std::pair<std::string, std::string>> said;
    for (const WiringFault& fault : found.faults) {
        const auto same = std::find_if(said.begin(), said.end(), [&fault](const auto& each) {
            return each.second == fault.meaning;
        });
        if (same == said.end()) {
            said.emplace_back(fault.finding, fault.meaning);
        } else {
            same->first += "; " + fault.finding;
        }
    }
    for (const auto& [findings, meaning] : said) {
        page_.paragraph(fmt::format("! {}. {}", findings, meaning), 4, 2);
    }
    for (const NetDifference& difference : comparison.joined) {
        page_.paragraph("- " + joinedSentence(difference), 4, 2);
    }
    for (const NetDifference& difference : comparison.apart) {
        page_.paragraph("- " + apartSentence(difference), 4, 2);
    }
    writeFoundStart();
    page_.paragraph("What puts it right, with the fewest changes, one after the other:", 2);
    std::set<std::size_t> done;
    for (std::size_t i = 0; i < comparison.moves.size(); ++i) {
        if (done.count(i) != 0) {
            continue;
        }
        const auto exchange = std::find_if(comparison.exchanges.begin(), comparison.exchanges.end(),
                                           [i](const auto& pair) { return pair.first == i; });
        if (exchange == comparison.exchanges.end()) {
            page_.paragraph("[ ] " + moveSentence(comparison.moves[i]), 4, 4);
            continue;
        }
        done.insert(exchange->second);
        page_.paragraph(
            "[ ] " + exchangeSentence(comparison.moves[i], comparison.moves[exchange->second]), 4,
            4);
    }
}

void WiringPage::writeRow(const char* what, const std::string& found, const std::string& wanted)
{
    page_.line(fmt::format("    {:<30}{:<18}{}", what, found, wanted));
}

void WiringPage::writeHeating(const char* winding, const std::optional<HeatingTime>& time)
{
    if (time) {
        page_.paragraph(
            fmt::format("! the {} winding goes from 25 to 150 degC in {} to {} if "
                        "nothing switches it off (by {})",
                        winding, withUnit(time->thin_s, "s", 2), withUnit(time->thick_s, "s", 2),
                        time->thin_s == time->thick_s
                            ? "the wire given in the case"
                            : "the wire that such motors have, which is assumed"),
            4, 2);
    }
}

// Whether the protector is in time for the winding that is hot first.
void WiringPage::writeProtector(const WiredStart& found)
{
    if (!found.main && !found.auxiliary) {
        return;
    }
    if (!found.protectorOpens_s) {
        page_.paragraph("no overload protector is in the way of the current", 4, 2);
        return;
    }
    const Range& opens_s = *found.protectorOpens_s;
    if (std::isinf(opens_s.minimum)) {
        page_.paragraph("! the overload protector never opens at these amps: it saves nothing", 4,
                        2);
        return;
    }
    double hotAtFirst_s = opens_s.maximum;
    double hotAtLast_s = std::numeric_limits<double>::infinity();
    for (const std::optional<HeatingTime>& time : {found.main, found.auxiliary}) {
        if (time) {
            hotAtFirst_s = std::min(hotAtFirst_s, time->thin_s);
            hotAtLast_s = std::min(hotAtLast_s, time->thick_s);
        }
    }
    page_.paragraph(
        fmt::format("the overload protector opens after {} to {}: {}",
                    withUnit(opens_s.minimum, "s", 2), withUnit(opens_s.maximum, "s", 2),
                    opens_s.maximum <= hotAtFirst_s
                        ? "before that, so it may save the windings, once or twice"
                    : opens_s.minimum > hotAtLast_s ? "too late for the windings"
                                                    : "whether in time is not decided"),
        4, 2);
}

void WiringPage::writeFoundStart()
{
    if (!found_.start) {
        if (!found_.whyNot.empty()) {
            page_.paragraph("What it does as it is wired is not simulated: " + found_.whyNot, 2);
        }
        return;
    }
    const FoundStart& start = *found_.start;
    const auto does = [](const WiredStart& each) {
        return each.starts()
                   ? fmt::format("yes, {}", withUnit(*each.measured.timeToSpeed_s, "s", 2))
               : each.turnsBackwards()                ? std::string("turns BACKWARDS")
               : each.measured.speedAtEnd_ratio > 0.1 ? std::string("stays slow")
                                                      : std::string("no, stands still");
    };
    const auto value = [](const std::optional<double>& number, const char* unit) {
        return number ? withUnit(*number, unit) : std::string("-");
    };
    page_.paragraph(fmt::format("What it does as it is wired, simulated with the most probable "
                                "motor, rated volts, cold, for {} at the most:",
                                withUnit(start.watched_s, "s")),
                    2);
    const StartMeasurement& found = start.asFound.measured;
    const StartMeasurement& wanted = start.asItShouldBe.measured;
    writeRow("", "as found", "as it should be");
    writeRow("starts", does(start.asFound), does(start.asItShouldBe));
    writeRow("line amps at standstill", value(found.lineStalled_A, "A"),
             value(wanted.lineStalled_A, "A"));
    writeRow("line amps at the end", value(found.lineRunning_A, "A"),
             value(wanted.lineRunning_A, "A"));
    writeRow("volts S-C at the end", value(found.startWindingRunning_V, "V"),
             value(wanted.startWindingRunning_V, "V"));
    writeHeating("run", start.asFound.main);
    writeHeating("start", start.asFound.auxiliary);
    if (start.asFound.starts()) {
        page_.paragraph(std::string(startsThoughWrong), 4, 2);
    }
    writeProtector(start.asFound);
    if (!start.leftOut.empty()) {
        page_.paragraph(fmt::format("not simulated, since no current reaches it: {}",
                                    fmt::join(start.leftOut, ", ")),
                        4, 2);
    }
}

void WiringPage::writeSteps(WiringStage stage)
{
    for (const WiringStep& step : study_.plan.steps) {
        if (step.stage != stage) {
            continue;
        }
        page_.paragraph(fmt::format("[ ] {:>2}  {}  to  {}", ++number_, words(step.wire.from),
                                    words(step.wire.to)),
                        2, 8);
        for (const auto& [end, others] : {std::pair(&step.wire.from, &step.fromMayBe),
                                          std::pair(&step.wire.to, &step.toMayBe)}) {
            if (!others->empty()) {
                page_.paragraph(fmt::format("in place of {} also: {} (the same point)", words(*end),
                                            wordsOf(*others)),
                                10, 2);
            }
        }
        if (step.farEndLater) {
            const bool pinIsFrom =
                study_.circuit.find(step.wire.from.part)->kind == PartKind::compressor;
            page_.paragraph(fmt::format("land it on the compressor only; leave its end at {} off "
                                        "until the proof below has passed",
                                        words(pinIsFrom ? step.wire.to : step.wire.from)),
                            10, 2);
        }
    }
}

void WiringPage::writeLandings()
{
    const ColdProof& proof = *study_.proof;
    page_.paragraph("If they read otherwise, the wires are not where they are meant to be:", 2);
    page_.line(fmt::format("    {:>10}  {:>10}  {}", "first", "second", "then"));
    for (const WireLanding& landing : proof.landings) {
        page_.line(fmt::format("    {:>10}  {:>10}  {}", withUnit(landing.runToCommon_ohm, "ohm"),
                               withUnit(landing.startToCommon_ohm, "ohm"), landing.name));
    }
    page_.paragraph(
        "open in either: a wire is off, a winding or the protector is open; near 0: "
        "two wires touch. Stop and find it.",
        4);
    for (const std::string& pair : proof.notToldApart) {
        page_.paragraph("! " + pair, 4, 2, Shade::yellow);
    }
    if (!proof.correctIsProved) {
        page_.paragraph(
            "! These windings are too alike for this meter: the readings cannot prove "
            "the wiring. Follow each wire by eye or ring it out, end to end.",
            4, 2, Shade::red);
    }
}

void WiringPage::writeProof()
{
    page_.heading("Prove it cold, before any supply wire is on");
    page_.paragraph(
        "Supply locked out, capacitors discharged, meter on its lowest ohms; short its "
        "leads together first and take what they show off each reading.",
        2);
    const WiringPlan& plan = study_.plan;
    if (!study_.proof) {
        page_.paragraph(
            "The three readings of the windings are not in the case: read R-C and S-C "
            "at the pins first. At the wires' far ends the same two must show.",
            2, 0, Shade::yellow);
        page_.paragraph(fmt::format("[ ]  {}  to  {}: as R-C at the pins", meterPoint(plan.runEnd),
                                    meterPoint(plan.commonEnd)),
                        2, 8);
        page_.paragraph(fmt::format("[ ]  {}  to  {}: as S-C at the pins",
                                    meterPoint(plan.startEnd), meterPoint(plan.commonEnd)),
                        2, 8);
        return;
    }
    page_.paragraph(
        fmt::format("[ ] first:   {}  to  {}: {}", meterPoint(plan.runEnd),
                    meterPoint(plan.commonEnd), withUnit(study_.runToCommon_ohm, "ohm")),
        2, 8);
    page_.paragraph(
        fmt::format("[ ] second:  {}  to  {}: {}", meterPoint(plan.startEnd),
                    meterPoint(plan.commonEnd), withUnit(study_.startToCommon_ohm, "ohm")),
        2, 8);
    page_.paragraph(
        study_.proofFromCircuit
            ? fmt::format("computed from the case's equivalent circuit, at {:.0f} degC",
                          input_.compressor.equivalentCircuit->resistanceTemperature_degC)
            : fmt::format(
                  "estimated from the readings at the pins, windings at {:.0f} degC; copper "
                  "reads 0.4 % more each degree warmer",
                  input_.compressor.readings->windingTemperature_degC),
        4);
    page_.blank();
    writeLandings();
}

void WiringPage::write()
{
    const Circuit& circuit = study_.circuit;
    if (study_.found) {
        writeFound();
        page_.blank();
    }
    writeParts();
    page_.blank();
    page_.heading("Before any wire");
    page_.paragraph(
        "[ ]     supply locked out, all wires off the pins: each pin to the bare shell with the "
        "insulation tester (250 or 500 V DC), never under vacuum",
        2, 8);
    page_.blank();
    page_.heading("Wires: tick each as you land it");
    writeSteps(WiringStage::startCircuit);
    page_.paragraph(
        "Each line is one wire. Colours are no evidence: go by terminals. Both ends of "
        "a capacitor of one section are alike; a mark on one end of a run capacitor "
        "goes to the line side (common practice, no source).",
        2);
    page_.blank();
    writeProof();
    page_.blank();
    page_.heading("Then, the supply last");
    if (study_.windings.health.safe.answer == EnergiseAnswer::no) {
        page_.paragraph("! NOT BEFORE THIS IS CURED: " + study_.windings.health.safe.why, 2, 2,
                        Shade::red);
    } else if (study_.windings.health.safe.answer == EnergiseAnswer::notKnown) {
        page_.paragraph(
            "! NOT YET: wire and prove it cold, but leave the supply off until it is known "
            "whether it may be energised.",
            2, 2, Shade::yellow);
    }
    writeSteps(WiringStage::afterProof);
    for (const WiringStep& step : study_.plan.steps) {
        if (step.farEndLater) {
            page_.paragraph(fmt::format("[ ]     the end left off: {}  to  {}",
                                        words(step.wire.from), words(step.wire.to)),
                            2, 8);
        }
    }
    writeSteps(WiringStage::feed);
    if (study_.proof && std::isfinite(study_.acrossSupply_ohm)) {
        const bool hasFan = circuit.find(PartKind::condenserFan) != nullptr ||
                            circuit.find(PartKind::capacitorFan) != nullptr;
        page_.paragraph(
            fmt::format(
                "[ ]     L1 to L2 at the load side of the disconnect, still locked out, thermostat "
                "closed{}: {}{}",
                circuit.find(PartKind::contactor) != nullptr ? " and contactor held in" : "",
                withUnit(study_.acrossSupply_ohm, "ohm"),
                hasFan ? ", or a little less with the fan beside it" : ""),
            2, 8);
    }
    page_.paragraph("[ ]     earth wire tight", 2, 8);
    page_.paragraph(
        "[ ]     terminal cover on; first attempt 3 s at the most, clamp meter on the "
        "C lead",
        2, 8);
}

}  // namespace

void writeWiring(Prose& page, const Case& input, const WiringStudy& study,
                 const FoundStartAnswer& found)
{
    WiringPage(page, input, study, found).write();
}

std::string wiringText(const Case& input, const WiringStudy& study, const FoundStartAnswer& found,
                       const TextStyle& style)
{
    TextPage page(style.colour, style.width);
    page.heading(fmt::format("{}{}", input.name, input.invented ? " (INVENTED demo data)" : ""));
    page.paragraph(fmt::format("{}: {}", study.circuit.type, study.circuit.description));
    if (study.windings.identification) {
        page.paragraph(study.windings.identification->answer, 0, 0, Shade::bold);
    }
    if (study.windings.health.safe.answer == EnergiseAnswer::no) {
        page.paragraph("DO NOT ENERGISE: " + study.windings.health.safe.why, 0, 0, Shade::red);
    } else if (study.windings.health.safe.answer == EnergiseAnswer::notKnown) {
        page.paragraph(
            "Whether it may be energised is not known. " + study.windings.health.safe.why, 0, 0,
            Shade::yellow);
    }
    page.blank();
    page.heading("Before you touch or power anything");
    writeCautions(page);
    page.blank();
    writeWiring(page, input, study, found);
    return page.text();
}

}  // namespace splitstart
