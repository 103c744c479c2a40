#include "study/next_observation.h"

#include <algorithm>
#include <cmath>

#include "study/likelihood.h"

namespace splitstart
{

namespace
{

constexpr std::size_t mostWeighed = 60;  // causes that are looked at
constexpr std::size_t mostShown = 4;
constexpr double leastGain_bits = 0.05;
constexpr double shown_share = 0.02;  // of a group, to be named in an outcome
constexpr double poweredCounts = 0.5;

double entropy_bits(const std::vector<double>& shares)
{
    double sum = 0;
    for (const double share : shares) {
        sum += share;
    }
    double bits = 0;
    for (const double share : shares) {
        bits -= share > 0 ? share / sum * std::log2(share / sum) : 0;
    }
    return bits;
}

class Chooser
{
public:
    Chooser(const Diagnosis& diagnosis, const DiagnosisOptions& options)
        : diagnosis_(diagnosis), options_(options)
    {
        for (std::size_t i = 0; i < diagnosis.results.size() && shares_.size() < mostWeighed; ++i) {
            if (diagnosis.results[i].share > 0) {
                shares_.push_back(diagnosis.results[i].share);
            }
        }
        before_bits_ = entropy_bits(shares_);
    }

    std::vector<NextObservation> best()
    {
        std::vector<NextObservation> all;
        for (const SymptomInfo& info : symptomKinds()) {
            if (!mayBeAsked(info)) {
                continue;
            }
            NextObservation each;
            each.kind = info.kind;
            each.gain_bits = gain_bits(info);
            each.outcomes = outcomesOf(info);
            if (each.gain_bits > leastGain_bits && each.outcomes.size() > 1) {
                all.push_back(std::move(each));
            }
        }
        addWires(all);
        const auto worth = [](const NextObservation& each) {
            return each.isWires || !symptomInfo(each.kind).powered ? each.gain_bits
                                                                   : poweredCounts * each.gain_bits;
        };
        std::stable_sort(all.begin(), all.end(),
                         [&](const NextObservation& a, const NextObservation& b) {
                             return worth(a) > worth(b);
                         });
        if (all.size() > mostShown) {
            all.resize(mostShown);
        }
        return all;
    }

private:
    [[nodiscard]] const Prediction& prediction(std::size_t cause) const
    {
        return diagnosis_.results[cause].prediction();
    }

    [[nodiscard]] bool mayBeAsked(const SymptomInfo& info) const
    {
        const bool isKnown =
            std::any_of(options_.symptoms.begin(), options_.symptoms.end(),
                        [&](const Symptom& each) { return each.kind == info.kind; });
        return !isKnown && info.kind != SymptomKind::secondsToTrip &&
               (diagnosis_.mayPower || !info.powered);
    }

    // What would be observed if that cause were so; empty where it cannot be observed.
    [[nodiscard]] std::optional<Symptom> expected(const SymptomInfo& info, std::size_t cause) const
    {
        Symptom symptom;
        symptom.kind = info.kind;
        if (!info.words.empty()) {
            const auto word = prediction(cause).words.find(info.kind);
            if (word == prediction(cause).words.end()) {
                return std::nullopt;
            }
            symptom.word = word->second;
            return symptom;
        }
        const auto range = prediction(cause).values.find(info.kind);
        if (range == prediction(cause).values.end()) {
            return std::nullopt;
        }
        symptom.value = range->second.middle();
        return symptom;
    }

    [[nodiscard]] double gain_bits(const SymptomInfo& info) const
    {
        double sum = 0;
        double after_bits = 0;
        for (std::size_t truth = 0; truth < shares_.size(); ++truth) {
            const std::optional<Symptom> seen = expected(info, truth);
            std::vector<double> then;
            for (std::size_t i = 0; i < shares_.size(); ++i) {
                const bool alikeUnseen = !expected(info, i);
                const double fits = seen ? likelihood(*seen, prediction(i), options_.meter_ratio)
                                    : alikeUnseen ? 1.0
                                                  : 0.0;
                then.push_back(shares_[i] * fits);
            }
            after_bits += shares_[truth] * entropy_bits(then);
            sum += shares_[truth];
        }
        return before_bits_ - after_bits / sum;
    }

    [[nodiscard]] bool alike(const SymptomInfo& info, std::size_t a, std::size_t b) const
    {
        const bool seenA = expected(info, a).has_value();
        return seenA == expected(info, b).has_value() &&
               (!seenA ||
                !toldApartBy(info.kind, prediction(a), prediction(b), options_.meter_ratio));
    }

    // The likely groups by what each would show.
    [[nodiscard]] std::vector<NextObservation::Outcome> outcomesOf(const SymptomInfo& info) const
    {
        std::vector<NextObservation::Outcome> outcomes;
        std::vector<std::size_t> firstCause;
        for (std::size_t g = 0; g < diagnosis_.groups.size(); ++g) {
            const CauseGroup& group = diagnosis_.groups[g];
            for (const std::size_t cause : group.causes) {
                const CauseResult& result = diagnosis_.results[cause];
                if (result.share < shown_share) {
                    continue;
                }
                std::size_t place = 0;
                while (place < outcomes.size() && !alike(info, firstCause[place], cause)) {
                    ++place;
                }
                if (place == outcomes.size()) {
                    outcomes.emplace_back();
                    firstCause.push_back(cause);
                    NextObservation::Outcome& added = outcomes.back();
                    const auto seen = expected(info, cause);
                    added.notSeen = !seen;
                    if (seen && info.words.empty()) {
                        added.value = result.prediction().values.at(info.kind);
                    } else if (seen) {
                        added.word = result.prediction().words.at(info.kind);
                    }
                }
                outcomes[place].share += result.share;
                outcomes[place].causes.push_back(cause);
            }
        }
        return outcomes;
    }

    // Following the wires finds every mistake of wiring, and rules out all where there is none.
    void addWires(std::vector<NextObservation>& all) const
    {
        std::vector<double> sound;
        double wrong = 0;
        double sum = 0;
        for (std::size_t i = 0; i < shares_.size(); ++i) {
            const bool isWiring = diagnosis_.results[i].cause.kind == CauseKind::wiring;
            wrong += isWiring ? shares_[i] : 0;
            sum += shares_[i];
            if (!isWiring) {
                sound.push_back(shares_[i]);
            }
        }
        if (wrong <= 0 || diagnosis_.wiresKnown) {
            return;
        }
        NextObservation wires;
        wires.isWires = true;
        wires.gain_bits = before_bits_ - (1 - wrong / sum) * entropy_bits(sound);
        if (wires.gain_bits > leastGain_bits) {
            all.push_back(std::move(wires));
        }
    }

    const Diagnosis& diagnosis_;
    const DiagnosisOptions& options_;
    std::vector<double> shares_;  // of the first causes
    double before_bits_ = 0;
};

}  // namespace

std::vector<NextObservation> nextObservations(const Diagnosis& diagnosis,
                                              const DiagnosisOptions& options)
{
    return Chooser(diagnosis, options).best();
}

}  // namespace splitstart
