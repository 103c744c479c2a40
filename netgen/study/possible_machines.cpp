#include "study/possible_machines.h"

#include <utility>

#include "study/part_draw.h"

namespace splitstart
{

PossibleMachines::PossibleMachines(const Case& input, const Motor& motor,
                                   std::shared_ptr<MotorPosterior> posterior, std::uint64_t seed)
    : input_(input),
      motor_(motor),
      posterior_(std::move(posterior)),
      random_(seed + 0x5eedULL)  // not the numbers that the motors are drawn with
{
    if (posterior_) {
        names_ = posterior_->unknownNames();
    }
    motorInputs_ = names_.size();
    for (const PartTolerance& tolerance : partTolerances(input)) {
        names_.push_back(tolerance.name);
        ++partInputs_;
    }
    pressuresOpen_ =
        !input.compressor.load.pressuresGiven && input.compressor.load.kind != LoadKind::none;
    if (pressuresOpen_) {
        names_.emplace_back("pressures at the start");
    }
}

std::vector<PossibleMachine> PossibleMachines::draw(std::size_t count)
{
    std::vector<MotorSample> motors;
    if (posterior_) {
        motors = posterior_->draw(count);
    } else {
        const Supply& supply = input_.supply;
        motors.assign(count, {motor_.circuit,
                              motor_.ratedTorque_Nm.value,
                              {supply.source_ohm, supply.source_H},
                              {}});
    }
    std::vector<PossibleMachine> machines;
    machines.reserve(count);
    for (MotorSample& motor : motors) {
        PossibleMachine machine;
        std::vector<double> positions(partInputs_);
        for (double& position : positions) {
            position = uniform_(random_);
        }
        machine.input = withParts(input_, positions);
        machine.input.supply.source_ohm = motor.source.resistance_ohm;
        machine.input.supply.source_H = motor.source.inductance_H;
        machine.inputs = motor.unknowns;
        machine.inputs.insert(machine.inputs.end(), positions.begin(), positions.end());
        if (pressuresOpen_) {
            machine.input.compressor.load.pressures =
                unequalised_ ? Pressures::unequalised : Pressures::equalised;
            machine.inputs.push_back(unequalised_ ? 1 : 0);
            unequalised_ = !unequalised_;
        }
        machine.motor = std::move(motor);
        machines.push_back(std::move(machine));
    }
    return machines;
}

}  // namespace splitstart
