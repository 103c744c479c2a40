#include "rating/rank_statistics.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numeric>

namespace splitstart
{

std::vector<double> ranksOf(const std::vector<double>& values)
{
    std::vector<std::size_t> order(values.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
    std::vector<double> ranks(values.size());
    for (std::size_t i = 0; i < order.size();) {
        std::size_t end = i + 1;
        while (end < order.size() && values[order[end]] == values[order[i]]) {
            ++end;
        }
        // Ties share the mean of their places.
        const double rank = 0.5 * static_cast<double>(i + end - 1);
        for (; i < end; ++i) {
            ranks[order[i]] = rank;
        }
    }
    return ranks;
}

std::vector<double> normalScores(const std::vector<double>& values)
{
    std::vector<double> scores = ranksOf(values);
    for (double& score : scores) {
        score = boost::math::quantile(boost::math::normal(),
                                      (score + 1) / (static_cast<double>(values.size()) + 1));
    }
    return scores;
}

double correlation(const std::vector<double>& a, const std::vector<double>& b)
{
    const auto count = static_cast<double>(a.size());
    const double meanA = std::accumulate(a.begin(), a.end(), 0.0) / count;
    const double meanB = std::accumulate(b.begin(), b.end(), 0.0) / count;
    double together = 0;
    double squaresA = 0;
    double squaresB = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        together += (a[i] - meanA) * (b[i] - meanB);
        squaresA += (a[i] - meanA) * (a[i] - meanA);
        squaresB += (b[i] - meanB) * (b[i] - meanB);
    }
    return squaresA > 0 && squaresB > 0 ? together / std::sqrt(squaresA * squaresB) : 0;
}

}  // namespace splitstart
