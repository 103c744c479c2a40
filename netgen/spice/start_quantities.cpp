// The table of a start's quantities: names, units and meanings.
#include <array>

#include "spice/measurement.h"

namespace splitstart
{

std::span<const StartQuantity> startQuantities()
{
    using M = StartMeasurement;
    static constexpr std::array<StartQuantity, 40> quantities = {{
        {"end_s", "s", "length of the run", &M::end_s},
        {"speed_at_end_ratio", "", "speed at the end, share of synchronous speed",
         &M::speedAtEnd_ratio},
        {"time_to_speed_s", "s", "time to 90 % of synchronous speed", &M::timeToSpeed_s},
        {"terminal_stalled_v", "V", "volts C-R while it tries to start, second cycle",
         &M::terminalStalled_V},
        {"line_stalled_a", "A", "line amps while it tries to start, second cycle",
         &M::lineStalled_A},
        {"line_peak_a", "A", "highest instantaneous line current", &M::linePeak_A},
        {"main_peak_a", "A", "highest instantaneous run winding current", &M::mainPeak_A},
        {"auxiliary_peak_a", "A", "highest instantaneous start winding current",
         &M::auxiliaryPeak_A},
        {"start_contact_made_s", "s", "start contact first made", &M::startContactMade_s},
        {"start_contact_opened_s", "s", "start contact first opened", &M::startContactOpened_s},
        {"speed_at_opening_ratio", "", "speed at that time, share of synchronous speed",
         &M::speedAtOpening_ratio},
        {"start_contact_openings", "", "how often the start contact opened",
         &M::startContactOpenings},
        {"start_contact_at_end", "", "start contact at the end: 1 made, 0 open",
         &M::startContactAtEnd},
        {"start_circuit_in_s", "s", "time the start circuit was in", &M::startCircuitIn_s},
        {"contact_current_a", "A", "highest cycle rms through the start contact",
         &M::contactCurrentMade_A},
        {"start_capacitor_peak_v", "V", "highest instantaneous start capacitor volts",
         &M::startCapacitorPeak_V},
        {"start_capacitor_worst_v", "V",
         "highest cycle rms of start capacitor volts while the contact is made",
         &M::startCapacitorWorst_V},
        {"start_capacitor_left_v", "V", "volts left on the start capacitor by the opening",
         &M::startCapacitorLeft_V},
        {"run_capacitor_running_v", "V", "run capacitor volts; last six cycles of the run",
         &M::runCapacitorRunning_V},
        {"start_winding_running_v", "V", "volts S-C; last six cycles of the run",
         &M::startWindingRunning_V},
        {"start_winding_after_opening_v", "V",
         "lowest cycle rms of S-C volts in ten cycles after the opening",
         &M::startWindingAfterOpening_V},
        {"main_after_opening_a", "A",
         "highest cycle rms of run winding amps in ten cycles after the opening",
         &M::mainAfterOpening_A},
        {"coil_running_v", "V", "relay coil volts; last six cycles of the run", &M::coilRunning_V},
        {"coil_after_opening_v", "V",
         "lowest cycle rms of relay coil volts in ten cycles after the opening",
         &M::coilAfterOpening_V},
        {"coil_after_opening_a", "A",
         "highest cycle rms of relay coil amps in ten cycles after the opening",
         &M::coilAfterOpening_A},
        {"start_contact_reclosed_v", "V", "highest volts onto which the contact closed again",
         &M::startContactReclosed_V},
        {"start_contact_open_v", "V", "highest cycle rms of volts across the open contact",
         &M::startContactOpen_V},
        {"ptc_at_start_degc", "degC", "temperature of the PTC at switch-on", &M::ptcAtStart_degC},
        {"ptc_hottest_degc", "degC", "highest temperature of the PTC", &M::ptcHottest_degC},
        {"ptc_worst_v", "V", "highest cycle rms of volts across the PTC", &M::ptcWorst_V},
        {"ptc_running_w", "W", "watts in the PTC; last six cycles of the run", &M::ptcRunning_W},
        {"main_heat_a2s", "A2 s",
         "run winding amps squared, summed until it is up to speed and the start circuit out",
         &M::mainHeat_A2s},
        {"auxiliary_heat_a2s", "A2 s",
         "start winding amps squared, summed until it is up to speed and the start circuit out",
         &M::auxiliaryHeat_A2s},
        {"line_running_a", "A", "line amps; last six cycles of the run", &M::lineRunning_A},
        {"compressor_running_a", "A", "amps through pin C; last six cycles of the run",
         &M::compressorRunning_A},
        {"main_running_a", "A", "run winding amps; last six cycles of the run", &M::mainRunning_A},
        {"line_running_w", "W", "watts drawn; last six cycles of the run", &M::lineRunning_W},
        {"torque_running_nm", "N m", "mean motor torque; last six cycles of the run",
         &M::torqueRunning_Nm},
        {"protector_tripped", "", "overload protector: 1 it opened, 0 it did not",
         &M::protectorTripped},
        {"protector_hottest_degc", "degC", "highest temperature of the protector's disc",
         &M::protectorHottest_degC},
    }};
    return quantities;
}

}  // namespace splitstart
