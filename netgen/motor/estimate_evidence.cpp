// What the estimation starts from: priors of the unknowns, and the figures to be reproduced.
#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "case/reader.h"
#include "motor/estimator.h"

namespace splitstart::estimation
{

// Medians and spreads are assumed (no published source; of the order that motor design texts give
// for small induction motors), wide enough that a nameplate figure overrules them.
Priors priorsFor(const EstimationInput& input)
{
    Priors priors;
    // Ranges taught: about 1.0 to 1.5 without, 1.1 to 1.7 with a run capacitor.
    priors[turnsRatio] = input.hasRunCapacitor
                             ? Prior{1.37, 0.13, "typical of capacitor-run motors"}
                             : Prior{1.22, 0.12, "typical of capacitor-start motors"};
    priors[leakage] = {1.2, 0.6, "typical of small motors"};
    priors[magnetizing] = {23, 0.35, "typical of small motors"};
    priors[rotorResistance] = {1.2, 0.35, "typical of small motors"};
    priors[auxiliaryLeakage] = {0.95, 0.12, "typical: run leakage times turns ratio squared"};
    priors[ratedSlip] = {0.045, 0.35, "typical of small motors"};
    priors[coreLoss] = {0.04, 0.5, "typical share of the volt-amps at rated load"};
    priors[measuredSlip] = {0.035, 0.5, "typical of small motors"};
    priors[mainResistance] = {
        input.main_ohm.value,
        std::max(std::log1p(input.main_ohm.accuracy_ratio) / ninetyFivePercent, 1e-3), "readings"};
    return priors;
}

void Estimator::collectObservations()
{
    const Nameplate& plate = input_.nameplate;
    // A plate figure is reproduced closely where it is all there is; beside a measurement of the
    // same amps it weighs only what a plate is worth.
    const auto plateFit_ratio = [this](MeasuredQuantity same) {
        const bool measured =
            std::any_of(input_.measurements.begin(), input_.measurements.end(),
                        [same](const Measurement& each) { return each.quantity == same; });
        return measured ? nameplateAccuracy_ratio / ninetyFivePercent : fitTightness_ratio;
    };
    if (plate.lockedRotor_A) {
        observations_.push_back({"locked-rotor amps",
                                 "A",
                                 *plate.lockedRotor_A,
                                 nameplateAccuracy_ratio,
                                 plateFit_ratio(MeasuredQuantity::lineAmpsStalled),
                                 false,
                                 {},
                                 input_.line_V,
                                 lockedRotor_degC,
                                 &HeldShaftResponse::compressor_A});
        notes_.emplace_back(
            "locked-rotor amps taken as the current of the whole compressor with its start parts");
    }
    if (plate.ratedLoad_A) {
        observations_.push_back({"rated-load amps", "A", *plate.ratedLoad_A,
                                 nameplateAccuracy_ratio,
                                 plateFit_ratio(MeasuredQuantity::lineAmpsRunning), true, ratedSlip,
                                 input_.line_V, ratedLoad_degC, &HeldShaftResponse::compressor_A});
    }
    if (observations_.empty()) {
        throw std::invalid_argument(
            "neither locked-rotor amps nor rated-load amps are given: the motor cannot be "
            "estimated from resistances alone");
    }
    if (!plate.lockedRotor_A) {
        notes_.emplace_back(
            "locked-rotor amps not given: starting current and torque are a rough guess");
    }
    if (!plate.ratedLoad_A) {
        notes_.emplace_back(
            "rated-load amps not given: load torque and running values are a rough guess");
    }
    for (const Measurement& measurement : input_.measurements) {
        addMeasurement(measurement);
    }
}

void Estimator::addMeasurement(const Measurement& measurement)
{
    Observation observation;
    observation.wanted = measurement.value;
    observation.accuracy_ratio = measurement.accuracy_ratio;
    observation.fit_ratio = std::max(measurement.accuracy_ratio / ninetyFivePercent, 1e-3);
    observation.line_V = input_.measuredAt_V;
    observation.stiff = false;
    const auto take = [&](const char* name, const char* unit, bool running,
                          double HeldShaftResponse::*response) {
        observation.name = name;
        observation.unit = unit;
        observation.running = running;
        if (running) {
            observation.slip = measuredSlip;
        }
        observation.winding_degC = running ? ratedLoad_degC : lockedRotor_degC;
        observation.response = response;
        observations_.push_back(observation);
    };
    switch (measurement.quantity) {
        case MeasuredQuantity::startCommonVoltsRunning:
            return take("S-C volts running", "V", true, &HeldShaftResponse::startWinding_V);
        case MeasuredQuantity::startCommonVoltsStalled:
            return take("S-C volts stalled", "V", false, &HeldShaftResponse::startWinding_V);
        case MeasuredQuantity::lineAmpsRunning:
            return take("line amps running", "A", true, &HeldShaftResponse::compressor_A);
        case MeasuredQuantity::lineAmpsStalled:
            return take("line amps stalled", "A", false, &HeldShaftResponse::compressor_A);
        case MeasuredQuantity::startLeadAmpsRunning:
            if (!input_.hasRunCapacitor) {
                notes_.emplace_back(
                    "start lead amps in running are not used: without a run capacitor the start "
                    "winding carries none once the start circuit has left");
                return;
            }
            return take("start lead amps running", "A", true, &HeldShaftResponse::auxiliary_A);
        case MeasuredQuantity::startLeadAmpsStalled:
            return take("start lead amps stalled", "A", false, &HeldShaftResponse::auxiliary_A);
        case MeasuredQuantity::lineWattsRunning:
            return take("watts running", "W", true, &HeldShaftResponse::compressor_W);
        case MeasuredQuantity::lineWattsStalled:
            return take("watts stalled", "W", false, &HeldShaftResponse::compressor_W);
        case MeasuredQuantity::turnsRatio:
            priors_[turnsRatio] = {measurement.value,
                                   std::max(measurement.accuracy_ratio / ninetyFivePercent, 1e-3),
                                   "measured on the bench"};
            turnsRatioMeasured_ = true;
            return;
        case MeasuredQuantity::supplyVoltsStalled:
            notes_.emplace_back("supply volts while stalled are kept but not used in the estimate");
            return;
        case MeasuredQuantity::secondsToStart:
            notes_.emplace_back("seconds to start are kept but not used in the estimate");
            return;
        case MeasuredQuantity::runCapacitorVoltsRunning:
        case MeasuredQuantity::powerFactorRunning:
        case MeasuredQuantity::powerFactorStalled:
        case MeasuredQuantity::runWindingAmpsStalled:
        case MeasuredQuantity::runWindingWattsStalled:
            notes_.push_back(std::string(measuredQuantityName(measurement.quantity)) +
                             " is not used yet");
            return;
    }
}

}  // namespace splitstart::estimation
