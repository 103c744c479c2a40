#include "bench/random_cases/plausible_case.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "circuit/circuit.h"
#include "fuzz/random_case.h"
#include "unit/motor/random_motors.h"

namespace splitstart::bench
{

namespace
{

using fuzz::numberText;

class Workshop
{
public:
    Workshop(std::uint32_t number, const Circuit& circuit)
        : choices_(number), circuit_(circuit), random_(number)
    {
        const bool start = circuit.find(PartKind::startCapacitor) != nullptr;
        const bool run = circuit.find(PartKind::runCapacitor) != nullptr;
        motor_ = randomMotor(random_, run     ? StartKind::capacitorAndRunCapacitor
                                      : start ? StartKind::capacitor
                                              : StartKind::resistance);
        constexpr std::array volts = {115.0, 208.0, 230.0, 230.0, 400.0};
        line_V_ = volts[choices_.below(volts.size())];
        fifty_ = choices_.chance(0.3);
        poles_ = choices_.chance(0.7) ? 2 : 4;
        // The same machine with more or fewer turns.
        turns_ = line_V_ / 230;
        ohms_ = turns_ * turns_;
        if (fifty_) {
            line_V_ *= 5.0 / 6;  // the same flux
        }
    }

    std::map<std::string, std::string> fields()
    {
        addSupply();
        addMotor();
        addStartDevices();
        addCapacitors();
        addOthers();
        return fields_;
    }

private:
    void set(const char* field, double value) { fields_[field] = numberText(value); }
    void leaveOut(const char* field) { fields_[field] = {}; }
    double near(double value, double ratio)
    {
        return value * choices_.betweenByRatio(1 / ratio, ratio);
    }
    // What is not given in half of the cases.
    void maybe(const char* field, double value)
    {
        choices_.chance(0.5) ? set(field, value) : leaveOut(field);
    }

    void addSupply()
    {
        set("supply.volts", std::round(line_V_ * choices_.between(0.92, 1.08)));
        set("supply.hertz", fifty_ ? 50 : 60);
        set("supply.source-ohms", near(0.15 * ohms_, 3));
        set("supply.source-millihenries", near(0.1 * ohms_, 3));
        choices_.chance(0.15)
            ? set("supply.limit-amps", motor_.ratedLoad_A / turns_ * choices_.between(3, 12))
            : leaveOut("supply.limit-amps");
        set("conductor.metres", choices_.betweenByRatio(2, 60));
        set("conductor.feet", choices_.betweenByRatio(6, 200));
        set("conductor.square-millimetres", choices_.betweenByRatio(1.5, 16));
        set("nameplate.volts", line_V_);
        set("nameplate.hertz", fifty_ ? 50 : 60);
        set("nameplate.locked-rotor-amps", near(motor_.lockedRotor_A / turns_, 1.1));
        set("nameplate.rated-load-amps", near(motor_.ratedLoad_A / turns_, 1.1));
    }

    void addMotor()
    {
        const EquivalentCircuit& c = motor_.circuit;
        const std::string motor = "equivalent-circuit.";
        const auto ohms = [&](const char* name, double value) {
            fields_[motor + name] = numberText(value * ohms_);
        };
        fields_[motor + "hertz"] = "60";
        ohms("main-ohms", c.main_ohm);
        ohms("main-leakage-reactance-ohms", c.mainLeakage_ohm);
        ohms("main-magnetizing-reactance-ohms", c.mainMagnetizing_ohm);
        ohms("rotor-main-ohms", c.rotorMain_ohm);
        ohms("rotor-main-leakage-reactance-ohms", c.rotorMainLeakage_ohm);
        ohms("auxiliary-ohms", c.auxiliary_ohm);
        ohms("auxiliary-leakage-reactance-ohms", c.auxiliaryLeakage_ohm);
        ohms("auxiliary-magnetizing-reactance-ohms", c.auxiliaryMagnetizing_ohm);
        ohms("rotor-auxiliary-ohms", c.rotorAuxiliary_ohm);
        ohms("rotor-auxiliary-leakage-reactance-ohms", c.rotorAuxiliaryLeakage_ohm);
        ohms("rotor-bar-ohms", c.rotorBar_ohm);
        fields_[motor + "rotor-bar-corner-hertz"] = numberText(c.rotorBarCorner_Hz);
        fields_[motor + "turns-ratio"] = numberText(c.turnsRatio);
        fields_[motor + "poles"] = numberText(poles_);
        // As much energy at half the speed.
        const double slower = poles_ / 2.0;
        fields_[motor + "inertia-kg-m2"] = numberText(c.inertia_kgm2 * slower * slower);
        fields_[motor + "core-loss-watts"] = numberText(c.coreLoss_W);
        fields_[motor + "friction-watts"] = numberText(c.friction_W);
        fields_[motor + "saturation-slope-ratio"] = choices_.chance(0.15) ? "9" : "0";
        fields_[motor + "saturation-knee-volts"] = numberText(230 * turns_);
        set("load.torque-newton-metres", near(std::max(motor_.ratedTorque_Nm, 0.01) * slower, 1.3));
        set("load.suction-bar", choices_.between(1, 4));
        set("load.equalised-bar", choices_.between(4.5, 8));
        set("load.discharge-bar", choices_.between(9, 20));
    }

    void addStartDevices()
    {
        const double pickUp_V = near(line_V_ * motor_.circuit.turnsRatio, 1.25);
        set("potential-relay.pick-up-volts-min", std::clamp(pickUp_V * 0.97, 10.0, 780.0));
        set("potential-relay.pick-up-volts-max", std::clamp(pickUp_V * 1.03, 11.0, 800.0));
        set("potential-relay.drop-out-volts-max", pickUp_V * choices_.between(0.25, 0.6));
        set("potential-relay.drop-out-volts-min", pickUp_V * 0.15);
        set("potential-relay.coil-ohms", choices_.betweenByRatio(2000, 16000));
        set("potential-relay.coil-henries", choices_.between(0, 40));
        const double pullIn_A = std::min(near(0.6 * motor_.lockedRotor_A / turns_, 1.5), 190.0);
        set("current-relay.pull-in-amps-min", pullIn_A * 0.95);
        set("current-relay.pull-in-amps-max", pullIn_A * 1.05);
        set("current-relay.drop-out-amps-max", pullIn_A * 0.9);
        set("current-relay.drop-out-amps-min", pullIn_A * choices_.between(0.6, 0.85));
        set("current-relay.coil-ohms", choices_.betweenByRatio(0.01, 0.2));
        for (const char* relay : {"potential-relay", "current-relay"}) {
            for (const char* time : {".operate-milliseconds", ".release-milliseconds"}) {
                set((std::string(relay) + time).c_str(), choices_.betweenByRatio(2, 40));
            }
        }
        const double cold_ohm = near(8 * motor_.circuit.main_ohm * ohms_, 2);
        set("ptc.cold-ohms-min", std::clamp(cold_ohm * 0.8, 0.5, 1500.0));
        set("ptc.cold-ohms-max", std::clamp(cold_ohm * 1.2, 0.6, 2000.0));
        set("ptc.switch-amps", std::min(line_V_ / cold_ohm * 0.8, 100.0));
        set("ptc.switch-seconds-min", choices_.between(0.2, 0.5));
        set("ptc.switch-seconds-max", choices_.between(0.5, 1));
        set("ptc.hot-ohms",
            std::clamp(cold_ohm * choices_.betweenByRatio(500, 5000), 20000.0, 1e6));
        set("ptc.running-watts", choices_.between(1.5, 5));
        set("timed-switch.seconds-min", choices_.between(0.2, 0.5));
        set("timed-switch.seconds-max", choices_.between(0.5, 0.9));
        const double synchronous_rpm = (fifty_ ? 6000.0 : 7200.0) / poles_;
        set("centrifugal-switch.opens-rpm-min", synchronous_rpm * choices_.between(0.65, 0.75));
        set("centrifugal-switch.opens-rpm-max", synchronous_rpm * choices_.between(0.75, 0.85));
        set("centrifugal-switch.closes-rpm-min", synchronous_rpm * 0.35);
        set("centrifugal-switch.closes-rpm-max", synchronous_rpm * 0.5);
    }

    void addCapacitors()
    {
        const double start_uF = std::clamp(
            near(motor_.parts.startCapacitor.capacitance_F * 1e6 / ohms_, 1.5), 5.0, 2500.0);
        set("start-capacitor.microfarads-min", start_uF * 0.92);
        set("start-capacitor.microfarads-max", start_uF * 1.12);
        maybe("start-capacitor.bleed-ohms", choices_.betweenByRatio(4700, 47000));
        const double run_F =
            motor_.parts.runCapacitor ? motor_.parts.runCapacitor->capacitance_F : 2e-5;
        const double run_uF = std::clamp(near(run_F * 1e6 / ohms_, 1.6), 1.0, 180.0);
        set("run-capacitor.microfarads", run_uF);
        set("run-capacitor.tolerance-percent", choices_.chance(0.5) ? 6 : 10);
        set("dual-run-capacitor.microfarads", run_uF);
        set("dual-run-capacitor.fan-microfarads", std::min(5 / ohms_, 0.9 * run_uF));
        set("dual-run-capacitor.tolerance-percent", 6);
        for (const char* each :
             {"start-capacitor.dissipation-percent", "run-capacitor.dissipation-percent",
              "dual-run-capacitor.dissipation-percent"}) {
            leaveOut(each);
        }
    }

    void addOthers()
    {
        const double rated_A = motor_.ratedLoad_A / turns_;
        const double lockedRotor_A = motor_.lockedRotor_A / turns_;
        const double ultimate_A = std::min(near(1.4 * rated_A, 1.3), 0.6 * lockedRotor_A);
        set("protector.ultimate-trip-amps", ultimate_A);
        set("protector.trip-amps",
            std::max(lockedRotor_A * choices_.between(0.7, 1), 1.3 * ultimate_A));
        set("protector.trip-seconds-min", choices_.between(1, 4));
        set("protector.trip-seconds-max", choices_.between(4, 12));
        set("protector.rating-ambient-c", choices_.between(25, 60));
        set("protector.reset-c", choices_.between(62, 85));
        set("protector.trip-c", choices_.between(100, 150));
        set("protector.closed-ohms", choices_.betweenByRatio(0.002, 0.05));
        set("condenser-fan.volts", line_V_);
        set("condenser-fan.amps", choices_.betweenByRatio(0.2, 3));
        set("capacitor-fan.volts", line_V_);
        set("capacitor-fan.microfarads", std::min(5 / ohms_, 90.0));
        set("contactor.pole-ohms", choices_.betweenByRatio(0.001, 0.02));
    }

    fuzz::RandomChoices choices_;
    const Circuit& circuit_;
    std::mt19937 random_;
    RandomMotor motor_;
    std::map<std::string, std::string> fields_;
    double line_V_ = 230;
    double turns_ = 1;
    double ohms_ = 1;
    int poles_ = 2;
    bool fifty_ = false;
};

// Those in which nothing but a switch on the shaft and capacitors stands before the windings.
bool hasTwoWindingsAlone(const Circuit& circuit)
{
    const auto device = startDeviceOf(circuit);
    return circuit.variant == "standard" &&
           (circuit.type == "PSC" ? !device : device == PartKind::centrifugalSwitch);
}

}  // namespace

std::string madeUpCase(std::uint32_t number, CaseKind kind)
{
    fuzz::RandomChoices choices(number);
    std::vector<std::size_t> circuits;
    const auto all = standardCircuits();
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (kind != CaseKind::twoWindings || hasTwoWindingsAlone(all[i])) {
            circuits.push_back(i);
        }
    }
    fuzz::CaseWishes wishes;
    wishes.circuit = circuits[choices.below(circuits.size())];
    if (kind == CaseKind::anywhere) {
        // What only takes time.
        wishes.fields = {{"timed-switch.seconds-max", "1.2"}, {"ptc.switch-seconds-max", "1.5"}};
    } else {
        wishes.fields = Workshop(number, all[*wishes.circuit]).fields();
        // Readings that have nothing to do with the motor only forbid to energise it.
        wishes.without["readings"] = number % 8 != 0;
        wishes.without["insulation"] = number % 8 != 0;
    }
    if (kind == CaseKind::twoWindings) {
        for (const char* field : {"supply.limit-amps", "start-capacitor.bleed-ohms"}) {
            wishes.fields[field] = {};
        }
        wishes.fields["load.kind"] = "steady";
        wishes.fields["load.pressures"] = "equalised";
        // Light enough that most of them start.
        const double torque_Nm = std::stod(wishes.fields.at("load.torque-newton-metres"));
        wishes.fields["load.torque-newton-metres"] =
            numberText(torque_Nm * (number % 4 == 1 ? 0.2 : 0.6));
        for (const char* element : {"fan", "protector", "start-capacitor-pair"}) {
            wishes.without[element] = true;
        }
    }
    return fuzz::fileText(fuzz::randomCase(choices, wishes));
}

}  // namespace splitstart::bench
