// Figures that no one motor can have together.
//
// The best fit's sum of squares S of all residuals, priors included, follows a chi-squared law with
// as many degrees of freedom as there are figures, where figures and priors are what they are said
// to be (straightened problem). Where S, or one figure, is beyond what one case in a thousand has,
// pairs of figures are fitted alone: a pair that is beyond that limit by itself, while each of the
// two alone is not, cannot both be right.
#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>
#include <numeric>

#include "motor/estimator.h"

namespace splitstart::estimation
{

namespace
{

constexpr double rareCase = 0.001;

// Sum of squares that one sound case in a thousand exceeds.
double limitFor(std::size_t figures)
{
    return boost::math::quantile(
        boost::math::complement(boost::math::chi_squared(static_cast<double>(figures)), rareCase));
}

std::string shown(const Observation& observation)
{
    return fmt::format("{} {:.5g}{}{}", observation.name, observation.wanted,
                       observation.unit.empty() ? "" : " ", observation.unit);
}

}  // namespace

std::vector<std::string> Estimator::contradictions(const Fit& best) const
{
    const std::vector<Observation>& figures = evidence_.observations();
    // Physics that ties unknowns together stays with every group of figures.
    std::vector<std::size_t> physics;
    for (std::size_t i = 0; i < figures.size(); ++i) {
        if (!figures[i].isFigure) {
            physics.push_back(i);
        }
    }
    const Eigen::VectorXd residual =
        best.residuals.head(static_cast<Eigen::Index>(figures.size())).cwiseAbs();
    if (best.squares() <= limitFor(figures.size()) && residual.maxCoeff() <= oneInAThousand) {
        return {};
    }
    const auto squaresOf = [&](std::vector<std::size_t> which) {
        const double limit = limitFor(which.size());
        which.insert(which.end(), physics.begin(), physics.end());
        const Evidence group = evidence_.only(which);
        // Where one fit is good enough, no other has to be looked for.
        const double squares = fit(group, Eigen::VectorXd::Zero(unknownCount)).squares();
        return squares <= limit ? squares : fits(group).front().squares();
    };
    std::vector<std::string> found;
    std::vector<double> alone;
    for (std::size_t i = 0; i < figures.size(); ++i) {
        alone.push_back(figures[i].isFigure ? squaresOf({i}) : 0);
        if (alone.back() > limitFor(1)) {
            found.push_back(fmt::format(
                "{} and the winding resistances cannot both be right, unless this motor is unlike "
                "any other",
                shown(figures[i])));
        }
    }
    // One of a pair at odds is off in the common fit, too.
    const auto isSuspect = [&](std::size_t i) {
        constexpr double off = 1.5;  // standard deviations
        return residual[static_cast<Eigen::Index>(i)] > off;
    };
    for (std::size_t i = 0; i < figures.size(); ++i) {
        for (std::size_t j = i + 1; j < figures.size(); ++j) {
            if (figures[i].isFigure && figures[j].isFigure && (isSuspect(i) || isSuspect(j)) &&
                alone[i] <= limitFor(1) && alone[j] <= limitFor(1) &&
                squaresOf({i, j}) > limitFor(2)) {
                found.push_back(fmt::format("{} and {} cannot both be right", shown(figures[i]),
                                            shown(figures[j])));
            }
        }
    }
    if (!found.empty()) {
        return found;
    }
    // No pair by itself: the figure without which the rest agrees best.
    std::vector<std::size_t> all(figures.size());
    std::iota(all.begin(), all.end(), 0);
    double least = best.squares();
    std::size_t odd = physics.empty() ? 0 : (physics.front() == 0 ? 1 : 0);
    for (const std::size_t i : all) {
        if (!figures[i].isFigure) {
            continue;
        }
        std::vector<std::size_t> others = all;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
        const double squares = fits(evidence_.only(others)).front().squares();
        if (squares < least) {
            least = squares;
            odd = i;
        }
    }
    return {fmt::format("the figures cannot all be right; without {} the others agree {}",
                        shown(figures[odd]),
                        least <= limitFor(figures.size() - 1) ? "with one another" : "best")};
}

}  // namespace splitstart::estimation
