#include "physics/pump_case.h"

#include <fmt/format.h>

#include <numbers>

#include "physics/quarter_horsepower.h"

namespace splitstart::book
{

std::string pumpCaseText(double microfarads, double dissipation_percent)
{
    const Machine motor = quarterHorsepower();
    const Source source = quarterHorsepowerStart().source;
    const double radian = 2 * std::numbers::pi * source.frequency_Hz;
    constexpr double tolerance_ratio = 0.027;
    return fmt::format(
        R"(<case name="milk pump" invented="yes">
  <supply volts="{0}" hertz="{1}"/>
  <compressor>
    <nameplate volts="{0}" hertz="{1}"/>
    <load kind="none"/>
    <equivalent-circuit hertz="{1}" main-ohms="{2}" main-leakage-reactance-ohms="{3:.9g}"
      main-magnetizing-reactance-ohms="{4:.9g}" rotor-main-ohms="{5}" rotor-main-leakage-reactance-ohms="{6:.9g}"
      auxiliary-ohms="{7}" auxiliary-leakage-reactance-ohms="{8:.9g}" auxiliary-magnetizing-reactance-ohms="{9:.9g}"
      rotor-auxiliary-ohms="{10}" rotor-auxiliary-leakage-reactance-ohms="{11:.9g}" turns-ratio="{12}" poles="4"
      inertia-kg-m2="{13}" core-loss-watts="0" friction-watts="0"/>
  </compressor>
  <circuit type="CSIR" start-device="shaft" start-capacitor="start"/>
  <parts>
    <centrifugal-switch id="shaft" opens-rpm-min="1349.9" opens-rpm-max="1350.1" closes-rpm-min="800"
      closes-rpm-max="900"/>
    <start-capacitor id="start" microfarads-min="{14}" microfarads-max="{15}" volts="165"
      dissipation-percent="{16}"/>
  </parts>
</case>
)",
        source.rms_V, source.frequency_Hz, motor.mainResistance_ohm, radian * motor.mainLeakage_H,
        radian * motor.mainMagnetizing_H, motor.rotorMainResistance_ohm,
        radian * motor.rotorMainLeakage_H, motor.auxiliaryResistance_ohm,
        radian * motor.auxiliaryLeakage_H, radian * motor.auxiliaryMagnetizing_H,
        motor.rotorAuxiliaryResistance_ohm, radian * motor.rotorAuxiliaryLeakage_H,
        motor.turns_ratio, motor.inertia_kgm2, microfarads * (1 - tolerance_ratio),
        microfarads * (1 + tolerance_ratio), dissipation_percent);
}

}  // namespace splitstart::book
