// Estimating the equivalent circuit from what a person can know in the field: winding resistances,
// nameplate figures, and any further measurement.
//
// The readings do not determine the motor. Unknowns start from priors (a typical value and its
// spread); least squares finds the most probable motor, and samples drawn from what is then still
// possible show which conclusions hang on what is not known.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "case/case.h"
#include "motor/motor.h"

namespace splitstart
{

// How the windings are fed while the shaft is held.
enum class Feed {
    startCircuitIn,   // as the case's circuit has it, start contact made
    startCircuitOut,  // start contact open
    runWindingAlone,  // straight across the line, pin S free
};

// Between open-circuit volts and the terminals.
struct SourceImpedance {
    double resistance_ohm = 0;
    double inductance_H = 0;

    bool operator==(const SourceImpedance&) const = default;
};

// A motor with its shaft held at a speed in the circuit of the case.
struct HeldShaftTrial {
    EquivalentCircuit circuit;
    double line_V = 0;       // open-circuit volts of the feed
    double speed_ratio = 0;  // of synchronous speed
    double winding_degC = 25;
    Feed feed = Feed::startCircuitIn;
    std::optional<SourceImpedance> source = {};  // empty: line_V holds at the terminals
    double capacitor_ratio = 1;                  // start and run capacitors / those of the case

    bool operator==(const HeldShaftTrial&) const = default;
};

// What it draws, rms; a fan beside the compressor is not counted.
struct HeldShaftResponse {
    double compressor_A = 0;
    double auxiliary_A = 0;
    double startWinding_V = 0;  // S-C
    double compressor_W = 0;
    double torque_Nm = 0;
    double terminal_V = 0;      // where the source ends
    double runWinding_V = 0;    // R-C
    double runCapacitor_V = 0;  // 0: there is none
};

// The motor's equations stand in models/ alone, so whoever calls the estimation lends it a bench
// that runs them: responses in the order of the trials.
using HeldShaftBench =
    std::function<std::vector<HeldShaftResponse>(std::span<const HeldShaftTrial>)>;

// What the shaft meets on the way up.
struct RunUpLoad {
    double atRest_ratio = 0;         // load torque of the first turn / rated torque
    double buildUp_revolutions = 0;  // turns in which 63 % of the rest to the rated torque has come
};

// What the estimation starts from.
struct EstimationInput {
    Quantity main_ohm;  // at 25 degC, leads taken off
    Quantity auxiliary_ohm;
    int poles = 2;
    bool polesGiven = false;
    double line_V = 0;  // rated
    double frequency_Hz = 60;
    Nameplate nameplate;
    std::vector<Measurement> measurements;
    std::optional<TwoFeedTest> twoFeedTest;
    double measuredAt_V = 0;  // open-circuit supply volts during those measurements
    SourceImpedance source;
    bool sourceGiven = false;  // false: a typical supply stands in, with its spread
    bool hasRunCapacitor = false;
    bool hasStartCapacitor = true;
    bool startCircuitLeaves = true;  // false: nothing switches it off on the way up
    std::optional<double> loadTorque_Nm;
    RunUpLoad runUp;
};

// How a figure of the nameplate, or a measurement, compares with the estimated motor.
struct FitResidual {
    std::string name;  // "locked-rotor amps"
    std::string unit;
    double wanted = 0;
    double reproduced = 0;
    double accuracy_ratio = 0;  // beyond it one sound case in a thousand disagrees
};

// One motor that the evidence allows.
struct MotorSample {
    EquivalentCircuit circuit;
    double ratedTorque_Nm = 0;
    SourceImpedance source;
    std::vector<double> unknowns;  // natural logarithms of the ratio to the prior's median
};

// What is still possible, for drawing from: motors that are as frequent as they are probable. The
// same seed gives the same motors in the same order, however many are asked for at a time.
class MotorPosterior
{
public:
    MotorPosterior() = default;
    virtual ~MotorPosterior() = default;
    MotorPosterior(const MotorPosterior&) = delete;
    MotorPosterior& operator=(const MotorPosterior&) = delete;

    // Throws what the bench throws.
    virtual std::vector<MotorSample> draw(std::size_t count) = 0;
    // What MotorSample::unknowns are, in words: "turns ratio".
    [[nodiscard]] virtual std::vector<std::string> unknownNames() const = 0;
    // What measurements would show on each of the motors, in the order asked for; no values where
    // this compressor has nothing of the kind to measure (amps of a start lead that carries none).
    struct Prediction {
        std::vector<double> values;
        double accuracy_ratio = 0;  // 95 %, what the computation itself adds
    };
    virtual std::vector<Prediction> predict(std::span<const MeasuredQuantity> quantities,
                                            std::span<const MotorSample> motors) = 0;
};

struct MotorEstimate {
    Motor motor;
    SourceImpedance source;
    std::vector<FitResidual> residuals;
    std::vector<std::string> notes;  // what was assumed or not used, one plain sentence each
    // Figures that no one motor can have together, one plain sentence for each pair or group.
    std::vector<std::string> contradictions;
    std::shared_ptr<MotorPosterior> posterior;  // keeps copies of input and bench
};

// Most probable motor by least squares (Ceres Solver) in the logarithms of the unknowns.
// Throws std::invalid_argument if there are neither locked-rotor nor rated-load amps, and whatever
// the bench throws.
MotorEstimate estimateMotor(const EstimationInput& input, const HeldShaftBench& bench,
                            std::uint64_t seed = 1);

}  // namespace splitstart
