#include "calibration/field_readings.h"

#include <array>
#include <cmath>
#include <utility>
#include <vector>

#include "circuit/case_circuit.h"
#include "motor/motor.h"
#include "motor/winding_temperature.h"
#include "study/held_shaft.h"
#include "study/start_runs.h"

namespace splitstart::calibration
{

namespace
{

constexpr double ninetyFivePercent = 1.96;

// To that many digits.
double rounded(double value, int digits)
{
    const double step = std::pow(10.0, std::floor(std::log10(value)) + 1 - digits);
    return std::round(value / step) * step;
}

double toStep(double value, double step)
{
    return std::round(value / step) * step;
}

// A meter of that accuracy (95 %).
double metered(double truth, double accuracy_ratio, Draw& random)
{
    return truth * random.spread(accuracy_ratio / ninetyFivePercent);
}

void readResistances(const TrueMachine& machine, Compressor& compressor, Draw& random)
{
    constexpr double accuracy_ratio = 0.01;
    constexpr double lastDigit_ohm = 0.01;
    constexpr double leadError_ohm = 0.02;
    constexpr double temperatureError_K = 4;
    Readings readings;
    const double winding_degC = random.uniform(15, 35);
    readings.windingTemperature_degC =
        std::round(winding_degC + temperatureError_K / ninetyFivePercent * random.normal());
    readings.windingTemperatureGiven = true;
    const double lead_ohm = random.uniform(0.05, 0.2);
    // A probe on a pin that is not polished, another way each time; the tips held together too.
    const auto contact_ohm = [&random] { return random.uniform(0, 0.08); };
    readings.lead_ohm =
        toStep(lead_ohm + contact_ohm() + leadError_ohm / ninetyFivePercent * random.normal(),
               lastDigit_ohm);
    readings.leadGiven = true;
    readings.accuracy_ratio = accuracy_ratio;
    readings.accuracyGiven = true;
    readings.resolution_ohm = lastDigit_ohm;
    readings.resolutionGiven = true;
    const EquivalentCircuit& motor = machine.motor;
    const auto warm = [&](double cold_ohm) {
        return resistanceAt_ohm(cold_ohm, motor.resistanceTemperature_degC, winding_degC);
    };
    const auto* protector = chosenPart<Protector>(machine.real, &CircuitChoice::protector);
    const double common_ohm =
        protector != nullptr && protector->location == ProtectorPlace::internal
            ? protector->closed_ohm
            : 0;
    const auto read = [&](const char* a, const char* b, double winding_ohm) {
        WindingReading reading;
        reading.pinA = a;
        reading.pinB = b;
        reading.resistance_ohm = toStep(
            metered(winding_ohm, accuracy_ratio, random) + lead_ohm + contact_ohm(), lastDigit_ohm);
        readings.readings.push_back(reading);
    };
    const double run_ohm = warm(motor.main_ohm);
    const double start_ohm = warm(motor.auxiliary_ohm);
    read("1", "2", run_ohm + common_ohm);
    read("1", "3", start_ohm + common_ohm);
    read("2", "3", run_ohm + start_ohm);
    compressor.readings = readings;
    // The diagram is at hand: which pin is which is another question.
    compressor.pins = KnownPins{"1", "3", "2", {}};
}

void readPlate(const TrueMachine& machine, Nameplate& plate, Draw& random)
{
    constexpr double lockedRotorSpread = 0.05;
    constexpr double ratedLoadSpread = 0.10;
    plate.lockedRotor_A =
        rounded(machine.rated.lockedRotor_A * random.spread(lockedRotorSpread), 2);
    plate.ratedLoad_A = toStep(machine.rated.load_A * random.spread(ratedLoadSpread), 0.1);
}

void readSupply(const TrueMachine& machine, Supply& supply, Draw& random)
{
    constexpr double sourceSpread = 0.10;
    const Supply& real = machine.real.supply;
    const bool given = random.chance(0.5);
    const double error = random.spread(sourceSpread);
    supply.sourceImpedanceGiven = given;
    if (given) {
        supply.source_ohm = real.source_ohm * error;
        supply.source_H = real.source_H * error;
    }
}

HeldShaftTrial trialAt(const TrueMachine& machine, double speed_ratio, double winding_degC,
                       Feed feed)
{
    const Supply& supply = machine.real.supply;
    HeldShaftTrial trial;
    trial.circuit = machine.motor;
    trial.line_V = supply.voltage_V;
    trial.speed_ratio = speed_ratio;
    trial.winding_degC = winding_degC;
    trial.feed = feed;
    trial.source = SourceImpedance{supply.source_ohm, supply.source_H};
    return trial;
}

// Running at that share of rated torque: what the machine shows, and its slip. Empty where it
// cannot carry the load.
std::optional<std::pair<HeldShaftResponse, double>> runningAt(const TrueMachine& machine,
                                                              double load_ratio,
                                                              double winding_degC,
                                                              const HeldShaftBench& bench)
{
    const double synchronous_rad_s =
        synchronousSpeed_rad_s(machine.draw.line_Hz, machine.draw.poles);
    std::vector<HeldShaftTrial> trials;
    for (double slip = 0.002; slip < 0.3; slip *= 1.06) {
        trials.push_back(trialAt(machine, 1 - slip, winding_degC, Feed::startCircuitOut));
    }
    const std::vector<HeldShaftResponse> responses = bench(trials);
    const auto excess_Nm = [&](std::size_t i) {
        return responses[i].torque_Nm -
               machine.motor.friction_W * trials[i].speed_ratio / synchronous_rad_s -
               load_ratio * machine.rated.torque_Nm;
    };
    for (std::size_t i = 1; i < trials.size(); ++i) {
        if (excess_Nm(i) >= 0) {
            const double share = excess_Nm(i - 1) / (excess_Nm(i - 1) - excess_Nm(i));
            const HeldShaftTrial there =
                trialAt(machine, std::lerp(trials[i - 1].speed_ratio, trials[i].speed_ratio, share),
                        winding_degC, Feed::startCircuitOut);
            return std::pair(bench({&there, 1}).front(), 1 - there.speed_ratio);
        }
    }
    return std::nullopt;
}

// Seconds to 90 % of synchronous speed, cold, with the supply as found; empty where it stays below.
std::optional<double> startAsFound_s(const TrueMachine& machine, SimulatorPool& pool)
{
    constexpr double cold_degC = 25;
    const Corner corner{machine.real.supply.voltage_V / machine.draw.rated_V, cold_degC,
                        Release::middle, Pressures::equalised};
    const StartJob job{corner, false,
                       simulationModel(machine.real, machine.circuit, machine.motor,
                                       machine.rated.torque_Nm, corner)};
    const StartOutcome outcome = runStarts(machine.real, {&job, 1}, pool).front();
    if (const auto* error = std::get_if<SimulationError>(&outcome)) {
        throw SimulationError(*error);
    }
    const StartMeasurement& start = std::get<StartMeasurement>(outcome);
    return start.speedAtEnd_ratio.value_or(0) >= upToSpeed_ratio ? start.timeToSpeed_s
                                                                 : std::nullopt;
}

}  // namespace

FieldReadings readInTheField(const TrueMachine& machine, int level, std::uint64_t seed,
                             std::size_t index, SimulatorPool& pool)
{
    FieldReadings field;
    field.input = machine.label;
    Compressor& compressor = field.input.compressor;
    Draw random(mixed(seed, index, Stream::readings));
    readResistances(machine, compressor, random);
    readPlate(machine, compressor.nameplate, random);
    readSupply(machine, field.input.supply, random);

    Draw running(mixed(seed, index, Stream::running));
    const double load_ratio = running.uniform(0.7, 1.05);
    const double warm_degC = running.uniform(60, 90);
    const double stalled_degC = running.uniform(20, 40);
    field.secondsToStart_s = startAsFound_s(machine, pool);
    if (level < 1) {
        return field;
    }
    const HeldShaftBench bench = heldShaftBench(machine.real, machine.circuit, pool);
    const auto add = [&](MeasuredQuantity quantity, double truth, double accuracy_ratio) {
        compressor.measurements.push_back(
            {quantity, metered(truth, accuracy_ratio, running), accuracy_ratio, {}, {}});
    };
    const auto ran =
        field.secondsToStart_s ? runningAt(machine, load_ratio, warm_degC, bench) : std::nullopt;
    if (ran) {
        field.runningSlip_ratio = ran->second;
        add(MeasuredQuantity::startCommonVoltsRunning, ran->first.startWinding_V, 0.02);
        // A film of 60 pictures a second, of which one more or less counts.
        constexpr double picture_s = 1.0 / 60;
        add(MeasuredQuantity::secondsToStart, *field.secondsToStart_s,
            std::min(std::hypot(0.10, picture_s / *field.secondsToStart_s), 0.5));
    }
    if (level < 2) {
        return field;
    }
    if (ran) {
        add(MeasuredQuantity::lineAmpsRunning, ran->first.compressor_A, 0.02);
        add(MeasuredQuantity::lineWattsRunning, ran->first.compressor_W, 0.03);
    }
    const HeldShaftTrial stalled = trialAt(machine, 0, stalled_degC, Feed::startCircuitIn);
    add(MeasuredQuantity::supplyVoltsStalled, bench({&stalled, 1}).front().terminal_V, 0.01);
    return field;
}

}  // namespace splitstart::calibration
