// The figures to be reproduced, and how the bench would show each.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <numeric>
#include <stdexcept>

#include "motor/estimator.h"
#include "motor/run_up.h"

namespace splitstart::estimation
{

namespace
{

// What a machine of sines and straight iron leaves out, in volts, amps and watts (assumed).
constexpr double model_ratio = 0.02;
// What the run-up leaves out: pulsations, the first cycle, in which the fluxes have to build up,
// when exactly the start circuit leaves. Against simulated starts from equal pressures
// (tests/physics/run_up_test.cpp: 1.12 times as long with a switch that opens as supposed here)
// and, with relays of all kinds, against those of bench_calibration.
constexpr double runUpFactor = 1.1;
constexpr double runUpModel_ratio = 0.3;
// Rated output against what the pump asks for, and a plate's rounding.
constexpr double outputAccuracy_ratio = 0.3;
// Rated-load figures are ratings for its protection, not readings: twice as far off (assumed).
constexpr double ratingFactor = 2;
// A motor without load turns almost at synchronous speed (assumed).
constexpr double unloaded_ratio = 0.99;

constexpr const char* loadName = "load during the measurements over load at rated load";

double field(Responses responses, std::size_t point, double HeldShaftResponse::*which)
{
    return responses[point].*which;
}

}  // namespace

std::size_t Evidence::point(const OperatingPoint& wanted)
{
    const auto found = std::find(points_.begin(), points_.end(), wanted);
    if (found != points_.end()) {
        return static_cast<std::size_t>(found - points_.begin());
    }
    points_.push_back(wanted);
    return points_.size() - 1;
}

std::size_t Evidence::ratedPoint()
{
    OperatingPoint rated;
    rated.feed = Feed::startCircuitOut;
    rated.at = At::ratedSlip;
    rated.line_V = estimator_->input().line_V;
    rated.winding_degC = ratedLoad_degC;
    return point(rated);
}

Evidence Evidence::only(std::span<const std::size_t> which) const
{
    Evidence result = *this;
    result.observations_.clear();
    for (const std::size_t i : which) {
        result.observations_.push_back(observations_[i]);
    }
    return result;
}

bool Evidence::isNeeded(std::size_t point) const
{
    return points_[point].at == At::ratedSlip ||
           std::any_of(observations_.begin(), observations_.end(),
                       [point](const Observation& each) {
                           return std::find(each.points.begin(), each.points.end(), point) !=
                                  each.points.end();
                       });
}

void Evidence::addNameplate(const Nameplate& plate, std::vector<std::string>& notes)
{
    const std::size_t rated = ratedPoint();
    if (plate.lockedRotor_A) {
        OperatingPoint locked;
        locked.line_V = estimator_->input().line_V;
        locked.winding_degC = lockedRotor_degC;
        const bool runWinding = plate.lockedRotorOf == LockedRotorOf::runWinding;
        locked.feed = runWinding ? Feed::runWindingAlone : Feed::startCircuitIn;
        locked.plateParts = !runWinding && (estimator_->input().hasStartCapacitor ||
                                            estimator_->input().hasRunCapacitor);
        const std::size_t at = point(locked);
        observations_.push_back({"locked-rotor amps",
                                 "A",
                                 *plate.lockedRotor_A,
                                 plate.accuracy_ratio,
                                 model_ratio,
                                 {at},
                                 [at](const Eigen::VectorXd&, Responses responses) {
                                     return field(responses, at, &HeldShaftResponse::compressor_A);
                                 }});
        if (!plate.lockedRotorOfGiven) {
            notes.emplace_back(
                "locked-rotor amps taken as the current of the whole compressor with its start "
                "parts");
        }
    } else {
        notes.emplace_back(
            "locked-rotor amps not given: starting current and torque are a rough guess");
    }
    if (plate.ratedLoad_A) {
        observations_.push_back({"rated-load amps",
                                 "A",
                                 *plate.ratedLoad_A,
                                 ratingFactor * plate.accuracy_ratio,
                                 model_ratio,
                                 {rated},
                                 [rated](const Eigen::VectorXd&, Responses responses) {
                                     return field(responses, rated,
                                                  &HeldShaftResponse::compressor_A);
                                 }});
    } else {
        notes.emplace_back(
            "rated-load amps not given: load torque and running values are a rough guess");
    }
    if (plate.ratedLoad_W) {
        observations_.push_back({"rated-load watts",
                                 "W",
                                 *plate.ratedLoad_W,
                                 ratingFactor * plate.accuracy_ratio,
                                 model_ratio,
                                 {rated},
                                 [rated](const Eigen::VectorXd&, Responses responses) {
                                     return field(responses, rated,
                                                  &HeldShaftResponse::compressor_W);
                                 }});
    }
    if (plate.output_W) {
        const Estimator* estimator = estimator_;
        observations_.push_back({"rated output",
                                 "W",
                                 *plate.output_W,
                                 outputAccuracy_ratio,
                                 model_ratio,
                                 {rated},
                                 [estimator, rated](const Eigen::VectorXd& x, Responses responses) {
                                     return estimator->delivered_Nm(x, responses[rated]) *
                                            estimator->ratedSpeed_ratio(x) *
                                            estimator->synchronous_rad_s();
                                 }});
    }
    addUsualRating();
}

OperatingPoint Evidence::measuredAt(const Measurement& measurement, Feed feed, At at) const
{
    OperatingPoint result;
    result.feed = feed;
    result.at = at;
    result.line_V = estimator_->input().measuredAt_V;
    result.winding_degC = measurement.winding_degC.value_or(
        at == At::measuredSlip ? ratedLoad_degC : lockedRotor_degC);
    result.stiff = false;
    return result;
}

void Evidence::addField(const Measurement& measurement, const char* name, const char* unit,
                        const OperatingPoint& at, double HeldShaftResponse::*which)
{
    const std::size_t index = point(at);
    if (at.at == At::measuredSlip) {
        addLoadWhileMeasured(at);
    }
    observations_.push_back({name,
                             unit,
                             measurement.value,
                             measurement.accuracy_ratio,
                             model_ratio,
                             {index},
                             [index, which](const Eigen::VectorXd&, Responses responses) {
                                 return field(responses, index, which);
                             }});
}

void Evidence::addPowerFactor(const Measurement& measurement, const char* name,
                              const OperatingPoint& at)
{
    const std::size_t index = point(at);
    if (at.at == At::measuredSlip) {
        addLoadWhileMeasured(at);
    }
    observations_.push_back({name,
                             "",
                             measurement.value,
                             measurement.accuracy_ratio,
                             model_ratio,
                             {index},
                             [index](const Eigen::VectorXd&, Responses responses) {
                                 const HeldShaftResponse& there = responses[index];
                                 return there.compressor_W /
                                        (there.terminal_V * there.compressor_A);
                             }});
}

void Evidence::addSecondsToStart(const Measurement& measurement)
{
    // The start circuit leaves at about 80 % speed, wherever its device is set.
    static constexpr std::array<double, 5> in_ratio = {0.0, 0.3, 0.55, 0.7, 0.8};
    static constexpr std::array<double, 2> out_ratio = {0.801, 0.9};
    std::vector<std::pair<double, std::size_t>> table;
    const auto add = [&](double speed_ratio, Feed feed) {
        OperatingPoint at = measuredAt(measurement, feed, At::fixed);
        at.fixed_ratio = speed_ratio;
        table.emplace_back(speed_ratio, point(at));
    };
    const Estimator* estimator = estimator_;
    for (const double speed_ratio : in_ratio) {
        add(speed_ratio, Feed::startCircuitIn);
    }
    for (const double speed_ratio : out_ratio) {
        add(speed_ratio,
            estimator->input().startCircuitLeaves ? Feed::startCircuitOut : Feed::startCircuitIn);
    }
    const std::size_t rated = ratedPoint();
    std::vector<std::size_t> needed = {rated};
    for (const auto& [speed_ratio, index] : table) {
        needed.push_back(index);
    }
    observations_.push_back(
        {"seconds to start", "s", measurement.value, measurement.accuracy_ratio, runUpModel_ratio,
         needed, [estimator, table, rated](const Eigen::VectorXd& x, Responses responses) {
             std::vector<TorqueAtSpeed> torque;
             torque.reserve(table.size());
             for (const auto& [speed_ratio, index] : table) {
                 torque.push_back({speed_ratio, responses[index].torque_Nm});
             }
             return 1 / estimator->input().frequency_Hz +
                    runUpFactor * runUpTime_s(torque, estimator->circuitAt(x).inertia_kgm2,
                                              estimator->synchronous_rad_s(),
                                              estimator->ratedTorque_Nm(x, responses[rated]),
                                              estimator->input().runUp);
         }});
}

// While the further measurements are taken the pump asks for its torque, whatever the volts: that
// ties the slip of the measurements to the rated point better than a guess at the slip would.
void Evidence::addLoadWhileMeasured(const OperatingPoint& running)
{
    const bool known =
        std::any_of(observations_.begin(), observations_.end(),
                    [](const Observation& each) { return each.name.starts_with(loadName); });
    if (known) {
        return;
    }
    // A system that runs is seldom at its full rated load (assumed).
    constexpr double usualLoad_ratio = 0.9;
    constexpr double usualLoadAccuracy_ratio = 0.35;
    const Estimator* estimator = estimator_;
    const std::size_t rated = ratedPoint();
    const std::size_t index = point(running);
    Observation load{loadName,
                     "",
                     usualLoad_ratio,
                     usualLoadAccuracy_ratio,
                     0,
                     {rated, index},
                     [estimator, rated, index](const Eigen::VectorXd& x, Responses responses) {
                         constexpr double least = 1e-3;
                         const double rated_Nm = estimator->ratedTorque_Nm(x, responses[rated]);
                         return rated_Nm > 0
                                    ? std::max(responses[index].torque_Nm / rated_Nm, least)
                                    : usualLoad_ratio;
                     }};
    load.isFigure = false;
    observations_.push_back(std::move(load));
}

// What any motor is rated at: physics and custom, not figures that somebody read.
void Evidence::addUsualRating()
{
    const Estimator* estimator = estimator_;
    const std::size_t rated = ratedPoint();
    // Output over volt-amps, efficiency times power factor. Circuits of the machines named in
    // estimate_priors.cpp, computed at their rated slip with ohms and losses from memory, so only
    // roughly: 0.34 to 0.65 in six without a run capacitor, geometric mean 0.44 and standard
    // deviation of the logarithm 0.21; about 0.8 in three with one, all large, and 0.55 to 0.7 in
    // small ones (common practice, no source).
    // With one, the priors of the circuit alone ask for more than is usual: 0.55 there is a
    // counterweight, with which estimates by a plate are about 0.75.
    const double likelyOutput_ratio = estimator_->input().hasRunCapacitor ? 0.55 : 0.45;
    Observation output{"rated output over rated volt-amps",
                       "",
                       likelyOutput_ratio,
                       0.6,
                       0,
                       {rated},
                       [estimator, rated](const Eigen::VectorXd& x, Responses responses) {
                           return estimator->delivered_Nm(x, responses[rated]) *
                                  estimator->ratedSpeed_ratio(x) * estimator->synchronous_rad_s() /
                                  estimator->ratedVoltAmps();
                       }};
    output.isFigure = false;
    observations_.push_back(std::move(output));
    // Pull-out over rated torque: NEMA MG 1 asks small single-phase motors for 1.75 to 2.5 (from
    // memory); published machines and compressors have 1.4 to 4.
    static constexpr std::array<double, 6> speeds_ratio = {0.45, 0.58, 0.68, 0.76, 0.83, 0.9};
    std::vector<std::size_t> needed = {rated};
    for (const double speed_ratio : speeds_ratio) {
        OperatingPoint at = points_[rated];
        at.at = At::fixed;
        at.fixed_ratio = speed_ratio;
        needed.push_back(point(at));
    }
    Observation pullOut{
        "pull-out torque over rated torque",
        "",
        2.1,
        0.6,
        0,
        needed,
        [estimator, needed](const Eigen::VectorXd& x, Responses responses) {
            double most_Nm = 0;
            for (const std::size_t index : needed) {
                most_Nm = std::max(most_Nm, responses[index].torque_Nm);
            }
            constexpr double least = 1e-3;
            return std::max(most_Nm / estimator->delivered_Nm(x, responses[needed.front()]), least);
        }};
    pullOut.isFigure = false;
    observations_.push_back(std::move(pullOut));
}

void Evidence::addTwoFeedTest(const TwoFeedTest& test)
{
    OperatingPoint run;
    run.feed = Feed::runWindingAlone;
    run.at = At::fixed;
    run.fixed_ratio = unloaded_ratio;
    run.line_V = test.runFed_V;
    run.winding_degC = lockedRotor_degC;
    OperatingPoint start = run;
    start.line_V = test.startFed_V;
    start.swapped = true;
    const auto add = [&](const char* name, const OperatingPoint& at, double open_V) {
        const std::size_t index = point(at);
        observations_.push_back({name,
                                 "V",
                                 open_V,
                                 test.accuracy_ratio,
                                 model_ratio,
                                 {index},
                                 [index](const Eigen::VectorXd&, Responses responses) {
                                     return responses[index].startWinding_V;
                                 }});
    };
    add("two-feed test, S-C volts with the run winding fed", run, test.startOpen_V);
    add("two-feed test, R-C volts with the start winding fed", start, test.runOpen_V);
}

bool Evidence::addMeasurement(const Measurement& measurement, std::vector<std::string>& notes)
{
    using Q = MeasuredQuantity;
    const OperatingPoint running = measuredAt(measurement, Feed::startCircuitOut, At::measuredSlip);
    const OperatingPoint stalled = measuredAt(measurement, Feed::startCircuitIn, At::standstill);
    const OperatingPoint runWinding =
        measuredAt(measurement, Feed::runWindingAlone, At::standstill);
    const bool hasRunCapacitor = estimator_->input().hasRunCapacitor;
    const auto notUsed = [&notes](const char* what) {
        notes.push_back(
            fmt::format("{} not used: without a run capacitor the start winding "
                        "carries none once the start circuit has left",
                        what));
        return false;
    };
    const auto take = [&](const char* name, const char* unit, const OperatingPoint& at,
                          double HeldShaftResponse::*which) {
        addField(measurement, name, unit, at, which);
        return true;
    };
    using R = HeldShaftResponse;
    switch (measurement.quantity) {
        case Q::startCommonVoltsRunning:
            return take("S-C volts running", "V", running, &R::startWinding_V);
        case Q::startCommonVoltsStalled:
            return take("S-C volts stalled", "V", stalled, &R::startWinding_V);
        case Q::lineAmpsRunning:
            return take("line amps running", "A", running, &R::compressor_A);
        case Q::lineAmpsStalled:
            return take("line amps stalled", "A", stalled, &R::compressor_A);
        case Q::startLeadAmpsRunning:
            return hasRunCapacitor ? take("start lead amps running", "A", running, &R::auxiliary_A)
                                   : notUsed("start lead amps in running are");
        case Q::startLeadAmpsStalled:
            return take("start lead amps stalled", "A", stalled, &R::auxiliary_A);
        case Q::runCapacitorVoltsRunning:
            return hasRunCapacitor
                       ? take("run capacitor volts running", "V", running, &R::runCapacitor_V)
                       : notUsed("run capacitor volts are");
        case Q::lineWattsRunning:
            return take("watts running", "W", running, &R::compressor_W);
        case Q::lineWattsStalled:
            return take("watts stalled", "W", stalled, &R::compressor_W);
        case Q::powerFactorRunning:
            addPowerFactor(measurement, "power factor running", running);
            return true;
        case Q::powerFactorStalled:
            addPowerFactor(measurement, "power factor stalled", stalled);
            return true;
        case Q::runWindingAmpsStalled:
            return take("run winding amps stalled", "A", runWinding, &R::compressor_A);
        case Q::runWindingWattsStalled:
            return take("run winding watts stalled", "W", runWinding, &R::compressor_W);
        case Q::supplyVoltsStalled:
            return take("supply volts stalled", "V", stalled, &R::terminal_V);
        case Q::secondsToStart:
            if (estimator_->input().runUp.buildUp_revolutions <= 0 &&
                estimator_->input().runUp.atRest_ratio > 0) {
                // The mean torque does not tell how a start against pressure goes.
                notes.emplace_back(
                    "seconds to start are not used: the start was against pressure, where they "
                    "tell too little of the motor");
                return false;
            }
            addSecondsToStart(measurement);
            return true;
        case Q::turnsRatio: {
            const Estimator* estimator = estimator_;
            observations_.push_back({"turns ratio",
                                     "",
                                     measurement.value,
                                     measurement.accuracy_ratio,
                                     0,
                                     {},
                                     [estimator](const Eigen::VectorXd& x, Responses) {
                                         return estimator->value(x, turnsRatio);
                                     }});
            return true;
        }
    }
    return false;
}

}  // namespace splitstart::estimation
