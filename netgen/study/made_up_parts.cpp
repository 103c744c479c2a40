#include "study/made_up_parts.h"

#include <algorithm>

#include "case/preferred_values.h"

namespace splitstart
{

void setPart(Case& input, const char* id, const PartData& data)
{
    for (CatalogPart& part : input.parts.parts) {
        if (part.id == id) {
            part.data = data;
            return;
        }
    }
    input.parts.parts.push_back({id, "made up to be asked for", true, data, {}});
}

PartData runOf(const Range& capacitance_F, bool dual, const Range& fan_F)
{
    if (dual) {
        DualRunCapacitor part;
        part.compressor_F = capacitance_F;
        part.fan_F = fan_F;
        part.rated_V = ample;
        return part;
    }
    RunCapacitor part;
    part.capacitance_F = capacitance_F;
    part.rated_V = ample;
    return part;
}

StartCapacitor startOf(const Range& capacitance_F)
{
    StartCapacitor part;
    part.capacitance_F = capacitance_F;
    part.rated_V = preferredStartVolts_V().back();
    part.bleed_ohm = 15e3;
    part.bleed_W = ample;
    return part;
}

PartData deviceOf(PartKind kind)
{
    if (kind == PartKind::currentRelay) {
        CurrentRelay relay;
        relay.pullIn_A = {1, 1};
        relay.dropOut_A = {0.5, 0.5};
        relay.coil_ohm = 0.03;
        relay.coilContinuous_A = ample;
        relay.contact_A = ample;
        relay.attitude = RelayAttitude::upright;
        relay.enclosure = ContactEnclosure::sealed;
        return relay;
    }
    PotentialRelay relay;
    relay.pickUp_V = {100, 100};
    relay.dropOut_V = {50, 50};
    relay.coil_ohm = 10e3;
    relay.coilContinuous_V = ample;
    relay.contact_A = ample;
    relay.enclosure = ContactEnclosure::sealed;
    return relay;
}

Range middleOf(double lowest, double highest)
{
    constexpr double made_ratio = 0.03;
    const double middle = 0.5 * (lowest + highest);
    const double half = std::min(made_ratio * middle, 0.25 * (highest - lowest));
    return {middle - half, middle + half};
}

}  // namespace splitstart
