#include "spice/start_columns.h"

#include <algorithm>

namespace splitstart
{

namespace
{

// The two ports between which a start device switches.
std::pair<const char*, const char*> contactPorts(const SubcircuitInstance& device)
{
    return device.subcircuit == "potential_relay" ? std::pair("t1", "t2")
           : device.subcircuit == "current_relay" ? std::pair("contact_a", "contact_s")
                                                  : std::pair("a", "b");
}

}  // namespace

StartColumns::StartColumns(const SimulationModel& model, const Waveforms& waveforms)
    : model_(model), names_(model), waveforms_(waveforms)
{
    const std::vector<std::string> vectors = startVectors(model);
    for (std::size_t i = 0; i < vectors.size(); ++i) {
        columnOf_[vectors[i]] = i;
    }
}

std::vector<double> StartColumns::between(const std::string& plus, const std::string& minus) const
{
    std::vector<double> values(waveforms_.time_s.size(), 0.0);
    const auto accumulate = [&](const std::string& node, double sign) {
        if (node == "0") {
            return;
        }
        const std::vector<double>& column = waveforms_.real.at(columnOf_.at(node));
        for (std::size_t i = 0; i < values.size(); ++i) {
            values[i] += sign * column[i];
        }
    };
    accumulate(plus, 1);
    accumulate(minus, -1);
    return values;
}

std::vector<double> StartColumns::acrossStartDevice() const
{
    const SubcircuitInstance& device = model_.instance(model_.startDevice.value().instance);
    const auto& [a, b] = contactPorts(device);
    return between(device.nodeOfPort.at(a), device.nodeOfPort.at(b));
}

std::vector<double> StartColumns::startDeviceMade() const
{
    const Signal order = signal(model_.startDevice.value().closedNode);
    std::vector<double> made(order.value.begin(), order.value.end());
    const auto lastMade =
        std::find_if(made.rbegin(), made.rend(), [](double value) { return value > 0.5; });
    // A PTC is no contact: it lets some current through for as long as it is fed.
    if (lastMade == made.rend() || model_.find("ptc") != nullptr) {
        return made;
    }
    const auto opened = lastMade.base() - made.begin();
    const double end_s = time_s().back();
    if (opened == std::ssize(made) ||
        time_s()[static_cast<std::size_t>(opened)] >= runningFrom_s() ||
        rms(signal(names_.startDeviceCurrent()), end_s - cycle_s(), end_s) < burningArc_A) {
        return made;
    }
    std::fill(made.begin() + opened, made.end(), 1.0);
    return made;
}

std::vector<double> StartColumns::throughCommon() const
{
    const Signal main = signal(names_.main);
    const Signal auxiliary = signal(names_.auxiliary);
    std::vector<double> sum(main.value.begin(), main.value.end());
    for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] += auxiliary.value[i];
    }
    return sum;
}

}  // namespace splitstart
