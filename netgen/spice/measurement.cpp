#include "spice/measurement.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <set>
#include <stdexcept>

#include "spice/start_columns.h"

namespace splitstart
{

namespace
{

constexpr int afterOpeningCycles = 10;

// The waveforms of one start, and what is derived from them.
class StartReader : private StartColumns
{
public:
    StartReader(const SimulationModel& model, const Waveforms& waveforms)
        : StartColumns(model, waveforms), model_(model)
    {
    }

    StartMeasurement measure();

private:
    void measureSpeed();
    void measureCurrents();
    void measureStartContact();
    // Largest cycle rms while the start contact is made; empty if it never is for a whole cycle.
    [[nodiscard]] std::optional<double> worstWhileMade(const Signal& volts) const;
    void measureVoltages();
    void measureProtector();
    void measureLeads();
    [[nodiscard]] bool isMeasurable(
        const std::map<Terminal, std::string>::const_iterator& terminal) const;
    void measureFan();
    [[nodiscard]] std::optional<double> protectorOpens_s(const SubcircuitInstance& protector) const;
    void measureHeat();
    void measureCoilAfterOpening(double from_s, double to_s);
    void measureReclosing(const Signal& closed);
    void measurePtc();

    const SimulationModel& model_;
    StartMeasurement result_;
    double cycle_s_ = 0;
    double end_s_ = 0;
    double runningFrom_s_ = 0;
};

void StartReader::measureSpeed()
{
    const Signal speed = signal("speed");
    result_.speedAtEnd_ratio = mean(speed, runningFrom_s_, end_s_) / model_.synchronousSpeed_rad_s;
    result_.timeToSpeed_s = crossing(speed, upToSpeed_ratio * model_.synchronousSpeed_rad_s, true);
    result_.torqueRunning_Nm = mean(signal("torque"), runningFrom_s_, end_s_);
}

void StartReader::measureCurrents()
{
    const Signal line = signal(names().line());
    const Signal main = signal(names().main);
    const Signal auxiliary = signal(names().auxiliary);
    result_.linePeak_A = largestMagnitude(line, 0, end_s_);
    result_.mainPeak_A = largestMagnitude(main, 0, end_s_);
    result_.auxiliaryPeak_A = largestMagnitude(auxiliary, 0, end_s_);
    result_.lineStalled_A = rms(line, cycle_s_, 2 * cycle_s_);
    result_.lineRunning_A = rms(line, runningFrom_s_, end_s_);
    result_.mainRunning_A = rms(main, runningFrom_s_, end_s_);
    result_.compressorRunning_A = rms(signal(throughCommon()), runningFrom_s_, end_s_);
    // The supply's ammeter counts current into the source, so power drawn from it has the other
    // sign.
    std::vector<double> power = between(model_.instance("supply").nodeOfPort.at("l1"),
                                        model_.instance("supply").nodeOfPort.at("l2"));
    for (std::size_t i = 0; i < power.size(); ++i) {
        power[i] *= -line.value[i];
    }
    result_.lineRunning_W = mean(signal(power), runningFrom_s_, end_s_);
}

void StartReader::measureStartContact()
{
    if (!model_.startDevice) {
        return;
    }
    const std::vector<double> made = startDeviceMade();
    const Signal closed = signal(made);
    const bool madeAtOnce = closed.value.front() > 0.5;
    result_.startContactMade_s =
        madeAtOnce ? std::optional<double>(0.0) : crossing(closed, 0.5, true);
    result_.startContactAtEnd = closed.value.back() > 0.5 ? 1 : 0;
    result_.startCircuitIn_s = integral(closed, 0, end_s_);
    result_.contactCurrentMade_A =
        largestWindowRms(signal(names().startDeviceCurrent()), 0, end_s_, cycle_s_);
    result_.contactCurrentAtEnd_A =
        rms(signal(names().startDeviceCurrent()), end_s_ - cycle_s_, end_s_);
    result_.startContactOpened_s = crossing(closed, 0.5, false);
    result_.startContactOpenings = crossingCount(closed, 0.5, false);
    if (!result_.startContactOpened_s) {
        return;
    }
    const double opened_s = *result_.startContactOpened_s;
    result_.speedAtOpening_ratio =
        valueAt(signal("speed"), opened_s) / model_.synchronousSpeed_rad_s;
    // The first cycle after the opening still holds the step itself; it is judged from then on.
    const double from_s = opened_s + 0.25 * cycle_s_;
    const double to_s = std::min(end_s_, opened_s + afterOpeningCycles * cycle_s_);
    const SubcircuitInstance& motor = model_.instance("compressor");
    const std::vector<double> startWinding =
        between(motor.nodeOfPort.at("s"), motor.nodeOfPort.at("c"));
    if (to_s - from_s > cycle_s_) {
        result_.startWindingAfterOpening_V =
            smallestWindowRms(signal(startWinding), from_s, to_s, cycle_s_);
        result_.mainAfterOpening_A = largestWindowRms(signal(names().main), from_s, to_s, cycle_s_);
        measureCoilAfterOpening(from_s, to_s);
    }
    measureReclosing(closed);
}

void StartReader::measureCoilAfterOpening(double from_s, double to_s)
{
    if (const SubcircuitInstance* relay = model_.find("potential_relay")) {
        const std::vector<double> coil =
            between(relay->nodeOfPort.at("t2"), relay->nodeOfPort.at("t5"));
        result_.coilAfterOpening_V = smallestWindowRms(signal(coil), from_s, to_s, cycle_s_);
    } else if (const SubcircuitInstance* current = model_.find("current_relay")) {
        result_.coilAfterOpening_A =
            largestWindowRms(signal(VectorNames::ammeter(fmt::format("x{}.vcoil", current->name))),
                             from_s, to_s, cycle_s_);
    }
}

// What a contact meets when it closes again, and what it has to keep apart while open.
void StartReader::measureReclosing(const Signal& closed)
{
    if (model_.find("ptc") != nullptr) {
        return;
    }
    const std::vector<double> volts = acrossStartDevice();
    double opened_s = -1;
    for (std::size_t i = 1; i < closed.time_s.size(); ++i) {
        const bool was = closed.value[i - 1] > 0.5;
        const bool is = closed.value[i] > 0.5;
        if (was && !is) {
            opened_s = closed.time_s[i];
        } else if (is && !was && opened_s >= 0) {
            // The crest of the half cycle before: at which instant it makes is chance.
            const double from_s = std::max(closed.time_s[i] - 0.5 * cycle_s_, opened_s);
            result_.startContactReclosed_V =
                std::max(result_.startContactReclosed_V.value_or(0),
                         largestMagnitude(signal(volts), from_s, closed.time_s[i]));
        }
    }
    const double settled_s = opened_s + cycle_s_;
    if (opened_s >= 0 && closed.value.back() < 0.5 && end_s_ - settled_s > cycle_s_) {
        result_.startContactOpen_V = largestWindowRms(signal(volts), settled_s, end_s_, cycle_s_);
    }
}

void StartReader::measurePtc()
{
    const SubcircuitInstance* ptc = model_.find("ptc");
    if (ptc == nullptr) {
        return;
    }
    const Signal temperature = signal(ptc->nodeOfPort.at("temperature"));
    result_.ptcAtStart_degC = temperature.value.front();
    result_.ptcHottest_degC = *std::max_element(temperature.value.begin(), temperature.value.end());
    const std::vector<double> volts = acrossStartDevice();
    result_.ptcWorst_V = largestWindowRms(signal(volts), 0, end_s_, cycle_s_);
    std::vector<double> power = volts;
    const Signal current = signal(names().startDeviceCurrent());
    for (std::size_t i = 0; i < power.size(); ++i) {
        power[i] *= current.value[i];
    }
    result_.ptcRunning_W = mean(signal(power), runningFrom_s_, end_s_);
}

void StartReader::measureHeat()
{
    // Until it is up to speed and the start circuit out; to the end where one of them never comes.
    // A contact that chatters counts as in for as long as the run is.
    const bool wasIn = model_.startDevice && result_.startContactMade_s;
    const bool leavesOnce = result_.startContactOpened_s && result_.startContactAtEnd == 0 &&
                            result_.startContactOpenings == 1;
    const double inUntil_s = !wasIn ? 0 : leavesOnce ? *result_.startContactOpened_s : end_s_;
    const double until_s = std::max(result_.timeToSpeed_s.value_or(end_s_), inUntil_s);
    const auto heat_A2s = [&](const std::string& ammeter) {
        const Signal current = signal(ammeter);
        std::vector<double> square(current.value.begin(), current.value.end());
        for (double& value : square) {
            value *= value;
        }
        return integral(signal(square), 0, until_s);
    };
    result_.mainHeat_A2s = heat_A2s(names().main);
    result_.auxiliaryHeat_A2s = heat_A2s(names().auxiliary);
}

std::optional<double> StartReader::worstWhileMade(const Signal& volts) const
{
    std::vector<std::pair<double, double>> stretches_s = {{0, end_s_}};
    if (model_.startDevice) {
        const std::vector<double> made = startDeviceMade();
        const Signal closed = signal(made);
        stretches_s.clear();
        double made_s = closed.value.front() > 0.5 ? 0 : end_s_;
        for (std::size_t i = 1; i < closed.time_s.size(); ++i) {
            const bool was = closed.value[i - 1] > 0.5;
            const bool is = closed.value[i] > 0.5;
            if (is && !was) {
                made_s = closed.time_s[i];
            } else if (was && !is) {
                stretches_s.emplace_back(made_s, closed.time_s[i - 1]);
                made_s = end_s_;
            }
        }
        stretches_s.emplace_back(made_s, end_s_);
    }
    std::optional<double> worst;
    for (const auto& [from_s, to_s] : stretches_s) {
        if (to_s - from_s >= cycle_s_) {
            worst = std::max(worst.value_or(0), largestWindowRms(volts, from_s, to_s, cycle_s_));
        }
    }
    return worst;
}

void StartReader::measureVoltages()
{
    const SubcircuitInstance& motor = model_.instance("compressor");
    const std::string& common = motor.nodeOfPort.at("c");
    result_.terminalStalled_V =
        rms(signal(between(motor.nodeOfPort.at("r"), common)), cycle_s_, 2 * cycle_s_);
    result_.startWindingRunning_V =
        rms(signal(between(motor.nodeOfPort.at("s"), common)), runningFrom_s_, end_s_);
    if (const SubcircuitInstance* capacitor = instanceNamed(model_, "start_capacitor")) {
        const std::vector<double> volts = across(*capacitor);
        const double until_s = result_.startContactOpened_s.value_or(end_s_);
        result_.startCapacitorPeak_V = largestMagnitude(signal(volts), 0, end_s_);
        result_.startCapacitorWorst_V = worstWhileMade(signal(volts));
        if (result_.startContactOpened_s) {
            result_.startCapacitorLeft_V =
                std::abs(valueAt(signal(volts), until_s + 0.5 * cycle_s_));
        }
    }
    if (const SubcircuitInstance* capacitor = instanceNamed(model_, "run_capacitor")) {
        result_.runCapacitorRunning_V = rms(signal(across(*capacitor)), runningFrom_s_, end_s_);
    }
    if (const SubcircuitInstance* relay = model_.find("potential_relay")) {
        result_.coilRunning_V =
            rms(signal(between(relay->nodeOfPort.at("t2"), relay->nodeOfPort.at("t5"))),
                runningFrom_s_, end_s_);
    }
}

void StartReader::measureProtector()
{
    const SubcircuitInstance* protector = model_.find("overload_protector");
    if (protector == nullptr) {
        return;
    }
    const Signal closed = signal(protector->nodeOfPort.at("closed"));
    result_.protectorTripped =
        *std::min_element(closed.value.begin(), closed.value.end()) < 0.5 ? 1 : 0;
    const Signal disc = signal(protector->nodeOfPort.at("disc_temperature"));
    result_.protectorHottest_degC = *std::max_element(disc.value.begin(), disc.value.end());
    const std::optional<double> seen_s = crossing(closed, 0.5, false);
    result_.protectorOpens_s = seen_s ? seen_s : protectorOpens_s(*protector);
}

// The disc's own law (models/overload_protector.lib) with the heat that it has now.
std::optional<double> StartReader::protectorOpens_s(const SubcircuitInstance& protector) const
{
    const std::map<std::string, double> of(protector.parameters.begin(),
                                           protector.parameters.end());
    const double amps = rms(signal(VectorNames::ammeter(fmt::format("x{}.vdisc", protector.name))),
                            runningFrom_s_, end_s_);
    const double ratio = amps / of.at("ultimate_trip_a");
    const double final_degC =
        of.at("ambient_degc") + ratio * ratio * (of.at("trip_degc") - of.at("rating_ambient_degc"));
    const double now_degC = signal(protector.nodeOfPort.at("disc_temperature")).value.back();
    if (final_degC <= of.at("trip_degc")) {
        return std::nullopt;
    }
    return end_s_ + of.at("time_constant_s") *
                        std::log((final_degC - now_degC) / (final_degC - of.at("trip_degc")));
}

void StartReader::measureLeads()
{
    const std::string& line1 = model_.node("supply", "L1");
    const std::string& line2 = model_.node("supply", "L2");
    result_.supplyStalled_V = rms(signal(between(line1, line2)), cycle_s_, 2 * cycle_s_);
    const auto node = [this](const Terminal& end, const char* pin) {
        return model_.nodeOfTerminal.find(end.part.empty() ? Terminal{"compressor", pin} : end);
    };
    const auto start = node(model_.leadEnds.start, "S");
    const auto common = node(model_.leadEnds.common, "C");
    if (isMeasurable(start) && isMeasurable(common)) {
        const std::vector<double> volts = between(start->second, common->second);
        result_.startCommonStalled_V = rms(signal(volts), cycle_s_, 2 * cycle_s_);
        result_.startCommonRunning_V = rms(signal(volts), runningFrom_s_, end_s_);
    }
    const Signal main = signal(names().main);
    const Signal auxiliary = signal(names().auxiliary);
    const auto both = [&](const Signal& amps, std::optional<double>& stalled_A,
                          std::optional<double>& running_A) {
        stalled_A = rms(amps, cycle_s_, 2 * cycle_s_);
        running_A = rms(amps, runningFrom_s_, end_s_);
    };
    both(main, result_.pinRStalled_A, result_.pinRRunning_A);
    both(auxiliary, result_.pinSStalled_A, result_.pinSRunning_A);
    both(signal(throughCommon()), result_.pinCStalled_A, result_.pinCRunning_A);
}

// Whether there is such a terminal in the deck, and anything on its node.
bool StartReader::isMeasurable(
    const std::map<Terminal, std::string>::const_iterator& terminal) const
{
    return terminal != model_.nodeOfTerminal.end() &&
           (terminal->second == "0" || has(terminal->second));
}

void StartReader::measureFan()
{
    if (const SubcircuitInstance* fan = instanceNamed(model_, "fan")) {
        result_.fanRunning_V = rms(signal(across(*fan)), runningFrom_s_, end_s_);
    } else if (const SubcircuitInstance* withCapacitor = instanceNamed(model_, "capacitor_fan")) {
        const std::vector<double> volts =
            between(withCapacitor->nodeOfPort.at("r"), withCapacitor->nodeOfPort.at("c"));
        result_.fanRunning_V = rms(signal(volts), runningFrom_s_, end_s_);
        const double polePairs =
            std::find_if(withCapacitor->parameters.begin(), withCapacitor->parameters.end(),
                         [](const auto& each) { return each.first == "pole_pairs"; })
                ->second;
        result_.fanSpeedAtEnd_ratio =
            mean(signal(withCapacitor->nodeOfPort.at("speed")), runningFrom_s_, end_s_) *
            polePairs / (2 * std::numbers::pi * model_.frequency_Hz);
    }
}

StartMeasurement StartReader::measure()
{
    cycle_s_ = cycle_s();
    end_s_ = time_s().back();
    runningFrom_s_ = runningFrom_s();
    if (runningFrom_s_ <= 2 * cycle_s_) {
        throw std::invalid_argument("the run is too short to be measured");
    }
    result_.end_s = end_s_;
    measureSpeed();
    measureCurrents();
    measureStartContact();
    measureVoltages();
    measureProtector();
    measureLeads();
    measureFan();
    measurePtc();
    measureHeat();
    return result_;
}

}  // namespace

std::vector<std::string> startVectors(const SimulationModel& model)
{
    const VectorNames names(model);
    std::vector<std::string> vectors = {"speed",      "torque",        "load_torque",
                                        names.line(), names.auxiliary, names.main};
    for (const std::string& node : wireNodes(model)) {
        vectors.push_back(node);
    }
    const std::string& star = model.instance("compressor").nodeOfPort.at("c");
    if (star == "star") {
        vectors.push_back(star);
    }
    if (model.startDevice) {
        vectors.push_back(model.startDevice->closedNode);
        vectors.push_back(names.startDeviceCurrent());
    }
    if (const SubcircuitInstance* ptc = model.find("ptc")) {
        vectors.push_back(ptc->nodeOfPort.at("temperature"));
    }
    if (const SubcircuitInstance* relay = model.find("current_relay")) {
        vectors.push_back(VectorNames::ammeter(fmt::format("x{}.vcoil", relay->name)));
    }
    if (const SubcircuitInstance* protector = model.find("overload_protector")) {
        vectors.push_back(protector->nodeOfPort.at("closed"));
        vectors.push_back(protector->nodeOfPort.at("disc_temperature"));
        vectors.push_back(VectorNames::ammeter(fmt::format("x{}.vdisc", protector->name)));
    }
    if (const SubcircuitInstance* fan = instanceNamed(model, "capacitor_fan")) {
        vectors.push_back(fan->nodeOfPort.at("speed"));
    }
    return vectors;
}

StartMeasurement measureStart(const SimulationModel& model, const Waveforms& waveforms)
{
    return StartReader(model, waveforms).measure();
}

}  // namespace splitstart
