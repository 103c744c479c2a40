#include "spice/start_trace.h"

#include <algorithm>

#include "spice/start_columns.h"

namespace splitstart
{

namespace
{

std::vector<double> valuesOf(const Signal& signal, double factor = 1)
{
    std::vector<double> values(signal.value.begin(), signal.value.end());
    for (double& value : values) {
        value *= factor;
    }
    return values;
}

// The mean over the window that ends at each sample.
std::vector<double> windowMean(const Signal& signal, double window_s)
{
    std::vector<double> sums(signal.time_s.size(), 0.0);
    for (std::size_t i = 1; i < sums.size(); ++i) {
        sums[i] = sums[i - 1] + 0.5 * (signal.time_s[i] - signal.time_s[i - 1]) *
                                    (signal.value[i] + signal.value[i - 1]);
    }
    const Signal summed{signal.time_s, sums};
    std::vector<double> values(sums.size(), signal.value.front());
    for (std::size_t i = 1; i < values.size(); ++i) {
        const double from_s = std::max(signal.time_s[i] - window_s, signal.time_s.front());
        values[i] = (sums[i] - valueAt(summed, from_s)) / (signal.time_s[i] - from_s);
    }
    return values;
}

}  // namespace

const TraceSignal* StartTrace::find(std::string_view name) const
{
    const auto found = std::find_if(signals.begin(), signals.end(),
                                    [name](const TraceSignal& each) { return each.name == name; });
    return found == signals.end() ? nullptr : &*found;
}

StartTrace startTrace(const SimulationModel& model, const Waveforms& waveforms)
{
    const StartColumns columns(model, waveforms);
    const VectorNames& names = columns.names();
    StartTrace trace;
    trace.time_s = waveforms.time_s;
    const auto add = [&trace](std::string_view name, std::string_view unit,
                              std::string_view meaning, std::vector<double> values) {
        trace.signals.push_back({name, unit, meaning, std::move(values)});
    };
    const SubcircuitInstance& motor = model.instance("compressor");
    const std::string& common = motor.nodeOfPort.at("c");
    add("supply_v", "V", "supply where the feed ends, L1-L2",
        columns.between(model.node("supply", "L1"), model.node("supply", "L2")));
    add("run_winding_v", "V", "run winding, R-C",
        columns.between(motor.nodeOfPort.at("r"), common));
    add("start_winding_v", "V", "start winding, S-C",
        columns.between(motor.nodeOfPort.at("s"), common));
    // The supply's ammeter counts current into the source.
    add("line_a", "A", "line", valuesOf(columns.signal(names.line()), -1));
    add("run_winding_a", "A", "run winding", valuesOf(columns.signal(names.main)));
    add("start_winding_a", "A", "start winding", valuesOf(columns.signal(names.auxiliary)));
    add("speed_percent", "%", "speed, of synchronous",
        valuesOf(columns.signal("speed"), 100 / model.synchronousSpeed_rad_s));
    add("torque_nm", "N m", "torque of the motor", valuesOf(columns.signal("torque")));
    add("load_torque_nm", "N m", "torque of the load", valuesOf(columns.signal("load_torque")));
    if (model.startDevice) {
        if (model.find("ptc") == nullptr) {
            add("start_contact", "", "start contact", columns.startDeviceMade());
        }
        add("start_device_a", "A", "start device",
            valuesOf(columns.signal(names.startDeviceCurrent())));
        add("start_device_v", "V", "across the start device", columns.acrossStartDevice());
    }
    if (const SubcircuitInstance* capacitor = instanceNamed(model, "start_capacitor")) {
        add("start_capacitor_v", "V", "start capacitor", columns.across(*capacitor));
    }
    if (const SubcircuitInstance* capacitor = instanceNamed(model, "run_capacitor")) {
        add("run_capacitor_v", "V", "run capacitor", columns.across(*capacitor));
    }
    if (const SubcircuitInstance* relay = model.find("potential_relay")) {
        add("coil_v", "V", "relay coil, 2-5",
            columns.between(relay->nodeOfPort.at("t2"), relay->nodeOfPort.at("t5")));
    }
    if (const SubcircuitInstance* relay = model.find("current_relay")) {
        add("coil_a", "A", "relay coil, L-M",
            valuesOf(columns.signal(VectorNames::ammeter("x" + relay->name + ".vcoil"))));
    }
    if (const SubcircuitInstance* ptc = model.find("ptc")) {
        add("ptc_degc", "degC", "PTC", valuesOf(columns.signal(ptc->nodeOfPort.at("temperature"))));
    }
    if (const SubcircuitInstance* protector = model.find("overload_protector")) {
        add("protector_contact", "", "overload protector",
            valuesOf(columns.signal(protector->nodeOfPort.at("closed"))));
        add("protector_degc", "degC", "overload protector's disc",
            valuesOf(columns.signal(protector->nodeOfPort.at("disc_temperature"))));
    }
    return trace;
}

StartTrace cycleTrace(const StartTrace& trace, double frequency_Hz)
{
    StartTrace result = trace;
    // Before there is a whole cycle there is no rms of one.
    const auto whole = std::lower_bound(trace.time_s.begin(), trace.time_s.end(),
                                        trace.time_s.front() + 1 / frequency_Hz) -
                       trace.time_s.begin();
    result.time_s.erase(result.time_s.begin(), result.time_s.begin() + whole);
    for (TraceSignal& signal : result.signals) {
        const Signal wave{trace.time_s, signal.values};
        if (signal.unit == "V" || signal.unit == "A") {
            signal.values = windowRms(wave, 1 / frequency_Hz);
        } else if (signal.unit == "N m") {
            signal.values = windowMean(wave, 1 / frequency_Hz);
        }
        signal.values.erase(signal.values.begin(), signal.values.begin() + whole);
    }
    return result;
}

}  // namespace splitstart
