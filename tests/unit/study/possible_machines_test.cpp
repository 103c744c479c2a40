// Machines that the readings, the nameplate and the labels of the parts leave possible.
#include "study/possible_machines.h"

#include <gtest/gtest.h>

#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "study/part_draw.h"
#include "unit/dairy_service_cases.h"
#include "unit/motor/estimates.h"

namespace splitstart
{

namespace
{

Motor knownMotor()
{
    Motor motor;
    motor.circuit = coldStoreMotor();
    motor.ratedTorque_Nm.value = 3.5;
    return motor;
}

// Counts the motors that it has given, which differ in their source's resistance alone.
class CountingPosterior : public MotorPosterior
{
public:
    std::vector<MotorSample> draw(std::size_t count) override
    {
        std::vector<MotorSample> samples(count);
        for (MotorSample& sample : samples) {
            sample.circuit = coldStoreMotor();
            sample.ratedTorque_Nm = 3;
            sample.source = {0.1 * ++given_, 1e-4};
            sample.unknowns = {static_cast<double>(given_)};
        }
        return samples;
    }
    [[nodiscard]] std::vector<std::string> unknownNames() const override { return {"number"}; }
    std::vector<Prediction> predict(std::span<const MeasuredQuantity> /*quantities*/,
                                    std::span<const MotorSample> /*motors*/) override
    {
        return {};
    }

private:
    int given_ = 0;
};

std::vector<std::vector<double>> inputsOf(const std::vector<PossibleMachine>& machines)
{
    std::vector<std::vector<double>> inputs;
    for (const PossibleMachine& machine : machines) {
        inputs.push_back(machine.inputs);
    }
    return inputs;
}

Case caseWith(bool pressuresGiven)
{
    Case input = coldStoreCase();
    input.compressor.load.kind = LoadKind::reciprocating;
    input.compressor.load.pressuresGiven = pressuresGiven;
    return input;
}

}  // namespace

TEST(PossibleMachines, AreTheSameWithTheSameSeedHoweverManyAreAskedFor)
{
    const Case input = caseWith(false);
    const Motor motor = knownMotor();
    PossibleMachines first(input, motor, std::make_shared<CountingPosterior>(), 7);
    PossibleMachines second(input, motor, std::make_shared<CountingPosterior>(), 7);
    std::vector<std::vector<double>> inPieces;
    for (const std::size_t count : {1U, 0U, 11U, 24U}) {
        for (const std::vector<double>& each : inputsOf(second.draw(count))) {
            inPieces.push_back(each);
        }
    }
    const std::vector<std::vector<double>> atOnce = inputsOf(first.draw(36));
    EXPECT_EQ(atOnce, inPieces);
    PossibleMachines other(input, motor, std::make_shared<CountingPosterior>(), 8);
    EXPECT_NE(atOnce, inputsOf(other.draw(36)));
}

TEST(PossibleMachines, TakeMotorAndSupplyFromThePosterior)
{
    const Case input = caseWith(true);
    const Motor motor = knownMotor();
    PossibleMachines machines(input, motor, std::make_shared<CountingPosterior>(), 7);
    EXPECT_EQ(machines.motorInputs(), 1U);
    EXPECT_EQ(machines.inputNames().front(), "number");
    EXPECT_TRUE(machines.differ());
    int number = 0;
    for (const PossibleMachine& machine : machines.draw(5)) {
        ++number;
        EXPECT_EQ(machine.inputs.size(), machines.inputNames().size());
        EXPECT_EQ(machine.inputs.front(), number);
        EXPECT_DOUBLE_EQ(machine.input.supply.source_ohm, 0.1 * number);
        EXPECT_DOUBLE_EQ(machine.input.supply.source_H, 1e-4);
        EXPECT_EQ(machine.motor.ratedTorque_Nm, 3);
    }
}

TEST(PossibleMachines, HaveTheKnownMotorWhereItIsKnown)
{
    const Case input = caseWith(true);
    const Motor motor = knownMotor();
    PossibleMachines machines(input, motor, nullptr, 7);
    EXPECT_EQ(machines.motorInputs(), 0U);
    for (const PossibleMachine& machine : machines.draw(5)) {
        EXPECT_EQ(machine.motor.circuit, motor.circuit);
        EXPECT_EQ(machine.motor.ratedTorque_Nm, 3.5);
        EXPECT_EQ(machine.input.supply.source_ohm, input.supply.source_ohm);
        EXPECT_EQ(machine.input.supply.source_H, input.supply.source_H);
    }
}

TEST(PossibleMachines, StartEveryOtherOneAgainstPressureWhereThatIsNotSaid)
{
    const Motor motor = knownMotor();
    const Case open = caseWith(false);
    PossibleMachines unsaid(open, motor, nullptr, 7);
    EXPECT_EQ(unsaid.inputNames().back(), "pressures at the start");
    std::vector<PossibleMachine> machines = unsaid.draw(3);
    for (PossibleMachine& machine : unsaid.draw(3)) {
        machines.push_back(std::move(machine));
    }
    for (std::size_t i = 0; i < machines.size(); ++i) {
        const bool against = machines[i].input.compressor.load.pressures == Pressures::unequalised;
        EXPECT_EQ(against, i % 2 == 1);
        EXPECT_EQ(machines[i].inputs.back(), against ? 1 : 0);
    }
    for (const Pressures pressures : {Pressures::equalised, Pressures::unequalised}) {
        Case said = caseWith(true);
        said.compressor.load.pressures = pressures;
        PossibleMachines same(said, motor, nullptr, 7);
        EXPECT_NE(same.inputNames().back(), "pressures at the start");
        for (const PossibleMachine& machine : same.draw(4)) {
            EXPECT_EQ(machine.input.compressor.load.pressures, pressures);
        }
    }
    Case free = caseWith(false);
    free.compressor.load.kind = LoadKind::none;
    PossibleMachines without(free, motor, nullptr, 7);
    EXPECT_NE(without.inputNames().back(), "pressures at the start");
}

// Equal chance anywhere in the range: mean 1/2, variance 1/12 (uniform law, any text on
// statistics), and no two tolerances together.
TEST(PossibleMachines, HavePartsFromAnywhereInTheirRanges)
{
    const Case input = caseWith(true);
    const Motor motor = knownMotor();
    PossibleMachines machines(input, motor, nullptr, 7);
    constexpr int count = 4000;
    const std::vector<PossibleMachine> drawn = machines.draw(count);
    const std::size_t inputs = machines.inputNames().size();
    ASSERT_EQ(inputs, partTolerances(input).size());
    const double fourDeviations = 4 * std::sqrt(1.0 / 12 / count);
    for (std::size_t i = 0; i < inputs; ++i) {
        double mean = 0;
        double square = 0;
        double withNext = 0;
        for (const PossibleMachine& machine : drawn) {
            const double position = machine.inputs[i];
            EXPECT_GE(position, 0);
            EXPECT_LE(position, 1);
            mean += position / count;
            square += (position - 0.5) * (position - 0.5) / count;
            withNext += (position - 0.5) * (machine.inputs[(i + 1) % inputs] - 0.5) / count;
        }
        EXPECT_NEAR(mean, 0.5, fourDeviations) << machines.inputNames()[i];
        EXPECT_NEAR(square, 1.0 / 12, 0.006);
        EXPECT_NEAR(withNext, 0, 0.006);
    }
    const PossibleMachine& first = drawn.front();
    const std::vector<PartTolerance> printed = partTolerances(input);
    const std::vector<PartTolerance> one = partTolerances(first.input);
    for (std::size_t i = 0; i < inputs; ++i) {
        EXPECT_DOUBLE_EQ(
            one[i].range.minimum,
            std::lerp(printed[i].range.minimum, printed[i].range.maximum, first.inputs[i]));
    }
}

TEST(PossibleMachines, DoNotDifferWhereAllIsKnown)
{
    Case input = caseWith(true);
    input.circuit.reset();
    const Motor motor = knownMotor();
    EXPECT_FALSE(PossibleMachines(input, motor, nullptr, 7).differ());
    EXPECT_TRUE(PossibleMachines(input, motor, std::make_shared<CountingPosterior>(), 7).differ());
}

}  // namespace splitstart
