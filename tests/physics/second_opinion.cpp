#include "physics/second_opinion.h"

#include <cvode/cvode.h>
#include <fmt/format.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <stdexcept>

namespace splitstart::book
{

namespace
{

constexpr double pi = std::numbers::pi;

// Positions in the state vector.
enum State : std::size_t {
    mainFlux,            // lambda_qs [V s]
    auxiliaryFlux,       // lambda_ds
    rotorMainFlux,       // lambda'_qr
    rotorAuxiliaryFlux,  // lambda'_dr
    mainGapFlux,         // lambda_mq; a state only with core loss
    auxiliaryGapFlux,    // lambda_md; likewise
    innerMainFlux,       // of the inner cage; a state only with a deep bar
    innerAuxiliaryFlux,
    capacitorVolts,
    speed,
    angle,
    suppliedEnergy,
    lostEnergy,
    shaftEnergy,
    stateCount
};
using Vector = std::array<double, stateCount>;

double square(double x)
{
    return x * x;
}

// One axis of the machine: a stator winding and the rotor circuit referred to it, or the outer cage
// if there are two. The inner cage has a leakage of its own behind the one that both share.
struct Axis {
    double statorResistance_ohm, statorLeakage_H, magnetizing_H, rotorResistance_ohm,
        rotorLeakage_H, coreLoss_ohm;
    bool doubleCage = false;
    double innerResistance_ohm = 0, innerLeakage_H = 0;
};

// R + R_b || j w L_b = R_o || (R_i + j w L_i) at every w for R_o = R + R_b, R_i = R R_o / R_b and
// L_i = L_b (R_o / R_b)^2.
Axis withCages(Axis axis, double bar_ohm, double bar_H)
{
    const double outer_ohm = axis.rotorResistance_ohm + bar_ohm;
    axis.doubleCage = true;
    axis.innerResistance_ohm = axis.rotorResistance_ohm * outer_ohm / bar_ohm;
    axis.innerLeakage_H = bar_H * square(outer_ohm / bar_ohm);
    axis.rotorResistance_ohm = outer_ohm;
    return axis;
}

Axis mainAxis(const Machine& m)
{
    const Axis axis{m.mainResistance_ohm,      m.mainLeakage_H,      m.mainMagnetizing_H,
                    m.rotorMainResistance_ohm, m.rotorMainLeakage_H, m.coreLoss_ohm};
    return m.deepBar ? withCages(axis, m.deepBar->resistance_ohm, m.deepBar->inductance_H) : axis;
}

Axis auxiliaryAxis(const Machine& m)
{
    const double squared = square(m.turns_ratio);
    const Axis axis{m.auxiliaryResistance_ohm, m.auxiliaryLeakage_H,
                    m.auxiliaryMagnetizing_H,  m.rotorAuxiliaryResistance_ohm,
                    m.rotorAuxiliaryLeakage_H, squared * m.coreLoss_ohm};
    return m.deepBar ? withCages(axis, squared * m.deepBar->resistance_ohm,
                                 squared * m.deepBar->inductance_H)
                     : axis;
}

// Currents and rates of one axis. The stator's voltage is not known yet when the source has an
// inductance, so the rate of its current is kept as rate = fixed + perVolt * stator volts.
struct AxisFlow {
    double stator_A = 0, rotor_A = 0, gap_Vs = 0, gapRate_V = 0, core_A = 0;
    double inner_A = 0;  // part of rotor_A
    double fixed_A_per_s = 0, perVolt = 0;
    double stored_J = 0;
};

struct AxisState {
    double stator_Vs, rotor_Vs, gap_Vs, inner_Vs;
    double saturation_A;  // excess magnetizing current; needs core loss
};

AxisFlow flowOf(const Axis& axis, const AxisState& state, double speedVoltage_V, bool statorOpen)
{
    const auto& [stator_Vs, rotor_Vs, gapState_Vs, inner_Vs, saturation_A] = state;
    const bool coreLoss = std::isfinite(axis.coreLoss_ohm);
    // [Krause]: lambda_m = L_a (lambda_s / L_ls + lambda'_r / L'_lr), L_a the three in parallel.
    const double parallel_H =
        1 / (1 / axis.magnetizing_H + 1 / axis.statorLeakage_H + 1 / axis.rotorLeakage_H);

    AxisFlow flow;
    if (coreLoss) {
        flow.gap_Vs = gapState_Vs;
    } else if (statorOpen) {
        flow.gap_Vs = rotor_Vs * axis.magnetizing_H / (axis.magnetizing_H + axis.rotorLeakage_H);
    } else {
        flow.gap_Vs =
            parallel_H * (stator_Vs / axis.statorLeakage_H + rotor_Vs / axis.rotorLeakage_H);
    }
    flow.stator_A = statorOpen ? 0 : (stator_Vs - flow.gap_Vs) / axis.statorLeakage_H;
    flow.rotor_A = (rotor_Vs - flow.gap_Vs) / axis.rotorLeakage_H;
    flow.inner_A = axis.doubleCage ? (inner_Vs - rotor_Vs) / axis.innerLeakage_H : 0;
    const double magnetizing_A = flow.gap_Vs / axis.magnetizing_H;
    if (coreLoss) {
        flow.core_A = flow.stator_A + flow.rotor_A - magnetizing_A - saturation_A;
        flow.gapRate_V = axis.coreLoss_ohm * flow.core_A;
    }
    if (!statorOpen) {
        const double resistive_V = axis.statorResistance_ohm * flow.stator_A;
        if (coreLoss) {
            flow.perVolt = 1 / axis.statorLeakage_H;
            flow.fixed_A_per_s = -(resistive_V + flow.gapRate_V) / axis.statorLeakage_H;
        } else {
            const double rotorRate_V =
                speedVoltage_V - axis.rotorResistance_ohm * (flow.rotor_A - flow.inner_A);
            flow.perVolt = (1 - parallel_H / axis.statorLeakage_H) / axis.statorLeakage_H;
            flow.fixed_A_per_s =
                -flow.perVolt * resistive_V -
                parallel_H / (axis.statorLeakage_H * axis.rotorLeakage_H) * rotorRate_V;
        }
    }
    flow.stored_J =
        0.5 *
        (axis.statorLeakage_H * square(flow.stator_A) + axis.rotorLeakage_H * square(flow.rotor_A) +
         axis.innerLeakage_H * square(flow.inner_A) + axis.magnetizing_H * square(magnetizing_A));
    return flow;
}

double lossOf(const Axis& axis, const AxisFlow& flow)
{
    double loss_W = axis.statorResistance_ohm * square(flow.stator_A) +
                    axis.rotorResistance_ohm * square(flow.rotor_A - flow.inner_A) +
                    axis.innerResistance_ohm * square(flow.inner_A);
    if (std::isfinite(axis.coreLoss_ohm)) {
        loss_W += axis.coreLoss_ohm * square(flow.core_A);
    }
    return loss_W;
}

class MotorOde
{
public:
    MotorOde(const Machine& machine, const StartConditions& conditions)
        : machine_(machine),
          conditions_(conditions),
          mainAxis_(mainAxis(machine)),
          auxiliaryAxis_(auxiliaryAxis(machine))
    {
        if (machine.saturation && !std::isfinite(machine.coreLoss_ohm)) {
            throw std::invalid_argument("saturation is integrated with core loss only");
        }
        const double asRound_ohm = square(machine.turns_ratio) * machine.rotorMainResistance_ohm;
        if (machine.deepBar &&
            std::abs(machine.rotorAuxiliaryResistance_ohm / asRound_ohm - 1) > 1e-9) {
            throw std::invalid_argument("a deep bar is integrated in a round rotor only");
        }
    }

    bool auxiliaryOpen = false;
    bool waitingForSpeed = false;  // which event the root function shows

    struct Flows {
        AxisFlow main, auxiliary;
        double rotorMainSpeedVoltage_V, rotorAuxiliarySpeedVoltage_V, torque_Nm;
    };

    // In main turns; with core loss only.
    [[nodiscard]] double gapFluxLength_Vs(const double* y) const
    {
        return std::hypot(y[mainGapFlux], y[auxiliaryGapFlux] / machine_.turns_ratio);
    }

    [[nodiscard]] Flows flows(const double* y) const
    {
        const double electrical_rad_s = machine_.polePairs * y[speed];
        const double n = machine_.turns_ratio;
        Flows f{};
        // [Krause], stationary frame, windings of unequal turns: each rotor circuit is referred to
        // its own stator winding, so that the flux of the other axis carries the ratio of turns.
        f.rotorMainSpeedVoltage_V = electrical_rad_s / n * y[rotorAuxiliaryFlux];
        f.rotorAuxiliarySpeedVoltage_V = -electrical_rad_s * n * y[rotorMainFlux];
        AxisState main{y[mainFlux], y[rotorMainFlux], y[mainGapFlux], y[innerMainFlux], 0};
        AxisState auxiliary{y[auxiliaryFlux], y[rotorAuxiliaryFlux], y[auxiliaryGapFlux],
                            y[innerAuxiliaryFlux], 0};
        if (machine_.saturation) {
            // Along the flux; an ampere of the auxiliary winding magnetizes as n of the main one.
            const double length_Vs = gapFluxLength_Vs(y);
            const double excess_A =
                machine_.saturation->excess_A(length_Vs, machine_.mainMagnetizing_H);
            if (length_Vs > 0) {
                main.saturation_A = excess_A * y[mainGapFlux] / length_Vs;
                auxiliary.saturation_A = excess_A * (y[auxiliaryGapFlux] / n) / length_Vs / n;
            }
        }
        f.main = flowOf(mainAxis_, main, f.rotorMainSpeedVoltage_V, false);
        f.auxiliary =
            flowOf(auxiliaryAxis_, auxiliary, f.rotorAuxiliarySpeedVoltage_V, auxiliaryOpen);
        // Each cage: its own flux linkage times its own current.
        const double outerMain_A = f.main.rotor_A - f.main.inner_A;
        const double outerAuxiliary_A = f.auxiliary.rotor_A - f.auxiliary.inner_A;
        f.torque_Nm =
            machine_.polePairs *
            (n * (y[rotorMainFlux] * outerAuxiliary_A + y[innerMainFlux] * f.auxiliary.inner_A) -
             (y[rotorAuxiliaryFlux] * outerMain_A + y[innerAuxiliaryFlux] * f.main.inner_A) / n);
        return f;
    }

    void rates(double time_s, const double* y, double* rate) const
    {
        const Source& source = conditions_.source;
        const CapacitorBranch& branch = conditions_.branch;
        const Flows f = flows(y);
        const double main_A = f.main.stator_A;
        const double auxiliary_A = f.auxiliary.stator_A;
        const double line_A = main_A + auxiliary_A;
        const double emf_V = source.volts(time_s);
        // Volts across the main winding, solved from v = e - R i - L di/dt with both di/dt linear
        // in v; the auxiliary winding has v less the capacitor branch.
        const double branch_V =
            auxiliaryOpen ? 0 : y[capacitorVolts] + branch.resistance_ohm * auxiliary_A;
        const double fixed_A_per_s =
            f.main.fixed_A_per_s + f.auxiliary.fixed_A_per_s - f.auxiliary.perVolt * branch_V;
        const double perVolt = f.main.perVolt + f.auxiliary.perVolt;
        const double terminal_V =
            (emf_V - source.resistance_ohm * line_A - source.inductance_H * fixed_A_per_s) /
            (1 + source.inductance_H * perVolt);
        const double load_Nm = conditions_.load ? conditions_.load(y[speed], y[angle]) : 0;
        const double friction_Nm = machine_.friction_Nms * y[speed];

        rate[mainFlux] = terminal_V - mainAxis_.statorResistance_ohm * main_A;
        rate[auxiliaryFlux] = auxiliaryOpen ? 0
                                            : terminal_V - branch_V -
                                                  auxiliaryAxis_.statorResistance_ohm * auxiliary_A;
        rate[rotorMainFlux] = f.rotorMainSpeedVoltage_V -
                              mainAxis_.rotorResistance_ohm * (f.main.rotor_A - f.main.inner_A);
        rate[rotorAuxiliaryFlux] =
            f.rotorAuxiliarySpeedVoltage_V -
            auxiliaryAxis_.rotorResistance_ohm * (f.auxiliary.rotor_A - f.auxiliary.inner_A);
        const double electrical_rad_s = machine_.polePairs * y[speed];
        rate[innerMainFlux] = electrical_rad_s / machine_.turns_ratio * y[innerAuxiliaryFlux] -
                              mainAxis_.innerResistance_ohm * f.main.inner_A;
        rate[innerAuxiliaryFlux] = -electrical_rad_s * machine_.turns_ratio * y[innerMainFlux] -
                                   auxiliaryAxis_.innerResistance_ohm * f.auxiliary.inner_A;
        rate[mainGapFlux] = f.main.gapRate_V;
        rate[auxiliaryGapFlux] = f.auxiliary.gapRate_V;
        rate[capacitorVolts] = auxiliaryOpen ? 0 : auxiliary_A / branch.capacitance_F;
        rate[speed] = (f.torque_Nm - friction_Nm - load_Nm) / machine_.inertia_kgm2;
        rate[angle] = y[speed];
        rate[suppliedEnergy] = emf_V * line_A;
        rate[lostEnergy] = source.resistance_ohm * square(line_A) +
                           branch.resistance_ohm * square(auxiliary_A) + lossOf(mainAxis_, f.main) +
                           lossOf(auxiliaryAxis_, f.auxiliary) + friction_Nm * y[speed];
        rate[shaftEnergy] = load_Nm * y[speed];
    }

    [[nodiscard]] double event(const double* y) const
    {
        return waitingForSpeed ? y[speed] - conditions_.startSwitch.speed_rad_s
                               : flows(y).auxiliary.stator_A;
    }

    [[nodiscard]] double stored_J(const double* y) const
    {
        const Flows f = flows(y);
        const double line_A = f.main.stator_A + f.auxiliary.stator_A;
        const double saturation_J =
            machine_.saturation
                ? machine_.saturation->excess_J(gapFluxLength_Vs(y), machine_.mainMagnetizing_H)
                : 0;
        return f.main.stored_J + f.auxiliary.stored_J + saturation_J +
               0.5 * (conditions_.branch.capacitance_F * square(y[capacitorVolts]) +
                      machine_.inertia_kgm2 * square(y[speed]) +
                      conditions_.source.inductance_H * square(line_A));
    }

    [[nodiscard]] Sample sample(double time_s, const double* y) const
    {
        const Flows f = flows(y);
        return {.time_s = time_s,
                .main_A = f.main.stator_A,
                .auxiliary_A = f.auxiliary.stator_A,
                .capacitor_V = y[capacitorVolts],
                .branch_V =
                    y[capacitorVolts] + conditions_.branch.resistance_ohm * f.auxiliary.stator_A,
                .torque_Nm = f.torque_Nm,
                .speed_rad_s = y[speed]};
    }

private:
    const Machine& machine_;
    const StartConditions& conditions_;
    Axis mainAxis_, auxiliaryAxis_;
};

int ratesForCvode(realtype time_s, N_Vector y, N_Vector rate, void* ode)
{
    static_cast<const MotorOde*>(ode)->rates(time_s, N_VGetArrayPointer(y),
                                             N_VGetArrayPointer(rate));
    return 0;
}

int eventForCvode(realtype, N_Vector y, realtype* value, void* ode)
{
    *value = static_cast<const MotorOde*>(ode)->event(N_VGetArrayPointer(y));
    return 0;
}

void demand(int status, const char* call)
{
    if (status < 0) {
        throw std::runtime_error(fmt::format("{} failed with status {}", call, status));
    }
}

// CVODE (backward differentiation, dense Newton) with the objects that it needs.
class Cvode
{
public:
    Cvode(MotorOde& ode, const Vector& initial, double tolerance_ratio)
    {
        demand(SUNContext_Create(nullptr, &context_), "SUNContext_Create");
        y_ = N_VNew_Serial(stateCount, context_);
        std::copy(initial.begin(), initial.end(), values());
        matrix_ = SUNDenseMatrix(stateCount, stateCount, context_);
        solver_ = SUNLinSol_Dense(y_, matrix_, context_);
        memory_ = CVodeCreate(CV_BDF, context_);
        demand(CVodeInit(memory_, ratesForCvode, 0, y_), "CVodeInit");
        demand(CVodeSStolerances(memory_, tolerance_ratio, tolerance_ratio), "CVodeSStolerances");
        demand(CVodeSetUserData(memory_, &ode), "CVodeSetUserData");
        demand(CVodeSetLinearSolver(memory_, solver_, matrix_), "CVodeSetLinearSolver");
        demand(CVodeSetMaxNumSteps(memory_, 1000000), "CVodeSetMaxNumSteps");
        demand(CVodeRootInit(memory_, 1, eventForCvode), "CVodeRootInit");
    }
    ~Cvode()
    {
        CVodeFree(&memory_);
        SUNLinSolFree(solver_);
        SUNMatDestroy(matrix_);
        N_VDestroy(y_);
        SUNContext_Free(&context_);
    }
    Cvode(const Cvode&) = delete;
    Cvode& operator=(const Cvode&) = delete;

    // The right-hand side changes at an event: begin anew from there.
    void restart(double time_s) { demand(CVodeReInit(memory_, time_s, y_), "CVodeReInit"); }

    struct Step {
        double time_s;
        bool event;
    };
    Step advanceTo(double time_s)
    {
        realtype reached_s = 0;
        const int status = CVode(memory_, time_s, y_, &reached_s, CV_NORMAL);
        demand(status, "CVode");
        return {reached_s, status == CV_ROOT_RETURN};
    }
    [[nodiscard]] double* values() const { return N_VGetArrayPointer(y_); }

private:
    SUNContext context_ = nullptr;
    N_Vector y_ = nullptr;
    SUNMatrix matrix_ = nullptr;
    SUNLinearSolver solver_ = nullptr;
    void* memory_ = nullptr;
};

void openAuxiliary(MotorOde& ode, double time_s, Start& start)
{
    ode.auxiliaryOpen = true;
    ode.waitingForSpeed = true;  // no event is left that matters
    start.opened_s = time_s;
}

}  // namespace

double Saturation::excess_A(double length_Vs, double magnetizing_H) const
{
    const double beyond = 1 - std::pow(1 + std::pow(length_Vs / knee_Vs, 8), -1.0 / 8);
    return slope_ratio * length_Vs / magnetizing_H * beyond;
}

double Saturation::excess_J(double length_Vs, double magnetizing_H) const
{
    // Simpson's rule; the integrand is smooth.
    constexpr int intervals = 400;
    double sum = 0;
    for (int i = 0; i <= intervals; ++i) {
        const double weight = i == 0 || i == intervals ? 1 : i % 2 == 1 ? 4 : 2;
        sum += weight * excess_A(length_Vs * i / intervals, magnetizing_H);
    }
    return sum * length_Vs / intervals / 3;
}

double Source::volts(double time_s) const
{
    return std::numbers::sqrt2 * rms_V * std::sin(2 * pi * frequency_Hz * time_s + phase_rad);
}

double Start::peak(double Sample::*quantity) const
{
    double peak = 0;
    for (const Sample& sample : samples) {
        peak = std::max(peak, std::abs(sample.*quantity));
    }
    return peak;
}

Start integrateStart(const Machine& machine, const StartConditions& conditions)
{
    MotorOde ode(machine, conditions);
    ode.waitingForSpeed = true;
    Vector initial{};
    initial[speed] = conditions.initialSpeed_rad_s;
    Cvode cvode(ode, initial, conditions.tolerance_ratio);
    const bool switched = conditions.startSwitch.opening != Opening::never;

    Start start;
    const auto steps = std::lround(conditions.end_s / conditions.sampling_s);
    start.samples.reserve(static_cast<std::size_t>(steps) + 1);
    start.samples.push_back(ode.sample(0, cvode.values()));
    for (long step = 1; step <= steps; ++step) {
        const double target_s =
            conditions.end_s * static_cast<double>(step) / static_cast<double>(steps);
        for (Cvode::Step at = cvode.advanceTo(target_s); at.event; at = cvode.advanceTo(target_s)) {
            const bool waitsForZero = start.speedReached_s && !start.opened_s;
            if (!start.speedReached_s) {
                start.speedReached_s = at.time_s;
                if (!switched) {
                    continue;
                }
                ode.waitingForSpeed = false;
                if (conditions.startSwitch.opening == Opening::atOnce) {
                    openAuxiliary(ode, at.time_s, start);
                }
                cvode.restart(at.time_s);
            } else if (switched && waitsForZero) {
                openAuxiliary(ode, at.time_s, start);
                cvode.restart(at.time_s);
            }
        }
        start.samples.push_back(ode.sample(target_s, cvode.values()));
    }
    const double* y = cvode.values();
    start.energies = {.supplied_J = y[suppliedEnergy],
                      .lost_J = y[lostEnergy],
                      .shaft_J = y[shaftEnergy],
                      .stored_J = ode.stored_J(y)};
    return start;
}

}  // namespace splitstart::book
