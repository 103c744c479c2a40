#include "motor/estimate.h"

#include <ceres/ceres.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <exception>
#include <stdexcept>

#include "motor/estimator.h"
#include "motor/posterior.h"

namespace splitstart
{

namespace estimation
{

namespace
{

// Of the logarithms of the unknowns, for derivatives.
constexpr double derivativeStep = 1e-4;

// A step along each unknown.
std::vector<Eigen::VectorXd> steppedFrom(const Eigen::VectorXd& x)
{
    std::vector<Eigen::VectorXd> points(unknownCount, x);
    for (std::size_t i = 0; i < unknownCount; ++i) {
        points[i][static_cast<Eigen::Index>(i)] += derivativeStep;
    }
    return points;
}

// The run and the start winding in each other's place.
EquivalentCircuit swapped(const EquivalentCircuit& circuit)
{
    EquivalentCircuit result = circuit;
    std::swap(result.main_ohm, result.auxiliary_ohm);
    std::swap(result.mainLeakage_ohm, result.auxiliaryLeakage_ohm);
    std::swap(result.mainMagnetizing_ohm, result.auxiliaryMagnetizing_ohm);
    std::swap(result.rotorMain_ohm, result.rotorAuxiliary_ohm);
    std::swap(result.rotorMainLeakage_ohm, result.rotorAuxiliaryLeakage_ohm);
    result.turnsRatio = 1 / circuit.turnsRatio;
    const double square = circuit.turnsRatio * circuit.turnsRatio;
    // Loss resistance and deep bar are given in turns of the first winding.
    result.coreLoss_W = circuit.coreLoss_W / square;
    result.rotorBar_ohm = circuit.rotorBar_ohm * square;
    return result;
}

// Ceres asks for residuals and, at times, their derivatives; both come from the bench, all points
// at once, so that its workers share them.
class BenchCost : public ceres::CostFunction
{
public:
    BenchCost(const Estimator& estimator, const Evidence& evidence, std::exception_ptr& thrown)
        : estimator_(estimator), evidence_(evidence), thrown_(thrown)
    {
        set_num_residuals(static_cast<int>(evidence.observations().size() + unknownCount));
        mutable_parameter_block_sizes()->push_back(unknownCount);
    }

    // Residuals and their derivatives there. Throws what the bench throws.
    const Eigen::VectorXd& residualsAt(const Eigen::VectorXd& x) const
    {
        // The solver asks for the derivatives at a place after it has asked for the residuals.
        if (at_.size() != x.size() || at_ != x) {
            residuals_ =
                estimator_.residuals(evidence_, x, estimator_.answers(evidence_, {&x, 1}).front());
            at_ = x;
        }
        return residuals_;
    }
    const Eigen::MatrixXd& slopeAt(const Eigen::VectorXd& x) const
    {
        if (slopeAt_.size() != x.size() || slopeAt_ != x) {
            slope_ = estimator_.jacobian(evidence_, x, residualsAt(x));
            slopeAt_ = x;
        }
        return slope_;
    }

    bool Evaluate(const double* const* parameters, double* residuals,
                  double** jacobians) const override
    {
        try {
            const Eigen::VectorXd x =
                Eigen::Map<const Eigen::VectorXd>(parameters[0], unknownCount);
            Eigen::Map<Eigen::VectorXd>(residuals, num_residuals()) = residualsAt(x);
            if (jacobians != nullptr && jacobians[0] != nullptr) {
                using RowMajor =
                    Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
                Eigen::Map<RowMajor>(jacobians[0], num_residuals(), unknownCount) = slopeAt(x);
            }
            return residuals_.allFinite();
        } catch (...) {
            // Exceptions do not pass through the solver.
            thrown_ = std::current_exception();
            return false;
        }
    }

private:
    const Estimator& estimator_;
    const Evidence& evidence_;
    std::exception_ptr& thrown_;
    // What was found last, and where; used by one thread only.
    mutable Eigen::VectorXd at_;
    mutable Eigen::VectorXd residuals_;
    mutable Eigen::VectorXd slopeAt_;
    mutable Eigen::MatrixXd slope_;
};

}  // namespace

Estimator::Estimator(const EstimationInput& input, const HeldShaftBench& bench)
    : input_(input), bench_(bench), priors_(priorsFor(input)), evidence_(*this)
{
    const Nameplate& plate = input.nameplate;
    if (!plate.lockedRotor_A && !plate.ratedLoad_A) {
        throw std::invalid_argument(
            "neither locked-rotor amps nor rated-load amps are given: the motor cannot be "
            "estimated from resistances alone");
    }
    evidence_.addNameplate(plate, notes_);
    for (const Measurement& measurement : input.measurements) {
        evidence_.addMeasurement(measurement, notes_);
    }
    if (input.twoFeedTest) {
        evidence_.addTwoFeedTest(*input.twoFeedTest);
    }
    if (!input.sourceGiven) {
        notes_.emplace_back(
            "the supply's source impedance is not given: that of a usual supply is taken");
    }
}

double Estimator::synchronous_rad_s() const
{
    return synchronousSpeed_rad_s(input_.frequency_Hz, input_.poles);
}

double Estimator::ratedVoltAmps() const
{
    const Nameplate& plate = input_.nameplate;
    // Locked-rotor amps are about five times rated-load amps (common practice, no source).
    const double rated_A = plate.ratedLoad_A ? *plate.ratedLoad_A : *plate.lockedRotor_A / 5;
    return input_.line_V * rated_A;
}

double Estimator::ratedSpeed_ratio(const Eigen::VectorXd& x) const
{
    constexpr double most = 0.5;
    return 1 - std::min(value(x, ratedSlip), most);
}

double Estimator::measuredSpeed_ratio(const Eigen::VectorXd& x) const
{
    constexpr double most = 0.5;
    return 1 - std::min(value(x, ratedSlip) * value(x, measuredSlip), most);
}

EquivalentCircuit Estimator::circuitAt(const Eigen::VectorXd& x) const
{
    // In the ladder of models/split_phase_motor.lib half of the bar's resistance has come at its
    // corner, here line frequency.
    constexpr double atCorner_ratio = 0.5;
    EquivalentCircuit circuit;
    const double n = value(x, turnsRatio);
    circuit.frequency_Hz = input_.frequency_Hz;
    circuit.main_ohm = value(x, mainResistance);
    circuit.mainLeakage_ohm = value(x, leakage) * circuit.main_ohm;
    circuit.mainMagnetizing_ohm = value(x, magnetizing) * circuit.mainLeakage_ohm;
    circuit.rotorMain_ohm = value(x, rotorResistance) * circuit.main_ohm;
    circuit.rotorMainLeakage_ohm = value(x, rotorLeakage) * circuit.mainLeakage_ohm;
    circuit.auxiliary_ohm = value(x, auxiliaryResistance);
    circuit.auxiliaryLeakage_ohm = value(x, auxiliaryLeakage) * n * n * circuit.mainLeakage_ohm;
    // The cage is the same seen from either winding; only the turns differ.
    circuit.auxiliaryMagnetizing_ohm = n * n * circuit.mainMagnetizing_ohm;
    circuit.rotorAuxiliary_ohm = n * n * circuit.rotorMain_ohm;
    circuit.rotorAuxiliaryLeakage_ohm = n * n * circuit.rotorMainLeakage_ohm;
    circuit.rotorBar_ohm = value(x, rotorRise) / atCorner_ratio * circuit.rotorMain_ohm;
    circuit.rotorBarCorner_Hz = input_.frequency_Hz;
    circuit.turnsRatio = n;
    circuit.poles = input_.poles;
    circuit.coreLoss_W = value(x, coreLoss) * ratedVoltAmps();
    circuit.friction_W = value(x, friction) * ratedVoltAmps();
    circuit.resistanceTemperature_degC = 25;
    // J w^2 / 2 = seconds * rated output
    circuit.inertia_kgm2 = 2 * value(x, inertia) * inertiaOutput_ratio * ratedVoltAmps() /
                           (synchronous_rad_s() * synchronous_rad_s());
    return circuit;
}

SourceImpedance Estimator::sourceAt(const Eigen::VectorXd& x) const
{
    const double ratio = value(x, sourceImpedance);
    return {input_.source.resistance_ohm * ratio, input_.source.inductance_H * ratio};
}

double Estimator::delivered_Nm(const Eigen::VectorXd& x, const HeldShaftResponse& rated) const
{
    const double friction_Nm =
        value(x, friction) * ratedVoltAmps() * ratedSpeed_ratio(x) / synchronous_rad_s();
    // A motor that delivers next to nothing is none; the logarithm asks for a positive number.
    const double least_Nm = 1e-3 * ratedVoltAmps() / synchronous_rad_s();
    return std::max(rated.torque_Nm - friction_Nm, least_Nm);
}

double Estimator::ratedTorque_Nm(const Eigen::VectorXd& x, const HeldShaftResponse& rated) const
{
    const double said_Nm =
        input_.loadTorque_Nm ? *input_.loadTorque_Nm
        : input_.nameplate.output_W
            ? *input_.nameplate.output_W / (ratedSpeed_ratio(x) * synchronous_rad_s())
            : delivered_Nm(x, rated);
    return said_Nm * value(x, loadTorque);
}

std::vector<std::vector<HeldShaftResponse>> Estimator::answers(
    const Evidence& evidence, std::span<const Eigen::VectorXd> xs) const
{
    std::vector<HeldShaftTrial> trials;
    std::vector<std::vector<std::optional<std::size_t>>> trialOf;
    for (const Eigen::VectorXd& x : xs) {
        EquivalentCircuit circuit = circuitAt(x);
        circuit.inertia_kgm2 = 0;  // nothing moves
        circuit.friction_W = 0;
        std::vector<std::optional<std::size_t>>& indices = trialOf.emplace_back();
        for (std::size_t i = 0; i < evidence.points().size(); ++i) {
            if (!evidence.isNeeded(i)) {
                indices.emplace_back();
                continue;
            }
            const OperatingPoint& point = evidence.points()[i];
            HeldShaftTrial trial;
            trial.circuit = point.swapped ? swapped(circuit) : circuit;
            trial.line_V = point.line_V;
            trial.speed_ratio = point.at == At::standstill     ? 0
                                : point.at == At::ratedSlip    ? ratedSpeed_ratio(x)
                                : point.at == At::measuredSlip ? measuredSpeed_ratio(x)
                                                               : point.fixed_ratio;
            trial.winding_degC = point.winding_degC;
            trial.feed = point.feed;
            trial.capacitor_ratio = point.plateParts ? value(x, plateCapacitors) : 1;
            if (!point.stiff) {
                trial.source = sourceAt(x);
            }
            // Unknowns of the shaft and the load change nothing here.
            const auto known = std::find(trials.begin(), trials.end(), trial);
            indices.emplace_back(static_cast<std::size_t>(known - trials.begin()));
            if (known == trials.end()) {
                trials.push_back(trial);
            }
        }
    }
    const std::vector<HeldShaftResponse> responses = bench_(trials);
    std::vector<std::vector<HeldShaftResponse>> result;
    for (const std::vector<std::optional<std::size_t>>& indices : trialOf) {
        std::vector<HeldShaftResponse>& each = result.emplace_back();
        for (const std::optional<std::size_t>& index : indices) {
            each.push_back(index ? responses[*index] : HeldShaftResponse());
        }
    }
    return result;
}

Eigen::VectorXd Estimator::residuals(const Evidence& evidence, const Eigen::VectorXd& x,
                                     Responses responses) const
{
    const std::vector<Observation>& observations = evidence.observations();
    Eigen::VectorXd result(static_cast<Eigen::Index>(observations.size() + unknownCount));
    Eigen::Index row = 0;
    for (const Observation& observation : observations) {
        result[row++] = std::log(observation.predicted(x, responses) / observation.wanted) /
                        observation.deviation();
    }
    for (std::size_t unknown = 0; unknown < unknownCount; ++unknown) {
        result[row++] = x[static_cast<Eigen::Index>(unknown)] / priors_[unknown].spread;
    }
    return result;
}

Eigen::VectorXd Estimator::ratedTorqueSlope(const Eigen::VectorXd& x) const
{
    Evidence evidence(*this);
    const std::size_t rated = evidence.ratedPoint();
    std::vector<Eigen::VectorXd> points = steppedFrom(x);
    points.push_back(x);
    const auto responses = answers(evidence, points);
    const double here_Nm = ratedTorque_Nm(x, responses.back()[rated]);
    Eigen::VectorXd result(unknownCount);
    for (std::size_t i = 0; i < unknownCount; ++i) {
        result[static_cast<Eigen::Index>(i)] =
            std::log(ratedTorque_Nm(points[i], responses[i][rated]) / here_Nm) / derivativeStep;
    }
    return result;
}

Eigen::MatrixXd Estimator::jacobian(const Evidence& evidence, const Eigen::VectorXd& x,
                                    const Eigen::VectorXd& here) const
{
    const std::vector<Eigen::VectorXd> points = steppedFrom(x);
    const std::vector<std::vector<HeldShaftResponse>> responses = answers(evidence, points);
    Eigen::MatrixXd result(here.size(), static_cast<Eigen::Index>(unknownCount));
    for (std::size_t column = 0; column < unknownCount; ++column) {
        result.col(static_cast<Eigen::Index>(column)) =
            (residuals(evidence, points[column], responses[column]) - here) / derivativeStep;
    }
    return result;
}

Estimator::Fit Estimator::fit(const Evidence& evidence, const Eigen::VectorXd& start) const
{
    std::exception_ptr thrown;
    Eigen::VectorXd x = start;
    BenchCost cost(*this, evidence, thrown);
    // A bench that does not work at all says so here: the solver would write to the screen.
    cost.residualsAt(x);
    ceres::Problem::Options ownership;
    ownership.cost_function_ownership = ceres::DO_NOT_TAKE_OWNERSHIP;
    ceres::Problem problem(ownership);
    problem.AddParameterBlock(x.data(), unknownCount);
    problem.AddResidualBlock(&cost, nullptr, x.data());
    ceres::Solver::Options options;
    options.linear_solver_type = ceres::DENSE_QR;
    options.num_threads = 1;
    options.logging_type = ceres::SILENT;
    options.max_num_iterations = 30;
    options.initial_trust_region_radius = 10;
    options.function_tolerance = 2e-3;
    options.parameter_tolerance = 1e-3;
    ceres::Solver::Summary summary;
    ceres::Solve(options, &problem, &summary);
    if (thrown) {
        std::rethrow_exception(thrown);
    }
    return {x, cost.residualsAt(x), cost.slopeAt(x)};
}

std::vector<Estimator::Fit> Estimator::fits(const Evidence& evidence) const
{
    const Eigen::VectorXd median = Eigen::VectorXd::Zero(unknownCount);
    std::vector<Fit> found = {fit(evidence, median)};
    const Eigen::MatrixXd precision = found.front().slope.transpose() * found.front().slope;
    // What the evidence adds to a prior, once all else may adjust.
    const Eigen::MatrixXd covariance = precision.inverse();
    const auto isKnown = [&](Unknown unknown) {
        constexpr double pinned = 0.3;  // of the prior's spread
        const auto i = static_cast<Eigen::Index>(unknown);
        return std::sqrt(covariance(i, i)) < pinned * priors_[unknown].spread;
    };
    const bool turnsKnown = isKnown(turnsRatio);
    if (turnsKnown && isKnown(leakage)) {
        return found;
    }
    constexpr double aside = 1.3;
    static constexpr std::array<std::pair<double, double>, 4> sides = {
        {{1, 1}, {-1, -1}, {1, -1}, {-1, 1}}};
    for (const auto& [turns, reactance] : std::span(sides).first(turnsKnown ? 2 : 4)) {
        Eigen::VectorXd start = turnsKnown ? found.front().x : median;
        if (!turnsKnown) {
            start[turnsRatio] = turns * aside * priors_[turnsRatio].spread;
        }
        start[leakage] = reactance * aside * priors_[leakage].spread;
        const Fit other = fit(evidence, start);
        constexpr double same = 0.5;  // standard deviations
        const bool known = std::any_of(found.begin(), found.end(), [&](const Fit& each) {
            const Eigen::VectorXd apart = other.x - each.x;
            return apart.dot(precision * apart) < same * same;
        });
        if (!known) {
            found.push_back(other);
        }
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const Fit& a, const Fit& b) { return a.squares() < b.squares(); });
    // A hundredth of a per cent as probable as the best.
    constexpr double outOfQuestion = 18;
    std::erase_if(found, [&](const Fit& each) {
        return each.squares() > found.front().squares() + outOfQuestion;
    });
    return found;
}

}  // namespace estimation

MotorEstimate estimateMotor(const EstimationInput& input, const HeldShaftBench& bench,
                            std::uint64_t seed)
{
    auto estimator = std::make_shared<estimation::Estimator>(input, bench);
    const std::vector<estimation::Estimator::Fit> fits = estimator->fits(estimator->evidence());
    const estimation::Estimator::Fit& best = fits.front();
    MotorEstimate result;
    result.notes = estimator->notes();
    result.source = estimator->sourceAt(best.x);
    const std::vector<HeldShaftResponse> responses =
        estimator->answers(estimator->evidence(), {&best.x, 1}).front();
    for (const estimation::Observation& observation : estimator->evidence().observations()) {
        if (!observation.isFigure) {
            continue;
        }
        result.residuals.push_back(
            {observation.name, observation.unit, observation.wanted,
             observation.predicted(best.x, responses),
             std::expm1(estimation::oneInAThousand * observation.deviation())});
    }
    result.contradictions = estimator->contradictions(best);
    auto posterior = std::make_shared<estimation::Posterior>(estimator, fits, seed);
    // A standard deviation of sixteen is known to 18 %, less what chance is taken out of it.
    constexpr double enoughForSpreads = 16;
    result.motor = estimator->describe(best.x, posterior->weighed(enoughForSpreads));
    result.posterior = std::move(posterior);
    return result;
}

}  // namespace splitstart
