#include "study/diagnosis.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "circuit/as_found.h"
#include "circuit/case_circuit.h"
#include "study/cause_weights.h"
#include "study/corners.h"
#include "study/likelihood.h"
#include "study/next_observation.h"
#include "study/start_runs.h"

namespace splitstart
{

namespace
{

constexpr double step_s = 3e-4;
constexpr double shortest_s = 1.0;
constexpr double longest_s = 4.0;
constexpr double timesSound = 4;  // what takes longer than that has not started
constexpr double settled_s = 0.15;
// A start takes some tenths of a second; of hundreds of wrong wirings one or two make ngspice
// crawl.
constexpr double patience_s = 5;
constexpr std::size_t mostTriedAgain = 16;
constexpr double triedAgain_share = 0.98;  // the groups that have it together
constexpr double matters_ratio = 0.05;     // of a variant, against the likeliest of its cause

struct Trial {
    MachineSetup setup;
    Prediction prediction;
    std::string simulatorSays;
    // Of slips of wiring: what is the same in two trials with the same machine needs one start.
    std::string connections;
};

// Each with its cause in it, simulated all together; what turns but is not up to speed by then has
// a second, longer time to get there. Returns how many starts were simulated.
std::size_t simulateAll(const Case& input, const Predictor& predictor, std::vector<Trial>& trials,
                        SimulatorPool& pool, const StartEffort& effort,
                        const StudyProgress& progress)
{
    // Of each start, the trials that it stands for.
    using Trials = std::vector<std::vector<std::size_t>>;
    std::vector<StartJob> jobs;
    Trials trialsOf;
    std::map<std::tuple<std::string, Pressures>, std::size_t> jobOf;
    for (std::size_t i = 0; i < trials.size(); ++i) {
        Trial& trial = trials[i];
        trial.prediction = predictor.withoutPower(trial.setup);
        const std::tuple key(trial.connections, trial.setup.corner.pressures);
        if (const auto known = jobOf.find(key); known != jobOf.end()) {
            trialsOf[known->second].push_back(i);
        } else if (auto job = predictor.job(trial.setup, trial.prediction)) {
            if (!trial.connections.empty()) {
                jobOf.emplace(key, jobs.size());
            }
            jobs.push_back(std::move(*job));
            trialsOf.push_back({i});
        }
    }
    const auto run = [&](std::span<const StartJob> each, const StartEffort& with,
                         const Trials& of) {
        const std::vector<StartOutcome> outcomes = runStarts(input, each, pool, with, progress);
        for (std::size_t i = 0; i < outcomes.size(); ++i) {
            for (const std::size_t place : of[i]) {
                Trial& trial = trials[place];
                if (const auto* error = std::get_if<SimulationError>(&outcomes[i])) {
                    trial.simulatorSays = error->what();
                } else {
                    predictor.addStart(trial.prediction, trial.setup,
                                       std::get<StartMeasurement>(outcomes[i]));
                }
            }
        }
    };
    run(jobs, effort, trialsOf);
    std::vector<StartJob> slow;
    Trials slowTrials;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        Trial& first = trials[trialsOf[i].front()];
        if (first.simulatorSays.empty() && effort.end_s < longest_s &&
            first.prediction.words.at(SymptomKind::motor) == motorWord::slow) {
            for (const std::size_t place : trialsOf[i]) {
                trials[place].prediction = predictor.withoutPower(trials[place].setup);
            }
            slow.push_back(std::move(jobs[i]));
            slowTrials.push_back(trialsOf[i]);
        }
    }
    StartEffort longer = effort;
    longer.end_s = longest_s;
    run(slow, longer, slowTrials);
    return jobs.size() + slow.size();
}

class Diagnoser
{
public:
    Diagnoser(const Case& input, SimulatorPool& pool, const DiagnosisOptions& options,
              const StudyProgress& progress)
        : pool_(pool), options_(options), progress_(progress)
    {
        wanted_ = caseCircuit(input);
        study_.circuit = wanted_;
        study_.motor = motorStudy(input, wanted_, pool);
        best_ = withSource(input, study_.motor);
        sound_.input = best_;
        sound_.circuit = input.asFound ? asFoundCircuit(wanted_, *input.asFound) : wanted_;
        sound_.motor = study_.motor.motor.circuit;
        sound_.ratedTorque_Nm = study_.motor.motor.ratedTorque_Nm.value;
        sound_.corner = {lineVolts_V() / ratedVoltage_V(best_), coldWinding_degC, Release::middle,
                         best_.compressor.load.pressures};
        study_.wiresKnown = input.asFound.has_value();
    }

    Diagnosis run()
    {
        setEffort();
        const Predictor predictor(best_, wanted_);
        for (Cause& cause : possibleCauses(best_, sound_.circuit)) {
            CauseResult& result = study_.results.emplace_back();
            result.variants = variantsOf(cause);
            result.cause = std::move(cause);
        }
        simulateVariants(predictor);
        groupCauses(study_, options_);
        if (!options_.symptoms.empty()) {
            tryOnMachines(predictor);
            groupCauses(study_, options_);
        }
        findWhatTellsApart();
        judge();
        study_.next = nextObservations(study_, options_);
        return std::move(study_);
    }

private:
    // As read, where it was and there were any; else what the case says.
    [[nodiscard]] double lineVolts_V() const
    {
        constexpr double least_ratio = 0.3;
        for (const Symptom& symptom : options_.symptoms) {
            if (symptom.kind == SymptomKind::supplyVoltsIdle &&
                symptom.value > least_ratio * best_.supply.voltage_V) {
                return symptom.value;
            }
        }
        return best_.supply.voltage_V;
    }

    [[nodiscard]] bool isKnown(SymptomKind kind) const
    {
        return std::any_of(options_.symptoms.begin(), options_.symptoms.end(),
                           [kind](const Symptom& each) { return each.kind == kind; });
    }

    // The pressures are what the case says, or nearly always so where it says nothing; how often
    // they are otherwise is assumed, no source. The cause that is the pressures has no others.
    [[nodiscard]] std::vector<CauseVariant> variantsOf(const Cause& cause) const
    {
        constexpr double otherwise = 0.15;
        constexpr double otherwiseIfOpen = 0.35;
        const CompressorLoad& load = best_.compressor.load;
        MachineSetup setup = sound_;
        cause.put(setup);
        if (load.kind != LoadKind::reciprocating || cause.kind == CauseKind::nothing ||
            setup.corner.pressures != load.pressures) {
            return {{setup.corner.pressures, 1, 0, {}, {}}};
        }
        const double weight = load.pressuresGiven ? otherwise : otherwiseIfOpen;
        const Pressures other =
            load.pressures == Pressures::equalised ? Pressures::unequalised : Pressures::equalised;
        return {{load.pressures, 1 - weight, 0, {}, {}}, {other, weight, 0, {}, {}}};
    }

    // `setup` with that cause in it and these pressures.
    [[nodiscard]] Trial trialOf(MachineSetup setup, const Cause& cause, Pressures pressures) const
    {
        // How low a low supply is where nobody has read it (assumed).
        constexpr double assumedLow_ratio = 0.8;
        cause.put(setup);
        setup.corner.pressures = pressures;
        if (setup.lowSupply && !isKnown(SymptomKind::supplyVoltsIdle)) {
            setup.corner.line_ratio *= assumedLow_ratio;
        }
        return {std::move(setup), {}, {}, {}};
    }

    // First all with the lesser load; what stands still with it stands with the greater, too, and
    // what ngspice cannot follow it need not try again.
    void simulateVariants(const Predictor& predictor)
    {
        for (const Pressures pressures : {Pressures::equalised, Pressures::unequalised}) {
            std::vector<Trial> trials;
            std::vector<CauseVariant*> variants;
            for (CauseResult& result : study_.results) {
                for (CauseVariant& variant : result.variants) {
                    if (variant.pressures == pressures && !takenFromLesserLoad(result, variant)) {
                        trials.push_back(trialOf(sound_, result.cause, pressures));
                        trials.back().connections = result.cause.connections;
                        variants.push_back(&variant);
                    }
                }
            }
            study_.simulated += simulateAll(best_, predictor, trials, pool_, effort_, progress_);
            for (std::size_t i = 0; i < trials.size(); ++i) {
                variants[i]->prediction = std::move(trials[i].prediction);
                variants[i]->simulatorSays = std::move(trials[i].simulatorSays);
            }
        }
        weighCauses(study_, options_);
    }

    static bool takenFromLesserLoad(const CauseResult& result, CauseVariant& variant)
    {
        for (const CauseVariant& lesser : result.variants) {
            if (&lesser != &variant && !lesser.simulatorSays.empty()) {
                variant.simulatorSays = lesser.simulatorSays;
                return true;
            }
            const auto word = lesser.prediction.words.find(SymptomKind::motor);
            if (&lesser != &variant && lesser.simulatorSays.empty() &&
                word != lesser.prediction.words.end() && word->second != motorWord::starts &&
                word->second != motorWord::slow) {
                variant.prediction = lesser.prediction;
                variant.prediction.words[SymptomKind::gauges] = gaugesWord::apart;
                return true;
            }
        }
        return false;
    }

    // A start is over some while after a sound one would be.
    void setEffort()
    {
        const Predictor predictor(best_, wanted_);
        std::vector<Trial> trials = {{sound_, {}, {}, {}}};
        trials.front().setup.circuit = wanted_;
        effort_ = {step_s, settled_s, 0, longest_s, patience_s};
        simulateAll(best_, predictor, trials, pool_, effort_, {});
        const auto& values = trials.front().prediction.values;
        const auto sound = values.find(SymptomKind::secondsToStart);
        if (sound != values.end()) {
            effort_.end_s = std::clamp(timesSound * sound->second.maximum, shortest_s, longest_s);
        }
    }

    // The first of each likely group, with other motors and parts that the case leaves possible:
    // the mean likelihood over the machines in place of that with one. What looks the same with the
    // supply on takes the same factor.
    void tryOnMachines(const Predictor& predictor)
    {
        PossibleMachines source(best_, study_.motor.motor, study_.motor.posterior, options_.seed);
        if (!source.differ() || options_.machines == 0) {
            return;
        }
        const std::vector<PossibleMachine> machines = source.draw(options_.machines);
        struct Tried {
            const CauseGroup* group;
            Prediction prediction;  // most probable machine
            double before = 0;      // its likelihood
        };
        std::vector<Tried> tried;
        std::vector<Trial> trials;
        double covered = 0;
        for (const CauseGroup& each : study_.groups) {
            if (tried.size() >= mostTriedAgain || covered > triedAgain_share) {
                break;
            }
            covered += each.share;
            const CauseResult& first = study_.results[each.causes.front()];
            for (const CauseVariant& variant : first.variants) {
                const CauseVariant& likeliest = first.variants.front();
                if (variant.weight * variant.likelihood <
                    matters_ratio * likeliest.weight * likeliest.likelihood) {
                    continue;
                }
                tried.push_back(
                    {&each, variant.prediction, poweredLikelihood(variant.prediction, options_)});
                for (const PossibleMachine& machine : machines) {
                    MachineSetup setup = sound_;
                    setup.input = machine.input;
                    setup.motor = machine.motor.circuit;
                    setup.ratedTorque_Nm = machine.motor.ratedTorque_Nm;
                    trials.push_back(trialOf(std::move(setup), first.cause, variant.pressures));
                }
            }
        }
        study_.simulated += simulateAll(best_, predictor, trials, pool_, effort_, progress_);
        auto trial = trials.cbegin();
        for (const Tried& each : tried) {
            double sum = each.before;
            double judged = 1;
            for (std::size_t m = 0; m < machines.size(); ++m, ++trial) {
                if (trial->simulatorSays.empty()) {
                    sum += poweredLikelihood(trial->prediction, options_);
                    judged += 1;
                }
            }
            for (const std::size_t i : each.group->causes) {
                for (CauseVariant& variant : study_.results[i].variants) {
                    if (variant.simulatorSays.empty() &&
                        !toldApart(each.prediction, variant.prediction, options_.meter_ratio)) {
                        variant.likelihood =
                            std::min(1.0, variant.likelihood * sum / (judged * each.before));
                    }
                }
            }
        }
        shareOut(study_);
    }

    void findWhatTellsApart()
    {
        for (CauseGroup& each : study_.groups) {
            for (const SymptomInfo& info : symptomKinds()) {
                if (!info.powered && tellsApart(each, info.kind)) {
                    each.toldApartBy.push_back(info.kind);
                }
            }
        }
    }

    // Whether that separates causes of the group that matter.
    [[nodiscard]] bool tellsApart(const CauseGroup& each, SymptomKind kind) const
    {
        constexpr double matters = 0.02;
        const CauseResult& first = study_.results[each.causes.front()];
        return std::any_of(each.causes.begin(), each.causes.end(), [&](std::size_t i) {
            const CauseResult& other = study_.results[i];
            return other.share > matters * each.share &&
                   toldApartBy(kind, first.prediction(), other.prediction(), options_.meter_ratio);
        });
    }

    void judge()
    {
        constexpr double speaksAgainst = 0.05;
        for (CauseResult& result : study_.results) {
            for (std::size_t i = 0; i < options_.symptoms.size(); ++i) {
                if (likelihood(options_.symptoms[i], result.prediction(), options_.meter_ratio) <
                    speaksAgainst) {
                    result.unfitting.push_back(i);
                }
            }
        }
        // One that fits and is not out of the question is enough.
        constexpr double inQuestion = 0.05;
        study_.nothingFits =
            !options_.symptoms.empty() &&
            std::none_of(study_.groups.begin(), study_.groups.end(), [&](const CauseGroup& each) {
                return each.share >= inQuestion &&
                       study_.results[each.causes.front()].unfitting.empty();
            });
        study_.decided = !options_.symptoms.empty() &&
                         study_.groups.front().share >= options_.share_ratio &&
                         study_.results[study_.groups.front().causes.front()].unfitting.empty();
        judgePower();
    }

    void judgePower()
    {
        const HealthReport& health = study_.motor.health;
        constexpr double likely = 0.05;
        double shorts = 0;
        for (const CauseResult& result : study_.results) {
            const auto word = result.prediction().words.find(SymptomKind::motor);
            const bool trips =
                word != result.prediction().words.end() && word->second == motorWord::breaker;
            shorts += trips ? result.share : 0;
        }
        const bool breakerSeen =
            std::any_of(options_.symptoms.begin(), options_.symptoms.end(),
                        [](const Symptom& each) { return each.word == motorWord::breaker; });
        // The windings of a motor that is given in full need no readings; its insulation does.
        const bool insulated = health.insulation == InsulationGrade::fair ||
                               health.insulation == InsulationGrade::good;
        const bool windingsKnown =
            !best_.compressor.readings && best_.compressor.equivalentCircuit.has_value();
        if (health.safe.answer != EnergiseAnswer::yes && !(windingsKnown && insulated)) {
            study_.whyNotPower =
                windingsKnown ? "nobody has read the insulation of the windings" : health.safe.why;
        } else if (breakerSeen) {
            study_.whyNotPower =
                "a breaker or fuse that opens at once means a short or a grounded winding: do not "
                "put it back before that is found";
        } else if (options_.symptoms.empty()) {
            study_.whyNotPower = "nothing has been looked at yet: begin with the supply off";
        } else if (shorts > likely) {
            study_.whyNotPower = "a short from line to line is among what is still likely";
        }
        study_.mayPower = study_.whyNotPower.empty();
    }

    SimulatorPool& pool_;
    const DiagnosisOptions& options_;
    const StudyProgress& progress_;
    Circuit wanted_;
    Case best_;
    MachineSetup sound_;
    StartEffort effort_;
    Diagnosis study_;
};

}  // namespace

Diagnosis diagnose(const Case& input, SimulatorPool& pool, const DiagnosisOptions& options,
                   const StudyProgress& progress)
{
    return Diagnoser(input, pool, options, progress).run();
}

}  // namespace splitstart
