// Machines that the readings, the nameplate and the labels of the parts leave possible.
#pragma once

#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "case/case.h"
#include "motor/estimate.h"

namespace splitstart
{

// One of them: a motor in a case whose parts have one value each.
struct PossibleMachine {
    Case input;
    MotorSample motor;
    std::vector<double> inputs;  // what distinguishes it, in the order of inputNames()
};

// Draws them. Motors come from the estimation's posterior; each calibration and tolerance of a part
// lies anywhere in its printed range with equal chance, independent of the others (assumed); where
// the case does not say whether the pressures are equalised, every other machine has to start
// against pressure. The same seed gives the same machines in the same order.
class PossibleMachines
{
public:
    // `posterior` null: the motor is known, and is `motor` in every machine.
    PossibleMachines(const Case& input, const Motor& motor,
                     std::shared_ptr<MotorPosterior> posterior, std::uint64_t seed);

    std::vector<PossibleMachine> draw(std::size_t count);
    [[nodiscard]] const std::vector<std::string>& inputNames() const { return names_; }
    // How many of the inputs, the first, are the motor's.
    [[nodiscard]] std::size_t motorInputs() const { return motorInputs_; }
    // False where nothing distinguishes one machine from another.
    [[nodiscard]] bool differ() const { return !names_.empty(); }

private:
    const Case& input_;
    const Motor& motor_;
    std::shared_ptr<MotorPosterior> posterior_;
    boost::random::mt19937_64 random_;
    boost::random::uniform_01<double> uniform_;
    std::vector<std::string> names_;
    std::size_t motorInputs_ = 0;
    std::size_t partInputs_ = 0;
    bool pressuresOpen_ = false;
    bool unequalised_ = false;
};

}  // namespace splitstart
