// Conservation of energy over a whole start in embedded ngspice: what the source's own voltage
// supplied is what was lost, what the shaft took and what is stored at the end. Nothing here is
// asked of the model but currents, fluxes, speed and load torque; every power is worked out from
// them and the parameters, so that a term missing from the model or counted twice shows.
#include <gtest/gtest.h>

#include <cmath>

#include "physics/deck.h"
#include "physics/near.h"
#include "physics/quarter_horsepower.h"
#include "physics/waveform.h"

namespace splitstart
{
namespace
{

struct Balance {
    double supplied_J = 0;
    double lost_J = 0;
    double coreLost_J = 0;  // part of lost_J
    double shaft_J = 0;
    double stored_J = 0;
};

double square(double x)
{
    return x * x;
}

class EnergyMeter
{
public:
    EnergyMeter(const MotorCircuit& circuit, double end_s)
        : circuit_(circuit),
          m_(circuit.machine),
          w_(runTransient(
              deckOf(circuit, transientCard(end_s)),
              {probe::main_A, probe::auxiliary_A, probe::rotorMain_A, probe::rotorAuxiliary_A,
               probe::rotorMain_Vs, probe::rotorAuxiliary_Vs, "speed", "load", "xcapacitor.plate",
               circuit.startSwitch_rad_s ? "switched" : "aux",
               // Without a deep bar any two, which are then not looked at.
               m_.deepBar ? probe::barMain_V : "speed",
               m_.deepBar ? probe::barAuxiliary_V : "load"},
              end_s))
    {
    }

    [[nodiscard]] Balance balance() const
    {
        Balance b;
        b.supplied_J =
            over([&](std::size_t i) { return circuit_.source.volts(w_.time_s[i]) * line_A(i); });
        b.coreLost_J = over([&](std::size_t i) { return coreLoss_W(i); });
        b.lost_J = b.coreLost_J + over([&](std::size_t i) { return otherLoss_W(i); });
        b.shaft_J = over([&](std::size_t i) { return at(load, i) * at(speed, i); });
        b.stored_J = stored_J(w_.time_s.size() - 1) - stored_J(0);
        return b;
    }

    // Parts of the balance that the effects alone make.
    [[nodiscard]] double barLost_J() const
    {
        return over([&](std::size_t i) { return barLoss_W(i); });
    }
    [[nodiscard]] double finalSpeed_rad_s() const { return w_.real[speed].back(); }
    [[nodiscard]] double finalAuxiliary_A() const { return w_.real[auxiliary].back(); }

private:
    enum Vector : std::size_t {
        main,
        auxiliary,
        rotorQ,
        rotorD,
        fluxQ,
        fluxD,
        speed,
        load,
        plate,
        behind,
        barQ,
        barD
    };

    [[nodiscard]] double at(Vector vector, std::size_t i) const { return w_.real[vector][i]; }
    [[nodiscard]] double line_A(std::size_t i) const { return at(main, i) + at(auxiliary, i); }

    // Air-gap flux linkages: those of the rotor less the rotor's leakage.
    [[nodiscard]] double gapQ_Vs(std::size_t i) const
    {
        return at(fluxQ, i) - m_.rotorMainLeakage_H * at(rotorQ, i);
    }
    [[nodiscard]] double gapD_Vs(std::size_t i) const
    {
        return at(fluxD, i) - m_.rotorAuxiliaryLeakage_H * at(rotorD, i);
    }
    [[nodiscard]] double gapLength_Vs(std::size_t i) const
    {
        return std::hypot(gapQ_Vs(i), gapD_Vs(i) / m_.turns_ratio);
    }

    [[nodiscard]] double coreLoss_W(std::size_t i) const
    {
        double coreQ_A = at(main, i) + at(rotorQ, i) - gapQ_Vs(i) / m_.mainMagnetizing_H;
        double coreD_A = at(auxiliary, i) + at(rotorD, i) - gapD_Vs(i) / m_.auxiliaryMagnetizing_H;
        if (const double length_Vs = gapLength_Vs(i); m_.saturation && length_Vs > 0) {
            const double excess_A = m_.saturation->excess_A(length_Vs, m_.mainMagnetizing_H);
            coreQ_A -= excess_A * gapQ_Vs(i) / length_Vs;
            coreD_A -= excess_A * gapD_Vs(i) / length_Vs / square(m_.turns_ratio);
        }
        return m_.coreLoss_ohm * (square(coreQ_A) + square(m_.turns_ratio * coreD_A));
    }

    // The deep bar's inductance carries barQ over the resistance, the resistance the rest.
    [[nodiscard]] double barLoss_W(std::size_t i) const
    {
        const double q_ohm = m_.deepBar ? m_.deepBar->resistance_ohm : 0;
        const double d_ohm = q_ohm * square(m_.turns_ratio);
        return q_ohm == 0 ? 0
                          : q_ohm * square(at(rotorQ, i) - at(barQ, i) / q_ohm) +
                                d_ohm * square(at(rotorD, i) - at(barD, i) / d_ohm);
    }
    [[nodiscard]] double barStored_J(std::size_t i) const
    {
        if (!m_.deepBar) {
            return 0;
        }
        const double perSquareVolt = 0.5 * m_.deepBar->inductance_H;
        const double n = m_.turns_ratio;
        return perSquareVolt * (square(at(barQ, i) / m_.deepBar->resistance_ohm) +
                                square(at(barD, i) / (n * m_.deepBar->resistance_ohm)));
    }

    [[nodiscard]] double otherLoss_W(std::size_t i) const
    {
        const double branch_ohm =
            circuit_.branch->resistance_ohm + (circuit_.startSwitch_rad_s ? contact_ohm : 0);
        return circuit_.source.resistance_ohm * square(line_A(i)) +
               m_.mainResistance_ohm * square(at(main, i)) +
               (m_.auxiliaryResistance_ohm + branch_ohm) * square(at(auxiliary, i)) +
               m_.rotorMainResistance_ohm * square(at(rotorQ, i)) +
               m_.rotorAuxiliaryResistance_ohm * square(at(rotorD, i)) +
               m_.friction_Nms * square(at(speed, i)) + barLoss_W(i);
    }

    [[nodiscard]] double stored_J(std::size_t i) const
    {
        return 0.5 * (circuit_.source.inductance_H * square(line_A(i)) +
                      m_.mainLeakage_H * square(at(main, i)) +
                      m_.auxiliaryLeakage_H * square(at(auxiliary, i)) +
                      m_.rotorMainLeakage_H * square(at(rotorQ, i)) +
                      m_.rotorAuxiliaryLeakage_H * square(at(rotorD, i)) +
                      square(gapQ_Vs(i)) / m_.mainMagnetizing_H +
                      square(gapD_Vs(i)) / m_.auxiliaryMagnetizing_H +
                      circuit_.branch->capacitance_F * square(at(plate, i) - at(behind, i)) +
                      m_.inertia_kgm2 * square(at(speed, i))) +
               barStored_J(i) +
               (m_.saturation ? m_.saturation->excess_J(gapLength_Vs(i), m_.mainMagnetizing_H) : 0);
    }

    template <typename Power>
    [[nodiscard]] double over(Power power_W) const
    {
        std::vector<double> powers(w_.time_s.size());
        for (std::size_t i = 0; i < powers.size(); ++i) {
            powers[i] = power_W(i);
        }
        return integral(w_.time_s, powers);
    }

    const MotorCircuit& circuit_;
    const book::Machine& m_;
    Waveforms w_;
};

MotorCircuit lossyCircuit()
{
    MotorCircuit circuit;
    circuit.machine = book::quarterHorsepower();
    circuit.machine.coreLoss_ohm = 500;
    circuit.machine.friction_Nms = 3e-4;
    circuit.source = {.rms_V = 115,
                      .frequency_Hz = 60,
                      .phase_rad = 0.5,
                      .resistance_ohm = 0.4,
                      .inductance_H = 5e-4};
    circuit.branch = book::quarterHorsepowerStart().branch;
    return circuit;
}

void expectBalanced(const Balance& b)
{
    constexpr double tolerance_ratio = 0.005;
    EXPECT_TRUE(nearRel(b.lost_J + b.shaft_J + b.stored_J, b.supplied_J, tolerance_ratio));
    // Each term must be large enough for its absence to break the balance.
    EXPECT_GT(b.coreLost_J, 2 * tolerance_ratio * b.supplied_J);
    EXPECT_GT(b.shaft_J, 2 * tolerance_ratio * b.supplied_J);
    EXPECT_GT(b.stored_J, 2 * tolerance_ratio * b.supplied_J);
}

TEST(EnergyOverAStart, SuppliedIsLostPlusShaftPlusStoredWithAStartSwitch)
{
    MotorCircuit circuit = lossyCircuit();
    circuit.startSwitch_rad_s = book::quarterHorsepowerStart().startSwitch.speed_rad_s;
    circuit.loadCards = "bload load 0 v = 0.5*tanh(v(speed))\n";
    const EnergyMeter meter(circuit, 1.2);
    EXPECT_GT(meter.finalSpeed_rad_s(), *circuit.startSwitch_rad_s);
    EXPECT_TRUE(nearOfScale(meter.finalAuxiliary_A(), 0, 1, 1e-3));  // it has switched
    expectBalanced(meter.balance());
}

TEST(EnergyOverAStart, SuppliedIsLostPlusShaftPlusStoredWithACompressorAndACapacitorLeftIn)
{
    MotorCircuit circuit = lossyCircuit();
    circuit.loadModel = "compressor_load";
    circuit.loadCards =
        "xload speed angle load compressor_load suction_pa=2e5 discharge_pa=8e5 equalised_pa=4e5"
        " build_up_revs=5 swept_m3=8e-6 clearance_ratio=0.03 polytropic_exponent=1.1"
        " friction_nm=0.05 start_angle_deg=0\n";
    const EnergyMeter meter(circuit, 1.2);
    EXPECT_GT(meter.finalSpeed_rad_s(), 0.9 * circuit.machine.synchronousSpeed_rad_s(60));
    expectBalanced(meter.balance());
}

TEST(EnergyOverAStart, SuppliedIsLostPlusShaftPlusStoredWithDeepBarsAndASaturatingCore)
{
    MotorCircuit circuit = lossyCircuit();
    circuit.machine = book::quarterHorsepowerWithDeepBars();
    circuit.machine.coreLoss_ohm = 500;
    circuit.machine.friction_Nms = 3e-4;
    circuit.machine.saturation = book::soonSaturated;
    circuit.source.rms_V = 132;
    circuit.startSwitch_rad_s = book::quarterHorsepowerStart().startSwitch.speed_rad_s;
    circuit.loadCards = "bload load 0 v = 0.5*tanh(v(speed))\n";
    const EnergyMeter meter(circuit, 1.2);
    EXPECT_GT(meter.finalSpeed_rad_s(), *circuit.startSwitch_rad_s);
    const Balance b = meter.balance();
    expectBalanced(b);
    EXPECT_GT(meter.barLost_J(), 0.01 * b.supplied_J);
    // The same waveforms accounted for without the excess current: the terms are large enough to
    // be missed.
    circuit.machine.saturation.reset();
    const Balance without = meter.balance();
    EXPECT_FALSE(nearRel(without.lost_J + without.shaft_J + without.stored_J, b.supplied_J, 0.005));
}

}  // namespace
}  // namespace splitstart
