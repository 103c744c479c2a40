#include "case/capacitor_pair.h"

#include <fmt/format.h>

#include <algorithm>

namespace splitstart
{

namespace
{

// Highest squared volts that its resistor stands: of two, the pair's is the lower one.
std::optional<double> bleedLimit_V2(const StartCapacitor& capacitor)
{
    return capacitor.bleed_ohm && capacitor.bleed_W
               ? std::optional(*capacitor.bleed_ohm * *capacitor.bleed_W)
               : std::nullopt;
}

// Losses weigh as the energy that each stores: with its capacitance in parallel, with the
// reciprocal of it in series (exact in series, and in parallel to the first order of the
// dissipation factors).
double dissipationOf(const StartCapacitor& first, const StartCapacitor& second, double firstWeight,
                     double secondWeight)
{
    return (firstWeight * first.dissipationFactor + secondWeight * second.dissipationFactor) /
           (firstWeight + secondWeight);
}

void bleedInParallel(StartCapacitor& pair, const StartCapacitor& first,
                     const StartCapacitor& second)
{
    double conductance_S = 0;
    bool allRated = true;
    std::optional<double> limit_V2;
    for (const StartCapacitor* each : {&first, &second}) {
        if (each->bleed_ohm) {
            conductance_S += 1 / *each->bleed_ohm;
            allRated = allRated && each->bleed_W.has_value();
            limit_V2 = lowerOf(limit_V2, bleedLimit_V2(*each));
        }
    }
    if (conductance_S > 0) {
        pair.bleed_ohm = 1 / conductance_S;
        if (allRated) {
            pair.bleed_W = *limit_V2 * conductance_S;
        }
    }
}

// One that has none keeps its charge, so the pair has none either.
void bleedInSeries(StartCapacitor& pair, const StartCapacitor& first, const StartCapacitor& second,
                   double share_ratio)
{
    if (!first.bleed_ohm || !second.bleed_ohm) {
        return;
    }
    pair.bleed_ohm = *first.bleed_ohm + *second.bleed_ohm;
    const std::optional<double> firstLimit_V2 = bleedLimit_V2(first);
    const std::optional<double> secondLimit_V2 = bleedLimit_V2(second);
    if (firstLimit_V2 && secondLimit_V2) {
        pair.bleed_W = std::min(*firstLimit_V2, *secondLimit_V2) /
                       (share_ratio * share_ratio * *pair.bleed_ohm);
    }
}

}  // namespace

std::optional<double> lowerOf(const std::optional<double>& a, const std::optional<double>& b)
{
    return a && b ? std::min(a, b) : a ? a : b;
}

std::string whyNotInSeries(const StartCapacitor& first, const StartCapacitor& second)
{
    if (first.capacitance_F != second.capacitance_F) {
        return "Their printed microfarads differ, so the smaller one would take most of the volts";
    }
    if (first.rated_V != second.rated_V) {
        return "Their rated volts differ";
    }
    if (first.bleed_ohm && second.bleed_ohm && *first.bleed_ohm != *second.bleed_ohm) {
        return "Their bleed resistors differ, so one would keep its charge for longer";
    }
    return {};
}

StartCapacitor pairedCapacitor(const StartCapacitor& first, const StartCapacitor& second,
                               const CapacitorPair& pair)
{
    StartCapacitor result;
    result.pair = pair;
    result.dissipationGiven = first.dissipationGiven && second.dissipationGiven;
    result.dutySecondsPerHour = std::min(first.dutySecondsPerHour, second.dutySecondsPerHour);
    result.dutyGiven = first.dutyGiven && second.dutyGiven;
    result.longestOn_s = lowerOf(first.longestOn_s, second.longestOn_s);
    const double first_F = first.capacitance_F.middle();
    const double second_F = second.capacitance_F.middle();
    const bool cutOffGiven = first.cutOff_V || second.cutOff_V;
    const double cutOff_V = std::min(first.highest_V(), second.highest_V());
    if (pair.connection == PairConnection::parallel) {
        result.capacitance_F = {first.capacitance_F.minimum + second.capacitance_F.minimum,
                                first.capacitance_F.maximum + second.capacitance_F.maximum};
        result.rated_V = std::min(first.rated_V, second.rated_V);
        result.dissipationFactor = dissipationOf(first, second, first_F, second_F);
        bleedInParallel(result, first, second);
        if (cutOffGiven) {
            result.cutOff_V = cutOff_V;
        }
        return result;
    }
    const Range& each_F = first.capacitance_F;
    const double share_ratio = each_F.maximum / (each_F.minimum + each_F.maximum);
    result.capacitance_F = {each_F.minimum / 2, each_F.maximum / 2};
    result.rated_V = first.rated_V / share_ratio;
    result.dissipationFactor = dissipationOf(first, second, 1 / first_F, 1 / second_F);
    bleedInSeries(result, first, second, share_ratio);
    if (cutOffGiven) {
        result.cutOff_V = cutOff_V / share_ratio;
    }
    return result;
}

std::string pairWords(const CapacitorPair& pair)
{
    return fmt::format("{} and {} in {}", pair.first, pair.second,
                       pair.connection == PairConnection::parallel ? "parallel" : "series");
}

std::string pairWiring(const CapacitorPair& pair)
{
    return pair.connection == PairConnection::parallel
               ? "join one terminal of each, and the other terminal of each; the two joints are "
                 "the "
                 "terminals of the pair"
               : "join one terminal of one with one of the other; the two that are left are the "
                 "terminals of the pair, and each keeps its own bleed resistor";
}

}  // namespace splitstart
