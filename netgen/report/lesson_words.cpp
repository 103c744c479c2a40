#include "report/lesson_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <stdexcept>

#include "report/number_text.h"

namespace splitstart
{

namespace
{

const char* const fitzgerald =
    "A. E. Fitzgerald, C. Kingsley, S. D. Umans, Electric Machinery, chapter on single- and "
    "two-phase motors (from memory)";
const char* const veinott =
    "C. G. Veinott, Theory and Design of Small Induction Motors, chapters on split-phase and "
    "capacitor motors (from memory)";
const char* const chapman =
    "S. J. Chapman, Electric Machinery Fundamentals, chapter on single-phase and special-purpose "
    "motors (from memory)";

// MathML as text; whoever reads it here needs nothing but the names.
constexpr std::string_view phaseShiftFormula =
    "<msub><mi>T</mi><mi>start</mi></msub><mo>=</mo>"
    "<mfrac><mrow><mn>2</mn><mi>n</mi><mi>R</mi></mrow><msub><mi>ω</mi><mi>sync</mi></msub></mfrac>"
    "<msub><mi>I</mi><mi>run</mi></msub><msub><mi>I</mi><mi>start</mi></msub>"
    "<mi>sin</mi><mi>α</mi>";
constexpr std::string_view twoFieldsFormula =
    "<mi>T</mi><mo>=</mo>"
    "<mfrac><msup><mi>I</mi><mn>2</mn></msup><mrow><mn>2</mn><msub><mi>ω</mi><mi>sync</mi></msub>"
    "</mrow></mfrac><mo>(</mo><mi>R</mi><mo>(</mo><mi>s</mi><mo>)</mo><mo>-</mo>"
    "<mi>R</mi><mo>(</mo><mn>2</mn><mo>-</mo><mi>s</mi><mo>)</mo><mo>)</mo>";
constexpr std::string_view relayFormula =
    "<msub><mi>V</mi><mi>SC</mi></msub><mo>=</mo><mfrac><mi>n</mi><mn>2</mn></mfrac><mi>I</mi>"
    "<mo>|</mo><mi>Z</mi><mo>(</mo><mi>s</mi><mo>)</mo><mo>-</mo>"
    "<mi>Z</mi><mo>(</mo><mn>2</mn><mo>-</mo><mi>s</mi><mo>)</mo><mo>|</mo>";
constexpr std::string_view sizeFormula =
    "<msub><mi>X</mi><mi>start</mi></msub><mo>-</mo>"
    "<mfrac><mn>1</mn><mrow><mi>ω</mi><mi>C</mi></mrow></mfrac><mo>=</mo><mo>-</mo>"
    "<mfrac><mrow><msub><mi>R</mi><mi>start</mi></msub><msub><mi>R</mi><mi>run</mi></msub></mrow>"
    "<mrow><msub><mi>X</mi><mi>run</mi></msub><mo>+</mo><mo>|</mo><msub><mi>Z</mi><mi>run</mi>"
    "</msub><mo>|</mo></mrow></mfrac>";
constexpr std::string_view pulsationFormula =
    "<msub><mi>T</mi><mrow><mn>2</mn><mi>f</mi></mrow></msub><mo>=</mo>"
    "<mfrac><mn>2</mn><msub><mi>ω</mi><mi>sync</mi></msub></mfrac>"
    "<msub><mi>I</mi><mi>f</mi></msub><msub><mi>I</mi><mi>b</mi></msub>"
    "<mo>|</mo><mi>Z</mi><mo>(</mo><mi>s</mi><mo>)</mo><mo>-</mo>"
    "<mi>Z</mi><mo>(</mo><mn>2</mn><mo>-</mo><mi>s</mi><mo>)</mo><mo>|</mo>";
constexpr std::string_view standstillFormula =
    "<mi>I</mi><mo>=</mo><mfrac><mi>V</mi><mrow><mo>|</mo><msub><mi>Z</mi><mi>line</mi></msub>"
    "<mo>+</mo><msub><mi>Z</mi><mi>run</mi></msub><mo>+</mo><mi>Z</mi><mo>(</mo><mn>1</mn>"
    "<mo>)</mo><mo>|</mo></mrow></mfrac>";

// The number with its unit, or that word.
std::string said(const std::optional<double>& number, std::string_view unit,
                 const char* otherwise = "never")
{
    return number ? withUnit(*number, unit) : otherwise;
}

const std::string& label(const Lesson& lesson, std::size_t position)
{
    return lesson.positions.at(position).label;
}

double value(const Lesson& lesson, std::size_t position, std::string_view column)
{
    return lesson.number(position, column).value_or(0);
}

// The position whose number in that column is nearest to the one wanted.
std::size_t nearestTo(const Lesson& lesson, std::string_view column, double wanted)
{
    std::size_t best = 0;
    for (std::size_t i = 1; i < lesson.positions.size(); ++i) {
        if (std::abs(value(lesson, i, column) - wanted) <
            std::abs(value(lesson, best, column) - wanted)) {
            best = i;
        }
    }
    return best;
}

LessonWords phaseShift(const Lesson& lesson)
{
    LessonWords words;
    words.title = "The start capacitor turns the start current ahead";
    words.sees =
        "The motor stands still with its start circuit in. Each position of the slider has another "
        "start capacitor. The run current lags behind the line's volts; the capacitor turns the "
        "start current ahead of it. Torque needs both: amps, and an angle between them. Torque at "
        "standstill alone does not choose a capacitor: `splitstart check` does. Press Turn to see "
        "the arrows turn and the same sines pass by.";
    words.formula = phaseShiftFormula;
    words.formulaText = "T start = (2 n R / w_sync) times I run times I start times sin(alpha)";
    words.symbols = {
        {"T start", "torque at standstill, N m"},
        {"I run, I start", "amps in the run and the start winding, rms"},
        {"α", "angle by which the start current leads the run current"},
        {"n", "turns of the start winding over those of the run winding"},
        {"R", "resistance behind the air gap at standstill, seen from the run winding, ohm"},
        {"ω sync, w_sync", "synchronous speed, rad/s"},
    };
    words.books = {fitzgerald, chapman, veinott};
    const std::size_t top = lesson.largest("torque_nm");
    const std::size_t square = nearestTo(lesson, "angle_deg", 90);
    words.question =
        "Which of these capacitors gives the most torque at standstill? Is it the one "
        "whose angle is nearest to 90 degrees?";
    words.answer = fmt::format(
        "{}, with {} at {:.0f} degrees. Nearest to 90 degrees is {} with {:.0f} degrees",
        label(lesson, top), withUnit(value(lesson, top, "torque_nm"), "N m"),
        value(lesson, top, "angle_deg"), label(lesson, square), value(lesson, square, "angle_deg"));
    words.answer +=
        top == square
            ? ": here it is the same."
            : fmt::format(
                  ", with {} in the start winding there against {}, and torque goes with the amps "
                  "of both windings times the sine of the angle: {}.",
                  withUnit(value(lesson, square, "auxiliary_a"), "A"),
                  withUnit(value(lesson, top, "auxiliary_a"), "A"),
                  withUnit(value(lesson, square, "torque_nm"), "N m"));
    const std::size_t last = lesson.positions.size() - 1;
    if (top < last && value(lesson, last, "auxiliary_a") > value(lesson, top, "auxiliary_a")) {
        words.answer += " Past the top the sine of the angle shrinks faster than the amps grow.";
    }
    words.answer +=
        " Torque at standstill alone does not choose a capacitor: volts, amps, relay and the whole "
        "start count too, and `splitstart check` weighs them.";
    return words;
}

LessonWords twoFields(const Lesson& lesson)
{
    LessonWords words;
    words.title = "Two revolving fields, and a rotor spun by hand";
    words.sees =
        "A thought experiment: a hermetic compressor's shell is welded, and nobody spins its "
        "rotor. Never open one, never try it. "
        "The start lead is off: only the run winding is fed. Its field does not turn, it swings. A "
        "swinging field is two fields of one size that turn against each other, and each pulls the "
        "rotor its own way. At rest they pull alike. Spin the rotor by hand, either way, and the "
        "field that turns with it grows while the other fades. Each position is the speed to which "
        "it was spun before the power came on.";
    words.formula = twoFieldsFormula;
    words.formulaText = "T = (I squared / (2 w_sync)) times (R(s) - R(2 - s))";
    words.symbols = {
        {"T", "mean torque, N m"},
        {"I", "amps in the run winding, rms"},
        {"s", "slip: 1 at rest, 0 at synchronous speed forward, 2 backward"},
        {"R(s), R(2 - s)",
         "resistance behind the air gap that the forward and the backward field meet, ohm"},
        {"ω sync, w_sync", "synchronous speed, rad/s"},
    };
    words.books = {fitzgerald, chapman, veinott};
    words.question =
        "How fast must the rotor be spun so that it runs up by itself? Does it matter "
        "which way?";
    std::optional<std::size_t> runs;
    std::optional<std::size_t> falls;
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        if (lesson.positions[i].value <= 0) {
            continue;
        }
        if (lesson.number(i, "seconds_to_speed")) {
            runs = runs ? runs : i;
        } else {
            falls = i;
        }
    }
    if (runs && falls) {
        words.answer = fmt::format(
            "Between {} and {} of synchronous speed: at {} it falls back, at {} it is up to speed "
            "after {}. ",
            label(lesson, *falls), label(lesson, *runs), label(lesson, *falls),
            label(lesson, *runs), said(lesson.number(*runs, "seconds_to_speed"), "s"));
    } else if (runs) {
        words.answer = "The smallest push shown here is enough. ";
    } else {
        words.answer = "With this load no push shown here is enough. ";
    }
    words.answer += fmt::format(
        "Either way is the same: at {} the torque is {}, at {} it is {}. At rest it is {}: a motor "
        "whose start circuit is open hums.",
        label(lesson, lesson.positions.size() - 3),
        withUnit(value(lesson, lesson.positions.size() - 3, "torque_nm"), "N m"), label(lesson, 2),
        withUnit(value(lesson, 2, "torque_nm"), "N m"),
        withUnit(std::abs(value(lesson, lesson.standard, "torque_nm")), "N m"));
    return words;
}

// Where a curve first reaches that height.
std::optional<double> reaches(const LessonCurve& curve, double height)
{
    for (std::size_t i = 1; i < curve.x.size(); ++i) {
        if (curve.y[i - 1] < height && curve.y[i] >= height) {
            const double share = (height - curve.y[i - 1]) / (curve.y[i] - curve.y[i - 1]);
            return curve.x[i - 1] + share * (curve.x[i] - curve.x[i - 1]);
        }
    }
    return std::nullopt;
}

// The curve's height there, between its points on a straight line; beyond its ends that of the end.
double heightAt(const LessonCurve& curve, double x)
{
    const auto next = std::lower_bound(curve.x.begin(), curve.x.end(), x);
    if (next == curve.x.begin() || next == curve.x.end()) {
        return next == curve.x.end() ? curve.y.back() : curve.y.front();
    }
    const auto i = static_cast<std::size_t>(next - curve.x.begin());
    const double share = (x - curve.x[i - 1]) / (curve.x[i] - curve.x[i - 1]);
    return curve.y[i - 1] + share * (curve.y[i] - curve.y[i - 1]);
}

// What the coil's volts do then, as the runs say.
std::string whenItOpens(const Lesson& lesson)
{
    const LessonChart& chart = lesson.charts.front();
    const LessonCurve& in = chart.curves.at(0);
    const LessonCurve& out = chart.curves.at(1);
    const std::optional<double> speed = reaches(in, chart.bands.at(0).range.middle());
    if (!speed) {
        return "Here they do not come that far.";
    }
    const double before_V = heightAt(in, *speed);
    const double after_V = heightAt(out, *speed);
    return fmt::format(
        "At that moment they {} from {} to {}, since {}.", after_V < before_V ? "fall" : "rise",
        withUnit(before_V, "V"), withUnit(after_V, "V"),
        lesson.hasRunCapacitor ? "the start capacitor is gone and the run capacitor stays"
                               : "the start capacitor is gone");
}

LessonWords relayOpening(const Lesson& lesson)
{
    LessonWords words;
    words.title = "The start winding's volts rise with speed until the relay opens";
    words.sees =
        "The turning rotor makes volts in the start winding, more the faster it turns. The relay's "
        "coil sees them; at its pick-up volts it opens the start circuit. " +
        whenItOpens(lesson) +
        " What is left must stay above drop-out, or the relay closes again and chatters. Each "
        "position holds the shaft at another speed.";
    words.formula = relayFormula;
    words.formulaText = "V SC = (n / 2) times I times |Z(s) - Z(2 - s)|";
    words.symbols = {
        {"V SC", "volts between S and C with nothing in the start lead"},
        {"I", "amps in the run winding, rms"},
        {"n", "turns of the start winding over those of the run winding"},
        {"Z(s), Z(2 - s)",
         "impedance behind the air gap that the forward and the backward field "
         "meet, ohm"},
        {"s", "slip"},
    };
    words.books = {fitzgerald, veinott};
    words.question =
        "At which speeds do the quickest and the slowest relay of this calibration "
        "open, and does it stay open?";
    const LessonChart& chart = lesson.charts.front();
    const Range pickUp_V = chart.bands.at(0).range;
    const Range dropOut_V = chart.bands.at(1).range;
    const LessonCurve& in = chart.curves.at(0);
    const LessonCurve& out = chart.curves.at(1);
    const std::optional<double> first = reaches(in, pickUp_V.minimum);
    const std::optional<double> last = reaches(in, pickUp_V.maximum);
    const auto percent = [](const std::optional<double>& speed) {
        return speed ? fmt::format("at {:.0f} %", *speed) : std::string("never");
    };
    words.answer = fmt::format(
        "The one that picks up at {} opens {}, the one that needs {} {} of synchronous speed.",
        withUnit(pickUp_V.minimum, "V"), percent(first), withUnit(pickUp_V.maximum, "V"),
        percent(last));
    if (first) {
        const double left_V = heightAt(out, *first);
        words.answer += fmt::format(
            " With the start circuit out there are about {} at that speed; drop-out is {} at the "
            "most: {}.",
            withUnit(left_V, "V"), withUnit(dropOut_V.maximum, "V"),
            left_V > dropOut_V.maximum ? "it stays open" : "some of them close again");
    }
    return words;
}

// When the start circuit leaves, and at which speed: one that leaves near standstill helped nobody.
std::string opening(const Lesson& lesson, std::size_t position)
{
    const std::optional<double> opens_s = lesson.number(position, "contact_opens_s");
    if (!opens_s) {
        return "the start contact never opens";
    }
    const std::optional<double> speed = lesson.number(position, "speed_at_opening_percent");
    return fmt::format("the start contact opens after {}{}", withUnit(*opens_s, "s"),
                       speed ? fmt::format(" at {:.0f} % speed", *speed) : std::string());
}

// What the runs show from small to large, and nothing that they do not.
std::string sizesShow(const Lesson& lesson)
{
    const std::size_t last = lesson.positions.size() - 1;
    const std::size_t top = lesson.largest("locked_torque_nm");
    const auto at = [&lesson](std::size_t i, std::string_view column, std::string_view unit) {
        return withUnit(value(lesson, i, column), unit);
    };
    std::string text = fmt::format(" Torque at standstill is most with {}: {}.", label(lesson, top),
                                   at(top, "locked_torque_nm", "N m"));
    if (top > 0) {
        text +=
            fmt::format(" Smaller ones give less, down to {}.", at(0, "locked_torque_nm", "N m"));
    }
    if (top < last) {
        const bool moreAmps =
            value(lesson, last, "line_stalled_a") > value(lesson, top, "line_stalled_a");
        text += fmt::format(" Larger ones give less again{}: {} at {} from the line.",
                            moreAmps ? ", for more amps" : "", at(last, "locked_torque_nm", "N m"),
                            at(last, "line_stalled_a", "A"));
    }
    std::size_t most = last + 1;
    std::size_t staysIn = 0;
    for (std::size_t i = 0; i <= last; ++i) {
        const std::optional<double> volts = lesson.number(i, "start_capacitor_worst_v");
        if (volts && (most > last || *volts > value(lesson, most, "start_capacitor_worst_v"))) {
            most = i;
        }
        staysIn += lesson.number(i, "contact_opens_s") ? 0 : 1;
    }
    if (most <= last) {
        text += fmt::format(
            " The most volts on the capacitor are with {}: {}, which is {:.0f} % of "
            "its rated volts.",
            label(lesson, most), at(most, "start_capacitor_worst_v", "V"),
            value(lesson, most, "of_rated_volts_percent"));
    }
    if (staysIn > 0 && lesson.startDevice) {
        text +=
            fmt::format(" In {} of the {} positions the {} does not take the start circuit out{}.",
                        staysIn, lesson.positions.size(), partKindInfo(*lesson.startDevice).words,
                        *lesson.startDevice == PartKind::potentialRelay
                            ? ": its coil does not get the volts that it needs"
                            : "");
    }
    return text;
}

LessonWords capacitorSize(const Lesson& lesson)
{
    LessonWords words;
    words.title = "Start capacitors from far too small to far too large";
    words.sees = "Each position is one whole start with another capacitor." + sizesShow(lesson);
    words.formula = sizeFormula;
    words.formulaText = "X start - 1 / (w C) = - R start R run / (X run + |Z run|)";
    words.symbols = {
        {"C", "capacitor that gives the most torque at standstill, F"},
        {"ω, w", "2 pi times line frequency"},
        {"R start, X start",
         "resistance and reactance of the start winding at standstill, rotor "
         "included, ohm"},
        {"R run, X run, Z run", "the same of the run winding"},
    };
    words.books = {fitzgerald, veinott};
    words.question =
        "The right capacitor is not on the shelf, but one of about twice the size is. "
        "What changes?";
    const std::size_t own = lesson.standard;
    std::size_t twice = own;
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const double wanted = 2 * lesson.positions[own].value;
        if (std::abs(lesson.positions[i].value - wanted) <
            std::abs(lesson.positions[twice].value - wanted)) {
            twice = i;
        }
    }
    const auto row = [&lesson](std::size_t i) {
        return fmt::format(
            "{}: {}, {} and {} at standstill, {}, {}", label(lesson, i),
            lesson.number(i, "seconds_to_speed")
                ? "up to speed in " + withUnit(*lesson.number(i, "seconds_to_speed"), "s")
                : std::string("never up to speed"),
            withUnit(value(lesson, i, "locked_torque_nm"), "N m"),
            withUnit(value(lesson, i, "line_stalled_a"), "A"),
            lesson.number(i, "start_capacitor_worst_v")
                ? withUnit(*lesson.number(i, "start_capacitor_worst_v"), "V") + " on the capacitor"
                : std::string("volts on the capacitor not measured"),
            opening(lesson, i));
    };
    const std::optional<double> own_s = lesson.number(own, "seconds_to_speed");
    const std::optional<double> twice_s = lesson.number(twice, "seconds_to_speed");
    const bool isSooner = twice_s && (!own_s || *twice_s < *own_s);
    words.answer = fmt::format(
        "{}. {}. {}", row(own), row(twice),
        isSooner ? fmt::format(
                       "It starts sooner here{}; whether relay, capacitor and supply bear it has "
                       "to be checked.",
                       value(lesson, twice, "line_stalled_a") > value(lesson, own, "line_stalled_a")
                           ? ", for more amps"
                           : "")
                 : std::string("Bigger is not better."));
    return words;
}

// How far the best of these capacitors takes the backward field away, and whether it comes back.
std::string backwardField(const Lesson& lesson)
{
    std::optional<std::size_t> least;
    const auto share = [&lesson](std::size_t i) {
        const LessonFields& fields = *lesson.positions[i].fields;
        return fields.forward > 0 ? fields.backward / fields.forward : 1;
    };
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        if (lesson.positions[i].fields && (!least || share(i) < share(*least))) {
            least = i;
        }
    }
    if (!least) {
        return "";
    }
    return fmt::format(
        " The backward part of the amps is least with {}: {:.0f} % of the forward "
        "part.{}",
        label(lesson, *least), 100 * share(*least),
        *least + 1 < lesson.positions.size() ? " A larger one makes it come back." : "");
}

LessonWords runCapacitor(const Lesson& lesson)
{
    LessonWords words;
    words.title = "Capacitor run against induction run";
    words.sees =
        "The motor runs under the same load in each position. Without a run capacitor the swinging "
        "field drags a backward field along: torque swings at twice line frequency, which is the "
        "hum, and the backward field costs watts. A run capacitor lets the start winding help." +
        backwardField(lesson);
    words.formula = pulsationFormula;
    words.formulaText = "T 2f = (2 / w_sync) times I f times I b times |Z(s) - Z(2 - s)|";
    words.symbols = {
        {"T 2f",
         "amplitude of the torque's swing at twice line frequency, core loss left out, N m"},
        {"I f, I b",
         "parts of the winding amps that turn forward and backward, run winding's "
         "turns, rms"},
        {"Z(s), Z(2 - s)", "impedance behind the air gap that they meet, ohm"},
        {"s", "slip"},
        {"ω sync, w_sync", "synchronous speed, rad/s"},
    };
    words.books = {fitzgerald, veinott, chapman};
    const std::size_t smooth = lesson.smallest("pulsation_nm");
    const std::size_t best = lesson.largest("efficiency_percent");
    words.question =
        "Which of these run capacitors makes the motor run smoothest, and is it the "
        "one with the best efficiency?";
    words.answer = fmt::format(
        "Smoothest: {}, with a swing of {}, against {} for the induction run. Best efficiency: {}, "
        "with {:.1f} % against {:.1f} % for the induction run.",
        label(lesson, smooth), withUnit(value(lesson, smooth, "pulsation_nm"), "N m"),
        withUnit(value(lesson, 0, "pulsation_nm"), "N m"), label(lesson, best),
        value(lesson, best, "efficiency_percent"), value(lesson, 0, "efficiency_percent"));
    words.answer +=
        smooth == best
            ? " Here it is the same one."
            : " They are not the same: the least loss need not be where the swing is least.";
    return words;
}

LessonWords swappedWire(const Lesson& lesson)
{
    LessonWords words;
    words.title = "What one wrong wire does";
    words.sees =
        "The first position is the right wiring. Each of the others has one slip in it: wires on "
        "each other's pins, a wire missing, two ends exchanged. Each in which current flows, and "
        "which is no short, was started as it is in the simulator, where nothing burns. Look at "
        "what the motor does, at the amps over those of "
        "the right wiring, at the winding that gets hot first, and at whether an ohmmeter tells "
        "it before power.";
    words.formula = standstillFormula;
    words.formulaText = "I = V / |Z line + Z run + Z(1)|";
    words.symbols = {
        {"I",
         "amps of the run winding alone, rotor at rest: what a motor draws that hums without "
         "its start circuit"},
        {"V", "volts of the supply"},
        {"Z line", "impedance of the supply, ohm"},
        {"Z run", "resistance and leakage reactance of the run winding, ohm"},
        {"Z(1)", "impedance behind the air gap at standstill, ohm"},
    };
    words.books = {fitzgerald, veinott};
    words.question =
        "Does a clamp on the line tell a wrong wire from the right one? Which slip "
        "draws fewer amps than the right wiring and burns a winding the soonest?";
    std::optional<std::size_t> worst;
    const auto soonest_s = [&lesson](std::size_t i) {
        constexpr double never = 1e9;
        return std::min(lesson.number(i, "main_hot_s").value_or(never),
                        lesson.number(i, "auxiliary_hot_s").value_or(never));
    };
    for (std::size_t i = 1; i < lesson.positions.size(); ++i) {
        const std::optional<double> amps = lesson.number(i, "of_right_amps");
        if (amps && *amps < 1 && soonest_s(i) < 1e9 &&
            (!worst || soonest_s(i) < soonest_s(*worst))) {
            worst = i;
        }
    }
    words.answer =
        worst ? fmt::format(
                    "A clamp alone does not: with \"{}\" the line has {} times the amps of the "
                    "right wiring, and a winding of thin wire is at 150 degC after {}.{}",
                    label(lesson, *worst), shortNumber(value(lesson, *worst, "of_right_amps")),
                    withUnit(soonest_s(*worst), "s"),
                    lesson.number(*worst, "protector_opens_s")
                        ? fmt::format(" The protector opens after {} at the soonest.",
                                      withUnit(*lesson.number(*worst, "protector_opens_s"), "s"))
                        : std::string(" Nothing switches it off."))
              : std::string(
                    "In this circuit none of the slips shown does: those that draw fewer "
                    "amps take no winding to 150 degC within minutes. An ohmmeter before power "
                    "tells more "
                    "than a clamp after it.");
    return words;
}

}  // namespace

LessonWords lessonWords(const Lesson& lesson)
{
    static const std::map<std::string, LessonWords (*)(const Lesson&), std::less<>> words = {
        {"phase-shift", phaseShift},     {"two-fields", twoFields},
        {"relay-opening", relayOpening}, {"capacitor-size", capacitorSize},
        {"run-capacitor", runCapacitor}, {"swapped-wire", swappedWire},
    };
    return words.at(lesson.name)(lesson);
}

}  // namespace splitstart
