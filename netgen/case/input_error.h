// Bad input, reported once with every problem that was found.
#pragma once

#include <stdexcept>
#include <string>
#include <vector>

#include "case/quantity.h"

namespace splitstart
{

// One problem: where, which field, what was found, what is allowed.
struct InputProblem {
    SourcePlace place;
    std::string field;    // such as "supply/volts"
    std::string found;    // as written, shortened, control characters replaced
    std::string allowed;  // such as "a number of volts from 50 to 600"
    std::string hint;     // such as "Did you mean \"hertz\"?"; may be empty
    std::string problem =
        {};  // what is wrong, where quoting what was found would not say it ("missing")
};

// `file:line: field: found "x"; allowed: y. hint`, one line without line break. Where `problem`
// says what is wrong it stands in place of what was found; line 0 and empty members are left out.
std::string describe(const InputProblem& problem);

// Throws an InputError with this one problem.
[[noreturn]] void refuseInput(const SourcePlace& place, const std::string& field,
                              const std::string& found, const std::string& allowed);

// The same for what was not given at all: "missing" in place of what was found.
[[noreturn]] void refuseMissing(const SourcePlace& place, const std::string& field,
                                const std::string& allowed, const std::string& hint = {});

// Thrown by readers; what() is one line for each problem. The program then exits with status 2.
class InputError : public std::runtime_error
{
public:
    explicit InputError(std::vector<InputProblem> problems);
    [[nodiscard]] const std::vector<InputProblem>& problems() const { return problems_; }

private:
    std::vector<InputProblem> problems_;
};

}  // namespace splitstart
