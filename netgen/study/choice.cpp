#include "study/choice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <memory>
#include <utility>

#include "case/number.h"
#include "circuit/case_circuit.h"
#include "circuit/part_notes.h"
#include "spice/netlist.h"
#include "study/best_evidence.h"
#include "study/sample_study.h"

namespace splitstart
{

namespace
{

using Checks = std::set<const Check*>;

const Finding* findingOf(const Candidate& candidate, const Check* check)
{
    const auto found = std::find_if(candidate.findings.begin(), candidate.findings.end(),
                                    [check](const Finding& each) { return each.check == check; });
    return found == candidate.findings.end() ? nullptr : &*found;
}

// Whether the check judges what is chosen from the stock.
bool judgesTheStock(const Check& check, const std::set<StockPlace>& kept)
{
    const std::optional<StockPlace> place = stockPlaceOfCheck(check.part);
    return place && !kept.contains(*place);
}

// Checks that judge what is not chosen, and that none of these candidates passes. A motor that does
// not start or carry its load may do so with better parts than those in stock: that it fails is
// never put down to something else.
Checks failingEverywhere(const std::vector<const Candidate*>& candidates,
                         const std::set<StockPlace>& kept, bool undecidedToo)
{
    Checks checks;
    for (const Check& check : allChecks()) {
        const auto notPassed = [&](const Candidate* each) {
            const Finding* const finding = findingOf(*each, &check);
            return finding != nullptr &&
                   ((finding->verdict == Verdict::fail && check.part != "compressor") ||
                    (undecidedToo && finding->verdict == Verdict::undecided));
        };
        if (!candidates.empty() && !judgesTheStock(check, kept) &&
            std::all_of(candidates.begin(), candidates.end(), notPassed)) {
            checks.insert(&check);
        }
    }
    return checks;
}

// Checks that are the same whatever is fitted, and so tell no combination from another.
Checks sameEverywhere(const std::vector<const Candidate*>& candidates)
{
    constexpr double same_ratio = 1e-3;
    Checks checks;
    for (const Check& check : allChecks()) {
        const Finding* const first =
            candidates.size() < 2 ? nullptr : findingOf(*candidates.front(), &check);
        if (first == nullptr || !first->hasValue) {
            continue;
        }
        const auto alike = [&](const Candidate* each) {
            const Finding* const finding = findingOf(*each, &check);
            return finding != nullptr && finding->hasValue &&
                   std::abs(finding->margin - first->margin) <= same_ratio * std::abs(first->limit);
        };
        if (std::all_of(candidates.begin(), candidates.end(), alike)) {
            checks.insert(&check);
        }
    }
    return checks;
}

// One search.
class Chooser
{
public:
    Chooser(const Case& input, const PartsList& stock, SimulatorPool& pool,
            const ChoiceOptions& options, const ChoiceProgress& progress);

    Choice run();

private:
    void readLabels();
    void holdShafts();
    void runStarts();
    void rank();
    void showEverywhere(const std::vector<Finding>& findings);
    void judgeSurely();
    void reject();
    [[nodiscard]] std::vector<std::size_t> alive(Depth depth) const;
    void judgeCandidate(Candidate& candidate, const std::vector<Evidence>& evidence, Depth depth);
    // What was simulated, by the decks that it takes: parts that differ in ratings alone share it.
    using Key = std::vector<std::size_t>;
    [[nodiscard]] Key startsKey(const Case& input, const Circuit& circuit, Corners corners) const;
    std::shared_ptr<const Evidence> heldOf(const Case& input, const Circuit& circuit);
    void simulate(Candidate& candidate, Corners corners);
    void simulateAll(const std::vector<std::size_t>& indices, Corners corners);
    [[nodiscard]] std::vector<std::size_t> nearest(Depth depth);
    SureChoice judgedSurely(std::size_t index);
    [[nodiscard]] const Circuit& circuitOf(const Candidate& candidate) const
    {
        return choice_.offer.shapes[candidate.combination.shape].circuit;
    }
    void report(const std::string& phase, std::size_t done, std::size_t all) const
    {
        if (progress_) {
            progress_(phase, done, all);
        }
    }

    SimulatorPool& pool_;
    const ChoiceOptions& options_;
    const ChoiceProgress& progress_;
    Choice choice_;
    Case motorInput_;
    Circuit motorCircuit_;
    std::map<Key, std::shared_ptr<const Evidence>> held_;
    std::map<Key, std::shared_ptr<const std::vector<Evidence>>> starts_;
    std::map<const Candidate*, double> torque_Nm_;
    Checks everywhere_;
    Checks uninformative_;
};

Chooser::Chooser(const Case& input, const PartsList& stock, SimulatorPool& pool,
                 const ChoiceOptions& options, const ChoiceProgress& progress)
    : pool_(pool), options_(options), progress_(progress)
{
    choice_.input = input;
    choice_.input.parts = mergedParts(input.parts, stock);
    choice_.offer = stockOffer(choice_.input, stock, options.kept);
    motorInput_ = motorCase(choice_.input, choice_.offer, choice_.notes);
    motorCircuit_ = caseCircuit(motorInput_);
    choice_.motor = motorStudy(motorInput_, motorCircuit_, pool, options.check.seed);
    // What was assumed of the parts that the motor was estimated with says nothing of those chosen.
    for (const std::string& note : assumedPartNotes(motorInput_)) {
        std::erase(choice_.motor.notes, note);
    }
    choice_.input = withSource(choice_.input, choice_.motor);
}

void Chooser::judgeCandidate(Candidate& candidate, const std::vector<Evidence>& evidence,
                             Depth depth)
{
    const Case input = caseOf(choice_.input, candidate.combination);
    candidate.findings = judge(input, circuitOf(candidate), evidence);
    candidate.depth = depth;
    torque_Nm_[&candidate] = startingTorque_Nm({input, circuitOf(candidate), evidence.front()});
}

// Candidates of that depth that fail nothing but what fails everywhere.
std::vector<std::size_t> Chooser::alive(Depth depth) const
{
    std::vector<const Candidate*> there;
    for (const Candidate& each : choice_.candidates) {
        if (each.depth == depth) {
            there.push_back(&each);
        }
    }
    const Checks apart = failingEverywhere(there, options_.kept, false);
    std::vector<std::size_t> result;
    for (std::size_t i = 0; i < choice_.candidates.size(); ++i) {
        const Candidate& each = choice_.candidates[i];
        if (each.depth == depth && outcomeOf(each.findings, apart) != Outcome::fail) {
            result.push_back(i);
        }
    }
    return result;
}

void Chooser::readLabels()
{
    Evidence labels;
    labels.ratedTorque_Nm = choice_.motor.motor.ratedTorque_Nm.value;
    labels.fit = choice_.motor.residuals;
    labels.contradictions = choice_.motor.contradictions;
    choice_.candidates.reserve(choice_.offer.combinations.size());
    for (const Combination& combination : choice_.offer.combinations) {
        choice_.candidates.push_back({combination, Depth::labels, {}, {}, {}});
        judgeCandidate(choice_.candidates.back(), {labels}, Depth::labels);
    }
}

std::shared_ptr<const Evidence> Chooser::heldOf(const Case& input, const Circuit& circuit)
{
    Key key;
    Analysis analysis;
    analysis.kind = Analysis::Kind::fixedFrequency;
    for (const Release release : {Release::early, Release::late}) {
        for (const StartContact contact : {StartContact::heldClosed, StartContact::heldOpen}) {
            const Corner corner{1, 25, release, Pressures::equalised};
            const SimulationModel model = simulationModel(
                input, circuit, choice_.motor.motor.circuit, 0, corner, {contact, 0.0});
            key.push_back(std::hash<std::string>()(writeDeck(model, analysis, {})));
        }
    }
    std::shared_ptr<const Evidence>& known = held_[key];
    if (!known) {
        known =
            std::make_shared<const Evidence>(heldEvidence(input, circuit, choice_.motor, pool_));
    }
    return known;
}

void Chooser::holdShafts()
{
    const std::vector<std::size_t> left = alive(Depth::labels);
    std::size_t done = 0;
    for (const std::size_t i : left) {
        report("holding shafts", done++, left.size());
        Candidate& candidate = choice_.candidates[i];
        const std::shared_ptr<const Evidence> evidence =
            heldOf(caseOf(choice_.input, candidate.combination), circuitOf(candidate));
        judgeCandidate(candidate, {*evidence}, Depth::heldShaft);
    }
}

Chooser::Key Chooser::startsKey(const Case& input, const Circuit& circuit, Corners corners) const
{
    Key key;
    for (const StartJob& job : startJobs(input, circuit, choice_.motor, corners)) {
        key.push_back(std::hash<std::string>()(writeDeck(job.model, {}, {})));
    }
    return key;
}

void Chooser::simulate(Candidate& candidate, Corners corners)
{
    const Case input = caseOf(choice_.input, candidate.combination);
    const Circuit& circuit = circuitOf(candidate);
    std::shared_ptr<const std::vector<Evidence>>& known =
        starts_[startsKey(input, circuit, corners)];
    if (!known) {
        known = std::make_shared<const std::vector<Evidence>>(
            withStarts(*heldOf(input, circuit), input, circuit, choice_.motor, corners, pool_));
    }
    judgeCandidate(candidate, *known, corners == Corners::few ? Depth::fewStarts : Depth::starts);
}

void Chooser::simulateAll(const std::vector<std::size_t>& indices, Corners corners)
{
    std::size_t done = 0;
    for (const std::size_t i : indices) {
        report(corners == Corners::few ? "simulating first starts" : "simulating all starts",
               done++, indices.size());
        Candidate& candidate = choice_.candidates[i];
        try {
            simulate(candidate, corners);
        } catch (const SimulationError& error) {
            // One that ngspice cannot follow is no reason to say nothing of the others.
            if (error.fault() != SimulationFault::aborted &&
                error.fault() != SimulationFault::timeLimit) {
                throw;
            }
            candidate.notSimulated = error.what();
        }
    }
}

// The few of that depth that come nearest to passing.
std::vector<std::size_t> Chooser::nearest(Depth depth)
{
    constexpr std::size_t few = 3;
    std::vector<std::size_t> left;
    for (std::size_t i = 0; i < choice_.candidates.size(); ++i) {
        Candidate& each = choice_.candidates[i];
        if (each.depth == depth && each.notSimulated.empty()) {
            each.rank = rankOf(each.findings, {}, torque_Nm_[&each], each.combination.pieces,
                               combinationName(each.combination));
            left.push_back(i);
        }
    }
    std::sort(left.begin(), left.end(), [this](std::size_t a, std::size_t b) {
        return isBetter(choice_.candidates[a].rank, choice_.candidates[b].rank);
    });
    left.resize(std::min(left.size(), few));
    return left;
}

// Where nothing is left, the nearest are looked at all the same: `check` would not stop there
// either.
void Chooser::runStarts()
{
    std::vector<std::size_t> left = alive(Depth::heldShaft);
    if (left.empty()) {
        simulateAll(nearest(Depth::heldShaft), Corners::all);
        return;
    }
    simulateAll(left, Corners::few);
    left = alive(Depth::fewStarts);
    simulateAll(left.empty() ? nearest(Depth::fewStarts) : left, Corners::all);
}

void Chooser::rank()
{
    Depth deepest = Depth::labels;
    for (const Candidate& each : choice_.candidates) {
        deepest = std::max(deepest, each.depth);
    }
    std::vector<const Candidate*> there;
    for (const Candidate& each : choice_.candidates) {
        if (each.depth == deepest) {
            there.push_back(&each);
        }
    }
    everywhere_ = failingEverywhere(there, options_.kept, true);
    uninformative_ = sameEverywhere(there);
    uninformative_.insert(everywhere_.begin(), everywhere_.end());
    for (Candidate& each : choice_.candidates) {
        each.rank = rankOf(each.findings, uninformative_, torque_Nm_[&each],
                           each.combination.pieces, combinationName(each.combination));
        each.rank.outcome = outcomeOf(each.findings, everywhere_);
        if (!each.notSimulated.empty()) {
            each.rank.outcome = std::max(each.rank.outcome, Outcome::undecided);
        }
    }
    std::stable_sort(
        choice_.candidates.begin(), choice_.candidates.end(),
        [](const Candidate& a, const Candidate& b) { return isBetter(a.rank, b.rank); });
    const auto shown = std::find_if(choice_.candidates.begin(), choice_.candidates.end(),
                                    [deepest](const Candidate& each) {
                                        return each.depth == deepest && each.notSimulated.empty();
                                    });
    if (shown != choice_.candidates.end()) {
        showEverywhere(shown->findings);
    }
}

void Chooser::showEverywhere(const std::vector<Finding>& findings)
{
    choice_.everywhere.clear();
    for (const Finding& finding : findings) {
        if (everywhere_.contains(finding.check) && finding.verdict != Verdict::pass) {
            choice_.everywhere.push_back(finding);
        }
    }
}

SureChoice Chooser::judgedSurely(std::size_t index)
{
    const Candidate& candidate = choice_.candidates[index];
    const Case input = caseOf(choice_.input, candidate.combination);
    SureChoice sure;
    sure.candidate = index;
    sure.study.circuit = circuitOf(candidate);
    sure.study.motor = choice_.motor;
    if (choice_.motor.posterior) {
        // Its draws go on where they ended; from the beginning they are those of `check`.
        sure.study.motor.posterior =
            motorStudy(motorInput_, motorCircuit_, pool_, options_.check.seed).posterior;
    }
    for (const std::string& note : assumedPartNotes(input)) {
        sure.study.motor.notes.push_back(note);
    }
    sure.study.evidence = *starts_.at(startsKey(input, sure.study.circuit, Corners::all));
    sure.study.findings = candidate.findings;
    const std::string phase = fmt::format("judging {}", candidate.rank.name);
    decideBySamples(input, sure.study, options_.check, pool_,
                    [&](std::size_t done, std::size_t all) { report(phase, done, all); });
    sure.outcome = outcomeOf(sure.study.findings, everywhere_);
    return sure;
}

// The best first; where it does not pass there, the next, a few times.
void Chooser::judgeSurely()
{
    constexpr std::size_t mostTries = 4;
    constexpr std::size_t triesWithoutHope = 2;
    const bool hope =
        !choice_.candidates.empty() && choice_.candidates.front().rank.outcome != Outcome::fail;
    const std::size_t tries = std::max(options_.sureTop, hope ? mostTries : triesWithoutHope);
    for (std::size_t i = 0; i < choice_.candidates.size() && choice_.sure.size() < tries; ++i) {
        const Candidate& each = choice_.candidates[i];
        if (each.depth != Depth::starts || !each.notSimulated.empty()) {
            continue;
        }
        const bool enough = choice_.sure.size() >= options_.sureTop && choice_.recommended;
        if (enough || (hope && each.rank.outcome == Outcome::fail)) {
            break;
        }
        choice_.sure.push_back(judgedSurely(i));
        if (choice_.sure.back().outcome == Outcome::pass && !choice_.recommended) {
            choice_.recommended = choice_.sure.size() - 1;
        }
    }
    if (!choice_.recommended && !choice_.sure.empty()) {
        const auto best = std::min_element(
            choice_.sure.begin(), choice_.sure.end(),
            [](const SureChoice& a, const SureChoice& b) { return a.outcome < b.outcome; });
        choice_.recommended = static_cast<std::size_t>(best - choice_.sure.begin());
    }
    if (choice_.recommended) {
        // What was undecided with the best estimate may be decided over what is possible.
        showEverywhere(choice_.sure[*choice_.recommended].study.findings);
    }
}

// What the combination fails on: what judges the part itself, else the worst.
const Finding* reasonOf(const Candidate& candidate, StockPlace place, const Checks& everywhere)
{
    const Finding* reason = nullptr;
    const auto weight = [&](const Finding& finding) {
        const bool own = stockPlaceOfCheck(finding.check->part) == place;
        const double margin = finding.hasLimit ? relativeMargin(finding) : 0;
        // A number against a rating says more than that something does not happen.
        const bool counted = finding.check->unit.empty();
        return std::tuple(finding.verdict == Verdict::fail ? 0 : 1, own ? 0 : 1, counted ? 1 : 0,
                          margin);
    };
    for (const Finding& finding : candidate.findings) {
        if (finding.verdict != Verdict::pass && !everywhere.contains(finding.check) &&
            (reason == nullptr || weight(finding) < weight(*reason))) {
            reason = &finding;
        }
    }
    return reason;
}

std::size_t failuresOf(const Candidate& candidate, const Checks& everywhere)
{
    return static_cast<std::size_t>(std::count_if(
        candidate.findings.begin(), candidate.findings.end(), [&](const Finding& each) {
            return each.verdict == Verdict::fail && !everywhere.contains(each.check);
        }));
}

void Chooser::reject()
{
    const auto sureOutcome = [this](std::size_t index) {
        for (const SureChoice& each : choice_.sure) {
            if (each.candidate == index) {
                return each.outcome;
            }
        }
        return choice_.candidates[index].rank.outcome;
    };
    for (const CatalogPart& part : choice_.offer.onShelf) {
        std::optional<std::size_t> best;
        bool passes = false;
        for (std::size_t i = 0; i < choice_.candidates.size(); ++i) {
            const Candidate& each = choice_.candidates[i];
            const std::vector<std::string> ids = partsOf(each.combination);
            if (std::find(ids.begin(), ids.end(), part.id) == ids.end()) {
                continue;
            }
            passes = passes || sureOutcome(i) == Outcome::pass;
            // Rather alone than in a pair; rather one that was looked at more closely, since what
            // fails by its labels is not known to fail nothing else.
            const auto merit = [this](const Candidate& candidate) {
                return std::tuple(candidate.combination.pair ? 1 : 0,
                                  -static_cast<int>(candidate.depth),
                                  failuresOf(candidate, everywhere_));
            };
            if (!best || merit(each) < merit(choice_.candidates[*best])) {
                best = i;
            }
        }
        if (passes || !best) {
            continue;
        }
        const Candidate& candidate = choice_.candidates[*best];
        const Finding* const reason = reasonOf(candidate, *stockPlaceOf(part.data), everywhere_);
        choice_.rejections.push_back({part.id, *best, reason != nullptr ? *reason : Finding()});
    }
}

Choice Chooser::run()
{
    readLabels();
    Evidence labels;
    labels.fit = choice_.motor.residuals;
    labels.contradictions = choice_.motor.contradictions;
    choice_.motorKnown = fitsOneMotor(labels);
    if (!choice_.motorKnown) {
        rank();  // nothing that rests on the motor can be decided
        return std::move(choice_);
    }
    holdShafts();
    runStarts();
    rank();
    judgeSurely();
    reject();
    const bool passes =
        choice_.recommended && choice_.sure[*choice_.recommended].outcome == Outcome::pass;
    if (options_.ratings || !passes) {
        const std::string bestStart =
            choice_.candidates.empty()
                ? std::string()
                : choice_.candidates.front().combination.choice.startCapacitor;
        choice_.bands = ratingBands(
            {choice_.input, choice_.offer, choice_.motor, options_.kept, everywhere_, bestStart},
            options_.check, pool_, [this](std::size_t done, std::size_t all) {
                report("working out what to ask for", done, all);
            });
    }
    return std::move(choice_);
}

}  // namespace

Choice chooseParts(const Case& input, const PartsList& stock, SimulatorPool& pool,
                   const ChoiceOptions& options, const ChoiceProgress& progress)
{
    return Chooser(input, stock, pool, options, progress).run();
}

bool isFit(const Choice& choice)
{
    if (!choice.recommended) {
        return false;
    }
    const std::vector<HealthFinding>& health = choice.motor.health.findings;
    return outcomeOf(choice.sure[*choice.recommended].study.findings, {}) == Outcome::pass &&
           std::all_of(health.begin(), health.end(), [](const HealthFinding& each) {
               return each.verdict == HealthVerdict::pass;
           });
}

std::vector<std::string> caseLines(const Combination& combination)
{
    const CircuitChoice& choice = combination.choice;
    std::string circuit = fmt::format("<circuit type=\"{}\"", choice.type);
    const auto add = [&circuit](const char* name, const std::string& value) {
        if (!value.empty()) {
            circuit += fmt::format(" {}=\"{}\"", name, value);
        }
    };
    const auto addNumber = [&](const char* name, const std::optional<double>& value) {
        add(name, value ? plainNumber(*value) : std::string());
    };
    add("variant", choice.variantGiven ? choice.variant : std::string());
    add("start-device", choice.startDevice);
    add("start-capacitor", choice.startCapacitor);
    add("run-capacitor", choice.runCapacitor);
    add("protector", choice.protector);
    add("fan", choice.fan);
    add("fan-capacitor", choice.fanCapacitor);
    add("contactor", choice.contactor);
    addNumber("ambient-c", choice.ambient_degC);
    addNumber("starts-per-hour", choice.startsPerHour);
    addNumber("off-seconds", choice.shortestOff_s);
    add("refrigerant", choice.refrigerant == Refrigerant::flammable      ? "flammable"
                       : choice.refrigerant == Refrigerant::notFlammable ? "not-flammable"
                                                                         : "");
    std::vector<std::string> lines = {circuit + "/>"};
    if (combination.pair) {
        const CapacitorPair& pair = *std::get<StartCapacitor>(combination.pair->data).pair;
        lines.push_back(fmt::format(
            "<start-capacitor-pair id=\"{}\" first=\"{}\" second=\"{}\" connection=\"{}\"/>",
            combination.pair->id, pair.first, pair.second,
            pair.connection == PairConnection::parallel ? "parallel" : "series"));
    }
    return lines;
}

}  // namespace splitstart
