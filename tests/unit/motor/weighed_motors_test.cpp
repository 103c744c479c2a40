// Motors that count in proportion to how probable they are, from which the stated accuracies come.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "motor/estimator.h"
#include "unit/motor/estimates.h"

namespace splitstart
{

namespace
{

using estimation::effectiveCount;
using estimation::PossibleMotors;
using estimation::WeighedMotor;

std::vector<WeighedMotor> weighing(const std::vector<double>& weights)
{
    std::vector<WeighedMotor> motors;
    motors.reserve(weights.size());
    for (const double weight : weights) {
        motors.push_back({{}, weight, {}});
    }
    return motors;
}

}  // namespace

// L. Kish, "Survey Sampling" (1965, from memory): the square of the sum of weights over the sum of
// their squares.
TEST(WeighedMotors, CountAsManyAsHaveTheSameWeight)
{
    EXPECT_EQ(effectiveCount({}), 0);
    EXPECT_EQ(effectiveCount(weighing({0, 0})), 0);
    EXPECT_DOUBLE_EQ(effectiveCount(weighing({0.3, 0.3, 0.3, 0.3, 0.3})), 5);
    EXPECT_DOUBLE_EQ(effectiveCount(weighing({1, 0, 0, 0})), 1);
    EXPECT_DOUBLE_EQ(effectiveCount(weighing({1, 0.5})), 1.8);
}

namespace
{

// Proposed so far from a fit at zero by the normal law of `covariance`, and moved by `move`.
template <typename Move>
PossibleMotors proposedBy(const Eigen::MatrixXd& covariance, int count, std::mt19937& random,
                          const Move& move)
{
    const Eigen::MatrixXd root = covariance.llt().matrixL();
    std::normal_distribution<double> normal;
    PossibleMotors possible;
    possible.covariance = covariance;
    for (int i = 0; i < count; ++i) {
        Eigen::VectorXd z(covariance.rows());
        for (double& each : z) {
            each = normal(random);
        }
        const Eigen::VectorXd x = root * z;
        const Eigen::VectorXd moved = move(x);
        possible.motors.push_back({{}, 1, x});
        possible.motors.back().motor.unknowns.assign(moved.begin(), moved.end());
    }
    return possible;
}

Eigen::MatrixXd someCovariance()
{
    Eigen::MatrixXd covariance(2, 2);
    covariance << 0.04, 0.03, 0.03, 0.09;
    return covariance;
}

double first(const MotorSample& motor)
{
    return motor.unknowns[0];
}

const Eigen::Vector2d firstAlone{1, 0};

}  // namespace

// Where nothing was moved and all count alike, the law is known: variance s^T C s, whatever few
// points chance has picked.
TEST(WeighedMotors, SpreadAsTheLawOfAStraightProblem)
{
    std::mt19937 random(72);
    const Eigen::MatrixXd covariance = someCovariance();
    const PossibleMotors possible =
        proposedBy(covariance, 5, random, [](const Eigen::VectorXd& x) { return x; });
    EXPECT_NEAR(possible.deviation(firstAlone, first), 0.2, 1e-12);
    const Eigen::Vector2d difference{1, -1};
    EXPECT_NEAR(possible.deviation(
                    difference,
                    [](const MotorSample& motor) { return motor.unknowns[0] - motor.unknowns[1]; }),
                std::sqrt(0.04 + 0.09 - 2 * 0.03), 1e-12);
}

// A bent problem, of which all that is known is where thirty motors went: E[sinh(x)^2] is
// (exp(2 v) - 1)/2 with x normal of variance v. Thirty alone know it to an eighth or worse (normal
// law); here it is a third of that.
TEST(WeighedMotors, SpreadWithLessChanceThanTheirNumberHas)
{
    constexpr int trials = 2000;
    std::mt19937 random(73);
    double squares = 0;
    double mean = 0;
    for (int i = 0; i < trials; ++i) {
        const PossibleMotors possible =
            proposedBy(someCovariance(), 30, random,
                       [](const Eigen::VectorXd& x) { return Eigen::VectorXd(x.array().sinh()); });
        const double apart =
            std::log(possible.deviation(firstAlone, first) / std::sqrt(std::expm1(2 * 0.04) / 2));
        squares += apart * apart / trials;
        mean += apart / trials;
    }
    EXPECT_NEAR(mean, 0, 0.01);
    EXPECT_LT(std::sqrt(squares), 0.13 / 3);
}

// What does not count changes nothing, not even where it is no number; it was proposed all the
// same. A direction in which nothing was proposed has the plain sum.
TEST(WeighedMotors, AreNotSpoiltByOneThatIsNone)
{
    std::mt19937 random(74);
    PossibleMotors possible =
        proposedBy(someCovariance(), 30, random, [](const Eigen::VectorXd& x) { return x; });
    possible.motors[7].weight = 0;
    const double without = possible.deviation(firstAlone, first);
    possible.motors[7].motor.unknowns[0] = std::numeric_limits<double>::quiet_NaN();
    EXPECT_EQ(possible.deviation(firstAlone, first), without);
    EXPECT_NEAR(without, 0.2, 0.04);
    EXPECT_NEAR(possible.deviation(Eigen::Vector2d::Zero(), [](const MotorSample&) { return 0.3; }),
                0.3, 1e-12);
}

// The few motors behind an accuracy say what many drawn ones say (of which the first thirty or so
// are among them), in the mean and nearly so in each machine.
TEST(WeighedMotors, SpreadAsThoseThatAreDrawn)
{
    constexpr int machines = 60;
    constexpr std::size_t among = 30;
    constexpr std::size_t many = 200;
    std::mt19937 random(71);
    for (const StartKind kind :
         {StartKind::resistance, StartKind::capacitor, StartKind::capacitorAndRunCapacitor}) {
        std::map<std::string, double> logarithms;
        std::map<std::string, double> squares;
        for (int i = 0; i < machines; ++i) {
            const RandomMotor motor = randomMotor(random, kind);
            const MotorEstimate estimate = estimateMotor(motor.input, motor.bench, random());
            estimate.posterior->draw(among);
            const std::vector<MotorSample> drawn = estimate.posterior->draw(many);
            const auto compare = [&](const std::string& name, double (*read)(const MotorSample&)) {
                const Quantity& value = parameterOf(estimate, name);
                double drawnSquares = 0;
                for (const MotorSample& each : drawn) {
                    drawnSquares += std::pow(std::log(read(each) / value.value), 2) / many;
                }
                // 95 % of a normal law: 1.96 standard deviations (any table of it).
                const double apart =
                    std::log(std::log1p(value.accuracy_ratio) / 1.96 / std::sqrt(drawnSquares));
                logarithms[name] += apart / machines;
                squares[name] += apart * apart / machines;
            };
            using S = const MotorSample&;
            compare(turnsRatioName, [](S s) { return s.circuit.turnsRatio; });
            compare(mainLeakageName, [](S s) { return s.circuit.mainLeakage_ohm; });
            compare(magnetizingName, [](S s) { return s.circuit.mainMagnetizing_ohm; });
            compare(rotorName, [](S s) { return s.circuit.rotorMain_ohm; });
            compare(inertiaName, [](S s) { return s.circuit.inertia_kgm2; });
            compare("load torque at rated load", [](S s) { return s.ratedTorque_Nm; });
        }
        for (const auto& [name, logarithm] : logarithms) {
            EXPECT_LT(std::abs(logarithm), 0.05) << name;
            EXPECT_LT(std::sqrt(squares[name]), 0.18) << name;
        }
    }
}

}  // namespace splitstart
