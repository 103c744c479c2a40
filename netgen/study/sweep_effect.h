// Fields of a sweep that changed nothing, so that nobody takes equal rows for a finding.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "study/sweep.h"

namespace splitstart
{

class SweepEffect
{
public:
    // `plan` must outlive it.
    SweepEffect(const SweepPlan& plan, std::size_t motorsPerCase);

    void add(const SweepRow& row);

    // The fields, as written, with whose values no number of any row changes while all other fields
    // stay. Empty unless every row was added; a field with one value, or in a Latin hypercube,
    // where never only one field changes, says nothing.
    [[nodiscard]] std::vector<std::string> fieldsWithoutEffect() const;

private:
    const SweepPlan& plan_;
    std::size_t motorsPerCase_;
    std::vector<std::size_t> results_;  // a hash of what each row shows
    std::size_t added_ = 0;
};

}  // namespace splitstart
