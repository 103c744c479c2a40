// What the text and the JSON of a diagnosis say alike.
#pragma once

#include <string>

#include "study/diagnosis.h"

namespace splitstart
{

// "hums", "62 A", "open"
std::string symptomText(const Symptom& symptom);

// "81 A", "4.1 to 9 s", "never"; of a word, the word; "" where it is not foreseen.
std::string predictedText(SymptomKind kind, const Prediction& prediction);
std::string outcomeText(SymptomKind kind, const NextObservation::Outcome& outcome);

// With which instrument and how, and the caution that goes with it, a sentence each.
struct HowToObserve {
    std::string how;
    std::string caution;
};
HowToObserve howToObserve(const NextObservation& observation);

// "wiring", "start device", ...
std::string_view causeKindName(CauseKind kind);

}  // namespace splitstart
