// Evidence in which every check passes, made up for the dairy's cases. A test spoils one thing
// and sees which check notices.
#pragma once

#include <string_view>
#include <vector>

#include "circuit/circuit.h"
#include "rating/check.h"
#include "unit/dairy_service_cases.h"

namespace splitstart
{

struct RatingBench {
    Case input;
    Circuit circuit;
    Evidence evidence;

    [[nodiscard]] std::vector<Finding> findings() const;
    // With other motors that the same evidence allows.
    [[nodiscard]] std::vector<Finding> findings(const std::vector<Evidence>& others) const;

    // The finding of that check. Throws std::out_of_range if it does not apply.
    [[nodiscard]] Finding finding(std::string_view id) const;

    template <typename Change>
    void eachStart(Change change)
    {
        for (StartRun& run : evidence.starts) {
            change(run.measured);
        }
    }

    // Every row of every table with the start circuit in, or of those with it out.
    template <typename Change>
    void eachRowIn(Change change)
    {
        for (HeldShaftTable& table : evidence.held) {
            for (HeldShaftMeasurement& row : table.startCircuitIn) {
                change(row);
            }
        }
    }
    template <typename Change>
    void eachRowOut(Change change)
    {
        for (HeldShaftTable& table : evidence.held) {
            for (HeldShaftMeasurement& row : table.startCircuitOut) {
                change(row);
            }
        }
    }
};

RatingBench soundColdStore();
RatingBench soundBottleCooler();
RatingBench soundMilkTank();      // PTC, generator, cable, contactor, fan with its own capacitor
RatingBench soundCurdRoom();      // timed switch, contactor, dual capacitor, protector outside
RatingBench soundButterChurn();   // switch on the shaft
RatingBench soundRipeningRoom();  // no start device, crankcase heat
RatingBench soundCreamCellar();   // potential relay, start capacitor, crankcase heat

// All of them.
std::vector<RatingBench> soundBenches();

Finding findingOf(const std::vector<Finding>& findings, std::string_view id);

}  // namespace splitstart
