#include <fmt/format.h>

#include "rating/part_ratings.h"
#include "study/case_study.h"

namespace splitstart
{

Case withSource(const Case& input, const MotorStudy& motor)
{
    Case result = input;
    result.supply.source_ohm = motor.source.resistance_ohm;
    result.supply.source_H = motor.source.inductance_H;
    return result;
}

std::string startDeck(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                      const Corner& corner, double end_s)
{
    const SimulationModel model =
        simulationModel(withSource(input, motor), circuit, motor.motor.circuit,
                        motor.motor.ratedTorque_Nm.value, corner);
    Analysis analysis;
    analysis.end_s = endBetweenSteps_s(end_s, analysis.largestStep_s);
    return writeDeck(model, analysis, deckText(input, circuit, motor, corner));
}

DeckText deckText(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                  const Corner& corner)
{
    DeckText text;
    text.title = fmt::format("start of {}{}", input.name, input.invented ? " (invented)" : "");
    text.comments = {
        fmt::format("{}: {}", circuit.type, circuit.description),
        fmt::format("corner: {}", cornerText(corner)),
        "100 % line is the rated voltage",
        motor.identification ? "pins: " + motor.identification->answer : "pins: no readings given",
        motor.health.safe.answer == EnergiseAnswer::no ? "DO NOT ENERGISE: " + motor.health.safe.why
                                                       : "",
        "run it with: ngspice -b FILE",
        "",
        "where the numbers of the motor come from (value, unit, source, 95 % interval):",
    };
    for (const MotorParameter& parameter : motor.motor.parameters) {
        text.comments.push_back(fmt::format("  {} {:.4g} {} ({}, +/- {:.0f} %): {}", parameter.name,
                                            parameter.value.value, parameter.unit,
                                            originName(parameter.value.origin),
                                            parameter.value.accuracy_ratio * 100, parameter.basis));
    }
    for (const std::string& note : motor.notes) {
        text.comments.push_back("  note: " + note);
    }
    text.controlSection = true;
    text.ratings = partRatings(input, circuit);
    return text;
}

}  // namespace splitstart
