#include "study/cause_weights.h"

#include <algorithm>

#include "study/likelihood.h"

namespace splitstart
{

namespace
{

double likelihoodOf(const Prediction& prediction, const DiagnosisOptions& options, bool poweredOnly)
{
    double product = 1;
    for (const Symptom& symptom : options.symptoms) {
        if (!poweredOnly || symptomInfo(symptom.kind).powered) {
            product *= likelihood(symptom, prediction, options.meter_ratio);
        }
    }
    return product;
}

}  // namespace

double poweredLikelihood(const Prediction& prediction, const DiagnosisOptions& options)
{
    return likelihoodOf(prediction, options, true);
}

void weighCauses(Diagnosis& diagnosis, const DiagnosisOptions& options)
{
    for (CauseResult& result : diagnosis.results) {
        for (CauseVariant& variant : result.variants) {
            variant.likelihood = variant.simulatorSays.empty()
                                     ? likelihoodOf(variant.prediction, options, false)
                                     : 0;
        }
    }
    shareOut(diagnosis);
}

void shareOut(Diagnosis& diagnosis)
{
    double sum = 0;
    for (CauseResult& result : diagnosis.results) {
        double mean = 0;
        for (const CauseVariant& variant : result.variants) {
            mean += variant.weight * variant.likelihood;
        }
        std::stable_sort(result.variants.begin(), result.variants.end(),
                         [](const CauseVariant& a, const CauseVariant& b) {
                             return a.weight * a.likelihood > b.weight * b.likelihood;
                         });
        result.share = result.cause.weight * mean;
        sum += result.share;
    }
    // What needs no simulation always has a likelihood, so that there is something to share.
    for (CauseResult& result : diagnosis.results) {
        result.share /= sum;
    }
    std::stable_sort(diagnosis.results.begin(), diagnosis.results.end(),
                     [](const CauseResult& a, const CauseResult& b) { return a.share > b.share; });
}

void groupCauses(Diagnosis& diagnosis, const DiagnosisOptions& options)
{
    diagnosis.groups.clear();
    for (std::size_t i = 0; i < diagnosis.results.size(); ++i) {
        const CauseResult& result = diagnosis.results[i];
        if (!result.simulatorSays().empty()) {
            continue;
        }
        const auto same = std::find_if(
            diagnosis.groups.begin(), diagnosis.groups.end(), [&](const CauseGroup& each) {
                return !toldApart(diagnosis.results[each.causes.front()].prediction(),
                                  result.prediction(), options.meter_ratio);
            });
        CauseGroup& place =
            same == diagnosis.groups.end() ? diagnosis.groups.emplace_back() : *same;
        place.causes.push_back(i);
        place.share += result.share;
    }
    std::stable_sort(diagnosis.groups.begin(), diagnosis.groups.end(),
                     [](const CauseGroup& a, const CauseGroup& b) { return a.share > b.share; });
}

}  // namespace splitstart
