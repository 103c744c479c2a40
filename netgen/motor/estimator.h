// The least-squares estimation behind motor/estimate.h: what is unknown, what is known, the fit,
// and what is said of the result. Internal to motor/.
#pragma once

#include <Eigen/Dense>
#include <array>
#include <cmath>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "motor/estimate.h"

namespace splitstart::estimation
{

// The unknowns, each as the natural logarithm of its ratio to the prior's median.
enum Unknown : std::size_t {
    turnsRatio,
    leakage,           // run winding leakage reactance / run winding resistance
    magnetizing,       // magnetizing / leakage reactance
    rotorResistance,   // rotor / run winding resistance, both at 25 degC
    auxiliaryLeakage,  // start leakage / (turns ratio squared times run leakage)
    ratedSlip,
    coreLoss,        // share of rated volts times rated amps
    mainResistance,  // of the run winding at 25 degC
    measuredSlip,    // while the further measurements were taken
    unknownCount
};

struct Prior {
    double median = 1;
    double spread = 1;  // standard deviation of the natural logarithm
    const char* basis = "";
};

using Priors = std::array<Prior, unknownCount>;

// The priors for this motor; see estimate_evidence.cpp.
Priors priorsFor(const EstimationInput& input);

// Temperatures at which nameplate figures hold (assumed: locked rotor from cold, rated load warm).
constexpr double lockedRotor_degC = 25;
constexpr double ratedLoad_degC = 75;
constexpr double nameplateAccuracy_ratio =
    0.10;                                    // plates are rounded ratings of a series of motors
constexpr double fitTightness_ratio = 0.01;  // the fit reproduces the plate itself this closely
// Energy of the rotor at synchronous speed in seconds of rated output, so that a healthy start
// takes 0.2 to 0.5 s, as the trade reports (no source); a factor of two either way.
constexpr double inertia_s = 0.3;
constexpr double inertiaAccuracy_ratio = 1.0;
constexpr double outputOverVoltAmps_ratio = 0.65;  // efficiency times power factor (assumed)
constexpr double outputAccuracy_ratio = 0.3;       // rated output against the pump's load (assumed)
constexpr double frictionShare_ratio = 0.01;       // of rated volt-amps (assumed)
constexpr double ninetyFivePercent = 1.96;         // standard deviations, normal distribution
constexpr double ninetyPercent = 1.645;

// One thing that was measured and how the bench would show it.
struct Observation {
    std::string name;
    std::string unit;
    double wanted = 0;
    double accuracy_ratio = 0;    // 95 %
    double fit_ratio = 0;         // standard deviation used in the fit
    bool running = false;         // with the start circuit out
    std::optional<Unknown> slip;  // empty: locked rotor
    double line_V = 0;
    double winding_degC = 25;
    double HeldShaftResponse::*response = nullptr;
    bool stiff = true;  // at stiff terminals, as plates are; else behind the case's own supply
};

class Estimator
{
public:
    Estimator(const EstimationInput& input, const HeldShaftBench& bench)
        : input_(input), bench_(bench), priors_(priorsFor(input))
    {
        collectObservations();
    }

    MotorEstimate estimate();

    // For Eigen's minimiser: residuals of observations and priors, and their Jacobian.
    using Scalar = double;
    using InputType = Eigen::VectorXd;
    using ValueType = Eigen::VectorXd;
    using JacobianType = Eigen::MatrixXd;
    [[nodiscard]] int inputs() const { return unknownCount; }
    [[nodiscard]] int values() const
    {
        return static_cast<int>(observations_.size()) + static_cast<int>(unknownCount);
    }
    int operator()(const Eigen::VectorXd& x, Eigen::VectorXd& residuals) const;
    int df(const Eigen::VectorXd& x, Eigen::MatrixXd& jacobian) const;

private:
    void collectObservations();
    void addMeasurement(const Measurement& measurement);
    [[nodiscard]] double value(const Eigen::VectorXd& x, Unknown unknown) const
    {
        return priors_[unknown].median * std::exp(x[static_cast<Eigen::Index>(unknown)]);
    }
    [[nodiscard]] EquivalentCircuit circuitAt(const Eigen::VectorXd& x) const;
    void appendTrials(const Eigen::VectorXd& x, std::vector<HeldShaftTrial>& trials) const;
    [[nodiscard]] Eigen::VectorXd residualsFrom(const Eigen::VectorXd& x,
                                                std::span<const HeldShaftResponse> responses) const;
    void minimise(Eigen::VectorXd& x, double looseness);
    [[nodiscard]] Eigen::VectorXd solve();
    // The best fit with one unknown held at a value, starting from x.
    [[nodiscard]] Eigen::VectorXd solvePinned(Eigen::VectorXd x, Unknown unknown, double at);
    [[nodiscard]] Eigen::MatrixXd covariance(const Eigen::VectorXd& x) const;
    [[nodiscard]] double ratedTorque_Nm(const Eigen::VectorXd& x) const;
    [[nodiscard]] Quantity ratedTorque(const Eigen::VectorXd& x,
                                       const Eigen::MatrixXd& covariance) const;
    [[nodiscard]] double ratedVoltAmps() const;
    void describe(const Eigen::VectorXd& x, const Eigen::MatrixXd& covariance, Motor& motor) const;
    // Unknowns that the evidence drives far from what motors have: a sign that a figure is wrong.
    void addStrangeUnknowns(const Eigen::VectorXd& x, std::vector<FitResidual>& residuals) const;
    void addPlateAlternatives(const Eigen::VectorXd& x, Motor& motor);
    void addAlternatives(const Eigen::VectorXd& x, const Eigen::MatrixXd& covariance, Motor& motor);

    const EstimationInput& input_;
    const HeldShaftBench& bench_;
    Priors priors_;
    std::vector<Observation> observations_;
    std::vector<std::string> notes_;
    bool turnsRatioMeasured_ = false;
    std::optional<std::pair<Unknown, double>> pinned_;  // an unknown held at a value
    double looseness_ = 1;  // times the standard deviation of each observation
};

}  // namespace splitstart::estimation
