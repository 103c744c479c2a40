#include "motor/pin_posterior.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace splitstart
{

namespace
{

constexpr double never = -std::numeric_limits<double>::infinity();

// Trapezoids of a quarter of a deviation out to six: for a normal density times a smooth prior the
// rule's own error is far below double precision (exp(-2 pi^2 / step^2)).
constexpr double gridStep = 0.25;
constexpr int gridSteps = 24;

// Misfits beyond this many deviations, coarse errors included, are no two-winding motor.
constexpr double possibleMisfit = 3.5;

// A naming further out than this has no weight beside one that is possible, and is not integrated.
constexpr double hopelessMisfit = 10;

// chi-square, two degrees of freedom, exceeded once in ten thousand.
constexpr double equalLimit = 18.4;

double square(double x)
{
    return x * x;
}

double logNormalDensity(double logValue, double logMedian, double logDeviation)
{
    return std::exp(-0.5 * square((logValue - logMedian) / logDeviation)) /
           (logDeviation * std::sqrt(2 * std::numbers::pi));
}

double logGaussian(double x, double deviation)
{
    return -0.5 * square(x / deviation) - std::log(deviation * std::sqrt(2 * std::numbers::pi));
}

double logSum(double a, double b)
{
    const double larger = std::max(a, b);
    return larger == never ? never : larger + std::log(std::exp(a - larger) + std::exp(b - larger));
}

// Density over (R, S); the division turns the densities over logarithms into densities over ohms.
double windingPrior(double run_ohm, double start_ohm, const IdentifyAssumptions& assumptions)
{
    const double logRun = std::log(run_ohm);
    const double logRatio = std::log(start_ohm) - logRun;
    double ratio = 0;
    for (const RatioPrior& part : assumptions.startToRun) {
        ratio += part.weight_ratio *
                 logNormalDensity(logRatio, std::log(part.median_ratio), part.logDeviation);
    }
    return ratio *
           logNormalDensity(logRun, std::log(assumptions.runMedian_ohm),
                            assumptions.runLogDeviation) /
           (run_ohm * start_ohm);
}

// Evidence for one naming under one size of error, and the windings' first two moments. The habits
// of motor makers weigh in the naming alone: what a winding measures is for the meter to say,
// however odd the ratio, so the moments leave the prior out.
struct Evidence {
    double logValue = never;
    double logMisfit = never;  // of the sum rule alone
    double run = 0;
    double runSquare = 0;
    double start = 0;
    double startSquare = 0;
};

// What the three readings say about (R, S) before any prior: a normal distribution.
struct WindingEstimate {
    double run = 0;
    double start = 0;
    double runDeviation = 0;
    double startOnRun = 0;  // Cholesky factor, lower row
    double startDeviation = 0;
};

struct SumRule {
    double misfit = 0;
    double variance = 0;
    WindingEstimate windings;
};

// The three readings in the order C-R, C-S, S-R.
SumRule applySumRule(const std::array<double, 3>& reading, const std::array<double, 3>& variance,
                     const ThreeReadings& all, const IdentifyAssumptions& assumptions)
{
    const double lead = square(all.leadDeviation_ohm);
    SumRule rule;
    rule.misfit =
        reading[0] + reading[1] - reading[2] - all.lead_ohm - 2 * assumptions.commonPath_ohm;
    rule.variance = variance[0] + variance[1] + variance[2] + lead +
                    4 * square(assumptions.commonPathDeviation_ohm);
    // Covariance of the C-R and C-S readings' errors with the misfit.
    const double runShare = variance[0] + lead;
    const double startShare = variance[1] + lead;
    WindingEstimate& windings = rule.windings;
    windings.run = reading[0] - all.lead_ohm - runShare / rule.variance * rule.misfit;
    windings.start = reading[1] - all.lead_ohm - startShare / rule.variance * rule.misfit;
    const double runVariance = runShare - square(runShare) / rule.variance;
    const double covariance = lead - runShare * startShare / rule.variance;
    const double startVariance = startShare - square(startShare) / rule.variance;
    windings.runDeviation = std::sqrt(runVariance);
    windings.startOnRun = covariance / windings.runDeviation;
    windings.startDeviation = std::sqrt(std::max(0.0, startVariance - square(windings.startOnRun)));
    return rule;
}

Evidence integrate(const SumRule& rule, const IdentifyAssumptions& assumptions)
{
    const WindingEstimate& centre = rule.windings;
    Evidence sum;
    if (square(rule.misfit) > square(hopelessMisfit) * rule.variance) {
        return sum;
    }
    double total = 0;
    double possible = 0;
    for (int i = -gridSteps; i <= gridSteps; ++i) {
        const double u = gridStep * i;
        const double run = centre.run + centre.runDeviation * u;
        if (run <= 0) {
            continue;
        }
        for (int j = -gridSteps; j <= gridSteps; ++j) {
            const double v = gridStep * j;
            const double start = centre.start + centre.startOnRun * u + centre.startDeviation * v;
            if (start <= 0) {
                continue;
            }
            const double weight = std::exp(-0.5 * (u * u + v * v));
            possible += weight;
            total += weight * windingPrior(run, start, assumptions);
            sum.run += weight * run;
            sum.runSquare += weight * run * run;
            sum.start += weight * start;
            sum.startSquare += weight * start * start;
        }
    }
    if (total > 0) {
        sum.run /= possible;
        sum.runSquare /= possible;
        sum.start /= possible;
        sum.startSquare /= possible;
        sum.logMisfit = logGaussian(rule.misfit, std::sqrt(rule.variance));
        sum.logValue =
            sum.logMisfit + std::log(total * gridStep * gridStep / (2 * std::numbers::pi));
    }
    return sum;
}

// Fills everything but the probability; returns the logarithm of the evidence.
double evaluate(Naming& naming, const ThreeReadings& all, const IdentifyAssumptions& assumptions)
{
    const auto at = [](int pin) { return static_cast<std::size_t>(pin); };
    // R(C-R) is the reading that does not touch S, and so on.
    const std::array<std::size_t, 3> order{at(naming.pin[1]), at(naming.pin[2]), at(naming.pin[0])};
    const double highest = *std::max_element(all.opposite_ohm.begin(), all.opposite_ohm.end());
    const double coarse = square(assumptions.coarseDeviation_ratio * highest) / 3;
    std::array<double, 3> reading{};
    std::array<double, 3> fine{};
    std::array<double, 3> rough{};
    for (std::size_t i = 0; i < order.size(); ++i) {
        reading[i] = all.opposite_ohm[order[i]];
        fine[i] = square(all.deviation_ohm[order[i]]);
        rough[i] = fine[i] + coarse;
    }
    const SumRule fineRule = applySumRule(reading, fine, all, assumptions);
    const SumRule roughRule = applySumRule(reading, rough, all, assumptions);
    naming.misfit_ohm = fineRule.misfit;
    naming.misfitDeviation_ohm = std::sqrt(fineRule.variance);
    naming.coarseDeviation_ohm = std::sqrt(roughRule.variance);

    const Evidence likely = integrate(fineRule, assumptions);
    const Evidence unlikely = integrate(roughRule, assumptions);
    const double logLikely = likely.logValue + std::log1p(-assumptions.coarseShare_ratio);
    const double logUnlikely = unlikely.logValue + std::log(assumptions.coarseShare_ratio);
    const double logEvidence = logSum(logLikely, logUnlikely);
    if (logEvidence == never) {
        return never;
    }
    const double logFine = likely.logMisfit + std::log1p(-assumptions.coarseShare_ratio);
    const double logRough = unlikely.logMisfit + std::log(assumptions.coarseShare_ratio);
    const double share = std::exp(logFine - logSum(logFine, logRough));
    const auto mix = [share](double a, double b) { return share * a + (1 - share) * b; };
    naming.run_ohm = mix(likely.run, unlikely.run);
    naming.start_ohm = mix(likely.start, unlikely.start);
    naming.runDeviation_ohm = std::sqrt(
        std::max(0.0, mix(likely.runSquare, unlikely.runSquare) - square(naming.run_ohm)));
    naming.startDeviation_ohm = std::sqrt(
        std::max(0.0, mix(likely.startSquare, unlikely.startSquare) - square(naming.start_ohm)));
    return logEvidence;
}

// Three windings of one resistance W: y = W + l + e. The readings split into their weighted mean
// and two differences, whose chi-square is returned beside the logarithm of the evidence.
struct EqualEvidence {
    double logValue = never;
    double chiSquare = 0;
};

EqualEvidence evaluateThreeEqual(const ThreeReadings& all, const IdentifyAssumptions& assumptions)
{
    double weightSum = 0;
    double weighted = 0;
    double logDeviations = 0;
    std::array<double, 3> variance{};
    for (std::size_t i = 0; i < variance.size(); ++i) {
        variance[i] = square(all.deviation_ohm[i]) +
                      square(assumptions.threeEqualSpread_ratio * all.opposite_ohm[i]);
        weightSum += 1 / variance[i];
        weighted += all.opposite_ohm[i] / variance[i];
        logDeviations += 0.5 * std::log(variance[i]);
    }
    const double mean = weighted / weightSum;
    EqualEvidence evidence;
    for (std::size_t i = 0; i < variance.size(); ++i) {
        evidence.chiSquare += square(all.opposite_ohm[i] - mean) / variance[i];
    }
    const double deviation = std::sqrt(1 / weightSum + square(all.leadDeviation_ohm));
    double prior = 0;
    for (int i = -gridSteps; i <= gridSteps; ++i) {
        const double u = gridStep * i;
        const double winding = mean - all.lead_ohm + deviation * u;
        if (winding > 0) {
            prior += std::exp(-0.5 * u * u) * gridStep / std::sqrt(2 * std::numbers::pi) *
                     logNormalDensity(std::log(winding), std::log(assumptions.runMedian_ohm),
                                      assumptions.runLogDeviation) /
                     winding;
        }
    }
    if (prior > 0) {
        evidence.logValue = std::log(prior) - std::log(2 * std::numbers::pi) - logDeviations -
                            0.5 * std::log(weightSum) - 0.5 * evidence.chiSquare;
    }
    return evidence;
}

// A meter that shows milliohms is a four-wire meter, whose contacts hardly count.
double contactDeviation_ohm(const Readings& meter, const IdentifyAssumptions& assumptions)
{
    return std::clamp(3 * meter.resolution_ohm, assumptions.fourWireContactDeviation_ohm,
                      assumptions.contactDeviation_ohm);
}

}  // namespace

double readingDeviation_ohm(double shown_ohm, const Readings& meter,
                            const IdentifyAssumptions& assumptions)
{
    // Half of the 95 % bound; a rounded last digit is uniform, deviation 1/sqrt(12) of a digit.
    return std::sqrt(square(0.5 * meter.accuracy_ratio * shown_ohm) +
                     square(meter.resolution_ohm) / 12 +
                     square(contactDeviation_ohm(meter, assumptions)) +
                     square(assumptions.driftDeviation_ratio * shown_ohm));
}

LeadPrior leadPrior(const Readings& meter, const IdentifyAssumptions& assumptions)
{
    if (!meter.leadGiven) {
        return {assumptions.unknownLead_ohm, assumptions.unknownLeadDeviation_ohm};
    }
    return {0, contactDeviation_ohm(meter, assumptions)};
}

PinPosterior pinPosterior(const ThreeReadings& readings, const IdentifyAssumptions& assumptions)
{
    constexpr std::array<std::array<int, 3>, 6> orders{
        {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}}};
    PinPosterior posterior;
    std::array<double, 6> logEvidence{};
    const EqualEvidence equal = evaluateThreeEqual(readings, assumptions);
    const double logEqual = equal.logValue + std::log(assumptions.threeEqualShare_ratio);
    double logTotal = logEqual;
    for (std::size_t i = 0; i < orders.size(); ++i) {
        posterior.namings[i].pin = orders[i];
        logEvidence[i] = evaluate(posterior.namings[i], readings, assumptions) +
                         std::log((1 - assumptions.threeEqualShare_ratio) / 6);
        logTotal = logSum(logTotal, logEvidence[i]);
    }
    if (logTotal != never) {
        for (std::size_t i = 0; i < orders.size(); ++i) {
            posterior.namings[i].probability = std::exp(logEvidence[i] - logTotal);
        }
        posterior.threeEqualProbability = std::exp(logEqual - logTotal);
    }
    posterior.threeEqualFits = equal.chiSquare < equalLimit;
    std::stable_sort(
        posterior.namings.begin(), posterior.namings.end(), [](const Naming& a, const Naming& b) {
            return a.probability != b.probability ? a.probability > b.probability
                                                  : std::abs(a.misfit_ohm) < std::abs(b.misfit_ohm);
        });
    const Naming& best = posterior.namings.front();
    posterior.sumRuleFits = best.probability > 0 &&
                            std::abs(best.misfit_ohm) <= possibleMisfit * best.coarseDeviation_ohm;
    return posterior;
}

void applyDiagram(PinPosterior& posterior, const std::array<int, 3>& pin, double wrongShare_ratio)
{
    const double otherShare =
        wrongShare_ratio / (static_cast<double>(posterior.namings.size()) - 1);
    double total = posterior.threeEqualProbability *= otherShare;
    for (Naming& naming : posterior.namings) {
        naming.probability *= naming.pin == pin ? 1 - wrongShare_ratio : otherShare;
        total += naming.probability;
    }
    if (total > 0) {
        posterior.threeEqualProbability /= total;
        for (Naming& naming : posterior.namings) {
            naming.probability /= total;
        }
    }
    std::stable_partition(posterior.namings.begin(), posterior.namings.end(),
                          [&pin](const Naming& naming) { return naming.pin == pin; });
}

}  // namespace splitstart
