#include "calibration/true_machine.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <span>
#include <stdexcept>
#include <variant>

#include "calibration/true_parts.h"
#include "circuit/case_circuit.h"
#include "motor/motor.h"
#include "study/corners.h"
#include "study/held_shaft.h"
#include "study/part_draw.h"
#include "study/start_runs.h"

namespace splitstart::calibration
{

const char* familyName(Family family)
{
    switch (family) {
        case Family::csirPotential:
            return "CSIR with potential relay";
        case Family::csirCurrent:
            return "CSIR with current relay";
        case Family::cscrPotential:
            return "CSCR with potential relay";
        case Family::rsirCurrent:
            return "RSIR with current relay";
        case Family::rsirPtc:
            return "RSIR with PTC";
        case Family::pscPtc:
            return "PSC with PTC";
    }
    return "";
}

bool hasStartCapacitor(Family family)
{
    return family == Family::csirPotential || family == Family::csirCurrent ||
           family == Family::cscrPotential;
}

bool hasRunCapacitor(Family family)
{
    return family == Family::cscrPotential || family == Family::pscPtc;
}

namespace
{

// Plates hold at these temperatures, as in the estimation.
constexpr double plateCold_degC = 25;
constexpr double plateWarm_degC = 75;

Family drawFamily(Draw& random)
{
    // Those with a PTC take ten times as long, since every run waits for the pill: fewer of them.
    constexpr std::array<Family, 10> families = {
        Family::csirPotential, Family::csirPotential, Family::csirCurrent,   Family::csirCurrent,
        Family::csirCurrent,   Family::cscrPotential, Family::cscrPotential, Family::cscrPotential,
        Family::cscrPotential, Family::rsirCurrent};
    constexpr double withPtc = 0.04;
    if (random.chance(withPtc)) {
        return random.chance(0.5) ? Family::rsirPtc : Family::pscPtc;
    }
    return families.at(static_cast<std::size_t>(random.unit() * families.size()));
}

// Resistance start is for small motors, run capacitors are for larger ones.
Range ratedRange_VA(Family family)
{
    switch (family) {
        case Family::rsirCurrent:
        case Family::rsirPtc:
            return {300, 1200};
        case Family::csirPotential:
        case Family::csirCurrent:
            return {300, 2500};
        default:
            return {800, 4500};
    }
}

MotorDraw drawMotor(Family family, Draw& random)
{
    MotorDraw draw;
    draw.family = family;
    const Range range_VA = ratedRange_VA(family);
    draw.rated_VA = random.logUniform(range_VA.minimum, range_VA.maximum);
    constexpr double most115V_VA = 1800;
    const bool low = random.chance(0.5) && draw.rated_VA < most115V_VA;
    draw.rated_V = low ? 115 : 230;
    draw.line_Hz = !low && random.chance(0.4) ? 50 : 60;
    draw.poles = random.chance(0.2) ? 4 : 2;
    draw.leakage_ratio = random.uniform(0.9, 3.2);
    draw.rotorLeakage_ratio = random.uniform(0.6, 1.2);
    draw.magnetizing_ratio = random.uniform(16, 45);
    draw.rotorResistance_ratio = random.uniform(0.8, 2.3);
    draw.rise_ratio = random.uniform(0, 0.15);
    const bool resistanceStart = family == Family::rsirCurrent || family == Family::rsirPtc;
    draw.turns_ratio = hasRunCapacitor(family) ? random.uniform(1.0, 1.9)
                       : resistanceStart       ? random.uniform(0.65, 1.6)
                                               : random.uniform(0.85, 1.6);
    draw.auxiliaryLeakage_ratio = random.uniform(0.65, 1.4);
    // Without a capacitor nothing but its resistance turns the start winding's current.
    draw.auxiliary_ratio = resistanceStart ? random.uniform(1.5, 5) : random.uniform(1, 3);
    // As far apart in logarithms as published machines are.
    draw.coreLoss_ratio = random.logUniform(0.02, 0.10);
    draw.friction_ratio = random.logUniform(0.005, 0.065);
    draw.ratedSlip_ratio = random.uniform(0.022, 0.065);
    draw.inertia_s = random.logUniform(0.04, 0.4);
    draw.runCapacitor_k = random.uniform(0.35, 0.8);
    return draw;
}

EquivalentCircuit circuitFor(const MotorDraw& draw, double main_ohm)
{
    constexpr double atCorner_ratio = 0.5;  // of a deep bar's resistance, models/README.md
    const double n = draw.turns_ratio;
    EquivalentCircuit motor;
    motor.frequency_Hz = draw.line_Hz;
    motor.poles = draw.poles;
    motor.turnsRatio = n;
    motor.main_ohm = main_ohm;
    motor.mainLeakage_ohm = draw.leakage_ratio * main_ohm;
    motor.mainMagnetizing_ohm = draw.magnetizing_ratio * motor.mainLeakage_ohm;
    motor.rotorMain_ohm = draw.rotorResistance_ratio * main_ohm;
    motor.rotorMainLeakage_ohm = draw.rotorLeakage_ratio * motor.mainLeakage_ohm;
    motor.auxiliary_ohm = draw.auxiliary_ratio * n * n * main_ohm;
    motor.auxiliaryLeakage_ohm = draw.auxiliaryLeakage_ratio * n * n * motor.mainLeakage_ohm;
    motor.auxiliaryMagnetizing_ohm = n * n * motor.mainMagnetizing_ohm;
    motor.rotorAuxiliary_ohm = n * n * motor.rotorMain_ohm;
    motor.rotorAuxiliaryLeakage_ohm = n * n * motor.rotorMainLeakage_ohm;
    motor.rotorBar_ohm = draw.rise_ratio / atCorner_ratio * motor.rotorMain_ohm;
    motor.rotorBarCorner_Hz = draw.line_Hz;
    motor.coreLoss_W = draw.coreLoss_ratio * draw.rated_VA;
    motor.friction_W = draw.friction_ratio * draw.rated_VA;
    motor.resistanceTemperature_degC = plateCold_degC;
    return motor;
}

// Stiff rated volts, nothing but the circuit and the load.
Case emptyCase(const MotorDraw& draw, std::size_t index)
{
    Case input;
    input.name = "made-up compressor " + std::to_string(index);
    input.invented = true;
    input.file = input.name;
    input.supplyGiven = true;
    input.supply.voltage_V = draw.rated_V;
    input.supply.frequency_Hz = draw.line_Hz;
    input.supply.sourceImpedanceGiven = true;
    input.compressor.poles = draw.poles;
    input.compressor.polesGiven = true;
    input.compressor.nameplate.voltage_V = draw.rated_V;
    input.compressor.nameplate.frequency_Hz = draw.line_Hz;
    input.compressor.load.kindGiven = true;
    input.compressor.load.pressures = Pressures::equalised;
    input.compressor.load.pressuresGiven = true;
    return input;
}

HeldShaftTrial trialAt(const MotorDraw& draw, const EquivalentCircuit& motor, double speed_ratio,
                       double winding_degC, Feed feed)
{
    HeldShaftTrial trial;
    trial.circuit = motor;
    trial.line_V = draw.rated_V;
    trial.speed_ratio = speed_ratio;
    trial.winding_degC = winding_degC;
    trial.feed = feed;
    return trial;
}

// The run winding that makes the rated point draw the rated volt-amps.
EquivalentCircuit scaledMotor(const MotorDraw& draw, const HeldShaftBench& bench)
{
    constexpr int rounds = 6;
    double main_ohm = 0.05 * draw.rated_V * draw.rated_V / draw.rated_VA;
    for (int round = 0; round < rounds; ++round) {
        const HeldShaftTrial rated =
            trialAt(draw, circuitFor(draw, main_ohm), 1 - draw.ratedSlip_ratio, plateWarm_degC,
                    Feed::startCircuitOut);
        main_ohm *= bench({&rated, 1}).front().compressor_A * draw.rated_V / draw.rated_VA;
    }
    return circuitFor(draw, main_ohm);
}

RatedPoint ratedPoint(const MotorDraw& draw, const EquivalentCircuit& motor,
                      const HeldShaftBench& bench)
{
    const double synchronous_rad_s = synchronousSpeed_rad_s(draw.line_Hz, draw.poles);
    const double speed_ratio = 1 - draw.ratedSlip_ratio;
    std::vector<HeldShaftTrial> trials = {
        trialAt(draw, motor, 0, plateCold_degC, Feed::startCircuitIn),
        trialAt(draw, motor, speed_ratio, plateWarm_degC, Feed::startCircuitOut)};
    for (double slip = 0.04; slip < 0.6; slip *= 1.15) {
        trials.push_back(trialAt(draw, motor, 1 - slip, plateWarm_degC, Feed::startCircuitOut));
    }
    const std::vector<HeldShaftResponse> responses = bench(trials);
    RatedPoint rated;
    rated.lockedRotor_A = responses[0].compressor_A;
    rated.load_A = responses[1].compressor_A;
    rated.load_W = responses[1].compressor_W;
    rated.torque_Nm = responses[1].torque_Nm - motor.friction_W * speed_ratio / synchronous_rad_s;
    rated.output_W = rated.torque_Nm * speed_ratio * synchronous_rad_s;
    rated.efficiency_ratio = rated.output_W / rated.load_W;
    double most_Nm = 0;
    for (std::size_t i = 2; i < responses.size(); ++i) {
        most_Nm = std::max(most_Nm, responses[i].torque_Nm);
    }
    rated.breakdown_ratio = rated.torque_Nm > 0 ? most_Nm / rated.torque_Nm : 0;
    return rated;
}

// Why that is no motor; empty where it is one.
std::string whyNoMotor(const MotorDraw& draw, const RatedPoint& rated)
{
    constexpr double leastOutput_ratio = 0.2;  // of the rated volt-amps
    constexpr double leastBreakdown_ratio = 1.25;
    constexpr double leastLocked_ratio = 2.5;
    constexpr double mostLocked_ratio = 9;
    if (rated.output_W < leastOutput_ratio * draw.rated_VA) {
        return "too little rated torque";
    }
    if (rated.efficiency_ratio < 0.35 || rated.efficiency_ratio > 0.90) {
        return "efficiency";
    }
    if (rated.breakdown_ratio < leastBreakdown_ratio) {
        return "breakdown torque";
    }
    const double locked_ratio = rated.lockedRotor_A / rated.load_A;
    if (locked_ratio < leastLocked_ratio || locked_ratio > mostLocked_ratio) {
        return "locked-rotor amps";
    }
    return "";
}

std::vector<StartMeasurement> properStarts(const TrueMachine& machine, SimulatorPool& pool)
{
    std::vector<StartJob> jobs;
    for (const double line_ratio : {1.0, 0.85, 1.1}) {
        const Corner corner{line_ratio, plateCold_degC, Release::middle, Pressures::equalised};
        jobs.push_back({corner, false,
                        simulationModel(machine.proper, machine.circuit, machine.motor,
                                        machine.rated.torque_Nm, corner)});
    }
    std::vector<StartMeasurement> starts;
    for (const StartOutcome& outcome : runStarts(machine.proper, jobs, pool)) {
        if (const auto* error = std::get_if<SimulationError>(&outcome)) {
            throw SimulationError(*error);
        }
        starts.push_back(std::get<StartMeasurement>(outcome));
    }
    return starts;
}

bool isStart(const StartMeasurement& start)
{
    return start.timeToSpeed_s.has_value() &&
           start.speedAtEnd_ratio.value_or(0) > upToSpeed_ratio &&
           start.startContactOpened_s.has_value() && start.startContactAtEnd.value_or(1) < 0.5;
}

struct Rejected {
    std::string reason;
};

std::variant<TrueMachine, Rejected> tryMachine(Family family, std::size_t index, Draw& random,
                                               Draw& partRandom, SimulatorPool& pool)
{
    TrueMachine machine;
    machine.draw = drawMotor(family, random);
    const Case empty = emptyCase(machine.draw, index);
    PartSet proper = firstParts(machine.draw, circuitFor(machine.draw, 1), random);
    {
        // Run capacitor first: it counts at the rated point, what hangs on ohms does not.
        const Case first = withPartSet(empty, family, proper);
        machine.circuit = caseCircuit(first);
        machine.motor = scaledMotor(machine.draw, heldShaftBench(first, machine.circuit, pool));
    }
    proper = firstParts(machine.draw, machine.motor, random);
    machine.proper = withPartSet(empty, family, proper);
    const HeldShaftBench bench = heldShaftBench(machine.proper, machine.circuit, pool);
    machine.rated = ratedPoint(machine.draw, machine.motor, bench);
    const std::string reason = whyNoMotor(machine.draw, machine.rated);
    if (!reason.empty()) {
        return Rejected{reason};
    }
    const double synchronous_rad_s =
        synchronousSpeed_rad_s(machine.draw.line_Hz, machine.draw.poles);
    machine.motor.inertia_kgm2 = 2 * machine.draw.inertia_s * machine.rated.output_W /
                                 (synchronous_rad_s * synchronous_rad_s);
    const std::vector<HeldShaftTable> tables =
        heldShaftTables(machine.proper, machine.circuit, machine.motor, pool, {Release::middle});
    const HeldShaftTable& cold = tables.front();
    fitToMotor(proper, machine.draw, machine.rated, cold, random);
    machine.proper = withPartSet(empty, family, proper);
    // A relay's coil and its rating change nothing that was asked of the bench.
    const std::vector<StartMeasurement> starts = properStarts(machine, pool);
    if (!isStart(starts[0]) || !starts[1].timeToSpeed_s) {
        return Rejected{"no start with its own parts"};
    }
    const PartSet inHand = partsInHand(proper, machine.draw, machine.rated, cold, tables.back(),
                                       starts.back(), partRandom);
    machine.label = withPartSet(empty, family, inHand);
    // A protector inside the shell is not among the wires.
    machine.circuit = caseCircuit(machine.label);
    CircuitChoice& choice = machine.label.circuit.value();
    if (inHand.ptc) {
        choice.shortestOff_s = partRandom.uniform(120, 600);
    }
    const double in_s = starts.front().startCircuitIn_s.value_or(0.5);
    if (inHand.start && partRandom.chance(0.5)) {
        choice.startsPerHour = std::clamp(
            inHand.start->dutySecondsPerHour / (in_s * partRandom.uniform(0.8, 6)), 4.0, 60.0);
    }
    machine.label.supply.voltage_V =
        std::round(machine.draw.rated_V * partRandom.uniform(0.88, 1.08));
    return machine;
}

// The true supply and where in its range each part lies.
void makeReal(TrueMachine& machine, Draw& random)
{
    std::vector<double> positions;
    for (std::size_t i = partTolerances(machine.label).size(); i > 0; --i) {
        positions.push_back(random.unit());
    }
    machine.real = withParts(machine.label, positions);
    // From a short dedicated run to the end of a long one; no more sag than a start may stand.
    constexpr double mostSag_ratio = 0.15;
    const double impedance_ohm =
        std::min(random.uniform(0.05, 0.6),
                 mostSag_ratio * machine.draw.rated_V / machine.rated.lockedRotor_A);
    const double angle = std::atan(random.uniform(0.2, 0.6));
    Supply& supply = machine.real.supply;
    supply.source_ohm = impedance_ohm * std::cos(angle);
    supply.source_H =
        impedance_ohm * std::sin(angle) / (2 * std::numbers::pi * machine.draw.line_Hz);
    supply.sourceImpedanceGiven = true;
}

}  // namespace

TrueMachine drawMachine(std::uint64_t seed, std::size_t index, SimulatorPool& pool)
{
    constexpr int mostTries = 400;
    Draw random(mixed(seed, index, Stream::machine));
    Draw partRandom(mixed(seed, index, Stream::parts));
    // Chosen once, so that families are as frequent as meant whatever is rejected.
    const Family family = drawFamily(random);
    std::map<std::string, int> rejected;
    for (int tries = 0; tries < mostTries; ++tries) {
        std::variant<TrueMachine, Rejected> outcome =
            tryMachine(family, index, random, partRandom, pool);
        if (const auto* no = std::get_if<Rejected>(&outcome)) {
            ++rejected[no->reason];
            continue;
        }
        TrueMachine machine = std::get<TrueMachine>(std::move(outcome));
        machine.rejected = rejected;
        makeReal(machine, partRandom);
        return machine;
    }
    throw std::runtime_error("no motor in " + std::to_string(mostTries) + " draws");
}

}  // namespace splitstart::calibration
