#include "unit/rating/spoilers.h"

#include <optional>
#include <stdexcept>
#include <string>
#include <variant>

namespace splitstart
{

namespace
{

template <typename Data>
Data& part(RatingBench& bench, const char* id)
{
    return partOf<Data>(bench.input, id);
}

// What the case puts into that place.
PartData& chosen(RatingBench& bench, std::string CircuitChoice::*place)
{
    const std::string& id = (*bench.input.circuit).*place;
    for (CatalogPart& each : bench.input.parts.parts) {
        if (each.id == id) {
            return each.data;
        }
    }
    throw std::out_of_range(id);
}

PartData& startDevice(RatingBench& bench)
{
    return chosen(bench, &CircuitChoice::startDevice);
}

// Of any start device with a contact.
std::optional<double>& contactRating_A(RatingBench& bench)
{
    PartData& data = startDevice(bench);
    if (auto* relay = std::get_if<PotentialRelay>(&data)) {
        return relay->contact_A;
    }
    if (auto* relay = std::get_if<CurrentRelay>(&data)) {
        return relay->contact_A;
    }
    if (auto* timer = std::get_if<TimedSwitch>(&data)) {
        return timer->contact_A;
    }
    return std::get<CentrifugalSwitch>(data).contact_A;
}

ContactEnclosure& enclosure(RatingBench& bench)
{
    PartData& data = startDevice(bench);
    if (auto* relay = std::get_if<PotentialRelay>(&data)) {
        return relay->enclosure;
    }
    if (auto* relay = std::get_if<CurrentRelay>(&data)) {
        return relay->enclosure;
    }
    if (auto* timer = std::get_if<TimedSwitch>(&data)) {
        return timer->enclosure;
    }
    return std::get<CentrifugalSwitch>(data).enclosure;
}

void rateRunCapacitor(RatingBench& bench, double rated_V)
{
    PartData& data = chosen(bench, &CircuitChoice::runCapacitor);
    if (auto* dual = std::get_if<DualRunCapacitor>(&data)) {
        dual->rated_V = rated_V;
    } else {
        std::get<RunCapacitor>(data).rated_V = rated_V;
    }
}

void rateFanCapacitor(RatingBench& bench, double rated_V)
{
    if (bench.input.circuit->fanCapacitor.empty()) {
        rateRunCapacitor(bench, rated_V);
    } else {
        part<RunCapacitor>(bench, "fan-run").rated_V = rated_V;
    }
}

Range& fanCapacitance_F(RatingBench& bench)
{
    return bench.input.circuit->fanCapacitor.empty()
               ? std::get<DualRunCapacitor>(chosen(bench, &CircuitChoice::runCapacitor)).fan_F
               : part<RunCapacitor>(bench, "fan-run").capacitance_F;
}

Contactor& contactor(RatingBench& bench)
{
    return std::get<Contactor>(chosen(bench, &CircuitChoice::contactor));
}

void stallUnderLoad(RatingBench& bench)
{
    bench.eachRowOut([](HeldShaftMeasurement& row) { row.torque_Nm *= 0.05; });
}

// Pin C's amps at standstill, with the start circuit in and once a timed switch or PTC has left.
void scaleStalledAmps(RatingBench& bench, double factor)
{
    for (HeldShaftTable& table : bench.evidence.held) {
        table.startCircuitIn.front().compressor_A *= factor;
        table.startCircuitOut.front().compressor_A *= factor;
    }
}

using M = StartMeasurement;
using H = HeldShaftMeasurement;
using Failures = std::map<std::string_view, Spoil>;

Failures supplyAndMotorFailures()
{
    return {
        {"supply-volts", [](RatingBench& b) { b.input.supply.voltage_V *= 0.89; }},
        {"supply-frequency", [](RatingBench& b) { b.input.supply.frequency_Hz = 50; }},
        {"supply-volts-and-frequency",
         [](RatingBench& b) {
             b.input.supply.voltage_V *= 0.94;
             b.input.supply.frequency_Hz *= 1.045;
         }},
        {"supply-volts-starting",
         [](RatingBench& b) {
             b.eachRowIn([](H& row) { row.runWinding_V *= 0.9; });
             b.eachStart([](M& m) { *m.terminalStalled_V *= 0.9; });
         }},
        {"supply-volts-running",
         [](RatingBench& b) { b.eachRowOut([](H& row) { row.runWinding_V *= 0.95; }); }},
        {"supply-limit", [](RatingBench& b) { b.input.supply.limit_A = 84; }},
        {"conductor-amps", [](RatingBench& b) { b.input.compressor.nameplate.ratedLoad_A = 28.1; }},
        {"motor-fits-evidence", [](RatingBench& b) { b.evidence.fit.front().reproduced = 98; }},
        {"motor-starts",
         [](RatingBench& b) { b.evidence.starts[3].measured.speedAtEnd_ratio = 0.2; }},
        {"motor-direction",
         [](RatingBench& b) {
             for (HeldShaftTable& held : b.evidence.held) {
                 held.startCircuitIn.front().torque_Nm *= -1;
             }
         }},
        {"motor-time-to-speed",
         [](RatingBench& b) { b.eachStart([](M& m) { m.timeToSpeed_s = 3.2; }); }},
        {"motor-pull-up-torque",
         [](RatingBench& b) {
             b.eachRowIn([](H& row) {
                 row.torque_Nm *= row.speed_ratio == 0.6 ? 0.1 : 1;  // a dip on the way up
             });
         }},
        {"motor-carries-load", stallUnderLoad},
        {"run-winding-heat",
         [](RatingBench& b) { b.eachStart([](M& m) { *m.mainHeat_A2s *= 30; }); }},
        {"start-winding-heat",
         [](RatingBench& b) { b.eachStart([](M& m) { *m.auxiliaryHeat_A2s *= 30; }); }},
        {"protector-fitted", [](RatingBench& b) { b.input.circuit->protector.clear(); }},
        {"protector-holds-start",
         [](RatingBench& b) { b.eachStart([](M& m) { m.protectorHottest_degC = 151; }); }},
        {"protector-trips-stalled", [](RatingBench& b) { scaleStalledAmps(b, 0.1); }},
        {"protector-ultimate-trip",
         [](RatingBench& b) { b.input.compressor.nameplate.ratedLoad_A = 13; }},
        {"protector-carries-running",
         [](RatingBench& b) { b.eachRowOut([](H& row) { row.compressor_A *= 4; }); }},
    };
}

Failures capacitorFailures()
{
    return {
        {"start-capacitor-volts",
         [](RatingBench& b) { b.eachStart([](M& m) { m.startCapacitorWorst_V = 340; }); }},
        {"start-capacitor-left-in",
         [](RatingBench& b) { b.evidence.starts.back().measured.startContactAtEnd = 1; }},
        {"start-capacitor-duty",
         [](RatingBench& b) {
             b.input.circuit->startsPerHour.reset();
             b.eachStart([](M& m) { m.startCircuitIn_s = 3.1; });
         }},
        {"start-capacitor-longest-on",
         [](RatingBench& b) { b.evidence.starts[1].measured.startCircuitIn_s = 4.1; }},
        {"bleed-resistor-fitted",
         [](RatingBench& b) { part<StartCapacitor>(b, "start").bleed_ohm.reset(); }},
        {"bleed-resistor-watts",
         [](RatingBench& b) { part<StartCapacitor>(b, "start").bleed_ohm = 150; }},
        {"bleed-resistor-time",
         [](RatingBench& b) { part<StartCapacitor>(b, "start").bleed_ohm = 1e6; }},
        {"run-capacitor-volts", [](RatingBench& b) { rateRunCapacitor(b, 330); }},
        // Rated volts drive rated amps; 1.3 times those is what it may carry.
        {"run-capacitor-amps", [](RatingBench& b) { rateRunCapacitor(b, 200); }},
        {"fan-capacitor-least", [](RatingBench& b) { fanCapacitance_F(b).minimum = 4.4e-6; }},
        {"fan-capacitor-most", [](RatingBench& b) { fanCapacitance_F(b).maximum = 5.6e-6; }},
        {"fan-capacitor-volts", [](RatingBench& b) { rateFanCapacitor(b, 330); }},
        // Several hundred watts are lost in running.
        {"crankcase-heat-watts", [](RatingBench& b) { b.evidence.offTime->line_W = 500; }},
        // 60 s of 3600 allow a heat of a sixtieth: 330 V / sqrt(60) = 43 V.
        {"start-capacitor-off-time",
         [](RatingBench& b) { b.evidence.offTime->startCapacitor_V = 40; }},
        {"contact-recloses-discharged",
         [](RatingBench& b) { part<StartCapacitor>(b, "start").bleed_ohm.reset(); }},
        {"contacts-sealed", [](RatingBench& b) { enclosure(b) = ContactEnclosure::open; }},
        {"parts-ambient", [](RatingBench& b) { b.input.circuit->ambient_degC = 56; }},
        {"contactor-full-load-amps", [](RatingBench& b) { contactor(b).fullLoad_A = 5; }},
        {"contactor-locked-rotor-amps", [](RatingBench& b) { contactor(b).lockedRotor_A = 85; }},
    };
}

Failures relayFailures()
{
    return {
        {"relay-closed-at-standstill",
         [](RatingBench& b) {
             part<PotentialRelay>(b, "relay").pickUp_V = {125, 140};
         }},
        {"relay-opens",
         [](RatingBench& b) { b.evidence.starts[2].measured.startContactOpenings = 0; }},
        {"relay-pick-up-reached",
         [](RatingBench& b) {
             part<PotentialRelay>(b, "relay").pickUp_V = {240, 260};
         }},
        {"relay-opens-not-early",
         [](RatingBench& b) { b.evidence.starts[1].measured.speedAtOpening_ratio = 0.55; }},
        {"relay-opens-not-late",
         [](RatingBench& b) { b.evidence.starts[1].measured.speedAtOpening_ratio = 0.96; }},
        {"relay-holds-after-opening",
         [](RatingBench& b) { b.eachStart([](M& m) { m.coilAfterOpening_V = 85; }); }},
        {"relay-chatter",
         [](RatingBench& b) { b.evidence.starts[5].measured.startContactOpenings = 2; }},
        {"relay-holds-running",
         [](RatingBench& b) {
             part<PotentialRelay>(b, "relay").dropOut_V = {200, 270};
         }},
        {"relay-coil-volts",
         [](RatingBench& b) { part<PotentialRelay>(b, "relay").coilContinuous_V = 300; }},
        {"relay-contact-amps",
         [](RatingBench& b) { b.eachStart([](M& m) { m.contactCurrentMade_A = 60; }); }},
        {"relay-pulls-in",
         [](RatingBench& b) {
             part<CurrentRelay>(b, "relay").pullIn_A = {20, 22};
         }},
        {"relay-makes",
         [](RatingBench& b) { b.evidence.starts[2].measured.startContactOpenings = 0; }},
        {"relay-lets-go",
         [](RatingBench& b) {
             part<CurrentRelay>(b, "relay").dropOut_A = {5, 7};
         }},
        {"relay-stays-open-after-opening",
         [](RatingBench& b) { b.eachStart([](M& m) { m.coilAfterOpening_A = 17.5; }); }},
        {"relay-stays-open-running",
         [](RatingBench& b) {
             part<CurrentRelay>(b, "relay").pullIn_A = {4, 5};
         }},
        {"relay-coil-amps",
         [](RatingBench& b) { part<CurrentRelay>(b, "relay").coilContinuous_A = 4; }},
        {"relay-attitude",
         [](RatingBench& b) {
             part<CurrentRelay>(b, "relay").attitude = RelayAttitude::onItsSide;
         }},
    };
}

Failures ptcAndSwitchFailures()
{
    return {
        {"ptc-gets-hot",
         [](RatingBench& b) { b.evidence.starts[2].measured.startContactOpened_s = 3.1; }},
        {"ptc-opens-not-early",
         [](RatingBench& b) { b.evidence.starts[2].measured.speedAtOpening_ratio = 0.59; }},
        {"ptc-volts", [](RatingBench& b) { b.evidence.starts[7].measured.ptcWorst_V = 401; }},
        {"ptc-inrush-amps",
         [](RatingBench& b) { b.evidence.starts[7].measured.contactCurrentMade_A = 26; }},
        {"ptc-stays-hot",
         [](RatingBench& b) { b.evidence.starts[0].measured.startContactAtEnd = 1; }},
        {"ptc-recovers",
         [](RatingBench& b) { b.evidence.restarts[1].measured.ptcAtStart_degC = 126; }},
        {"ptc-recovery-label", [](RatingBench& b) { b.input.circuit->shortestOff_s = 119; }},
        {"start-switch-opens",
         [](RatingBench& b) { b.evidence.starts[2].measured.startContactOpenings = 0; }},
        {"start-switch-opens-not-early",
         [](RatingBench& b) { b.evidence.starts[2].measured.speedAtOpening_ratio = 0.59; }},
        {"start-switch-opens-not-late",
         [](RatingBench& b) { b.evidence.starts[2].measured.speedAtOpening_ratio = 0.96; }},
        {"start-switch-seconds",
         [](RatingBench& b) { part<TimedSwitch>(b, "timer").opensAfter_s.maximum = 3.1; }},
        {"start-switch-chatter",
         [](RatingBench& b) { b.evidence.starts[2].measured.startContactOpenings = 2; }},
        {"start-switch-reached",
         // Two poles at 60 Hz turn at 377 rad/s at the most; the table ends at 99 % of that.
         [](RatingBench& b) { part<CentrifugalSwitch>(b, "shaft").opens_rad_s.maximum = 375; }},
        {"start-switch-stays-open",
         [](RatingBench& b) { part<CentrifugalSwitch>(b, "shaft").closes_rad_s.maximum = 350; }},
        {"start-switch-contact-amps",
         [](RatingBench& b) { b.evidence.starts[4].measured.contactCurrentMade_A = 51; }},
        {"start-switch-contact-volts",
         [](RatingBench& b) { b.evidence.starts[4].measured.startContactOpen_V = 501; }},
        {"start-switch-rearms", [](RatingBench& b) { b.input.circuit->shortestOff_s = 1.4; }},
        {"start-switch-rearms-after-trip",
         [](RatingBench& b) { part<Protector>(b, "outside").location = ProtectorPlace::internal; }},
    };
}

}  // namespace

const std::map<std::string_view, Spoil>& failures()
{
    static const Failures table = [] {
        Failures all = supplyAndMotorFailures();
        all.merge(capacitorFailures());
        all.merge(relayFailures());
        all.merge(ptcAndSwitchFailures());
        return all;
    }();
    return table;
}

const std::multimap<std::string_view, Unknown>& unknowns()
{
    static constexpr std::string_view notGiven = "not given";
    static constexpr std::string_view wire = "winding-wire";
    static constexpr std::string_view stalls = "does not carry this load";
    static constexpr std::string_view neverOpened = "never opened";
    static constexpr Spoil neverOpens = [](RatingBench& b) {
        b.eachStart([](M& m) {
            m.speedAtOpening_ratio.reset();
            m.startContactOpened_s.reset();
            m.startContactOpen_V.reset();
            m.coilAfterOpening_V.reset();
            m.coilAfterOpening_A.reset();
            m.timeToSpeed_s.reset();
        });
    };
    static constexpr Spoil noContactAmps = [](RatingBench& b) { contactRating_A(b).reset(); };
    static const std::multimap<std::string_view, Unknown> table = {
        {"supply-volts-starting",
         {[](RatingBench& b) {
              b.input.supply.sourceImpedanceGiven = false;
              b.input.supply.conductors.clear();
              b.input.supply.limit_A.reset();
          },
          notGiven}},
        {"supply-volts-running", {stallUnderLoad, stalls}},
        {"supply-limit", {[](RatingBench& b) { b.input.supply.limit_A.reset(); }, notGiven}},
        {"conductor-amps",
         {[](RatingBench& b) { b.input.compressor.nameplate.ratedLoad_A.reset(); }, notGiven}},
        {"conductor-amps",
         {[](RatingBench& b) {
              b.input.supply.conductors.front().material = ConductorMaterial::aluminium;
          },
          "only copper"}},
        {"run-winding-heat",
         {[](RatingBench& b) { b.eachStart([](M& m) { *m.mainHeat_A2s *= 15; }); }, wire}},
        {"start-winding-heat",
         {[](RatingBench& b) { b.eachStart([](M& m) { *m.auxiliaryHeat_A2s *= 10; }); }, wire}},
        {"start-winding-heat",
         {[](RatingBench& b) { b.eachStart([](M& m) { m.auxiliaryHeat_A2s.reset(); }); },
          "nothing to compare"}},
        {"run-capacitor-amps",
         {[](RatingBench& b) { b.eachRowOut([](H& row) { row.torque_Nm = -1; }); }, stalls}},
        {"run-capacitor-volts",
         {[](RatingBench& b) { b.eachRowOut([](H& row) { row.torque_Nm = -1; }); }, stalls}},
        {"bleed-resistor-watts",
         {[](RatingBench& b) { part<StartCapacitor>(b, "start").bleed_W.reset(); }, notGiven}},
        {"crankcase-heat-watts", {stallUnderLoad, stalls}},
        {"contacts-sealed",
         {[](RatingBench& b) { enclosure(b) = ContactEnclosure::unknown; }, notGiven}},
        {"contactor-full-load-amps",
         {[](RatingBench& b) { contactor(b).fullLoad_A.reset(); }, notGiven}},
        {"contactor-full-load-amps", {stallUnderLoad, stalls}},
        {"contactor-locked-rotor-amps",
         {[](RatingBench& b) { contactor(b).lockedRotor_A.reset(); }, notGiven}},
        {"relay-contact-amps", {noContactAmps, notGiven}},
        {"relay-coil-volts",
         {[](RatingBench& b) { part<PotentialRelay>(b, "relay").coilContinuous_V.reset(); },
          notGiven}},
        {"relay-coil-amps",
         {[](RatingBench& b) { part<CurrentRelay>(b, "relay").coilContinuous_A.reset(); },
          notGiven}},
        {"relay-attitude",
         {[](RatingBench& b) { part<CurrentRelay>(b, "relay").attitude = RelayAttitude::unknown; },
          notGiven}},
        {"relay-opens-not-early", {neverOpens, neverOpened}},
        {"relay-opens-not-late", {neverOpens, neverOpened}},
        {"relay-holds-after-opening", {neverOpens, neverOpened}},
        {"relay-stays-open-after-opening", {neverOpens, neverOpened}},
        {"relay-holds-running", {stallUnderLoad, stalls}},
        {"relay-stays-open-running", {stallUnderLoad, stalls}},
        {"ptc-opens-not-early", {neverOpens, neverOpened}},
        {"ptc-volts", {[](RatingBench& b) { part<Ptc>(b, "ptc").rated_V.reset(); }, notGiven}},
        {"ptc-inrush-amps",
         {[](RatingBench& b) { part<Ptc>(b, "ptc").inrush_A.reset(); }, notGiven}},
        {"ptc-recovers",
         {[](RatingBench& b) {
              b.evidence.restarts[1].measured.ptcAtStart_degC = 126;
              b.input.circuit->shortestOff_s.reset();
          },
          notGiven}},
        {"ptc-recovers",
         {[](RatingBench& b) { b.input.circuit->shortestOff_s.reset(); }, notGiven}},
        {"ptc-recovery-label",
         {[](RatingBench& b) { b.input.circuit->shortestOff_s.reset(); }, notGiven}},
        {"start-switch-rearms",
         {[](RatingBench& b) { b.input.circuit->shortestOff_s.reset(); }, notGiven}},
        {"start-switch-opens-not-early", {neverOpens, neverOpened}},
        {"start-switch-opens-not-late", {neverOpens, neverOpened}},
        {"start-switch-contact-amps", {noContactAmps, notGiven}},
        {"start-switch-contact-volts",
         {[](RatingBench& b) { part<TimedSwitch>(b, "timer").contact_V.reset(); }, notGiven}},
        {"start-switch-contact-volts", {neverOpens, neverOpened}},
        {"protector-trips-stalled", {[](RatingBench& b) { scaleStalledAmps(b, 0.8); }, wire}},
        {"protector-carries-running", {stallUnderLoad, stalls}},
        {"protector-carries-running",
         {[](RatingBench& b) {
              for (HeldShaftTable& held : b.evidence.held) {
                  held.winding_degC = isHot(held.winding_degC) ? 200 : held.winding_degC;
              }
          },
          "only beside hot windings"}},
    };
    return table;
}

}  // namespace splitstart
