#include "study/likelihood.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace splitstart
{

namespace
{

constexpr double never = std::numeric_limits<double>::infinity();

// The error of an ordinary meter (95 %), of the computation (the same), and what neither can see.
struct Sharpness {
    SymptomKind kind;
    double meter_ratio;
    double computed_ratio;
    double least;  // SI
};

// Assumed, no source: the computation's errors are those that the estimate of a motor has by a
// plate and three readings.
constexpr std::array sharpness = {
    Sharpness{SymptomKind::supplyVoltsIdle, 0.02, 0.03, 2},
    Sharpness{SymptomKind::lineAmpsStalled, 0.04, 0.12, 0.3},
    Sharpness{SymptomKind::lineAmpsRunning, 0.03, 0.15, 0.3},
    Sharpness{SymptomKind::startLeadAmpsStalled, 0.04, 0.15, 0.3},
    Sharpness{SymptomKind::startLeadAmpsRunning, 0.03, 0.15, 0.3},
    Sharpness{SymptomKind::startCommonVoltsStalled, 0.03, 0.15, 5},
    Sharpness{SymptomKind::startCommonVoltsRunning, 0.02, 0.12, 5},
    Sharpness{SymptomKind::supplyVoltsStalled, 0.02, 0.05, 3},
    Sharpness{SymptomKind::secondsToStart, 0.10, 0.60, 0.1},
    Sharpness{SymptomKind::secondsToTrip, 0.10, 0.40, 0.5},
    Sharpness{SymptomKind::runCommonOhms, 0.02, 0.04, 0.1},
    Sharpness{SymptomKind::startCommonOhms, 0.02, 0.04, 0.1},
    Sharpness{SymptomKind::startCapacitorMicrofarads, 0.03, 0.02, 1e-6},
    Sharpness{SymptomKind::runCapacitorMicrofarads, 0.03, 0.02, 1e-6},
    Sharpness{SymptomKind::contactOhms, 0.02, 0.05, 0.2},
    Sharpness{SymptomKind::coilOhms, 0.02, 0.10, 1},
    Sharpness{SymptomKind::bleedOhms, 0.02, 0.10, 100},
};

const Sharpness& sharpnessOf(SymptomKind kind)
{
    return *std::find_if(sharpness.begin(), sharpness.end(),
                         [kind](const Sharpness& each) { return each.kind == kind; });
}

// Chance that an observation is simply wrong: a number, and one word for another that nobody takes
// for it.
constexpr double mistaken = 0.01;
constexpr double wrongWord = 0.002;

// What is heard and seen, given what is so.
struct Heard {
    std::string_view so;
    std::string_view seen;
    double chance;
};

constexpr std::array mixedUp = {
    Heard{motorWord::slow, motorWord::hums, 0.35},
    Heard{motorWord::slow, motorWord::starts, 0.10},
    Heard{motorWord::hums, motorWord::slow, 0.10},
    Heard{motorWord::starts, motorWord::slow, 0.05},
    Heard{motorWord::starts, motorWord::hums, 0.01},
    Heard{startDeviceWord::opens, startDeviceWord::chatters, 0.02},
    Heard{startDeviceWord::opens, startDeviceWord::stays, 0.05},
    Heard{startDeviceWord::stays, startDeviceWord::opens, 0.05},
    Heard{startDeviceWord::stays, startDeviceWord::never, 0.05},
    Heard{startDeviceWord::never, startDeviceWord::stays, 0.10},
    Heard{startDeviceWord::never, startDeviceWord::opens, 0.10},
    Heard{startDeviceWord::chatters, startDeviceWord::opens, 0.10},
    Heard{startDeviceWord::chatters, startDeviceWord::stays, 0.05},
};

double chanceOfWord(std::string_view seen, std::string_view so)
{
    double other = wrongWord;
    double rest = 0;
    for (const Heard& each : mixedUp) {
        if (each.so == so) {
            rest += each.chance;
            other = each.seen == seen ? each.chance : other;
        }
    }
    return seen == so ? 1 - rest - wrongWord : other;
}

bool isRunningKind(SymptomKind kind)
{
    return kind == SymptomKind::lineAmpsRunning || kind == SymptomKind::startLeadAmpsRunning ||
           kind == SymptomKind::startCommonVoltsRunning || kind == SymptomKind::secondsToStart;
}

// How many deviations `value` lies outside the range; outside its ends, where only they are seen.
double deviations(const Symptom& symptom, const Range& range, bool eitherEnd, double meter_ratio)
{
    const double value = symptom.value;
    if (std::isinf(value) || std::isinf(range.minimum)) {
        return std::isinf(value) == std::isinf(range.minimum) ? 0 : never;
    }
    const Sharpness& sharp = sharpnessOf(symptom.kind);
    const double spread_ratio =
        std::hypot(meter_ratio > 0 ? meter_ratio : sharp.meter_ratio, sharp.computed_ratio);
    const bool upper = value > range.middle();
    const double nearest = !eitherEnd ? std::clamp(value, range.minimum, range.maximum)
                           : upper    ? range.maximum
                                      : range.minimum;
    // 95 % is two deviations.
    if (symptom.kind == SymptomKind::secondsToStart || symptom.kind == SymptomKind::secondsToTrip) {
        // So wide that only the logarithm has a normal law.
        return std::abs(std::log((value + sharp.least) / (nearest + sharp.least))) /
               (0.5 * spread_ratio);
    }
    return std::abs(value - nearest) / (0.5 * (spread_ratio * std::abs(value) + sharp.least));
}

}  // namespace

double likelihood(const Symptom& symptom, const Prediction& prediction, double meter_ratio)
{
    const SymptomInfo& info = symptomInfo(symptom.kind);
    if (!info.words.empty()) {
        const auto so = prediction.words.find(symptom.kind);
        // What is not foreseen says nothing.
        return so == prediction.words.end() ? 1.0 / static_cast<double>(info.words.size())
                                            : chanceOfWord(symptom.word, so->second);
    }
    const auto range = prediction.values.find(symptom.kind);
    if (range == prediction.values.end()) {
        // Nobody reads running amps of what does not run. Else it is not known: as likely as a
        // number that may lie anywhere in two decades.
        constexpr double unknown = 0.03;
        return isRunningKind(symptom.kind) ? mistaken : unknown;
    }
    const double z = deviations(symptom, range->second,
                                prediction.eitherEnd.count(symptom.kind) > 0, meter_ratio);
    return mistaken + (1 - mistaken) * std::exp(-0.5 * z * z);
}

bool toldApartBy(SymptomKind kind, const Prediction& a, const Prediction& b, double meter_ratio)
{
    if (!symptomInfo(kind).words.empty()) {
        const auto first = a.words.find(kind);
        const auto second = b.words.find(kind);
        return first != a.words.end() && second != b.words.end() && first->second != second->second;
    }
    const auto first = a.values.find(kind);
    const auto second = b.values.find(kind);
    if (first == a.values.end() || second == b.values.end()) {
        return false;
    }
    // The computation errs alike for both; four deviations of the meter, so that halfway is two.
    constexpr double apart = 4;
    const Sharpness& sharp = sharpnessOf(kind);
    const Range& one = first->second;
    const Range& other = second->second;
    if (std::isinf(one.minimum) || std::isinf(other.minimum)) {
        return std::isinf(one.minimum) != std::isinf(other.minimum);
    }
    const double gap = std::max(one.minimum - other.maximum, other.minimum - one.maximum);
    const double deviation = 0.5 * ((meter_ratio > 0 ? meter_ratio : sharp.meter_ratio) *
                                        std::max(one.maximum, other.maximum) +
                                    sharp.least);
    return gap / deviation > apart;
}

bool toldApart(const Prediction& a, const Prediction& b, double meter_ratio)
{
    const auto kinds = symptomKinds();
    return std::any_of(kinds.begin(), kinds.end(), [&](const SymptomInfo& info) {
        // Nobody is to wait for a trip.
        return info.powered && info.kind != SymptomKind::secondsToTrip &&
               toldApartBy(info.kind, a, b, meter_ratio);
    });
}

}  // namespace splitstart
