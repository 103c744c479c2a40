// Faults of parts: what fails in the field, each as a change of what is simulated. The list is
// common practice, no source; the amounts (how weak, how far off) are assumed.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "circuit/case_circuit.h"
#include "study/cause.h"

namespace splitstart
{

namespace
{

constexpr double weak_ratio = 0.5;          // what is left of a tired capacitor
constexpr double tooLarge_ratio = 2.5;      // a capacitor of another size
constexpr double cutOff_F = 1e-12;          // one section of a dual capacitor that is open
constexpr double open_ohm = 1e8;            // far above everything else in the circuit
constexpr double tooHigh_ratio = 1.35;      // pick-up or pull-in of a relay for another motor
constexpr double tooLow_ratio = 0.6;        // the same
constexpr double stuckInertia_ratio = 1e6;  // it does not move in any run
constexpr double quickRestart_s = 5;        // a PTC needs minutes
constexpr double hasty_ratio = 0.3;         // a timed switch for a quicker start
constexpr double tardy_ratio = 4;           // one for a slower start
constexpr double weakProtector_ratio = 0.5;

constexpr const char* dischargeFirst =
    "Lock out, discharge it through a resistor, take its wires "
    "off: ";

Range scaled(const Range& range, double ratio)
{
    return {range.minimum * ratio, range.maximum * ratio};
}

// The part of the case's list that stands in that place, to be changed.
template <typename Data, typename Change>
std::function<void(MachineSetup&)> changed(const std::string CircuitChoice::*place, Change change)
{
    return [place, change](MachineSetup& setup) {
        // The list's own find() gives constant parts.
        const CatalogPart* const chosen = setup.input.parts.find((*setup.input.circuit).*place);
        for (CatalogPart& part : setup.input.parts.parts) {
            if (&part == chosen) {
                change(std::get<Data>(part.data));
            }
        }
    };
}

std::function<void(MachineSetup&)> opened(const std::string& id)
{
    return [id](MachineSetup& setup) { setup.openParts.insert(id); };
}

std::function<void(MachineSetup&)> bridged(const std::string& id, const char* a, const char* b)
{
    return [id, a, b](MachineSetup& setup) {
        setup.circuit.wires.push_back({{id, a}, {id, b}});
        setup.shortedParts.insert(id);
    };
}

std::function<void(MachineSetup&)> contactHeld(StartContact contact)
{
    return [contact](MachineSetup& setup) { setup.setting.contact = contact; };
}

class FaultList
{
public:
    FaultList(const Case& input, const Circuit& circuit) : input_(input), circuit_(circuit) {}

    std::vector<Cause> all()
    {
        for (const CircuitPart& part : circuit_.parts) {
            addPart(part);
        }
        addInternalProtector();
        addSupply();
        addLoad();
        addMotor();
        return std::move(causes_);
    }

private:
    void add(CauseKind kind, std::string what, std::string cure,
             std::function<void(MachineSetup&)> put)
    {
        causes_.push_back({kind, std::move(what), std::move(cure), {}, 0, std::move(put)});
    }

    void addPart(const CircuitPart& part)
    {
        switch (part.kind) {
            case PartKind::startCapacitor:
                return addStartCapacitor(part.id);
            case PartKind::runCapacitor:
                return addRunCapacitor(part.id);
            case PartKind::dualRunCapacitor:
                return addDualCapacitor(part.id);
            case PartKind::potentialRelay:
                return addPotentialRelay();
            case PartKind::currentRelay:
                return addCurrentRelay();
            case PartKind::ptc:
                return addPtc(part.id);
            case PartKind::timedSwitch:
                return addTimedSwitch();
            case PartKind::centrifugalSwitch:
                return addSwitchContact("the centrifugal switch");
            case PartKind::protector:
                return addProtector(part.id);
            case PartKind::thermostat:
            case PartKind::contactor:
                return addFeed(part);
            case PartKind::condenserFan:
            case PartKind::capacitorFan:
                return add(CauseKind::fan, "the condenser fan is dead",
                           "Lock out: turn it by hand and read its winding.", opened(part.id));
            case PartKind::fanCapacitor:
                add(CauseKind::fan, "the fan's capacitor is open",
                    std::string(dischargeFirst) + "it reads no microfarads; fit a new one.",
                    opened(part.id));
                return add(CauseKind::fan, "the fan's capacitor is shorted",
                           std::string(dischargeFirst) + "it reads near 0 ohm; fit a new one.",
                           bridged(part.id, "A", "B"));
            case PartKind::supply:
            case PartKind::compressor:
                return;
        }
    }

    // Open, shorted, weak, too large: what every capacitor can be.
    template <typename Data>
    void addCapacitor(CauseKind kind, const char* name, const std::string CircuitChoice::*place,
                      Range Data::*capacitance, const std::function<void(MachineSetup&)>& open,
                      const std::function<void(MachineSetup&)>& shorted)
    {
        const auto scale = [&](double ratio) {
            return changed<Data>(place, [capacitance, ratio](Data& data) {
                data.*capacitance = scaled(data.*capacitance, ratio);
            });
        };
        const std::string off = dischargeFirst;
        add(kind, fmt::format("{} is open", name),
            off + "it reads no microfarads; fit one of the printed size and volts.", open);
        add(kind, fmt::format("{} is shorted", name),
            off + "it reads near 0 ohm; fit a new one and look at what it has burnt.", shorted);
        add(kind, fmt::format("{} is weak (half of its microfarads here)", name),
            off + "it reads below its printed range; fit a new one.", scale(weak_ratio));
        add(kind, fmt::format("{} is far too large (2.5 times here)", name),
            off + "compare print and microfarads with what the compressor asks for.",
            scale(tooLarge_ratio));
    }

    void addStartCapacitor(const std::string& id)
    {
        const auto place = &CircuitChoice::startCapacitor;
        addCapacitor<StartCapacitor>(CauseKind::startCapacitor, "the start capacitor", place,
                                     &StartCapacitor::capacitance_F, opened(id),
                                     bridged(id, "A", "B"));
        const auto* const data = chosenPart<StartCapacitor>(input_, place);
        if (data != nullptr && data->bleed_ohm) {
            add(CauseKind::startCapacitor, "the start capacitor's bleed resistor is open",
                std::string(dischargeFirst) +
                    "read its ohms. One start does not show it, but a charged capacitor burns the "
                    "contact at the next.",
                changed<StartCapacitor>(
                    place, [](StartCapacitor& capacitor) { capacitor.bleed_ohm.reset(); }));
        }
    }

    void addRunCapacitor(const std::string& id)
    {
        addCapacitor<RunCapacitor>(CauseKind::runCapacitor, "the run capacitor",
                                   &CircuitChoice::runCapacitor, &RunCapacitor::capacitance_F,
                                   opened(id), bridged(id, "A", "B"));
    }

    void addDualCapacitor(const std::string& id)
    {
        const auto place = &CircuitChoice::runCapacitor;
        const auto cutOff = [place](Range DualRunCapacitor::*section) {
            return changed<DualRunCapacitor>(place, [section](DualRunCapacitor& dual) {
                dual.*section = {cutOff_F, cutOff_F};
            });
        };
        addCapacitor<DualRunCapacitor>(
            CauseKind::runCapacitor, "section HERM of the dual capacitor", place,
            &DualRunCapacitor::compressor_F, cutOff(&DualRunCapacitor::compressor_F),
            bridged(id, "C", "HERM"));
        add(CauseKind::fan, "section FAN of the dual capacitor is open",
            std::string(dischargeFirst) + "C-FAN reads no microfarads; fit a new one.",
            cutOff(&DualRunCapacitor::fan_F));
        add(CauseKind::fan, "section FAN of the dual capacitor is shorted",
            std::string(dischargeFirst) + "C-FAN reads near 0 ohm; fit a new one.",
            bridged(id, "C", "FAN"));
        add(CauseKind::runCapacitor, "post C of the dual capacitor is open inside",
            std::string(dischargeFirst) +
                "neither C-HERM nor C-FAN reads microfarads; fit a new one.",
            [compressor = cutOff(&DualRunCapacitor::compressor_F),
             fan = cutOff(&DualRunCapacitor::fan_F)](MachineSetup& setup) {
                compressor(setup);
                fan(setup);
            });
    }

    // A contact that does not make, and one that does not part.
    void addSwitchContact(const std::string& name)
    {
        add(CauseKind::startDevice, fmt::format("the contact of {} does not make (burnt)", name),
            "Lock out, wires off: it reads open where it should be made; fit a new one.",
            contactHeld(StartContact::heldOpen));
        add(CauseKind::startDevice, fmt::format("the contact of {} is welded", name),
            "Lock out, wires off: move it by hand or by its coil; it still reads near 0 ohm.",
            contactHeld(StartContact::heldClosed));
    }

    template <typename Data>
    std::function<void(MachineSetup&)> startDevice(std::function<void(Data&)> change)
    {
        return changed<Data>(&CircuitChoice::startDevice, std::move(change));
    }

    void addPotentialRelay()
    {
        addSwitchContact("the potential relay");
        add(CauseKind::startDevice, "the coil of the potential relay is open",
            "Lock out, wires off: 2 to 5 reads open; fit a new relay.",
            [without = startDevice<PotentialRelay>(
                 [](PotentialRelay& relay) { relay.coil_ohm = open_ohm; })](MachineSetup& setup) {
                without(setup);
                // An armature without coil current stays at rest, whatever the volts.
                setup.setting.contact = StartContact::heldClosed;
            });
        const auto pickUp = [this](double ratio) {
            return startDevice<PotentialRelay>([ratio](PotentialRelay& relay) {
                relay.pickUp_V = scaled(relay.pickUp_V, ratio);
                relay.dropOut_V = scaled(relay.dropOut_V, std::min(ratio, 1.0));
            });
        };
        add(CauseKind::startDevice,
            "the potential relay picks up too high (wrong relay, or tilted; 1.35 times here)",
            "Compare its print with the compressor's data; try its pick-up on a variable supply.",
            pickUp(tooHigh_ratio));
        add(CauseKind::startDevice,
            "the potential relay picks up too low (wrong relay, or tilted; 0.6 times here)",
            "Compare its print with the compressor's data; try its pick-up on a variable supply.",
            pickUp(tooLow_ratio));
        add(CauseKind::startDevice, "the potential relay drops out too high (chatters)",
            "Compare its print with the compressor's data; try its drop-out on a variable supply.",
            startDevice<PotentialRelay>([](PotentialRelay& relay) {
                constexpr double belowPickUp = 0.95;
                relay.dropOut_V = scaled(relay.pickUp_V, belowPickUp);
            }));
    }

    void addCurrentRelay()
    {
        add(CauseKind::startDevice,
            "the current relay never makes (contact burnt, plunger stuck, or on its side)",
            "Lock out, wires off: turned upside down its contact must read near 0 ohm.",
            contactHeld(StartContact::heldOpen));
        add(CauseKind::startDevice,
            "the current relay's contact is always made (welded, or mounted upside down)",
            "Look which way up it is; lock out, wires off: upright its contact must read open.",
            contactHeld(StartContact::heldClosed));
        add(CauseKind::startDevice, "the coil of the current relay is open",
            "Lock out, wires off: L to M reads open where it should read near 0 ohm.",
            startDevice<CurrentRelay>([](CurrentRelay& relay) { relay.coil_ohm = open_ohm; }));
        const auto amps = [this](double ratio) {
            return startDevice<CurrentRelay>([ratio](CurrentRelay& relay) {
                relay.pullIn_A = scaled(relay.pullIn_A, ratio);
                relay.dropOut_A = scaled(relay.dropOut_A, ratio);
            });
        };
        // Beyond the run winding's amps at standstill, and below those at speed.
        constexpr double biggerMotor_ratio = 2;
        constexpr double smallerMotor_ratio = 0.35;
        add(CauseKind::startDevice, "the current relay is for a bigger motor (2 times here)",
            "Compare its print with the compressor's data.", amps(biggerMotor_ratio));
        add(CauseKind::startDevice, "the current relay is for a smaller motor (0.35 times here)",
            "Compare its print with the compressor's data.", amps(smallerMotor_ratio));
    }

    void addPtc(const std::string& id)
    {
        add(CauseKind::startDevice, "the PTC is open (cracked)",
            "Lock out, wires off: it rattles or reads open when cold; fit a new one.", opened(id));
        add(CauseKind::startDevice, "the PTC is shorted",
            "Lock out, wires off: it reads near 0 ohm when cold; fit a new one.",
            bridged(id, "A", "B"));
        add(CauseKind::startDevice, "the PTC was still hot (started again within seconds)",
            "Leave it off for ten minutes and try once more.",
            [](MachineSetup& setup) { setup.corner.restartAfter_s = quickRestart_s; });
        constexpr double otherClass_ratio = 3;
        add(CauseKind::startDevice, "the PTC has too many ohms (another class; 3 times here)",
            "Lock out, wires off, cold: read its ohms against the print.",
            startDevice<Ptc>(
                [](Ptc& ptc) { ptc.cold_ohm = scaled(ptc.cold_ohm, otherClass_ratio); }));
    }

    void addTimedSwitch()
    {
        addSwitchContact("the start switch");
        const auto seconds = [this](double ratio) {
            return startDevice<TimedSwitch>([ratio](TimedSwitch& timer) {
                timer.opensAfter_s = scaled(timer.opensAfter_s, ratio);
            });
        };
        add(CauseKind::startDevice, "the start switch opens too soon (0.3 of its time here)",
            "Time it on the bench with a lamp.", seconds(hasty_ratio));
        add(CauseKind::startDevice, "the start switch opens too late (4 times here)",
            "Time it on the bench with a lamp.", seconds(tardy_ratio));
    }

    void addProtector(const std::string& id)
    {
        add(CauseKind::protector, "the overload protector is open (tripped, or burnt)",
            "Lock out: wait until it is cold; 1 to 3 must read near 0 ohm.", opened(id));
        addTiredProtector();
    }

    void addTiredProtector()
    {
        add(CauseKind::protector, "the overload protector never opens (welded, or bridged)",
            "Look for a bridge across it; a welded one shows only when it should have opened: fit "
            "a new one.",
            changed<Protector>(&CircuitChoice::protector, [](Protector& protector) {
                constexpr double never_ratio = 100;
                protector.ultimateTrip_A *= never_ratio;
                protector.tripCurrent_A *= never_ratio;
            }));
        add(CauseKind::protector,
            "the overload protector trips too early (tired or too small; half of its amps here)",
            "Compare its print with the compressor's data.",
            changed<Protector>(&CircuitChoice::protector, [](Protector& protector) {
                protector.ultimateTrip_A *= weakProtector_ratio;
                protector.tripCurrent_A *= weakProtector_ratio;
            }));
    }

    void addInternalProtector()
    {
        const auto openAtC = [](MachineSetup& setup) {
            setup.motor.main_ohm = open_ohm;
            setup.motor.auxiliary_ohm = open_ohm;
        };
        const auto* const protector = chosenPart<Protector>(input_, &CircuitChoice::protector);
        if (protector == nullptr || protector->location != ProtectorPlace::internal) {
            return add(CauseKind::motor, "the pin or the joint of C is open inside the shell",
                       "Lock out, wires off: R-S reads, R-C and S-C read open.", openAtC);
        }
        add(CauseKind::protector, "the overload protector inside the shell is open",
            "Lock out: R-S reads, R-C and S-C read open. A hot shell needs up to some hours.",
            openAtC);
        addTiredProtector();
    }

    void addFeed(const CircuitPart& part)
    {
        const char* const name =
            part.kind == PartKind::thermostat ? "the thermostat" : "the contactor";
        add(CauseKind::feed, fmt::format("{} does not make", name),
            "Lock out: its contact must read near 0 ohm while it calls for cold.", opened(part.id));
    }

    void addSupply()
    {
        add(CauseKind::supply, "there are no volts at the circuit (fuse, breaker, a line broken)",
            "Prove the meter, then look for volts at the disconnect. A fuse or breaker that has "
            "opened hints at a grounded winding: read the insulation before it is put back.",
            opened(std::string(circuit_.find(PartKind::supply)->id)));
        add(CauseKind::supply, "the supply is low (80 % here)",
            "Read the volts without load; find the tap or the line that loses them.",
            [](MachineSetup& setup) { setup.lowSupply = true; });
        add(CauseKind::supply,
            "the feed is weak: long or thin wire, or a bad joint (a quarter of the volts is lost "
            "while it tries to start, here)",
            "Read the volts at the compressor's circuit while it tries to start; find the warm "
            "joint or the thin wire.",
            [](MachineSetup& setup) {
                // What is left across R + jX behind a resistance r: |R + jX| / |R + r + jX|.
                constexpr double left_ratio = 0.75;
                const double run_ohm = setup.motor.main_ohm + setup.motor.rotorMain_ohm;
                const double reactance_ohm =
                    setup.motor.mainLeakage_ohm + setup.motor.rotorMainLeakage_ohm;
                const double whole_ohm = std::hypot(run_ohm, reactance_ohm) / left_ratio;
                setup.input.supply.source_ohm +=
                    std::sqrt(whole_ohm * whole_ohm - reactance_ohm * reactance_ohm) - run_ohm;
            });
    }

    void addLoad()
    {
        if (input_.compressor.load.kind == LoadKind::reciprocating &&
            input_.compressor.load.pressures == Pressures::equalised) {
            add(CauseKind::load, "the pressures are not equalised",
                "Read both gauges; wait until they meet (minutes) and try again.",
                [](MachineSetup& setup) { setup.corner.pressures = Pressures::unequalised; });
        }
        add(CauseKind::load, "the pump is seized",
            "With sound parts, sound wiring and full volts it only hums and the gauges stand dead "
            "still: the compressor is to be replaced.",
            [](MachineSetup& setup) { setup.motor.inertia_kgm2 *= stuckInertia_ratio; });
    }

    void addMotor()
    {
        const char* const read = "Lock out, wires off: read the three ohms at the pins again.";
        const char* const known = input_.compressor.readings
                                      ? ", though the readings in the case say that it is sound"
                                      : "";
        add(CauseKind::motor, fmt::format("the start winding is open{}", known), read,
            [](MachineSetup& setup) { setup.motor.auxiliary_ohm = open_ohm; });
        add(CauseKind::motor, fmt::format("the run winding is open{}", known), read,
            [](MachineSetup& setup) { setup.motor.main_ohm = open_ohm; });
        add(CauseKind::motor,
            fmt::format(
                "a winding is grounded to the shell{}",
                input_.compressor.insulation ? ", though the case has an insulation reading" : ""),
            "Never energise it: lock out, wires off, and read the insulation from each pin to bare "
            "metal with an insulation tester.",
            [](MachineSetup& setup) { setup.grounded = true; });
    }

    const Case& input_;
    const Circuit& circuit_;
    std::vector<Cause> causes_;
};

}  // namespace

std::vector<Cause> partFaults(const Case& input, const Circuit& circuit)
{
    return FaultList(input, circuit).all();
}

}  // namespace splitstart
