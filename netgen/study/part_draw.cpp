#include "study/part_draw.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace splitstart
{

namespace
{

using Visit = std::function<void(const char* name, Range& range)>;

// The ranges of one part, as people call them.
class RangeVisitor
{
public:
    RangeVisitor(const Visit& visit, bool startsTheMotor) : visit_(visit), start_(startsTheMotor) {}

    void operator()(PotentialRelay& relay) const
    {
        visit_("pick-up volts of the relay", relay.pickUp_V);
        visit_("drop-out volts of the relay", relay.dropOut_V);
    }
    void operator()(CurrentRelay& relay) const
    {
        visit_("pull-in amps of the relay", relay.pullIn_A);
        visit_("drop-out amps of the relay", relay.dropOut_A);
        // One relay never drops out above its own pull-in.
        constexpr double below = 0.98;
        const double highest_A = below * relay.pullIn_A.maximum;
        if (relay.pullIn_A.minimum == relay.pullIn_A.maximum &&
            relay.dropOut_A.maximum > highest_A) {
            relay.dropOut_A = {std::min(relay.dropOut_A.minimum, highest_A), highest_A};
        }
    }
    void operator()(Ptc& ptc) const
    {
        visit_("cold ohms of the PTC", ptc.cold_ohm);
        visit_("switching time of the PTC", ptc.switchTime_s);
    }
    void operator()(TimedSwitch& timer) const
    {
        visit_("seconds of the start switch", timer.opensAfter_s);
    }
    void operator()(CentrifugalSwitch& onShaft) const
    {
        visit_("opening speed of the start switch", onShaft.opens_rad_s);
        visit_("closing speed of the start switch", onShaft.closes_rad_s);
    }
    void operator()(StartCapacitor& capacitor) const
    {
        visit_("microfarads of the start capacitor", capacitor.capacitance_F);
    }
    void operator()(RunCapacitor& capacitor) const
    {
        visit_(start_ ? "microfarads of the run capacitor" : "microfarads of the fan capacitor",
               capacitor.capacitance_F);
    }
    void operator()(DualRunCapacitor& capacitor) const
    {
        visit_("microfarads of the run capacitor", capacitor.compressor_F);
        visit_("microfarads of the fan capacitor", capacitor.fan_F);
    }
    void operator()(Protector& protector) const
    {
        visit_("trip time of the protector", protector.tripTime_s);
    }
    void operator()(CondenserFan& /*fan*/) const {}
    void operator()(CapacitorFan& /*fan*/) const {}
    void operator()(Contactor& /*contactor*/) const {}

private:
    const Visit& visit_;
    bool start_;
};

void visitRanges(Case& input, const Visit& visit)
{
    if (!input.circuit) {
        return;
    }
    const CircuitChoice& choice = *input.circuit;
    for (const std::string CircuitChoice::*place :
         {&CircuitChoice::startDevice, &CircuitChoice::startCapacitor, &CircuitChoice::runCapacitor,
          &CircuitChoice::protector, &CircuitChoice::fanCapacitor}) {
        // The list's own find() gives constant parts.
        const CatalogPart* chosen = input.parts.find(choice.*place);
        for (CatalogPart& part : input.parts.parts) {
            if (&part == chosen) {
                std::visit(RangeVisitor(visit, place != &CircuitChoice::fanCapacitor), part.data);
            }
        }
    }
}

}  // namespace

std::vector<PartTolerance> partTolerances(const Case& input)
{
    std::vector<PartTolerance> tolerances;
    Case copy = input;
    visitRanges(copy, [&tolerances](const char* name, Range& range) {
        tolerances.push_back({name, range});
    });
    return tolerances;
}

Case withParts(const Case& input, const std::vector<double>& positions)
{
    Case result = input;
    std::size_t next = 0;
    visitRanges(result, [&](const char* /*name*/, Range& range) {
        if (next >= positions.size()) {
            throw std::invalid_argument("a position is missing for a part");
        }
        const double value = std::lerp(range.minimum, range.maximum, positions[next++]);
        range = {value, value};
    });
    if (next != positions.size()) {
        throw std::invalid_argument("more positions than parts have tolerances");
    }
    return result;
}

}  // namespace splitstart
