// Bayes' rule over the causes of a diagnosis.
#pragma once

#include "study/diagnosis.h"

namespace splitstart
{

// Of what was observed with the supply on: the product over the symptoms.
double poweredLikelihood(const Prediction& prediction, const DiagnosisOptions& options);

// Likelihood of each variant with the most probable machine, and from them the shares.
void weighCauses(Diagnosis& diagnosis, const DiagnosisOptions& options);

// Shares from the likelihoods that the variants have; the most likely first, variants too.
void shareOut(Diagnosis& diagnosis);

// Those that nobody can tell apart with the supply on together; the most likely first.
void groupCauses(Diagnosis& diagnosis, const DiagnosisOptions& options);

}  // namespace splitstart
