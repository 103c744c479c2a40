// Statistics of which only the order of the values counts.
#pragma once

#include <vector>

namespace splitstart
{

// Place of each value, from 0; equal values share the mean of their places.
std::vector<double> ranksOf(const std::vector<double>& values);

// Normal scores: the quantile of the standard normal distribution at (place + 1)/(count + 1) (van
// der Waerden; any text on rank statistics).
std::vector<double> normalScores(const std::vector<double>& values);

// Pearson's correlation; of ranks, Spearman's. 0 where one of them does not vary. Requires as many
// values of the one as of the other.
double correlation(const std::vector<double>& a, const std::vector<double>& b);

}  // namespace splitstart
