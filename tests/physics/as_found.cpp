#include "physics/as_found.h"

#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>
#include <utility>

#include "circuit/as_found.h"
#include "circuit/case_circuit.h"
#include "circuit/wiring_faults.h"
#include "physics/deck.h"
#include "physics/waveform.h"
#include "spice/netlist.h"

namespace splitstart
{

namespace
{

Complex winding(double ohm, double leakage_ohm, double magnetizing_ohm, double rotor_ohm,
                double rotorLeakage_ohm)
{
    return Complex(ohm, leakage_ohm) +
           parallel({0, magnetizing_ohm}, {rotor_ohm, rotorLeakage_ohm});
}

Case foundCase(Case input, const Rewiring& rewiring)
{
    Circuit circuit = caseCircuit(input);
    rewiring(circuit);
    input.asFound = FoundWiring();
    for (const Wire& wire : circuit.wires) {
        FoundWire each;
        each.from = terminalText(wire.from);
        each.to = terminalText(wire.to);
        input.asFound->wires.push_back(each);
    }
    return input;
}

}  // namespace

Complex parallel(Complex a, Complex b)
{
    return a * b / (a + b);
}

Complex capacitorImpedance(const Range& capacitance_F, double dissipationFactor)
{
    const double reactance_ohm = 1 / (line_rad_s * capacitance_F.middle());
    return {dissipationFactor * reactance_ohm, -reactance_ohm};
}

Complex impedanceOf(const StartCapacitor& capacitor)
{
    return capacitorImpedance(capacitor.capacitance_F, capacitor.dissipationFactor);
}

Complex impedanceOf(const RunCapacitor& capacitor)
{
    return capacitorImpedance(capacitor.capacitance_F, capacitor.dissipationFactor);
}

Complex impedanceOf(const CondenserFan& fan)
{
    return std::polar(fan.voltage_V / fan.current_A, std::acos(fan.powerFactor));
}

Complex coilImpedance(const PotentialRelay& relay)
{
    return {relay.coil_ohm, line_rad_s * relay.coil_H};
}

StalledMotor::StalledMotor(const EquivalentCircuit& motor)
    : main_ohm(winding(motor.main_ohm, motor.mainLeakage_ohm, motor.mainMagnetizing_ohm,
                       motor.rotorMain_ohm, motor.rotorMainLeakage_ohm)),
      auxiliary_ohm(winding(motor.auxiliary_ohm, motor.auxiliaryLeakage_ohm,
                            motor.auxiliaryMagnetizing_ohm, motor.rotorAuxiliary_ohm,
                            motor.rotorAuxiliaryLeakage_ohm)),
      motor_(motor)
{
    if (motor.coreLoss_W != 0 || motor.rotorBar_ohm != 0 || motor.frequency_Hz != line_Hz) {
        throw std::invalid_argument("no such motor here");
    }
}

double StalledMotor::torque_Nm(Complex main_A, Complex auxiliary_A) const
{
    // What the magnetizing branch leaves for the rotor, of each axis. Krause, Wasynczuk, Sudhoff,
    // Analysis of Electric Machinery and Drive Systems (from memory): torque is p (n psi_q i_d -
    // psi_d i_q / n); at rest the rotor's flux linkage is what its resistance asks for, psi =
    // j R i / omega. Both together are I_main I_aux sin(alpha) times a constant of the motor.
    const auto rotorShare = [](double magnetizing_ohm, double rotor_ohm, double leakage_ohm) {
        return -Complex(0, magnetizing_ohm) / Complex(rotor_ohm, magnetizing_ohm + leakage_ohm);
    };
    const Complex rotorMain_A =
        main_A *
        rotorShare(motor_.mainMagnetizing_ohm, motor_.rotorMain_ohm, motor_.rotorMainLeakage_ohm);
    const Complex rotorAuxiliary_A =
        auxiliary_A * rotorShare(motor_.auxiliaryMagnetizing_ohm, motor_.rotorAuxiliary_ohm,
                                 motor_.rotorAuxiliaryLeakage_ohm);
    const double n = motor_.turnsRatio;
    return 0.5 * motor_.poles / line_rad_s *
           (n * motor_.rotorMain_ohm + motor_.rotorAuxiliary_ohm / n) *
           (rotorAuxiliary_A * std::conj(rotorMain_A)).imag();
}

Case stiffCase(std::string_view description, const EquivalentCircuit& motor, const Service& service)
{
    for (const Circuit& circuit : standardCircuits()) {
        if (circuit.description == description) {
            Case input = caseFor(circuit, service);
            input.compressor.equivalentCircuit = motor;
            input.compressor.equivalentCircuit->coreLoss_W = 0;
            input.compressor.equivalentCircuit->resistanceTemperature_degC = 25;
            input.compressor.load.torque_Nm = 3;
            input.compressor.load.kind = LoadKind::reciprocating;
            input.supply.source_ohm = source_ohm;
            input.supply.source_H = source_H;
            return input;
        }
    }
    throw std::out_of_range(std::string(description));
}

Case shaftHeld(Case input)
{
    constexpr double immovable_kgm2 = 1e4;
    input.compressor.equivalentCircuit.value().inertia_kgm2 = immovable_kgm2;
    return input;
}

Rewiring landed(std::map<std::string, std::string> onTerminal)
{
    return [onTerminal = std::move(onTerminal)](Circuit& circuit) {
        for (Wire& wire : circuit.wires) {
            for (Terminal* end : {&wire.from, &wire.to}) {
                if (const auto other = onTerminal.find(terminalText(*end));
                    other != onTerminal.end()) {
                    *end = terminalOf(other->second);
                }
            }
        }
    };
}

Rewiring landedOnPins(const std::array<const char*, 3>& pins)
{
    const std::string pin = "compressor.";
    return landed(
        {{pin + "C", pin + pins[0]}, {pin + "S", pin + pins[1]}, {pin + "R", pin + pins[2]}});
}

Rewiring leading(std::string_view terminal, std::string_view instead)
{
    return [near = terminalOf(terminal), far = terminalOf(instead)](Circuit& circuit) {
        std::vector<Wire*> there;
        for (Wire& wire : circuit.wires) {
            if (wire.from == near || wire.to == near) {
                there.push_back(&wire);
            }
        }
        if (there.size() != 1) {
            throw std::out_of_range(terminalText(near));
        }
        *there.front() = {near, far};
    };
}

FoundStart startAsFound(const Case& input, const Rewiring& rewiring)
{
    const Case found = foundCase(input, rewiring);
    const WiringStudy study = wiringStudy(found);
    EXPECT_FALSE(study.found->isRight());
    return foundStart(found, study, simulators());
}

double VoltsAsFound::rms_V(double from_s, double to_s) const
{
    std::vector<double> time;
    std::vector<double> square;
    for (std::size_t i = 0; i < time_s.size(); ++i) {
        if (time_s[i] >= from_s && time_s[i] <= to_s) {
            time.push_back(time_s[i]);
            square.push_back(value_V[i] * value_V[i]);
        }
    }
    return std::sqrt(integral(time, square) / (time.back() - time.front()));
}

VoltsAsFound voltsAsFound(const Case& input, const Rewiring& rewiring,
                          std::pair<std::string_view, std::string_view> between, double end_s)
{
    const Case found = foundCase(input, rewiring);
    const Compressor& compressor = found.compressor;
    const SimulableCircuit circuit =
        simulable(asFoundCircuit(caseCircuit(input), found.asFound.value()));
    Corner corner;
    corner.pressures = compressor.load.pressures;
    const SimulationModel model =
        simulationModel(found, circuit.circuit, compressor.equivalentCircuit.value(),
                        compressor.load.torque_Nm.value(), corner);
    Analysis analysis;
    analysis.end_s = endBetweenSteps_s(end_s, analysis.largestStep_s);
    SimulationRequest request;
    request.deck = writeDeck(model, analysis, {"volts as found", {}, false});
    request.end_s = analysis.end_s;
    std::vector<double> signs;
    for (const auto& [terminal, sign] :
         {std::pair(between.first, 1), std::pair(between.second, -1)}) {
        const std::string& node = model.nodeOfTerminal.at(terminalOf(terminal));
        if (node != "0") {
            request.vectors.push_back(node);
            signs.push_back(sign);
        }
    }
    Waveforms waveforms = simulators().run(request);
    VoltsAsFound volts{std::move(waveforms.time_s), {}};
    volts.value_V.resize(volts.time_s.size());
    for (std::size_t k = 0; k < signs.size(); ++k) {
        for (std::size_t i = 0; i < volts.value_V.size(); ++i) {
            volts.value_V[i] += signs[k] * waveforms.real[k][i];
        }
    }
    return volts;
}

}  // namespace splitstart
