#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <limits>
#include <map>
#include <set>

#include "case/text.h"
#include "motor/health_findings.h"
#include "motor/identification_text.h"

namespace splitstart
{

namespace
{

// Above this shell temperature an open reading may be the protector (120 F, a service manual's
// rule).
constexpr double coolShell_degC = 49;

// A run winding's resistance is about 0.16 to 0.7 of the whole locked-rotor impedance V / LRA
// (common practice, no source); below this share it is not a run winding of that compressor.
constexpr double leastShareOfImpedance_ratio = 0.1;

// Least resistance of a sound run winding of that nameplate; empty when the plate does not say.
std::optional<double> leastRun_ohm(const Nameplate& plate)
{
    if (!plate.voltage_V || !plate.lockedRotor_A || !(*plate.lockedRotor_A > 0)) {
        return std::nullopt;
    }
    return leastShareOfImpedance_ratio * *plate.voltage_V / *plate.lockedRotor_A;
}

double lowestShown_ohm(const Identification& identification)
{
    double lowest_ohm = std::numeric_limits<double>::infinity();
    for (const PairReading& pair : identification.pairs) {
        lowest_ohm = std::min(lowest_ohm, pair.shown_ohm);
    }
    return lowest_ohm;
}

const char* const beforeCondemning =
    "Before condemning the compressor: let the shell cool below 49 degC, for hours if need be, "
    "scrape "
    "the pins bright, touch the meter leads together to prove them, and read again.";

std::vector<std::string> handlingCautions()
{
    return {cautions::lockOut, cautions::discharge, cautions::standAside};
}

// 'C', 'S' or 'R' by the diagram, or when the three labels are those letters; 0 otherwise.
char roleOfLabel(const Identification& identification, const std::string& pin)
{
    if (identification.diagram) {
        const KnownPins& diagram = *identification.diagram;
        return pin == diagram.common ? 'C' : pin == diagram.start ? 'S' : 'R';
    }
    std::set<char> roles;
    for (const PairReading& pair : identification.pairs) {
        for (const std::string& label : {pair.pinA, pair.pinB}) {
            if (label.size() != 1) {
                return 0;
            }
            roles.insert(static_cast<char>(std::toupper(static_cast<unsigned char>(label[0]))));
        }
    }
    return roles == std::set<char>{'C', 'R', 'S'}
               ? static_cast<char>(std::toupper(static_cast<unsigned char>(pin[0])))
               : '\0';
}

// "C", or "C (pin A)" where the diagram says so.
std::string openPinInWords(const Identification& identification)
{
    const std::string& pin = identification.open.pin;
    const std::string role(1, roleOfLabel(identification, pin));
    return identification.diagram && pin != role ? fmt::format("{} (pin {})", role, pin) : role;
}

std::string shellTemperatureInWords(const Readings& readings)
{
    if (!readings.windingTemperatureGiven) {
        return " The shell's temperature was not given: is it hot?";
    }
    return readings.windingTemperature_degC >= coolShell_degC
               ? fmt::format(" At {:.0f} degC the shell is too hot to judge.",
                             readings.windingTemperature_degC)
               : fmt::format(
                     " The shell is at {:.0f} degC; the protector inside can take hours longer "
                     "to close.",
                     readings.windingTemperature_degC);
}

HealthFinding protectorOpen(const Identification& identification, const Readings& readings)
{
    return {
        "protector-open", HealthVerdict::undecided,
        fmt::format("{} is open to both others and S-R reads {}: the internal protector has "
                    "opened. Both windings broken at once is rare.",
                    openPinInWords(identification), ohmsInWords(identification.open.others_ohm)) +
            shellTemperatureInWords(readings),
        "Wait until the shell is cool, minutes to hours, with power locked out, and read again. Do "
        "not condemn the compressor. When it has closed, find out why it opened: volts, "
        "capacitors, "
        "relay, airflow, charge.",
        handlingCautions()};
}

HealthFinding windingOpen(const Identification& identification, bool start)
{
    return {start ? "start-winding-open" : "run-winding-open", HealthVerdict::fail,
            fmt::format(
                "{} is open to both others and the rest reads {}: the {} winding is open, if the "
                "{} right.",
                openPinInWords(identification), ohmsInWords(identification.open.others_ohm),
                start ? "start" : "run",
                identification.diagram ? "diagram was read" : "labels C, S and R are"),
            std::string(
                "Check the labels against the nameplate's diagram: were this pin C, it would be "
                "the internal protector, and the compressor may be sound. ") +
                beforeCondemning + " If it stays open, the compressor is to be replaced.",
            handlingCautions()};
}

HealthFinding onePinOpen(const Identification& identification, const Readings& readings)
{
    switch (roleOfLabel(identification, identification.open.pin)) {
        case 'C':
            return protectorOpen(identification, readings);
        case 'S':
            return windingOpen(identification, true);
        case 'R':
            return windingOpen(identification, false);
        default:
            break;
    }
    return {
        "one-pin-open", HealthVerdict::undecided,
        fmt::format("Pin {0} is open to both others, which read {1} between them. If {0} is C, the "
                    "internal protector has opened (the usual case with a hot shell). If {0} is S, "
                    "the start winding is open. If {0} is R, the run winding is open.",
                    identification.open.pin, ohmsInWords(identification.open.others_ohm)) +
            shellTemperatureInWords(readings),
        std::string("Which pin is C stands on the nameplate's diagram. ") + beforeCondemning,
        handlingCautions()};
}

HealthFinding contradictoryOpen()
{
    return {"contradictory-open", HealthVerdict::undecided,
            "One pair reads open although the way round through the third pin conducts.",
            "Scrape the pins bright, press the probes hard, and read all three pairs again.",
            handlingCautions()};
}

HealthFinding allOpen(const Readings& readings)
{
    return {
        "all-open", HealthVerdict::fail,
        "All three pairs read open: windings or their leads are broken in two places, or the meter "
        "does not reach them." +
            shellTemperatureInWords(readings),
        std::string(beforeCondemning) + " If all stay open, the compressor is to be replaced.",
        handlingCautions()};
}

HealthFinding zeroReading(const Identification& identification)
{
    return {
        "zero-reading", HealthVerdict::fail,
        fmt::format("{} reads zero: a dead short, or the meter is on a wrong range.",
                    identification.lowestPair),
        "Touch the meter leads together (near zero) and apart (open) to prove the meter, take all "
        "wires off the pins, read again on the lowest ohm range. If it stays zero, the winding is "
        "shorted and the compressor is to be replaced.",
        handlingCautions()};
}

HealthFinding belowLead(const Identification& identification)
{
    return {
        "reading-below-leads", HealthVerdict::undecided,
        fmt::format("{} reads less than the meter leads alone: after subtracting them it is below "
                    "zero.",
                    identification.lowestPair),
        "Short the meter leads together and read them. If the meter was zeroed on its leads, give "
        "0 "
        "for the leads. Then read again.",
        handlingCautions()};
}

HealthFinding shorted(const Compressor& compressor, const Identification& identification)
{
    const std::optional<double> least_ohm = leastRun_ohm(compressor.nameplate);
    const std::string size =
        least_ohm ? fmt::format("By its nameplate even the run winding has at least about {}.",
                                ohmsInWords(*least_ohm))
                  : std::string(
                        "How low a sound winding can be is a guess while the compressor's size "
                        "is not known; the run winding of 5 hp has about 0.3 ohm (common "
                        "practice, no source).");
    return {
        "shorted-winding", HealthVerdict::fail,
        fmt::format("{} reads {}: a short inside, or wires still on the pins. ",
                    identification.lowestPair, ohmsInWords(lowestShown_ohm(identification))) +
            size,
        "Take all wires off the pins, zero the meter on its shorted leads, read again, best with a "
        "four-wire milliohm meter. If it stays, the compressor is to be replaced.",
        handlingCautions()};
}

HealthFinding threeEqual()
{
    return {
        "three-equal-windings",
        HealthVerdict::fail,
        "All three readings are equal: a three-phase or inverter-driven compressor, not a "
        "single-phase one.",
        "Read phase and volts on the nameplate. It needs its own drive or a three-phase supply.",
        {"Never connect it to single-phase mains, with or without capacitors.", cautions::lockOut}};
}

HealthFinding sumRuleViolated(const Identification& identification)
{
    std::string shown;
    for (const PairReading& pair : identification.pairs) {
        shown += fmt::format("{}{}-{} {}", shown.empty() ? "" : ", ", pair.pinA, pair.pinB,
                             ohmsInWords(pair.shown_ohm));
    }
    return {
        "sum-rule", HealthVerdict::undecided,
        fmt::format("{}: in a two-winding motor the highest reading is the sum of the other two, "
                    "which no reading here is.",
                    shown),
        "Nothing is broken by this alone. Take all wires off the pins, scrape them bright, zero "
        "the "
        "meter on its shorted leads, let the shell settle, and read all three pairs again. If all "
        "three then read within a tenth of one another, it may be a three-phase or inverter-driven "
        "compressor: see the "
        "nameplate.",
        handlingCautions()};
}

HealthFinding pinsContradict(const Identification& identification)
{
    return {"pins-contradict", HealthVerdict::fail, describeContradiction(identification),
            "Do not wire it yet. Look at the labels on the pins and at the diagram once more, both "
            "held the same way up; is it the diagram of this compressor? Then take all wires off "
            "the pins, scrape them bright, zero the meter on its shorted leads, and read all three "
            "pairs again. While they disagree, go by neither.",
            handlingCautions()};
}

// The run winding against the nameplate's locked-rotor impedance, or against a bare rule of thumb.
std::optional<HealthFinding> lowWinding(const Compressor& compressor,
                                        const Identification& identification)
{
    const double run_ohm = identification.run_ohm.value;
    const Nameplate& plate = compressor.nameplate;
    const std::string next =
        "Zero the meter on its shorted leads and read again, best with a four-wire milliohm meter. "
        "Compare with the maker's published resistance: 10 % below it, at the same temperature, is "
        "suspect.";
    if (const std::optional<double> least_ohm = leastRun_ohm(plate)) {
        if (run_ohm >= *least_ohm) {
            return std::nullopt;
        }
        const bool sure = run_ohm * (1 + identification.run_ohm.accuracy_ratio) < *least_ohm;
        return HealthFinding{
            "low-winding", sure ? HealthVerdict::fail : HealthVerdict::undecided,
            fmt::format(
                "The run winding reads {}, but a motor of {:.0f} V and {:.0f} A locked rotor has "
                "at least about {}: shorted turns, or the nameplate of another compressor.",
                ohmsInWords(run_ohm), *plate.voltage_V, *plate.lockedRotor_A,
                ohmsInWords(*least_ohm)),
            next, handlingCautions()};
    }
    if (run_ohm >= IdentifyAssumptions{}.lowWinding_ohm) {
        return std::nullopt;
    }
    return HealthFinding{
        "low-winding", HealthVerdict::undecided,
        fmt::format(
            "The run winding reads {}, less than that of a 5 hp motor. That it has shorted turns "
            "is a guess: the compressor's size is not known, and meter leads weigh as much.",
            ohmsInWords(run_ohm)),
        next + " Give the nameplate's volts and locked-rotor amps.", handlingCautions()};
}

// Above any winding of a single-phase compressor: a small 230 V refrigerator has some 40 ohm in its
// run winding and 100 in its start winding (common practice, no source).
std::optional<HealthFinding> highWinding(const Identification& identification)
{
    constexpr double highestRun_ohm = 120;
    constexpr double highestStart_ohm = 300;
    const double run_ohm = identification.run_ohm.value;
    const double start_ohm = identification.start_ohm.value;
    if (run_ohm <= highestRun_ohm && start_ohm <= highestStart_ohm) {
        return std::nullopt;
    }
    return HealthFinding{
        "high-winding", HealthVerdict::undecided,
        fmt::format(
            "The windings read {} (run) and {} (start): more than any compressor winding of "
            "this kind has.",
            ohmsInWords(run_ohm), ohmsInWords(start_ohm)),
        "Look at the meter's range and its unit, scrape the pins bright, and read again. If it "
        "stays, "
        "a strand of the winding or a joint on its pin is broken.",
        handlingCautions()};
}

// A start winding far above the run winding, beyond the 3 to 5 times that is taught.
std::optional<HealthFinding> oddRatio(const Identification& identification)
{
    constexpr double highestRatio = 9;
    const double ratio = identification.start_ohm.value / identification.run_ohm.value;
    if (ratio <= highestRatio) {
        return std::nullopt;
    }
    return HealthFinding{
        "odd-ratio", HealthVerdict::undecided,
        fmt::format(
            "The start winding has {:.0f} times the ohms of the run winding; 3 to 5 times is "
            "usual (common practice, no source).",
            ratio),
        "Scrape the pin of the start winding bright and read again: a bad joint there adds ohms. "
        "If it "
        "stays, a strand of the start winding may be broken, or turns of the run winding shorted.",
        handlingCautions()};
}

// Pins that somebody has already marked C, S and R, against what they read.
std::optional<HealthFinding> labelsDiffer(const Identification& identification)
{
    if (!marksDiffer(identification)) {
        return std::nullopt;
    }
    return HealthFinding{
        "labels-differ", HealthVerdict::undecided,
        fmt::format("The pins are marked C, S and R, but by these readings the one marked {} is "
                    "common, {} is start and {} is run.",
                    identification.pins.at("C"), identification.pins.at("S"),
                    identification.pins.at("R")),
        "Do not wire by the marks or by the readings alone: look at the diagram inside the cover, "
        "read "
        "all three pairs again, and give its pins with the readings.",
        handlingCautions()};
}

void addComplete(std::vector<HealthFinding>& findings, const Compressor& compressor,
                 const Identification& identification)
{
    const bool certain = identification.confidence == Confidence::certain;
    findings.push_back(
        certain ? HealthFinding{"pins-named", HealthVerdict::pass, identification.answer, "", {}}
                : HealthFinding{"pins-named", HealthVerdict::undecided, identification.answer,
                                identification.runnerUp + " " + identification.decidedBy,
                                handlingCautions()});
    const Misfit& misfit = identification.misfit;
    findings.push_back(
        {"sum-rule", misfit.withinMeter ? HealthVerdict::pass : HealthVerdict::undecided,
         misfit.explanation + " The sum rule shows whether the readings are clean, not whether the "
                              "windings are sound.",
         misfit.withinMeter ? ""
                            : "Read again as said, before the ohms are used for more than naming "
                              "the pins.",
         misfit.withinMeter ? std::vector<std::string>{} : handlingCautions()});
    for (const std::optional<HealthFinding>& finding :
         {lowWinding(compressor, identification), highWinding(identification),
          oddRatio(identification), labelsDiffer(identification)}) {
        if (finding) {
            findings.push_back(*finding);
        }
    }
}

}  // namespace

std::vector<HealthFinding> windingFindings(const Compressor& compressor,
                                           const Identification& identification)
{
    const Readings readings = compressor.readings.value_or(Readings{});
    std::vector<HealthFinding> findings;
    if (contradictsDiagram(identification)) {
        findings.push_back(pinsContradict(identification));
    }
    switch (identification.pattern) {
        case ReadingPattern::complete:
            addComplete(findings, compressor, identification);
            break;
        case ReadingPattern::threeEqual:
            findings.push_back(threeEqual());
            break;
        case ReadingPattern::sumRuleViolated:
            findings.push_back(sumRuleViolated(identification));
            break;
        case ReadingPattern::contradictsDiagram:
            break;
        case ReadingPattern::onePinOpen:
            findings.push_back(onePinOpen(identification, readings));
            break;
        case ReadingPattern::oneReadingOpen:
            findings.push_back(contradictoryOpen());
            break;
        case ReadingPattern::allOpen:
            findings.push_back(allOpen(readings));
            break;
        case ReadingPattern::zeroReading:
            findings.push_back(zeroReading(identification));
            break;
        case ReadingPattern::shorted:
            findings.push_back(shorted(compressor, identification));
            break;
        case ReadingPattern::belowLead:
            findings.push_back(belowLead(identification));
            break;
    }
    return findings;
}

}  // namespace splitstart
