// Motors drawn by a Markov chain from the same probabilities as the estimation's: slow, but exact
// in the long run and blind to how many solutions there are. It tells whether the motors that the
// other tests draw are those that the priors speak of.
#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <array>
#include <cmath>
#include <random>
#include <vector>

#include "motor/estimator.h"
#include "unit/motor/estimates.h"

namespace splitstart
{

namespace
{

using namespace estimation;

// Turns ratio, run winding leakage over resistance, start leakage, load torque.
using Figures = std::array<double, 4>;

struct Place {
    Eigen::VectorXd x;
    double squares = 0;  // of the figures alone
    Figures figures{};
};

Place placeAt(const Estimator& estimator, const Eigen::VectorXd& x)
{
    const Evidence& evidence = estimator.evidence();
    const auto answers = estimator.answers(evidence, {&x, 1}).front();
    const auto count = static_cast<Eigen::Index>(evidence.observations().size());
    Place place;
    place.x = x;
    place.squares = estimator.residuals(evidence, x, answers).head(count).squaredNorm();
    place.figures = {estimator.value(x, turnsRatio), estimator.value(x, leakage),
                     estimator.value(x, auxiliaryLeakage),
                     estimator.ratedTorque_Nm(x, answers[Evidence(evidence).ratedPoint()])};
    return place;
}

// Steps that leave the prior as it is, taken or not by the figures alone: S. L. Cotter,
// G. O. Roberts, A. M. Stuart, D. White, "MCMC methods for functions" (Statistical Science, 2013,
// from memory).
std::vector<Figures> chainOf(const Estimator& estimator, int steps, std::mt19937& random)
{
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> uniform;
    Place here = placeAt(estimator, Eigen::VectorXd::Zero(unknownCount));
    std::vector<Figures> visited;
    for (int step = 0; step < steps; ++step) {
        // Long steps find other solutions, short ones are taken more often.
        const double share = uniform(random) < 0.3 ? 0.6 : 0.2;
        Eigen::VectorXd x = std::sqrt(1 - share * share) * here.x;
        for (std::size_t i = 0; i < unknownCount; ++i) {
            x[static_cast<Eigen::Index>(i)] +=
                share * estimator.priors()[i].spread * normal(random);
        }
        const Place there = placeAt(estimator, x);
        if (std::log(uniform(random)) < 0.5 * (here.squares - there.squares)) {
            here = there;
        }
        constexpr int thin = 20;
        if (step > steps / 10 && step % thin == 0) {
            visited.push_back(here.figures);
        }
    }
    return visited;
}

class ChainOfMotors : public testing::TestWithParam<StartKind>
{
};

}  // namespace

// Ranks of the truth among what is possible are uniform: S. Talts and others, "Validating Bayesian
// inference algorithms with simulation-based calibration" (2018, from memory). Chi-squared over
// five groups: 18.5 is the upper 0.1 % with four degrees of freedom (any table).
TEST_P(ChainOfMotors, HoldsTheTruthAnywhereAlike)
{
    constexpr int motors = 120;
    constexpr std::size_t groups = 5;
    std::mt19937 random(96);
    std::array<std::array<double, groups>, 4> found{};
    for (int i = 0; i < motors; ++i) {
        RandomMotor motor = randomMotor(random, GetParam());
        misstatePlate(motor, random);
        const Estimator estimator(motor.input, motor.bench);
        const std::vector<Figures> visited = chainOf(estimator, 3000, random);
        const EquivalentCircuit& c = motor.circuit;
        const double n2 = c.turnsRatio * c.turnsRatio;
        const Figures truth = {c.turnsRatio, c.mainLeakage_ohm / c.main_ohm,
                               c.auxiliaryLeakage_ohm / c.mainLeakage_ohm / n2,
                               motor.ratedTorque_Nm};
        for (std::size_t figure = 0; figure < truth.size(); ++figure) {
            std::size_t below = 0;
            for (const Figures& each : visited) {
                below += each.at(figure) < truth.at(figure) ? 1 : 0;
            }
            ++found.at(figure).at(below * groups / (visited.size() + 1));
        }
    }
    for (const std::array<double, groups>& each : found) {
        double chiSquared = 0;
        for (const double count : each) {
            constexpr double expected = motors / static_cast<double>(groups);
            chiSquared += (count - expected) * (count - expected) / expected;
        }
        EXPECT_LT(chiSquared, 18.5) << testing::PrintToString(each);
    }
}

INSTANTIATE_TEST_SUITE_P(Of, ChainOfMotors,
                         testing::Values(StartKind::resistance, StartKind::capacitor,
                                         StartKind::capacitorAndRunCapacitor));

}  // namespace splitstart
