// What is said of an estimated motor: every number with its origin, and what else it may be.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "motor/estimator.h"

namespace splitstart::estimation
{

void Estimator::describe(const Eigen::VectorXd& x, const Eigen::MatrixXd& covariance,
                         Motor& motor) const
{
    const EquivalentCircuit& c = motor.circuit;
    // Accuracy of a product of powers of the unknowns, correlations included.
    const auto accuracy = [&covariance](std::initializer_list<std::pair<Unknown, double>> powers) {
        Eigen::VectorXd exponents = Eigen::VectorXd::Zero(unknownCount);
        for (const auto& [unknown, power] : powers) {
            exponents[static_cast<Eigen::Index>(unknown)] = power;
        }
        return std::expm1(ninetyFivePercent * std::sqrt(exponents.dot(covariance * exponents)));
    };
    const auto estimated = [&](const char* name, double number, const char* unit,
                               double accuracy_ratio, const std::string& restsOn) {
        motor.parameters.push_back(
            {name, {number, Origin::estimated, accuracy_ratio}, unit, restsOn});
    };
    const auto assumed = [&](const char* name, double number, const char* unit,
                             double accuracy_ratio, const std::string& restsOn) {
        motor.parameters.push_back(
            {name, {number, Origin::assumed, accuracy_ratio}, unit, restsOn});
    };
    motor.parameters.push_back({"run winding resistance at 25 degC",
                                {c.main_ohm, Origin::measured, accuracy({{mainResistance, 1}})},
                                "ohm",
                                "readings, meter leads taken off, corrected to 25 degC"});
    motor.parameters.push_back({"start winding resistance at 25 degC", input_.auxiliary_ohm, "ohm",
                                "readings, meter leads taken off, corrected to 25 degC"});
    // What an unknown rests on: its prior, and the evidence where that has narrowed it.
    const auto basis = [&](Unknown unknown) {
        const auto index = static_cast<Eigen::Index>(unknown);
        constexpr double narrowed = 0.9;
        return std::string(priors_[unknown].basis) +
               (std::sqrt(covariance(index, index)) < narrowed * priors_[unknown].spread
                    ? ", narrowed by what was measured"
                    : "");
    };
    motor.parameters.push_back(
        {"turns ratio, start to run winding",
         {c.turnsRatio, turnsRatioMeasured_ ? Origin::measured : Origin::estimated,
          accuracy({{turnsRatio, 1}})},
         "",
         basis(turnsRatio)});
    estimated("run winding leakage reactance", c.mainLeakage_ohm, "ohm", accuracy({{leakage, 1}}),
              basis(leakage));
    estimated("rotor leakage reactance, run axis", c.rotorMainLeakage_ohm, "ohm",
              accuracy({{leakage, 1}}), "taken equal to the run winding's");
    estimated("run axis magnetizing reactance", c.mainMagnetizing_ohm, "ohm",
              accuracy({{leakage, 1}, {magnetizing, 1}}), basis(magnetizing));
    estimated("rotor resistance at 25 degC, run axis", c.rotorMain_ohm, "ohm",
              accuracy({{rotorResistance, 1}}), basis(rotorResistance));
    estimated("start winding leakage reactance", c.auxiliaryLeakage_ohm, "ohm",
              accuracy({{turnsRatio, 2}, {leakage, 1}, {auxiliaryLeakage, 1}}),
              basis(auxiliaryLeakage));
    const char* referred = "run axis value times turns ratio squared (the cage is the same)";
    estimated("start axis magnetizing reactance", c.auxiliaryMagnetizing_ohm, "ohm",
              accuracy({{turnsRatio, 2}, {leakage, 1}, {magnetizing, 1}}), referred);
    estimated("rotor resistance at 25 degC, start axis", c.rotorAuxiliary_ohm, "ohm",
              accuracy({{turnsRatio, 2}, {rotorResistance, 1}}), referred);
    estimated("rotor leakage reactance, start axis", c.rotorAuxiliaryLeakage_ohm, "ohm",
              accuracy({{turnsRatio, 2}, {leakage, 1}}), referred);
    estimated("slip at rated load", value(x, ratedSlip), "", accuracy({{ratedSlip, 1}}),
              basis(ratedSlip));
    assumed("core loss", c.coreLoss_W, "W", accuracy({{coreLoss, 1}}), basis(coreLoss));
    assumed("friction and windage", c.friction_W, "W", 1.0,
            "1 % of the volt-amps at rated load, a factor of two either way");
    assumed("inertia of rotor and crank", c.inertia_kgm2, "kg m2", inertiaAccuracy_ratio,
            "such that a healthy start takes 0.2 to 0.5 s, a factor of two either way");
    motor.parameters.push_back(
        {"poles",
         {static_cast<double>(c.poles), input_.polesGiven ? Origin::given : Origin::assumed, 0},
         "",
         input_.polesGiven ? "case file" : "most compressors have two"});
    motor.parameters.push_back(
        {"load torque at rated load", motor.ratedTorque_Nm, "N m",
         input_.loadTorque_Nm           ? "case file"
         : input_.nameplate.output_W    ? "nameplate output over the speed at rated load"
         : input_.nameplate.ratedLoad_A ? "what the motor delivers at rated-load amps"
                                        : "what the motor delivers at the slip taken as typical"});
}

void Estimator::addStrangeUnknowns(const Eigen::VectorXd& x,
                                   std::vector<FitResidual>& residuals) const
{
    constexpr double strange = 3;  // standard deviations of the prior
    static constexpr std::array<std::pair<Unknown, const char*>, 5> named = {{
        {turnsRatio, "turns ratio (typical)"},
        {magnetizing, "magnetizing over leakage reactance (typical)"},
        {rotorResistance, "rotor over run winding resistance (typical)"},
        {auxiliaryLeakage, "start leakage over run leakage, turns referred (typical)"},
        {ratedSlip, "slip at rated load (typical)"},
    }};
    for (const auto& [unknown, name] : named) {
        const Prior& prior = priors_[unknown];
        if (std::abs(x[static_cast<Eigen::Index>(unknown)]) > strange * prior.spread) {
            residuals.push_back(
                {name, "", prior.median, value(x, unknown), -std::expm1(-strange * prior.spread)});
        }
    }
}

void Estimator::addPlateAlternatives(const Eigen::VectorXd& x, Motor& motor)
{
    // A plate is a rounded rating: the machine in hand may draw a tenth more or less.
    for (std::size_t i = 0; i < observations_.size(); ++i) {
        if (!observations_[i].stiff || observations_[i].running ||
            observations_[i].fit_ratio > fitTightness_ratio) {
            continue;  // only locked-rotor amps that nothing else confirms
        }
        const double plate = observations_[i].wanted;
        for (const double sign : {-1.0, 1.0}) {
            observations_[i].wanted = plate * (1 + sign * observations_[i].accuracy_ratio);
            Eigen::VectorXd solution = x;
            minimise(solution, 1);
            EquivalentCircuit circuit = circuitAt(solution);
            circuit.inertia_kgm2 = motor.circuit.inertia_kgm2;
            motor.alternatives.push_back(
                {fmt::format("{} a tenth {}", observations_[i].name, sign < 0 ? "lower" : "higher"),
                 circuit, ratedTorque_Nm(solution)});
        }
        observations_[i].wanted = plate;
    }
}

void Estimator::addAlternatives(const Eigen::VectorXd& x, const Eigen::MatrixXd& covariance,
                                Motor& motor)
{
    const auto addPinned = [&](Unknown unknown, const char* name, double sign) {
        const auto index = static_cast<Eigen::Index>(unknown);
        const double at = x[index] + sign * ninetyPercent * std::sqrt(covariance(index, index));
        const Eigen::VectorXd solution = solvePinned(x, unknown, at);
        EquivalentCircuit circuit = circuitAt(solution);
        circuit.inertia_kgm2 = motor.circuit.inertia_kgm2;
        motor.alternatives.push_back({fmt::format("{} {} ({:.3g})", name, sign < 0 ? "low" : "high",
                                                  value(solution, unknown)),
                                      circuit, ratedTorque_Nm(solution)});
    };
    for (const double sign : {-1.0, 1.0}) {
        addPinned(turnsRatio, "turns ratio", sign);
        addPinned(rotorResistance, "rotor resistance over run winding resistance", sign);
    }
    addPlateAlternatives(x, motor);
    // More to accelerate and more to carry, and less of both.
    constexpr double mostLoadChange_ratio = 0.2;
    const double load_ratio = std::min(motor.ratedTorque_Nm.accuracy_ratio, mostLoadChange_ratio);
    const auto addShaft = [&](const char* name, double inertia_ratio, double torque_ratio) {
        EquivalentCircuit circuit = motor.circuit;
        circuit.inertia_kgm2 *= inertia_ratio;
        const double torque_Nm = motor.ratedTorque_Nm.value * torque_ratio;
        motor.alternatives.push_back(
            {fmt::format("{} (load {:.3g} N m)", name, torque_Nm), circuit, torque_Nm});
    };
    addShaft("inertia twice as large", 1 + inertiaAccuracy_ratio, 1 + load_ratio);
    addShaft("inertia half as large", 1 / (1 + inertiaAccuracy_ratio), 1 / (1 + load_ratio));
}

}  // namespace splitstart::estimation
