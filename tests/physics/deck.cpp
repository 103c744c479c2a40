#include "physics/deck.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <numbers>
#include <sstream>
#include <stdexcept>

#include "spice/netlist.h"

namespace splitstart
{

namespace
{

// ngspice wants some resistance and inductance in the supply; these change no figure checked here.
constexpr double smallestSource_ohm = 1e-6;
constexpr double smallestSource_H = 1e-9;
constexpr double open_ohm = 1e9;

std::string withTitle(const std::string& deck)
{
    static int count = 0;
    return fmt::format("physics check {}\n{}.end\n", ++count, deck);
}

std::string stepParameter(const MotorCircuit& circuit)
{
    return circuit.madeUpForStep_s == 0
               ? ""
               : fmt::format("+ trapezoid_ratio={}\n",
                             trapezoidRatio(circuit.madeUpForStep_s, circuit.source.frequency_Hz));
}

std::string motorCard(const book::Machine& m)
{
    const double coreLoss_ohm = std::isfinite(m.coreLoss_ohm) ? m.coreLoss_ohm : open_ohm;
    std::string effects;
    if (m.deepBar) {
        effects += fmt::format(
            "+ rotor_bar_ohms_ratio={} rotor_bar_corner_hz={}\n",
            m.deepBar->resistance_ohm / m.rotorMainResistance_ohm,
            m.deepBar->resistance_ohm / (2 * std::numbers::pi * m.deepBar->inductance_H));
    }
    if (m.saturation) {
        effects += fmt::format("+ saturation_slope_ratio={} saturation_knee_v_s={}\n",
                               m.saturation->slope_ratio, m.saturation->knee_Vs);
    }
    return fmt::format(
               "xmotor 0 aux line speed torque load split_phase_motor"
               " main_ohms={} main_leakage_h={} main_magnetizing_h={}"
               " rotor_main_ohms={} rotor_main_leakage_h={}\n"
               "+ auxiliary_ohms={} auxiliary_leakage_h={} auxiliary_magnetizing_h={}"
               " rotor_auxiliary_ohms={} rotor_auxiliary_leakage_h={}\n"
               "+ turns_ratio={} pole_pairs={} inertia_kgm2={} core_loss_ohms={} friction_nms={}"
               " resistance_temperature_degc=20 main_temperature_degc=20 "
               "auxiliary_temperature_degc=20"
               " rotor_temperature_degc=20 initial_speed_rad_s=0\n",
               m.mainResistance_ohm, m.mainLeakage_H, m.mainMagnetizing_H,
               m.rotorMainResistance_ohm, m.rotorMainLeakage_H, m.auxiliaryResistance_ohm,
               m.auxiliaryLeakage_H, m.auxiliaryMagnetizing_H, m.rotorAuxiliaryResistance_ohm,
               m.rotorAuxiliaryLeakage_H, m.turns_ratio, m.polePairs, m.inertia_kgm2, coreLoss_ohm,
               m.friction_Nms) +
           effects;
}

std::string supplyCard(const book::Source& source)
{
    return fmt::format(
        "xsupply line 0 supply rms_v={} line_hz={} source_ohms={} source_h={} switch_on_deg={}\n",
        source.rms_V, source.frequency_Hz, std::max(source.resistance_ohm, smallestSource_ohm),
        std::max(source.inductance_H, smallestSource_H), source.phase_rad * 180 / std::numbers::pi);
}

std::string auxiliaryCards(const MotorCircuit& circuit)
{
    if (!circuit.branch) {
        return fmt::format("ropen line aux {}\n", open_ohm);
    }
    const std::string capacitor =
        fmt::format("ac_capacitor farads={} series_ohms={} bleed_ohms=1e12 initial_v=0\n",
                    circuit.branch->capacitance_F, circuit.branch->resistance_ohm) +
        stepParameter(circuit);
    if (!circuit.startSwitch_rad_s) {
        return "xcapacitor line aux " + capacitor;
    }
    // The drive falls as the shaft speeds up; it tells the contact to open at
    // threshold - hysteresis, which is the switching speed, and to close far below it.
    const double hysteresis = 0.2 * *circuit.startSwitch_rad_s;
    return "xcapacitor line switched " + capacitor +
           fmt::format("bdrive drive 0 v = {}-v(speed)\n", 2 * *circuit.startSwitch_rad_s) +
           fmt::format(
               "xswitch switched aux drive contact threshold_v={} hysteresis_v={}"
               " on_ohms={}\n",
               *circuit.startSwitch_rad_s + hysteresis, hysteresis, contact_ohm);
}

}  // namespace

std::string modelText(std::initializer_list<std::string_view> names)
{
    std::ostringstream text;
    for (const std::string_view name : names) {
        const std::string path = fmt::format("{}/models/{}.lib", SPLITSTART_SOURCE_DIR, name);
        std::ifstream file(path);
        if (!file) {
            throw std::runtime_error("cannot read " + path);
        }
        text << file.rdbuf() << '\n';
    }
    return text.str();
}

SimulatorPool& simulators()
{
    static SimulatorPool pool(2);
    return pool;
}

std::string deckOf(const MotorCircuit& circuit, std::string_view cards)
{
    std::string deck = modelText({"supply", "split_phase_motor", "ac_capacitor", "contact"}) +
                       (circuit.loadModel.empty() ? "" : modelText({circuit.loadModel})) +
                       supplyCard(circuit.source) + stepParameter(circuit) +
                       motorCard(circuit.machine) + stepParameter(circuit) +
                       auxiliaryCards(circuit) + circuit.loadCards;
    if (circuit.heldSpeed_rad_s) {
        deck += fmt::format("vheld speed 0 dc {}\n", *circuit.heldSpeed_rad_s);
    }
    return deck.append(cards);
}

std::string transientCard(double end_s, double step_s)
{
    return fmt::format(".options method=trap reltol=1e-4\n.tran {} {} 0 {} uic\n", step_s, end_s,
                       step_s);
}

std::string alternatingCard(double frequency_Hz)
{
    return fmt::format(".ac lin 1 {} {}\n", frequency_Hz, frequency_Hz);
}

Waveforms runTransient(const std::string& deck, const std::vector<std::string>& vectors,
                       double end_s)
{
    SimulationRequest request;
    request.deck = withTitle(deck);
    request.vectors = vectors;
    request.end_s = end_s;
    return simulators().run(request);
}

std::vector<book::Phasor> runAlternating(const std::string& deck,
                                         const std::vector<std::string>& vectors)
{
    SimulationRequest request;
    request.deck = withTitle(deck);
    request.vectors = vectors;
    const Waveforms waveforms = simulators().run(request);
    std::vector<book::Phasor> phasors;
    for (const auto& values : waveforms.phasors) {
        phasors.push_back(values.at(0));
    }
    return phasors;
}

book::SteadyState simulatedSteadyState(const MotorCircuit& circuit)
{
    const std::vector<book::Phasor> peak = runAlternating(
        deckOf(circuit, alternatingCard(circuit.source.frequency_Hz)),
        {probe::main_A, probe::auxiliary_A, probe::rotorMain_A, probe::rotorAuxiliary_A,
         probe::rotorMain_Vs, probe::rotorAuxiliary_Vs, "line", "aux"});
    std::vector<book::Phasor> rms(peak);
    for (book::Phasor& phasor : rms) {
        phasor /= std::numbers::sqrt2;
    }
    const double n = circuit.machine.turns_ratio;
    book::SteadyState steady;
    steady.main_A = rms[0];
    steady.auxiliary_A = rms[1];
    steady.line_A = rms[0] + rms[1];
    steady.rotorMain_A = rms[2];
    steady.rotorAuxiliary_A = rms[3];
    steady.terminal_V = rms[6];
    steady.auxiliary_V = rms[7];
    steady.branch_V = rms[6] - rms[7];
    steady.torque_Nm =
        circuit.machine.polePairs * (n * (rms[4] * std::conj(steady.rotorAuxiliary_A)).real() -
                                     (rms[5] * std::conj(steady.rotorMain_A)).real() / n);
    return steady;
}

}  // namespace splitstart
