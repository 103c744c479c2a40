#include <array>
#include <cmath>
#include <complex>
#include <map>
#include <numbers>

#include "spice/measurement.h"
#include "spice/measurement_names.h"

namespace splitstart
{

std::vector<std::string> heldShaftVectors(const SimulationModel& model)
{
    const VectorNames names(model);
    std::vector<std::string> vectors = {names.line(),       names.main,           names.auxiliary,
                                        names.rotorMain,    names.rotorAuxiliary, names.fluxMain,
                                        names.fluxAuxiliary};
    for (const std::string& node : wireNodes(model)) {
        vectors.push_back(node);
    }
    if (model.instance("compressor").nodeOfPort.at("c") == "star") {
        vectors.emplace_back("star");
    }
    return vectors;
}

namespace
{

using Phasor = std::complex<double>;

// Peak phasors by the names of their vectors, ground among them.
std::map<std::string, Phasor> phasorsByName(const SimulationModel& model,
                                            const Waveforms& waveforms, std::size_t point)
{
    const std::vector<std::string> vectors = heldShaftVectors(model);
    std::map<std::string, Phasor> phasor = {{"0", Phasor{}}};
    for (std::size_t i = 0; i < vectors.size(); ++i) {
        phasor[vectors[i]] = waveforms.phasors.at(i).at(point);
    }
    return phasor;
}

}  // namespace

HeldShaftPhasors heldShaftPhasors(const SimulationModel& model, const Waveforms& waveforms,
                                  std::size_t point)
{
    const VectorNames names(model);
    const std::map<std::string, Phasor> peaks = phasorsByName(model, waveforms, point);
    const auto rms = [&peaks](const std::string& name) {
        return peaks.at(name) / std::numbers::sqrt2;
    };
    const auto& pins = model.instance("compressor").nodeOfPort;
    HeldShaftPhasors result;
    result.main_A = rms(names.main);
    result.auxiliary_A = rms(names.auxiliary);
    // The supply's ammeter counts into the source.
    result.line_A = -rms(names.line());
    result.terminal_V = rms(model.node("supply", "L1")) - rms(model.node("supply", "L2"));
    result.runWinding_V = rms(pins.at("r")) - rms(pins.at("c"));
    result.startWinding_V = rms(pins.at("s")) - rms(pins.at("c"));
    // Main axis x, auxiliary axis y in the main winding's turns: x = forward + backward, y = j
    // (forward - backward).
    const Phasor j(0, 1);
    const double n = model.turnsRatio;
    const Phasor fluxY = rms(names.fluxAuxiliary) / n;
    const Phasor currentY = rms(names.rotorAuxiliary) * n;
    const auto forward = [&j](Phasor x, Phasor y) { return (x - j * y) / 2.0; };
    const auto backward = [&j](Phasor x, Phasor y) { return (x + j * y) / 2.0; };
    result.forwardFlux_Vs = forward(rms(names.fluxMain), fluxY);
    result.backwardFlux_Vs = backward(rms(names.fluxMain), fluxY);
    const auto torque_Nm = [&model](Phasor flux, Phasor current) {
        return 2 * model.polePairs * std::imag(flux * std::conj(current));
    };
    result.forwardTorque_Nm =
        torque_Nm(result.forwardFlux_Vs, forward(rms(names.rotorMain), currentY));
    result.backwardTorque_Nm =
        torque_Nm(result.backwardFlux_Vs, backward(rms(names.rotorMain), currentY));
    return result;
}

HeldShaftMeasurement measureHeldShaft(const SimulationModel& model, const Waveforms& waveforms,
                                      std::size_t point)
{
    const VectorNames names(model);
    const std::map<std::string, Phasor> phasor = phasorsByName(model, waveforms, point);
    const auto rmsOf = [](Phasor peak) { return std::abs(peak) / std::numbers::sqrt2; };
    const auto volts = [&](const std::string& plus, const std::string& minus) {
        return rmsOf(phasor.at(plus) - phasor.at(minus));
    };
    const SubcircuitInstance& motor = model.instance("compressor");
    const std::string& c = motor.nodeOfPort.at("c");
    const std::string& s = motor.nodeOfPort.at("s");
    const std::string& r = motor.nodeOfPort.at("r");
    const Phasor main = phasor.at(names.main);
    const Phasor auxiliary = phasor.at(names.auxiliary);
    const SubcircuitInstance& supply = model.instance("supply");

    HeldShaftMeasurement result;
    result.speed_ratio = model.fixedSpeed_rad_s.value_or(0) / model.synchronousSpeed_rad_s;
    // Mean of the product of two sines of one frequency: half the real part of one peak phasor
    // times the conjugate of the other. The product is the torque expression of
    // models/split_phase_motor.lib; tests/physics compares this mean with a transient's.
    result.torque_Nm = 0.5 * model.polePairs *
                       std::real(model.turnsRatio * phasor.at(names.fluxMain) *
                                     std::conj(phasor.at(names.rotorAuxiliary)) -
                                 phasor.at(names.fluxAuxiliary) *
                                     std::conj(phasor.at(names.rotorMain)) / model.turnsRatio);
    result.line_A = rmsOf(phasor.at(names.line()));
    result.compressor_A = rmsOf(main + auxiliary);
    result.main_A = rmsOf(main);
    result.auxiliary_A = rmsOf(auxiliary);
    result.startWinding_V = volts(s, c);
    result.startToRun_V = volts(s, r);
    result.runWinding_V = volts(r, c);
    result.terminal_V = volts(model.node("supply", "L1"), model.node("supply", "L2"));
    result.line_W =
        -0.5 *
        std::real((phasor.at(supply.nodeOfPort.at("l1")) - phasor.at(supply.nodeOfPort.at("l2"))) *
                  std::conj(phasor.at(names.line())));
    if (const SubcircuitInstance* capacitor = instanceNamed(model, "start_capacitor")) {
        result.startCapacitor_V =
            volts(capacitor->nodeOfPort.at("a"), capacitor->nodeOfPort.at("b"));
    }
    if (const SubcircuitInstance* capacitor = instanceNamed(model, "run_capacitor")) {
        result.runCapacitor_V = volts(capacitor->nodeOfPort.at("a"), capacitor->nodeOfPort.at("b"));
    }
    if (const SubcircuitInstance* coil = instanceNamed(model, "relay_coil")) {
        const double across_V = volts(coil->nodeOfPort.at("a"), coil->nodeOfPort.at("b"));
        if (coil->subcircuit == "closed_switch") {
            // A current relay's coil is a plain resistance there.
            result.coil_A = across_V / coil->parameters.front().second;
        } else {
            result.coil_V = across_V;
        }
    }
    if (main != Phasor{} && auxiliary != Phasor{}) {
        result.currentAngle_deg = std::arg(auxiliary * std::conj(main)) * 180 / std::numbers::pi;
    }
    return result;
}

}  // namespace splitstart
