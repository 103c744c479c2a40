#include "bench/random_cases/network_energy.h"

#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <map>
#include <numbers>
#include <stdexcept>
#include <string>
#include <vector>

#include "physics/second_opinion.h"
#include "physics/waveform.h"
#include "spice/netlist.h"

namespace splitstart::bench
{

namespace
{

constexpr double step_s = 5e-5;
constexpr double length_s = 1;

double square(double x)
{
    return x * x;
}

// One subcircuit in place.
struct Device {
    const SubcircuitInstance& instance;

    [[nodiscard]] double of(std::string_view parameter) const
    {
        for (const auto& [name, value] : instance.parameters) {
            if (name == parameter) {
                return value;
            }
        }
        throw std::logic_error(fmt::format("{} has no {}", instance.name, parameter));
    }
    [[nodiscard]] std::string inner(std::string_view node) const
    {
        return fmt::format("x{}.{}", instance.name, node);
    }
    [[nodiscard]] std::string ammeter(std::string_view name) const
    {
        return fmt::format("v.x{}.{}#branch", instance.name, name);
    }
    [[nodiscard]] const std::string& port(const std::string& name) const
    {
        return instance.nodeOfPort.at(name);
    }
};

class Meter
{
public:
    explicit Meter(const SimulationModel& model) : model_(model)
    {
        for (const SubcircuitInstance& instance : model.instances) {
            addDevice({instance});
        }
    }

    NetworkBalance read(SimulatorPool& pool)
    {
        Analysis analysis;
        analysis.largestStep_s = step_s;
        analysis.end_s = endBetweenSteps_s(length_s, step_s);
        SimulationRequest request;
        request.deck = writeDeck(model_, analysis, {"energy of a start", {}, false, true});
        request.end_s = analysis.end_s;
        request.vectors.resize(places_.size());
        for (const auto& [name, place] : places_) {
            request.vectors[place] = name;
        }
        w_ = pool.run(request);
        NetworkBalance balance;
        balance.supplied_J = over(supplied_);
        balance.lost_J = over(lost_);
        balance.shaft_J = over(shaft_);
        const std::size_t last = w_.time_s.size() - 1;
        for (const auto& each : stored_) {
            balance.stored_J += each(last) - each(0);
        }
        return balance;
    }

private:
    using Quantity = std::function<double(std::size_t)>;

    Quantity vector(const std::string& name)
    {
        if (name == "0") {
            return [](std::size_t) { return 0.0; };
        }
        const std::size_t place = places_.emplace(name, places_.size()).first->second;
        return [this, place](std::size_t i) { return w_.real[place][i]; };
    }
    Quantity volts(const std::string& a, const std::string& b)
    {
        return [one = vector(a), other = vector(b)](std::size_t i) { return one(i) - other(i); };
    }

    void addLoss(const Quantity& amps, double ohms)
    {
        lost_.push_back([amps, ohms](std::size_t i) { return ohms * square(amps(i)); });
    }
    void addStore(const Quantity& quantity, double size)
    {
        stored_.push_back(
            [quantity, size](std::size_t i) { return 0.5 * size * square(quantity(i)); });
    }
    void addPower(const Quantity& across_V, const Quantity& amps)
    {
        lost_.push_back([across_V, amps](std::size_t i) { return across_V(i) * amps(i); });
    }
    // A coil or a motor as the line sees it: a resistance from `a` to `inner`, and an inductance.
    void addCoil(const std::string& a, const std::string& inner, double ohms, double henries)
    {
        const Quantity amps = [across_V = volts(a, inner), ohms](std::size_t i) {
            return across_V(i) / ohms;
        };
        addLoss(amps, ohms);
        addStore(amps, henries);
    }

    void addDevice(const Device& d)
    {
        const std::string& kind = d.instance.subcircuit;
        if (kind == "supply" || kind == "limited_supply") {
            line_A_ = [back_A = vector(d.ammeter("vline"))](std::size_t i) { return -back_A(i); };
            // The sine itself, or what a limit leaves of it.
            supplied_.push_back([emf_V = volts(d.inner("emf"), d.port("l2")),
                                 amps = line_A_](std::size_t i) { return emf_V(i) * amps(i); });
            addLoss(line_A_, d.of("source_ohms"));
            addStore(line_A_, d.of("source_h"));
        } else if (kind == "conductor") {
            // The same current goes through all of them: nothing branches off before the circuit.
            addPower(volts(d.port("a"), d.inner("inner")), line_A_);
            addStore(line_A_, d.of("henries_per_m") * d.of("metres"));
        } else if (kind == "closed_switch") {
            const double ohms = d.of("ohms");
            lost_.push_back([across_V = volts(d.port("a"), d.port("b")), ohms](std::size_t i) {
                return square(across_V(i)) / ohms;
            });
        } else if (kind == "fan_motor") {
            addCoil(d.port("a"), d.inner("inner"), d.of("ohms"), d.of("henries"));
        } else if (kind == "ac_capacitor") {
            addCapacitor(d);
        } else if (kind == "overload_protector") {
            addPower(volts(d.port("t1"), d.port("t3")), vector(d.ammeter("vdisc")));
        } else if (kind == "ptc") {
            addPower(volts(d.port("a"), d.port("b")), vector(d.ammeter("vptc")));
        } else if (kind == "potential_relay") {
            addContact(d, "t1", "t2");
            addCoil(d.port("t2"), d.inner("coil"), d.of("coil_ohms"), d.of("coil_h"));
        } else if (kind == "current_relay") {
            addContact(d, "contact_a", "contact_s");
            addLoss(vector(d.ammeter("vcoil")), d.of("coil_ohms"));
        } else if (kind == "timed_switch" || kind == "centrifugal_switch") {
            addContact(d, "a", "b");
        } else if (kind == "split_phase_motor") {
            addMotor(d);
        } else if (!kind.ends_with("_load")) {
            throw std::logic_error("no energy is known of a " + kind);
        }
    }

    void addContact(const Device& d, const std::string& a, const std::string& b)
    {
        addPower(volts(d.port(a), d.port(b)), vector(d.ammeter("xcontact.vcontact")));
    }

    void addCapacitor(const Device& d)
    {
        const double series_ohm = d.of("series_ohms");
        const double bleed_ohm = d.of("bleed_ohms");
        lost_.push_back([series_V = volts(d.port("a"), d.inner("plate")),
                         whole_V = volts(d.port("a"), d.port("b")), series_ohm,
                         bleed_ohm](std::size_t i) {
            return square(series_V(i)) / series_ohm + square(whole_V(i)) / bleed_ohm;
        });
        addStore(volts(d.inner("plate"), d.port("b")), d.of("farads"));
    }

    void addMotor(const Device& d)
    {
        const Quantity main_A = vector(d.ammeter("vmain"));
        const Quantity auxiliary_A = vector(d.ammeter("vaux"));
        const Quantity rotorQ_A = vector(d.ammeter("vrotq"));
        const Quantity rotorD_A = vector(d.ammeter("vrotd"));
        const Quantity speed = vector(d.port("speed"));
        const double n2 = square(d.of("turns_ratio"));
        const auto copper = [&d](const char* winding_degC) {
            return (234.5 + d.of(winding_degC)) / (234.5 + d.of("resistance_temperature_degc"));
        };
        const double cage =
            (225 + d.of("rotor_temperature_degc")) / (225 + d.of("resistance_temperature_degc"));
        addLoss(main_A, d.of("main_ohms") * copper("main_temperature_degc"));
        addLoss(auxiliary_A, d.of("auxiliary_ohms") * copper("auxiliary_temperature_degc"));
        addLoss(rotorQ_A, d.of("rotor_main_ohms") * cage);
        addLoss(rotorD_A, d.of("rotor_auxiliary_ohms") * cage);
        addLoss(speed, d.of("friction_nms"));
        addStore(speed, d.of("inertia_kgm2"));
        addStore(main_A, d.of("main_leakage_h"));
        addStore(auxiliary_A, d.of("auxiliary_leakage_h"));
        addStore(rotorQ_A, d.of("rotor_main_leakage_h"));
        addStore(rotorD_A, d.of("rotor_auxiliary_leakage_h"));
        shaft_.push_back([load_Nm = vector(d.port("load_torque")), speed](std::size_t i) {
            return load_Nm(i) * speed(i);
        });
        addCore(d, n2);
        if (d.of("rotor_bar_ohms_ratio") > 0) {
            addDeepBar(d, n2, cage);
        }
    }

    void addCore(const Device& d, double n2)
    {
        const double core_ohm = d.of("core_loss_ohms");
        const double main_H = d.of("main_magnetizing_h");
        const double auxiliary_H = d.of("auxiliary_magnetizing_h");
        lost_.push_back([q_V = volts(d.inner("gapq"), d.port("c")),
                         d_V = volts(d.inner("gapd"), d.port("c")), core_ohm, n2](std::size_t i) {
            return square(q_V(i)) / core_ohm + square(d_V(i)) / (n2 * core_ohm);
        });
        // Air-gap flux linkages: those of the rotor less the rotor's leakage.
        const auto gap = [this, &d](const char* flux, const char* rotor_A, double leakage_H) {
            return Quantity(
                [flux_Vs = vector(d.inner(flux)), amps = vector(d.ammeter(rotor_A)),
                 leakage_H](std::size_t i) { return flux_Vs(i) - leakage_H * amps(i); });
        };
        const Quantity q_Vs = gap("psiq", "vrotq", d.of("rotor_main_leakage_h"));
        const Quantity d_Vs = gap("psid", "vrotd", d.of("rotor_auxiliary_leakage_h"));
        addStore(q_Vs, 1 / main_H);
        addStore(d_Vs, 1 / auxiliary_H);
        if (d.of("saturation_slope_ratio") > 0) {
            // The energy of the excess current from no flux up to this one.
            const book::Saturation saturation{d.of("saturation_slope_ratio"),
                                              d.of("saturation_knee_v_s")};
            stored_.push_back([q_Vs, d_Vs, n2, main_H, saturation](std::size_t i) {
                return saturation.excess_J(std::sqrt(square(q_Vs(i)) + square(d_Vs(i)) / n2),
                                           main_H);
            });
        }
    }

    // The bar's inductance carries its volts over its resistance, the resistance the rest.
    void addDeepBar(const Device& d, double n2, double cage)
    {
        const double bar_ohm = d.of("rotor_bar_ohms_ratio") * d.of("rotor_main_ohms") * cage;
        const double bar_H = bar_ohm / (2 * std::numbers::pi * d.of("rotor_bar_corner_hz") * cage);
        const auto axis = [&](const char* rotor, const char* node, double size) {
            const double ohms = bar_ohm * size;
            const Quantity through_A = [bar_V = vector(d.inner(node)), ohms](std::size_t i) {
                return bar_V(i) / ohms;
            };
            addLoss([rotor_A = vector(d.ammeter(rotor)),
                     through_A](std::size_t i) { return rotor_A(i) - through_A(i); },
                    ohms);
            addStore(through_A, bar_H * size);
        };
        axis("vrotq", "barq", 1);
        axis("vrotd", "bard", n2);
    }

    double over(const std::vector<Quantity>& powers_W)
    {
        std::vector<double> sums(w_.time_s.size());
        for (std::size_t i = 0; i < sums.size(); ++i) {
            for (const Quantity& each : powers_W) {
                sums[i] += each(i);
            }
        }
        return integral(w_.time_s, sums);
    }

    const SimulationModel& model_;
    std::map<std::string, std::size_t> places_;
    Waveforms w_;
    Quantity line_A_;
    std::vector<Quantity> supplied_;
    std::vector<Quantity> lost_;
    std::vector<Quantity> shaft_;
    std::vector<Quantity> stored_;
};

}  // namespace

NetworkBalance networkBalance(const SimulationModel& model, SimulatorPool& pool)
{
    return Meter(model).read(pool);
}

}  // namespace splitstart::bench
