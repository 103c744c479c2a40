#include "motor/estimate.h"

#include <algorithm>
#include <cmath>
#include <unsupported/Eigen/NonLinearOptimization>

#include "motor/estimator.h"

namespace splitstart
{

namespace estimation
{

EquivalentCircuit Estimator::circuitAt(const Eigen::VectorXd& x) const
{
    EquivalentCircuit circuit;
    const double n = value(x, turnsRatio);
    circuit.frequency_Hz = input_.frequency_Hz;
    circuit.main_ohm = value(x, mainResistance);
    circuit.mainLeakage_ohm = value(x, leakage) * input_.main_ohm.value;
    circuit.mainMagnetizing_ohm = value(x, magnetizing) * circuit.mainLeakage_ohm;
    circuit.rotorMain_ohm = value(x, rotorResistance) * input_.main_ohm.value;
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
        trials.push_back({circuit, observation.line_V, speed, observation.winding_degC,
                          !observation.running, observation.stiff});
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
    const HeldShaftTrial trial{circuit, input_.line_V, speed_ratio, ratedLoad_degC, false, true};
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
    // J w^2 / 2 = inertia_s * rated output
    motor.circuit.inertia_kgm2 = 2 * inertia_s * outputOverVoltAmps_ratio * ratedVoltAmps() /
                                 (synchronous_rad_s * synchronous_rad_s);
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

}  // namespace estimation

MotorEstimate estimateMotor(const EstimationInput& input, const HeldShaftBench& bench)
{
    return estimation::Estimator(input, bench).estimate();
}

}  // namespace splitstart
