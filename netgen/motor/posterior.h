// Drawing motors from what the evidence leaves possible. Internal to motor/.
#pragma once

#include <Eigen/Dense>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/normal_distribution.hpp>
#include <boost/random/uniform_01.hpp>
#include <deque>
#include <memory>
#include <optional>

#include "motor/estimator.h"

namespace splitstart::estimation
{

// A proposal comes from the normal distribution around one of the fits (Laplace's approximation,
// each fit as often as its volume of probability asks) and is moved by one Gauss-Newton step to
// where the true residuals are those that the straightened problem has there, so that it follows
// the bends of the problem (after D. S. Oliver, N. He, A. C. Reynolds, randomized maximum
// likelihood, 1996, from memory). One that ends nearer to another fit is left to that. It is kept
// with a probability in proportion to how much more probable it is than the proposal says; that
// ratio is cut off near the top of the first block, which trades a little bias in the far tails for
// a bounded number of proposals (truncated importance sampling: E. L. Ionides, Journal of
// Computational and Graphical Statistics 17, 2008, from memory). The step's own change of volume is
// left out. Boost's generators give the same numbers on every machine.
class Posterior : public MotorPosterior
{
public:
    Posterior(std::shared_ptr<const Estimator> estimator, const std::vector<Estimator::Fit>& fits,
              std::uint64_t seed);

    // Proposals with the probability with which draw() keeps each, for sums over all that is
    // possible: as many as have that effectiveCount(). None of them is taken from draw().
    PossibleMotors weighed(double enough);
    std::vector<MotorSample> draw(std::size_t count) override;
    [[nodiscard]] std::vector<std::string> unknownNames() const override;
    std::vector<Prediction> predict(std::span<const MeasuredQuantity> quantities,
                                    std::span<const MotorSample> motors) override;

private:
    // Proposes a block and keeps some; all go to `proposals` with the probability of being kept.
    void refill(std::vector<WeighedMotor>* proposals = nullptr);

    // One fit and the straightened problem around it.
    struct Mode {
        Estimator::Fit fit;
        Eigen::MatrixXd gain;  // (slope^T slope)^-1 slope^T
        Eigen::MatrixXd root;  // lower triangle: covariance = root root^T
        double share = 1;      // of the proposals
    };
    [[nodiscard]] std::size_t nearest(const Eigen::VectorXd& x) const;
    [[nodiscard]] std::size_t chosen(double chance) const;

    std::shared_ptr<const Estimator> estimator_;
    std::vector<Mode> modes_;
    boost::random::mt19937_64 random_;
    boost::random::normal_distribution<double> normal_;
    boost::random::uniform_01<double> uniform_;
    std::optional<double> cap_;  // natural logarithm of the ratio above which all are kept
    std::deque<MotorSample> kept_;
    std::size_t emptyBlocks_ = 0;
};

}  // namespace splitstart::estimation
