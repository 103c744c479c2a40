// What the page of a diagnosis says of readings that no meter shows, of causes that it does not
// name, and of pressures that are not those of the case.
#include <gtest/gtest.h>

#include <string>

#include "report/report.h"
#include "study/diagnosis.h"
#include "unit/dairy_cases.h"

namespace splitstart
{

namespace
{

CauseResult resultOf(const std::string& what, double share)
{
    CauseResult result;
    result.cause.what = what;
    result.cause.cure = "Look.";
    result.share = share;
    result.variants.emplace_back();
    result.variants.front().prediction.words[SymptomKind::motor] = motorWord::hums;
    return result;
}

// Three causes in the first group, one in the second; next to be read: ohms between S and C.
Diagnosis someDiagnosis()
{
    Diagnosis diagnosis;
    diagnosis.results = {resultOf("first", 0.4), resultOf("second", 0.3), resultOf("third", 0.2),
                         resultOf("fourth", 0.1)};
    diagnosis.groups = {{{0, 1, 2}, 0.9, {}}, {{3}, 0.1, {}}};
    NextObservation next;
    next.kind = SymptomKind::startCommonOhms;
    next.outcomes.resize(2);
    next.outcomes[0].value = {1e-4, 1e-4};
    next.outcomes[0].causes = {0, 1, 2};
    next.outcomes[1].value = {2, 2.1};
    next.outcomes[1].causes = {2, 3};
    diagnosis.next = {next};
    return diagnosis;
}

std::string pageOf(const Diagnosis& diagnosis, const std::vector<Symptom>& symptoms = {})
{
    return diagnosisText(coldStoreCase(), diagnosis, symptoms, {false, false, 200});
}

bool says(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST(DiagnosisText, SaysNearNothingWhereNoMeterShowsMore)
{
    Diagnosis diagnosis = someDiagnosis();
    const std::string page = pageOf(diagnosis);
    EXPECT_TRUE(says(page, "near 0 ohm: first")) << page;
    EXPECT_TRUE(says(page, "2.00 to 2.10 ohm: third")) << page;
    EXPECT_FALSE(says(page, "0.0001")) << page;
    // In what does not fit, too.
    diagnosis.results[0].variants.front().prediction.values[SymptomKind::startCommonOhms] = {1e-4,
                                                                                             1e-4};
    diagnosis.results[0].unfitting = {0};
    const std::string unfitting = pageOf(diagnosis, {{SymptomKind::startCommonOhms, {}, 3}});
    EXPECT_TRUE(says(unfitting, "expected near 0 ohm")) << unfitting;
}

TEST(DiagnosisText, SaysInWhichGroupTheCausesAreThatItDoesNotName)
{
    const std::string page = pageOf(someDiagnosis());
    EXPECT_TRUE(says(page, "first, or one of 2 other causes in group 1")) << page;
    EXPECT_TRUE(says(page, "third, or one other cause in group 2")) << page;
    // Of two groups, no group.
    Diagnosis across = someDiagnosis();
    across.next.front().outcomes[0].causes = {0, 1, 3};
    EXPECT_TRUE(says(pageOf(across), "first, or one of 2 other causes\n")) << pageOf(across);
}

TEST(DiagnosisText, SaysThatWhatIsExpectedIsOfOtherPressuresThanTheCases)
{
    Diagnosis diagnosis = someDiagnosis();
    EXPECT_TRUE(says(pageOf(diagnosis), "expected then: motor hums"));
    diagnosis.results[0].variants.resize(2);
    diagnosis.results[0].variants[1] = diagnosis.results[0].variants[0];
    ASSERT_EQ(coldStoreCase().compressor.load.pressures, Pressures::equalised);
    diagnosis.results[0].variants[0].pressures = Pressures::unequalised;
    EXPECT_TRUE(says(pageOf(diagnosis),
                     "expected then (it fits best if the pressures had not equalised, unlike what "
                     "the case says): motor hums"))
        << pageOf(diagnosis);
}

}  // namespace splitstart
