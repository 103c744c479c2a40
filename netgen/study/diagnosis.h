// Which of all that can be wrong fits what was observed.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "case/symptom.h"
#include "study/case_study.h"
#include "study/cause.h"
#include "study/prediction.h"

namespace splitstart
{

struct DiagnosisOptions {
    std::vector<Symptom> symptoms;
    double meter_ratio = 0;     // error of the person's meters, 95 %; 0: as usual for each kind
    double share_ratio = 0.95;  // from this share on, the first group is called the answer
    std::size_t machines = 8;   // possible machines that the leading causes are tried on
    std::uint64_t seed = 1;
};

// A cause with the pump's pressures as they may have been in the attempt: nobody sees at which
// angle and against what a pump has to start, and a tired start circuit shows only against
// pressure.
struct CauseVariant {
    Pressures pressures = Pressures::equalised;
    double weight = 1;          // before anything was observed; those of a cause sum to 1
    double likelihood = 0;      // of what was observed
    Prediction prediction;      // most probable machine
    std::string simulatorSays;  // why ngspice could not follow it; it is not weighed then
};

struct CauseResult {
    Cause cause;
    std::vector<CauseVariant> variants;  // the likeliest first
    double share = 0;                    // of all causes, after what was observed
    std::vector<std::size_t> unfitting;  // of the symptoms, by index: those that speak against it

    [[nodiscard]] const Prediction& prediction() const { return variants.front().prediction; }
    [[nodiscard]] const std::string& simulatorSays() const
    {
        return variants.front().simulatorSays;
    }
};

// Causes that nobody could tell apart with the supply on.
struct CauseGroup {
    std::vector<std::size_t> causes;  // by index of Diagnosis::results, most likely first
    double share = 0;
    // What tells its likely members apart with the supply locked out.
    std::vector<SymptomKind> toldApartBy;
};

// Something to look at next.
struct NextObservation {
    SymptomKind kind = SymptomKind::motor;
    bool isWires = false;  // not a symptom: the wires themselves, listed as they are found
    double gain_bits = 0;  // expected
    // What is seen, and with which of the likely causes.
    struct Outcome {
        std::string_view word;            // of a symptom with words
        Range value;                      // else, SI
        bool notSeen = false;             // it cannot be observed then
        std::vector<std::size_t> causes;  // by index of Diagnosis::results
        double share = 0;
    };
    std::vector<Outcome> outcomes;
};

struct Diagnosis {
    MotorStudy motor;
    Circuit circuit;
    std::vector<CauseResult> results;   // most likely first
    std::vector<CauseGroup> groups;     // most likely first
    std::vector<NextObservation> next;  // best first
    bool mayPower = false;              // whether observations with the supply on may be asked for
    std::string whyNotPower;
    bool nothingFits = false;   // even the most likely cause speaks against an observation
    bool decided = false;       // one group has the share that was asked for, and it fits
    std::size_t simulated = 0;  // starts
    bool wiresKnown = false;    // as the case lists them
};

// Simulates every cause (cause.h) with the most probable motor, at the supply's volts, cold, parts
// in the middle of their ranges, with the pressures that the case says and (of a reciprocating
// pump, less likely) with the others; weighs each by how likely the observations are then; tries
// the likely ones on possible machines, and weighs again. Shares are those of Bayes' rule over the
// causes that are listed: what is not listed is not weighed. Throws InputError, SimulationError.
Diagnosis diagnose(const Case& input, SimulatorPool& pool, const DiagnosisOptions& options,
                   const StudyProgress& progress = {});

}  // namespace splitstart
