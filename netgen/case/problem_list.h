// Problems gathered while reading, so that a person can mend all of them at once.
#pragma once

#include <cstddef>
#include <vector>

#include "case/input_error.h"

namespace splitstart
{

class ProblemList
{
public:
    // Keeps the first hundred and counts the rest: a file of the wrong kind must not flood anyone.
    void add(InputProblem problem);

    [[nodiscard]] std::size_t count() const { return problems_.size() + notKept_; }
    [[nodiscard]] bool full() const { return problems_.size() >= mostKept; }

    // Throws InputError with the problems file by file and in the order of their lines.
    void throwIfAny() const;

private:
    static constexpr std::size_t mostKept = 100;
    std::vector<InputProblem> problems_;
    std::size_t notKept_ = 0;
};

}  // namespace splitstart
