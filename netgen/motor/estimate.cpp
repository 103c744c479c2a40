#include "motor/estimate.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <stdexcept>
#include <unsupported/Eigen/NonLinearOptimization>

namespace splitstart
{

namespace
{

// The unknowns, each as the natural logarithm of its ratio to the prior's median.
enum Unknown : std::size_t {
    turnsRatio,
    leakage,           // run winding leakage reactance / run winding resistance
    magnetizing,       // magnetizing / leakage reactance
    rotorResistance,   // rotor / run winding resistance, both at 25 degC
    auxiliaryLeakage,  // start leakage / (turns ratio squared times run leakage)
    ratedSlip,
    coreLoss,      // share of rated volts times rated amps
    measuredSlip,  // while the further measurements were taken
    unknownCount
};

struct Prior {
    double median = 1;
    double spread = 1;  // standard deviation of the natural logarithm
    const char* basis = "";
};

using Priors = std::array<Prior, unknownCount>;

// Medians and spreads are assumed (no published source; of the order that motor design texts give
// for small induction motors), wide enough that a nameplate figure overrules them.
Priors priorsFor(bool hasRunCapacitor)
{
    Priors priors;
    // Ranges taught: about 1.0 to 1.5 without, 1.1 to 1.7 with a run capacitor.
    priors[turnsRatio] = hasRunCapacitor ? Prior{1.37, 0.13, "typical of capacitor-run motors"}
                                         : Prior{1.22, 0.12, "typical of capacitor-start motors"};
    priors[leakage] = {1.2, 0.6, "typical of small motors"};
    priors[magnetizing] = {23, 0.35, "typical of small motors"};
    priors[rotorResistance] = {1.2, 0.35, "typical of small motors"};
    priors[auxiliaryLeakage] = {0.95, 0.12, "typical: run leakage times turns ratio squared"};
    priors[ratedSlip] = {0.045, 0.35, "typical of small motors"};
    priors[coreLoss] = {0.04, 0.5, "typical share of the volt-amps at rated load"};
    priors[measuredSlip] = {0.035, 0.5, "typical of small motors"};
    return priors;
}

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
constexpr double outputAccuracy_ratio = 0.3;  // rated output against the pump's load (assumed)
constexpr double frictionShare_ratio = 0.01;  // of rated volt-amps (assumed)
constexpr double ninetyFivePercent = 1.96;    // standard deviations, normal distribution
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
};

class Estimator
{
public:
    Estimator(const EstimationInput& input, const HeldShaftBench& bench)
        : input_(input), bench_(bench), priors_(priorsFor(input.hasRunCapacitor))
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
        case MeasuredQuantity::secondsToStart:
            notes_.emplace_back(
                "seconds to start and supply volts while stalled are kept but not used in the "
                "estimate");
            return;
    }
}

EquivalentCircuit Estimator::circuitAt(const Eigen::VectorXd& x) const
{
    EquivalentCircuit circuit;
    const double n = value(x, turnsRatio);
    circuit.frequency_Hz = input_.frequency_Hz;
    circuit.main_ohm = input_.main_ohm.value;
    circuit.mainLeakage_ohm = value(x, leakage) * circuit.main_ohm;
    circuit.mainMagnetizing_ohm = value(x, magnetizing) * circuit.mainLeakage_ohm;
    circuit.rotorMain_ohm = value(x, rotorResistance) * circuit.main_ohm;
    circuit.rotorMainLeakage_ohm = circuit.mainLeakage_ohm;  // equal split (assumed)
    circuit.auxiliary_ohm = input_.auxiliary_ohm.value;
    circuit.auxiliaryLeakage_ohm = value(x, auxiliaryLeakage) * n * n * circuit.mainLeakage_ohm;
    // The cage is the same seen from either winding; only the turns differ.
    circuit.auxiliaryMagnetizing_ohm = n * n * circuit.mainMagnetizing_ohm;
    circuit.rotorAuxiliary_ohm = n * n * circuit.rotorMain_ohm;
    circuit.rotorAuxiliaryLeakage_ohm = n * n * circuit.rotorMainLeakage_ohm;
    circuit.turnsRatio = n;
    circuit.poles = input_.poles;
    circuit.coreLoss_W = value(x, coreLoss) * ratedVoltAmps();
    circuit.friction_W = frictionShare_ratio * ratedVoltAmps();
    circuit.resistanceTemperature_degC = 25;
    return circuit;
}

double Estimator::ratedVoltAmps() const
{
    const Nameplate& plate = input_.nameplate;
    // Locked-rotor amps are about five times rated-load amps (common practice, no source).
    const double rated_A = plate.ratedLoad_A ? *plate.ratedLoad_A : *plate.lockedRotor_A / 5;
    return input_.line_V * rated_A;
}

void Estimator::appendTrials(const Eigen::VectorXd& x, std::vector<HeldShaftTrial>& trials) const
{
    const EquivalentCircuit circuit = circuitAt(x);
    for (const Observation& observation : observations_) {
        const double speed =
            observation.slip ? 1 - std::min(value(x, *observation.slip), 1.0) : 0.0;
        trials.push_back(
            {circuit, observation.line_V, speed, observation.winding_degC, !observation.running});
    }
}

Eigen::VectorXd Estimator::residualsFrom(const Eigen::VectorXd& x,
                                         std::span<const HeldShaftResponse> responses) const
{
    Eigen::VectorXd residuals(values());
    Eigen::Index row = 0;
    for (std::size_t i = 0; i < observations_.size(); ++i) {
        const Observation& observation = observations_[i];
        residuals[row++] = std::log(responses[i].*observation.response / observation.wanted) /
                           (observation.fit_ratio * looseness_);
    }
    for (std::size_t unknown = 0; unknown < unknownCount; ++unknown) {
        const auto index = static_cast<Eigen::Index>(unknown);
        const bool isPinned = pinned_ && pinned_->first == unknown;
        residuals[row++] =
            isPinned ? (x[index] - pinned_->second) * 1e4 : x[index] / priors_[unknown].spread;
    }
    return residuals;
}

int Estimator::operator()(const Eigen::VectorXd& x, Eigen::VectorXd& residuals) const
{
    std::vector<HeldShaftTrial> trials;
    appendTrials(x, trials);
    residuals = residualsFrom(x, bench_(trials));
    return 0;
}

int Estimator::df(const Eigen::VectorXd& x, Eigen::MatrixXd& jacobian) const
{
    // Forward differences; all points go to the bench at once, so that its workers share them.
    constexpr double step = 1e-4;
    std::vector<HeldShaftTrial> trials;
    std::vector<Eigen::VectorXd> points = {x};
    for (Eigen::Index column = 0; column < inputs(); ++column) {
        points.push_back(x);
        points.back()[column] += step;
    }
    for (const Eigen::VectorXd& point : points) {
        appendTrials(point, trials);
    }
    const std::vector<HeldShaftResponse> responses = bench_(trials);
    const std::size_t each = observations_.size();
    const auto residualsAt = [&](std::size_t point) {
        return residualsFrom(points[point], std::span(responses).subspan(point * each, each));
    };
    const Eigen::VectorXd here = residualsAt(0);
    for (Eigen::Index column = 0; column < inputs(); ++column) {
        jacobian.col(column) = (residualsAt(static_cast<std::size_t>(column) + 1) - here) / step;
    }
    return 0;
}

void Estimator::minimise(Eigen::VectorXd& x, double looseness)
{
    looseness_ = looseness;
    Eigen::LevenbergMarquardt<Estimator> minimiser(*this);
    minimiser.parameters.factor = 10;
    minimiser.parameters.maxfev = 40;
    minimiser.parameters.xtol = 1e-4;
    minimiser.parameters.ftol = 1e-4;
    minimiser.minimize(x);
}

Eigen::VectorXd Estimator::solve()
{
    Eigen::VectorXd x = Eigen::VectorXd::Zero(unknownCount);
    // Loose first, so that the fit stays near the priors while it is far from the evidence, then as
    // tight as the evidence asks.
    minimise(x, 10);
    minimise(x, 1);
    return x;
}

Eigen::VectorXd Estimator::solvePinned(Eigen::VectorXd x, Unknown unknown, double at)
{
    x[static_cast<Eigen::Index>(unknown)] = at;
    pinned_ = {unknown, at};
    minimise(x, 1);
    pinned_.reset();
    return x;
}

Eigen::MatrixXd Estimator::covariance(const Eigen::VectorXd& x) const
{
    // Posterior covariance of the linearised problem, with each observation as uncertain as it is
    // (the fit itself held the plate figures more tightly).
    Eigen::MatrixXd jacobian(values(), inputs());
    df(x, jacobian);
    for (std::size_t i = 0; i < observations_.size(); ++i) {
        const double honest = observations_[i].accuracy_ratio / ninetyFivePercent;
        jacobian.row(static_cast<Eigen::Index>(i)) *=
            observations_[i].fit_ratio / std::max(honest, 1e-6);
    }
    return (jacobian.transpose() * jacobian).inverse();
}

double Estimator::ratedTorque_Nm(const Eigen::VectorXd& x) const
{
    if (input_.loadTorque_Nm) {
        return *input_.loadTorque_Nm;
    }
    const double synchronous_rad_s = synchronousSpeed_rad_s(input_.frequency_Hz, input_.poles);
    const double speed_ratio = 1 - value(x, ratedSlip);
    if (input_.nameplate.output_W) {
        return *input_.nameplate.output_W / (speed_ratio * synchronous_rad_s);
    }
    const EquivalentCircuit circuit = circuitAt(x);
    const HeldShaftTrial trial{circuit, input_.line_V, speed_ratio, ratedLoad_degC, false};
    const double friction_Nm = circuit.friction_W * speed_ratio / synchronous_rad_s;
    return std::max(bench_({&trial, 1}).front().torque_Nm - friction_Nm, 0.0);
}

Quantity Estimator::ratedTorque(const Eigen::VectorXd& x, const Eigen::MatrixXd& covariance) const
{
    const double torque_Nm = ratedTorque_Nm(x);
    if (input_.loadTorque_Nm) {
        return {torque_Nm, Origin::given, 0};
    }
    if (input_.nameplate.output_W) {
        return {torque_Nm, Origin::nameplate, outputAccuracy_ratio};
    }
    // What it delivers hangs on everything else: carry the covariance through, by forward
    // differences.
    constexpr double step = 1e-3;
    Eigen::VectorXd gradient_Nm(inputs());
    for (Eigen::Index i = 0; i < inputs(); ++i) {
        Eigen::VectorXd moved = x;
        moved[i] += step;
        gradient_Nm[i] = (ratedTorque_Nm(moved) - torque_Nm) / step;
    }
    const double deviation_Nm = std::sqrt(gradient_Nm.dot(covariance * gradient_Nm));
    return {torque_Nm, Origin::estimated,
            torque_Nm > 0 ? std::expm1(ninetyFivePercent * deviation_Nm / torque_Nm) : 1.0};
}

void Estimator::describe(const Eigen::VectorXd& x, const Eigen::MatrixXd& covariance,
                         Motor& motor) const
{
    const EquivalentCircuit& c = motor.circuit;
    // Accuracy of a product of powers of the unknowns, correlations included.
    const auto accuracy = [&covariance](std::initializer_list<std::pair<Unknown, double>> powers) {
        Eigen::VectorXd exponents = Eigen::VectorXd::Zero(unknownCount);
        for (const auto& [unknown, power] : powers) {
            exponents[static_cast<Eigen::Index>(unknown)] = power;
        }
        return std::expm1(ninetyFivePercent * std::sqrt(exponents.dot(covariance * exponents)));
    };
    const auto estimated = [&](const char* name, double number, const char* unit,
                               double accuracy_ratio, const std::string& restsOn) {
        motor.parameters.push_back(
            {name, {number, Origin::estimated, accuracy_ratio}, unit, restsOn});
    };
    const auto assumed = [&](const char* name, double number, const char* unit,
                             double accuracy_ratio, const std::string& restsOn) {
        motor.parameters.push_back(
            {name, {number, Origin::assumed, accuracy_ratio}, unit, restsOn});
    };
    motor.parameters.push_back({"run winding resistance at 25 degC", input_.main_ohm, "ohm",
                                "readings, meter leads taken off, corrected to 25 degC"});
    motor.parameters.push_back({"start winding resistance at 25 degC", input_.auxiliary_ohm, "ohm",
                                "readings, meter leads taken off, corrected to 25 degC"});
    // What an unknown rests on: its prior, and the evidence where that has narrowed it.
    const auto basis = [&](Unknown unknown) {
        const auto index = static_cast<Eigen::Index>(unknown);
        constexpr double narrowed = 0.9;
        return std::string(priors_[unknown].basis) +
               (std::sqrt(covariance(index, index)) < narrowed * priors_[unknown].spread
                    ? ", narrowed by what was measured"
                    : "");
    };
    motor.parameters.push_back(
        {"turns ratio, start to run winding",
         {c.turnsRatio, turnsRatioMeasured_ ? Origin::measured : Origin::estimated,
          accuracy({{turnsRatio, 1}})},
         "",
         basis(turnsRatio)});
    estimated("run winding leakage reactance", c.mainLeakage_ohm, "ohm", accuracy({{leakage, 1}}),
              basis(leakage));
    estimated("rotor leakage reactance, run axis", c.rotorMainLeakage_ohm, "ohm",
              accuracy({{leakage, 1}}), "taken equal to the run winding's");
    estimated("run axis magnetizing reactance", c.mainMagnetizing_ohm, "ohm",
              accuracy({{leakage, 1}, {magnetizing, 1}}), basis(magnetizing));
    estimated("rotor resistance at 25 degC, run axis", c.rotorMain_ohm, "ohm",
              accuracy({{rotorResistance, 1}}), basis(rotorResistance));
    estimated("start winding leakage reactance", c.auxiliaryLeakage_ohm, "ohm",
              accuracy({{turnsRatio, 2}, {leakage, 1}, {auxiliaryLeakage, 1}}),
              basis(auxiliaryLeakage));
    const char* referred = "run axis value times turns ratio squared (the cage is the same)";
    estimated("start axis magnetizing reactance", c.auxiliaryMagnetizing_ohm, "ohm",
              accuracy({{turnsRatio, 2}, {leakage, 1}, {magnetizing, 1}}), referred);
    estimated("rotor resistance at 25 degC, start axis", c.rotorAuxiliary_ohm, "ohm",
              accuracy({{turnsRatio, 2}, {rotorResistance, 1}}), referred);
    estimated("rotor leakage reactance, start axis", c.rotorAuxiliaryLeakage_ohm, "ohm",
              accuracy({{turnsRatio, 2}, {leakage, 1}}), referred);
    estimated("slip at rated load", value(x, ratedSlip), "", accuracy({{ratedSlip, 1}}),
              basis(ratedSlip));
    assumed("core loss", c.coreLoss_W, "W", accuracy({{coreLoss, 1}}), basis(coreLoss));
    assumed("friction and windage", c.friction_W, "W", 1.0,
            "1 % of the volt-amps at rated load, a factor of two either way");
    assumed("inertia of rotor and crank", c.inertia_kgm2, "kg m2", inertiaAccuracy_ratio,
            "such that a healthy start takes 0.2 to 0.5 s, a factor of two either way");
    motor.parameters.push_back(
        {"poles",
         {static_cast<double>(c.poles), input_.polesGiven ? Origin::given : Origin::assumed, 0},
         "",
         input_.polesGiven ? "case file" : "most compressors have two"});
    motor.parameters.push_back({"load torque at rated load", motor.ratedTorque_Nm, "N m",
                                input_.loadTorque_Nm ? "case file"
                                : input_.nameplate.output_W
                                    ? "nameplate output over the speed at rated load"
                                    : "what the motor delivers at rated-load amps"});
}

void Estimator::addStrangeUnknowns(const Eigen::VectorXd& x,
                                   std::vector<FitResidual>& residuals) const
{
    constexpr double strange = 3;  // standard deviations of the prior
    static constexpr std::array<std::pair<Unknown, const char*>, 5> named = {{
        {turnsRatio, "turns ratio (typical)"},
        {magnetizing, "magnetizing over leakage reactance (typical)"},
        {rotorResistance, "rotor over run winding resistance (typical)"},
        {auxiliaryLeakage, "start leakage over run leakage, turns referred (typical)"},
        {ratedSlip, "slip at rated load (typical)"},
    }};
    for (const auto& [unknown, name] : named) {
        const Prior& prior = priors_[unknown];
        if (std::abs(x[static_cast<Eigen::Index>(unknown)]) > strange * prior.spread) {
            residuals.push_back(
                {name, "", prior.median, value(x, unknown), -std::expm1(-strange * prior.spread)});
        }
    }
}

void Estimator::addAlternatives(const Eigen::VectorXd& x, const Eigen::MatrixXd& covariance,
                                Motor& motor)
{
    const auto addPinned = [&](Unknown unknown, const char* name, double sign) {
        const auto index = static_cast<Eigen::Index>(unknown);
        const double at = x[index] + sign * ninetyPercent * std::sqrt(covariance(index, index));
        const Eigen::VectorXd solution = solvePinned(x, unknown, at);
        EquivalentCircuit circuit = circuitAt(solution);
        circuit.inertia_kgm2 = motor.circuit.inertia_kgm2;
        motor.alternatives.push_back({fmt::format("{} {} ({:.3g})", name, sign < 0 ? "low" : "high",
                                                  value(solution, unknown)),
                                      circuit, ratedTorque_Nm(solution)});
    };
    for (const double sign : {-1.0, 1.0}) {
        addPinned(turnsRatio, "turns ratio", sign);
        addPinned(rotorResistance, "rotor resistance over run winding resistance", sign);
    }
    EquivalentCircuit heavy = motor.circuit;
    heavy.inertia_kgm2 *= 1 + inertiaAccuracy_ratio;
    motor.alternatives.push_back({"inertia twice as large", heavy, motor.ratedTorque_Nm.value});
}

MotorEstimate Estimator::estimate()
{
    const Eigen::VectorXd x = solve();
    const Eigen::MatrixXd spread = covariance(x);
    MotorEstimate result;
    result.notes = notes_;
    Motor& motor = result.motor;
    motor.circuit = circuitAt(x);
    motor.ratedTorque_Nm = ratedTorque(x, spread);
    const double synchronous_rad_s = synchronousSpeed_rad_s(input_.frequency_Hz, input_.poles);
    // J w^2 / 2 = inertia_s * T w
    motor.circuit.inertia_kgm2 = 2 * inertia_s * motor.ratedTorque_Nm.value / synchronous_rad_s;
    describe(x, spread, motor);
    std::vector<HeldShaftTrial> trials;
    appendTrials(x, trials);
    const std::vector<HeldShaftResponse> responses = bench_(trials);
    for (std::size_t i = 0; i < observations_.size(); ++i) {
        const Observation& observation = observations_[i];
        result.residuals.push_back({observation.name, observation.unit, observation.wanted,
                                    responses[i].*observation.response,
                                    observation.accuracy_ratio});
    }
    addStrangeUnknowns(x, result.residuals);
    if (input_.wantsAlternatives) {
        addAlternatives(x, spread, motor);
    }
    return result;
}

}  // namespace

MotorEstimate estimateMotor(const EstimationInput& input, const HeldShaftBench& bench)
{
    return Estimator(input, bench).estimate();
}

}  // namespace splitstart
