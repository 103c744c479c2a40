#include "unit/dairy_service_cases.h"

namespace splitstart
{

namespace
{

constexpr double awg10_m2 = 5.26e-6;

Case serviceCase(const char* name, const char* file, const char* type)
{
    Case input = stockedCase();
    input.name = name;
    input.file = file;
    input.compressor.nameplate.ratedLoad_A = 14;
    input.circuit = CircuitChoice{};
    input.circuit->type = type;
    input.circuit->protector = "inside";
    input.circuit->place = {input.file, 7};
    return input;
}

void addBleedResistor(Case& input)
{
    auto& capacitor = partOf<StartCapacitor>(input, "start");
    capacitor.bleed_ohm = 15e3;
    capacitor.bleed_W = 2;
}

void setHighestAmbient(Case& input, const char* id, double highest_degC)
{
    for (CatalogPart& part : input.parts.parts) {
        if (part.id == id) {
            part.highestAmbient_degC = highest_degC;
        }
    }
}

}  // namespace

Case milkTankCase()
{
    Case input = serviceCase("milk tank of the dairy", "milk-tank.xml", "RSCR");
    input.supply.limit_A = 120;
    input.supply.kind = SupplyKind::generator;
    input.supply.conductors = {{20, awg10_m2, ConductorMaterial::copper, 40, {input.file, 4}}};
    auto& ptc = partOf<Ptc>(input, "ptc");
    ptc.rated_V = 400;
    ptc.inrush_A = 25;
    ptc.recovery_s = 120;
    input.circuit->startDevice = "ptc";
    input.circuit->runCapacitor = "run";
    input.circuit->fan = "fan-with-capacitor";
    input.circuit->fanCapacitor = "fan-run";
    input.circuit->contactor = "one-pole";
    input.circuit->shortestOff_s = 180;
    return input;
}

Case curdRoomCase()
{
    Case input = serviceCase("curd room of the dairy", "curd-room.xml", "CSCR");
    auto& timer = partOf<TimedSwitch>(input, "timer");
    timer.contact_A = 50;
    timer.contact_V = 500;
    timer.enclosure = ContactEnclosure::sealed;
    addBleedResistor(input);
    partOf<StartCapacitor>(input, "start").longestOn_s = 4;
    setHighestAmbient(input, "timer", 60);
    setHighestAmbient(input, "start", 65);
    setHighestAmbient(input, "dual", 70);
    setHighestAmbient(input, "two-pole", 55);
    input.circuit->startDevice = "timer";
    input.circuit->startCapacitor = "start";
    input.circuit->runCapacitor = "dual";
    input.circuit->fan = "fan-with-capacitor";
    input.circuit->contactor = "two-pole";
    input.circuit->ambient_degC = 45;
    input.circuit->startsPerHour = 10;
    input.circuit->shortestOff_s = 180;
    input.circuit->refrigerant = Refrigerant::flammable;
    return input;
}

Case butterChurnCase()
{
    Case input = serviceCase("butter churn of the dairy", "butter-churn.xml", "CSIR");
    partOf<CentrifugalSwitch>(input, "shaft").contact_A = 50;
    addBleedResistor(input);
    input.circuit->startDevice = "shaft";
    input.circuit->startCapacitor = "start";
    return input;
}

Case ripeningRoomCase()
{
    Case input = serviceCase("ripening room of the dairy", "ripening-room.xml", "PSC");
    input.circuit->variant = "crankcase-heat";
    input.circuit->runCapacitor = "run";
    return input;
}

}  // namespace splitstart
