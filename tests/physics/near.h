// How the checks of this folder compare two numbers: always relative to a stated scale, so that a
// milliohm and a kilowatt are judged alike.
#pragma once

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <complex>

namespace splitstart
{

// Within `tolerance_ratio` times `scale` of `expected`. For quantities that pass through zero.
inline testing::AssertionResult nearOfScale(double actual, double expected, double scale,
                                            double tolerance_ratio)
{
    const double error_ratio = std::abs(actual - expected) / std::abs(scale);
    if (error_ratio <= tolerance_ratio) {  // false for anything that is not a number
        return testing::AssertionSuccess();
    }
    return testing::AssertionFailure()
           << fmt::format("{} is not {}: off by {:.3g} of {}, allowed {}", actual, expected,
                          error_ratio, scale, tolerance_ratio);
}

inline testing::AssertionResult nearRel(double actual, double expected, double tolerance_ratio)
{
    return nearOfScale(actual, expected, expected, tolerance_ratio);
}

inline testing::AssertionResult nearRel(std::complex<double> actual, std::complex<double> expected,
                                        double tolerance_ratio)
{
    const double error_ratio = std::abs(actual - expected) / std::abs(expected);
    if (error_ratio <= tolerance_ratio) {
        return testing::AssertionSuccess();
    }
    return testing::AssertionFailure() << fmt::format(
               "{}{:+}j is not {}{:+}j: off by {:.3g}, allowed {}", actual.real(), actual.imag(),
               expected.real(), expected.imag(), error_ratio, tolerance_ratio);
}

// Equal to a printed number to its last digit: within half a unit of that digit.
inline testing::AssertionResult agreesWithPrint(double actual, double printed, double lastDigit)
{
    return nearOfScale(actual, printed, lastDigit, 0.5);
}

}  // namespace splitstart
