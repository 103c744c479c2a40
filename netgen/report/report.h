// What people and machines read.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "study/case_study.h"
#include "study/choice.h"
#include "study/diagnosis.h"
#include "study/found_start.h"
#include "study/next_measurement.h"
#include "study/wiring_study.h"

namespace splitstart
{

struct TextStyle {
    bool colour = false;     // only on a terminal; never the only sign
    bool allChecks = false;  // passes too
    int width = 78;          // columns, 30 or more
};

// Pins, winding health, next steps and cautions.
std::string identifyText(const std::string& name, bool invented, const MotorStudy& study,
                         const TextStyle& style);
std::string identifyJson(const std::string& name, bool invented, const MotorStudy& study);

// The verdict of a check: failures first, then what is undecided, then a count of what passes.
// Then what to measure next.
std::string checkText(const Case& input, const CheckStudy& study,
                      const std::vector<NextMeasurement>& next, const TextStyle& style);
std::string checkJson(const Case& input, const CheckStudy& study,
                      const std::vector<NextMeasurement>& next);

// What to measure next, alone.
std::string whatNextText(const Case& input, const CheckStudy& study,
                         const std::vector<NextMeasurement>& next, const TextStyle& style);
std::string whatNextJson(const Case& input, const CheckStudy& study,
                         const std::vector<NextMeasurement>& next);

// The answer of a check whose readings condemn the windings, so that no start was simulated: what
// identifyJson() says, with the verdict and the counts of checkJson().
std::string condemnedJson(const Case& input, const MotorStudy& study);

// The rows of the table of checks with that id (start devices of different kinds share some), or
// all for "all"; empty if there is none.
std::vector<const Check*> checksNamed(std::string_view id);

// What those checks ask, how they are decided, and what that rests on.
std::string explainText(const std::vector<const Check*>& checks, const TextStyle& style);
std::string explainJson(const std::vector<const Check*>& checks);

// Which parts of a stock to fit, how sure that is, why the others are out, and what to ask for.
std::string choiceText(const Case& input, const Choice& choice, const TextStyle& style);
std::string choiceJson(const Case& input, const Choice& choice);

// How the case's circuit is wired, wire by wire, and proved cold before power; of wires as found,
// what is wrong with them and what they do.
std::string wiringText(const Case& input, const WiringStudy& study, const FoundStartAnswer& found,
                       const TextStyle& style);
std::string wiringJson(const Case& input, const WiringStudy& study, const FoundStartAnswer& found);

// The usage text of --symptom: a row for each kind.
std::string symptomsHelp();

// Which causes fit what was observed, and what to look at next.
std::string diagnosisText(const Case& input, const Diagnosis& diagnosis,
                          const std::vector<Symptom>& symptoms, const TextStyle& style);
std::string diagnosisJson(const Case& input, const Diagnosis& diagnosis,
                          const std::vector<Symptom>& symptoms);

// The usual cautions before anything is touched or powered.
std::string cautionsText(int width = 78);

}  // namespace splitstart
