// What is said of an estimated motor: every number with its origin and how sure it is.
#include <cmath>

#include "motor/estimator.h"

namespace splitstart::estimation
{

Motor Estimator::describe(const Eigen::VectorXd& x, const PossibleMotors& possible) const
{
    // How far a product of powers of the unknowns is from that of the best estimate, over the
    // motors that are possible.
    using Powers = std::initializer_list<std::pair<Unknown, double>>;
    const auto spreadOf = [&](Powers powers) {
        Eigen::VectorXd slope = Eigen::VectorXd::Zero(unknownCount);
        for (const auto& [unknown, power] : powers) {
            slope[static_cast<Eigen::Index>(unknown)] = power;
        }
        return possible.deviation(slope, [&](const MotorSample& motor) {
            return slope.dot(
                Eigen::Map<const Eigen::VectorXd>(motor.unknowns.data(), unknownCount) - x);
        });
    };
    Motor motor;
    motor.circuit = circuitAt(x);
    const EquivalentCircuit& c = motor.circuit;
    // What an unknown rests on: its prior, and the evidence where that has narrowed it.
    const auto narrowed = [&](Unknown unknown) {
        constexpr double share = 0.8;
        return spreadOf({{unknown, 1}}) < share * priors_[unknown].spread;
    };
    const auto basis = [&](Unknown unknown) {
        return std::string(priors_[unknown].basis) +
               (narrowed(unknown) ? ", narrowed by what was measured" : "");
    };
    const auto add = [&](const char* name, double number, const char* unit, Origin origin,
                         Powers powers, const std::string& restsOn) {
        motor.parameters.push_back(
            {name, {number, origin, accuracyOf(spreadOf(powers))}, unit, restsOn});
    };
    const auto estimated = Origin::estimated;
    const auto assumedUnless = [&](Unknown unknown) {
        return narrowed(unknown) ? Origin::estimated : Origin::assumed;
    };
    const char* referred = "run axis value times turns ratio squared (the cage is the same)";
    const bool bench = std::any_of(
        input_.measurements.begin(), input_.measurements.end(),
        [](const Measurement& each) { return each.quantity == MeasuredQuantity::turnsRatio; });
    add("run winding resistance at 25 degC", c.main_ohm, "ohm", Origin::measured,
        {{mainResistance, 1}}, priors_[mainResistance].basis);
    add("start winding resistance at 25 degC", c.auxiliary_ohm, "ohm", Origin::measured,
        {{auxiliaryResistance, 1}}, priors_[auxiliaryResistance].basis);
    add("turns ratio, start to run winding", c.turnsRatio, "",
        bench || input_.twoFeedTest ? Origin::measured : estimated, {{turnsRatio, 1}},
        bench || input_.twoFeedTest ? "measured on the bench" : basis(turnsRatio));
    add("run winding leakage reactance", c.mainLeakage_ohm, "ohm", estimated,
        {{leakage, 1}, {mainResistance, 1}}, basis(leakage));
    add("rotor leakage reactance, run axis", c.rotorMainLeakage_ohm, "ohm", estimated,
        {{leakage, 1}, {mainResistance, 1}, {rotorLeakage, 1}}, basis(rotorLeakage));
    add("run axis magnetising reactance", c.mainMagnetizing_ohm, "ohm", estimated,
        {{leakage, 1}, {mainResistance, 1}, {magnetizing, 1}}, basis(magnetizing));
    add("rotor resistance at 25 degC, run axis", c.rotorMain_ohm, "ohm", estimated,
        {{rotorResistance, 1}, {mainResistance, 1}}, basis(rotorResistance));
    add("rise of the rotor's resistance at line frequency", value(x, rotorRise), "",
        assumedUnless(rotorRise), {{rotorRise, 1}}, basis(rotorRise));
    add("start winding leakage reactance", c.auxiliaryLeakage_ohm, "ohm", estimated,
        {{turnsRatio, 2}, {leakage, 1}, {mainResistance, 1}, {auxiliaryLeakage, 1}},
        basis(auxiliaryLeakage));
    add("start axis magnetising reactance", c.auxiliaryMagnetizing_ohm, "ohm", estimated,
        {{turnsRatio, 2}, {leakage, 1}, {mainResistance, 1}, {magnetizing, 1}}, referred);
    add("rotor resistance at 25 degC, start axis", c.rotorAuxiliary_ohm, "ohm", estimated,
        {{turnsRatio, 2}, {rotorResistance, 1}, {mainResistance, 1}}, referred);
    add("rotor leakage reactance, start axis", c.rotorAuxiliaryLeakage_ohm, "ohm", estimated,
        {{turnsRatio, 2}, {leakage, 1}, {mainResistance, 1}, {rotorLeakage, 1}}, referred);
    add("slip at rated load", value(x, ratedSlip), "", estimated, {{ratedSlip, 1}},
        basis(ratedSlip));
    add("core loss", c.coreLoss_W, "W", assumedUnless(coreLoss), {{coreLoss, 1}}, basis(coreLoss));
    add("friction and windage", c.friction_W, "W", assumedUnless(friction), {{friction, 1}},
        basis(friction));
    add("inertia of rotor and crank", c.inertia_kgm2, "kg m2", assumedUnless(inertia),
        {{inertia, 1}}, basis(inertia));
    motor.parameters.push_back(
        {"poles",
         {static_cast<double>(c.poles), input_.polesGiven ? Origin::given : Origin::assumed, 0},
         "",
         input_.polesGiven ? "case file" : "most compressors have two"});

    Evidence rated(*this);
    const std::size_t ratedPoint = rated.ratedPoint();
    motor.ratedTorque_Nm.value = ratedTorque_Nm(x, answers(rated, {&x, 1}).front()[ratedPoint]);
    if (motor.ratedTorque_Nm.value > 0) {
        motor.ratedTorque_Nm.accuracy_ratio =
            accuracyOf(possible.deviation(ratedTorqueSlope(x), [&](const MotorSample& each) {
                return std::log(each.ratedTorque_Nm / motor.ratedTorque_Nm.value);
            }));
    }
    motor.ratedTorque_Nm.origin = input_.loadTorque_Nm        ? Origin::given
                                  : input_.nameplate.output_W ? Origin::nameplate
                                                              : Origin::estimated;
    // A free shaft has no load, and no logarithm of it.
    motor.parameters.push_back(
        {"load torque at rated load", motor.ratedTorque_Nm, "N m",
         input_.loadTorque_Nm           ? "case file"
         : input_.nameplate.output_W    ? "nameplate output over the speed at rated load"
         : input_.nameplate.ratedLoad_A ? "what the motor delivers at rated-load amps"
                                        : "what the motor delivers at the slip taken as typical"});
    const SourceImpedance source = sourceAt(x);
    add("source resistance of the supply", source.resistance_ohm, "ohm",
        input_.sourceGiven && !narrowed(sourceImpedance) ? Origin::given
                                                         : assumedUnless(sourceImpedance),
        {{sourceImpedance, 1}}, basis(sourceImpedance));
    return motor;
}

}  // namespace splitstart::estimation
