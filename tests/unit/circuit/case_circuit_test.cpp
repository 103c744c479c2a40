#include <gtest/gtest.h>

#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "case/input_error.h"
#include "circuit/case_circuit.h"
#include "circuit/simulation_model.h"
#include "spice/netlist.h"
#include "unit/circuit/circuit_fixture.h"
#include "unit/circuit/model_fixture.h"
#include "unit/circuit/service_case.h"

namespace splitstart
{

namespace
{

// The one problem that caseCircuit() has with a case; one without field if it has none.
InputProblem problemOf(const Case& input)
{
    try {
        caseCircuit(input);
    } catch (const InputError& error) {
        EXPECT_EQ(error.problems().size(), 1U);
        return error.problems().front();
    }
    return {};
}

InputProblem problemWith(std::string CircuitChoice::*place, const std::string& id)
{
    Case input = coldStoreCase();
    (*input.circuit).*place = id;
    return problemOf(input);
}

Values loadOf(const Case& input, const Corner& corner)
{
    return valuesOf(input, coldStoreMotor(), corner).at("load");
}

}  // namespace

TEST(CaseCircuit, LeavesOutTheFanThatTheCaseDoesNotHave)
{
    EXPECT_EQ(caseCircuit(coldStoreCase()).find(PartKind::condenserFan), nullptr);
    EXPECT_NE(caseCircuit(bottleCoolerCase()).find(PartKind::condenserFan), nullptr);
}

TEST(CaseCircuit, KeepsAnExternalProtectorInTheCommonLead)
{
    Case input = coldStoreCase();
    input.circuit->protector = "outside";
    const Circuit circuit = caseCircuit(input);
    EXPECT_TRUE(connected(circuit, "compressor.C", "protector.3"));
    EXPECT_TRUE(connected(circuit, "protector.1", "supply.L2"));
    EXPECT_TRUE(circuitFaults(circuit).empty());
}

TEST(CaseCircuit, LandsCommonOnTheLineWithAnInternalProtectorOrNone)
{
    for (const char* protector : {"inside", ""}) {
        Case input = coldStoreCase();
        input.circuit->protector = protector;
        const Circuit circuit = caseCircuit(input);
        EXPECT_EQ(circuit.find(PartKind::protector), nullptr);
        EXPECT_TRUE(connected(circuit, "compressor.C", "supply.L2"));
        EXPECT_TRUE(circuitFaults(circuit).empty());
        const SimulationModel model = modelOf(input, coldStoreMotor(), {});
        EXPECT_EQ(model.find("overload_protector") != nullptr, *protector != '\0');
    }
}

TEST(CaseCircuit, AsksForACircuit)
{
    Case input = coldStoreCase();
    input.circuit.reset();
    const InputProblem problem = problemOf(input);
    EXPECT_EQ(problem.field, "case/circuit");
    EXPECT_EQ(problem.problem, "missing");
    EXPECT_EQ(problem.place.file, "cold-store.xml");
}

TEST(CaseCircuit, RefusesATypeThatThereIsNot)
{
    const InputProblem problem = problemWith(&CircuitChoice::type, "CSXR");
    EXPECT_EQ(problem.field, "circuit/type");
    EXPECT_EQ(problem.place.line, 7);
    EXPECT_NE(problem.found.find("CSXR"), std::string::npos);
    for (const char* type : {"CSCR", "CSIR", "PSC", "RSIR", "RSCR"}) {
        EXPECT_NE(problem.allowed.find(type), std::string::npos) << type;
    }
}

// Of the type there is, what is allowed are the circuits of that type.
TEST(CaseCircuit, RefusesACircuitWithAnotherStartDevice)
{
    const InputProblem resistance = problemWith(&CircuitChoice::type, "RSIR");
    EXPECT_EQ(resistance.field, "circuit/type");
    EXPECT_EQ(resistance.found, "RSIR with potential relay");
    EXPECT_NE(resistance.allowed.find("RSIR (resistance start, induction run, with PTC)"),
              std::string::npos);
    EXPECT_EQ(resistance.allowed.find("CSCR"), std::string::npos);
    Case input = bottleCoolerCase();
    input.circuit->type = "PSC";
    EXPECT_EQ(problemOf(input).field, "circuit/type");
    EXPECT_EQ(problemOf(input).found, "PSC with current relay");
}

// Not the type is wrong: what each circuit of this type needs was not said.
TEST(CaseCircuit, AsksForAStartDeviceOfTheKindsThatTheTypeHas)
{
    EXPECT_EQ(describe(problemWith(&CircuitChoice::startDevice, "")),
              "cold-store.xml:7: circuit/start-device: missing; allowed: for CSCR the id of a "
              "potential relay, current relay or timed start switch. If nobody can read it: "
              "splitstart choose cold-store.xml --stock PARTS.xml.");
    Case input = coldStoreCase();
    input.circuit->startDevice = "";
    input.circuit->type = "RSCR";
    EXPECT_EQ(problemOf(input).problem, "missing");
    EXPECT_EQ(problemOf(input).allowed, "for RSCR the id of a PTC");
}

TEST(CaseCircuit, RefusesAVariantThatTheStartDeviceDoesNotHave)
{
    for (const char* variant : {"two-wire-assist", "run-capacitor-on-line", "upside-down"}) {
        const InputProblem problem = problemWith(&CircuitChoice::variant, variant);
        EXPECT_EQ(problem.field, "circuit/variant");
        EXPECT_EQ(problem.found, variant);
        EXPECT_NE(problem.allowed.find("CSCR variant=\"crankcase-heat\""), std::string::npos);
        EXPECT_EQ(problem.allowed.find("current relay"), std::string::npos);
    }
}

TEST(CaseCircuit, AsksForThePartsThatTheCircuitNeeds)
{
    const InputProblem start = problemWith(&CircuitChoice::startCapacitor, "");
    EXPECT_EQ(start.field, "circuit/start-capacitor");
    EXPECT_NE(start.allowed.find("start capacitor"), std::string::npos);
    EXPECT_EQ(problemWith(&CircuitChoice::runCapacitor, "").field, "circuit/run-capacitor");
}

// Of several circuits of the same type, variant and start device, the one that lacks least says
// what is missing: a PTC across a run capacitor needs no start capacitor.
TEST(CaseCircuit, AsksForNoMoreThanTheNearestCircuitNeeds)
{
    Case input = caseFor(standardCircuit("psc-ptc"));
    input.circuit->runCapacitor = "";
    EXPECT_EQ(problemOf(input).field, "circuit/run-capacitor");
    EXPECT_EQ(problemOf(input).problem, "missing");
    input.circuit->startCapacitor = "start";
    EXPECT_EQ(problemOf(input).field, "circuit/run-capacitor");
}

TEST(CaseCircuit, RefusesAPartThatTheCircuitHasNoPlaceFor)
{
    Case input = bottleCoolerCase();
    input.circuit->runCapacitor = "run";
    const InputProblem problem = problemOf(input);
    EXPECT_EQ(problem.field, "circuit/run-capacitor");
    EXPECT_EQ(problem.found, "run");
}

TEST(CaseCircuit, RefusesAPartThatIsNotInTheList)
{
    const std::pair<std::string CircuitChoice::*, const char*> places[] = {
        {&CircuitChoice::startDevice, "circuit/start-device"},
        {&CircuitChoice::startCapacitor, "circuit/start-capacitor"},
        {&CircuitChoice::runCapacitor, "circuit/run-capacitor"},
        {&CircuitChoice::protector, "circuit/protector"},
        {&CircuitChoice::fan, "circuit/fan"},
        {&CircuitChoice::fanCapacitor, "circuit/fan-capacitor"},
        {&CircuitChoice::contactor, "circuit/contactor"},
    };
    for (const auto& [place, field] : places) {
        const InputProblem missing = problemWith(place, "on-the-shelf");
        EXPECT_EQ(missing.field, field);
        EXPECT_EQ(missing.found, "on-the-shelf");
        EXPECT_FALSE(missing.allowed.empty());
        EXPECT_EQ(missing.place.line, 7);
    }
}

TEST(CaseCircuit, RefusesAPartOfAnotherKind)
{
    EXPECT_EQ(problemWith(&CircuitChoice::startDevice, "run").field, "circuit/start-device");
    EXPECT_EQ(problemWith(&CircuitChoice::startCapacitor, "run").field, "circuit/start-capacitor");
    EXPECT_EQ(problemWith(&CircuitChoice::runCapacitor, "start").field, "circuit/run-capacitor");
    EXPECT_EQ(problemWith(&CircuitChoice::protector, "relay").field, "circuit/protector");
    EXPECT_EQ(problemWith(&CircuitChoice::fan, "inside").field, "circuit/fan");
    EXPECT_EQ(problemWith(&CircuitChoice::fanCapacitor, "start").field, "circuit/fan-capacitor");
    EXPECT_EQ(problemWith(&CircuitChoice::contactor, "relay").field, "circuit/contactor");
}

namespace
{

void expectTheServicesParts(const Circuit& circuit, const Service& service)
{
    const bool ownCapacitor = service.fan == "fan-with-capacitor";
    EXPECT_EQ(circuit.find(PartKind::condenserFan) != nullptr, service.fan == "fan");
    EXPECT_EQ(circuit.find(PartKind::capacitorFan) != nullptr, ownCapacitor);
    EXPECT_EQ(circuit.find(PartKind::fanCapacitor) != nullptr, ownCapacitor && !service.dual);
    EXPECT_EQ(circuit.find(PartKind::dualRunCapacitor) != nullptr, service.dual);
    // The thermostat's contact is in the compressor's circuit where no contactor is.
    EXPECT_EQ(circuit.find(PartKind::contactor) != nullptr, !service.contactor.empty());
    EXPECT_EQ(circuit.find(PartKind::thermostat) != nullptr, service.contactor.empty());
    EXPECT_EQ(circuit.find(PartKind::protector) != nullptr, service.protector == "outside");
}

}  // namespace

// Every circuit with every choice of its optional parts: found by what the case names, whole, and
// a deck that fits its models, for a start, for a held shaft and for the off time.
TEST(CaseCircuit, IsEachStandardCircuitWithAnyOfItsOptionalParts)
{
    int circuits = 0;
    for (const Circuit& standard : standardCircuits()) {
        for (const Service& service : everyService()) {
            if ((service.dual && !takesDual(standard)) || heatsBehindTwoPoles(standard, service)) {
                continue;
            }
            SCOPED_TRACE(standard.description + ", " + serviceText(service));
            const Case input = caseFor(standard, service);
            Circuit circuit;
            ASSERT_NO_THROW(circuit = caseCircuit(input));
            EXPECT_EQ(circuit.description, standard.description);
            EXPECT_EQ(circuitFaults(circuit), std::vector<std::string>{});
            expectTheServicesParts(circuit, service);
            for (const RunSetting& setting :
                 {RunSetting{}, RunSetting{StartContact::automatic, 0.0, false},
                  RunSetting{StartContact::automatic, 0.0, true}}) {
                const SimulationModel model = modelOf(input, coldStoreMotor(), {}, setting);
                ASSERT_NO_THROW(writeDeck(model, Analysis{}, DeckText{}));
            }
            ++circuits;
        }
    }
    EXPECT_GT(circuits, 500);
}

// A fan keeps running when the protector in the common lead has tripped, whatever feeds it.
TEST(CaseCircuit, FeedsTheFanAheadOfTheProtectorWithAnyOptionalParts)
{
    for (const Circuit& standard : standardCircuits()) {
        for (const Service& service : everyService()) {
            if (service.protector != "outside" || service.fan.empty() ||
                (service.dual && !takesDual(standard)) || heatsBehindTwoPoles(standard, service)) {
                continue;
            }
            SCOPED_TRACE(standard.description + ", " + serviceText(service));
            Circuit tripped = withoutPart(caseCircuit(caseFor(standard, service)), "protector");
            const char* contact = service.contactor.empty() ? "thermostat" : "contactor";
            tripped = withPartBridged(tripped, contact);
            const bool plain = service.fan == "fan";
            EXPECT_TRUE(connected(tripped, "supply.L1", plain ? "fan.A" : "capacitor-fan.R"));
            EXPECT_TRUE(connected(tripped, "supply.L2", plain ? "fan.B" : "capacitor-fan.C"));
            EXPECT_FALSE(connected(tripped, "supply.L2", "compressor.C"));
        }
    }
}

TEST(CaseCircuit, RefusesCrankcaseHeatBehindAContactorThatOpensBothLines)
{
    int refused = 0;
    for (const Circuit& standard : standardCircuits()) {
        for (const Service& service : everyService()) {
            if (service.dual || !heatsBehindTwoPoles(standard, service)) {
                continue;
            }
            const InputProblem problem = problemOf(caseFor(standard, service));
            EXPECT_EQ(problem.field, "circuit/contactor") << standard.description;
            EXPECT_EQ(problem.found, "two-pole");
            EXPECT_EQ(problem.place.line, 7);
            ++refused;
        }
    }
    EXPECT_EQ(refused, 2 * 3 * 3);  // two circuits, three protectors, three fans
}

// A start capacitor and a run capacitor that belong to no place are refused in every circuit.
TEST(CaseCircuit, RefusesInEveryCircuitACapacitorTooMany)
{
    for (const Circuit& standard : standardCircuits()) {
        for (const auto& [place, kind, id] :
             {std::tuple(&CircuitChoice::startCapacitor, PartKind::startCapacitor, "start"),
              std::tuple(&CircuitChoice::runCapacitor, PartKind::runCapacitor, "run")}) {
            Case input = caseFor(standard);
            if (standard.find(kind) != nullptr ||
                standard.type + startDeviceId(standard) == "PSCptc") {
                continue;  // a PTC has one circuit with a start capacitor and one without
            }
            (*input.circuit).*place = id;
            EXPECT_EQ(problemOf(input).found, id) << standard.description;
        }
    }
}

TEST(LoadOfACase, CountsTheCrankAngleFromTopDeadCentre)
{
    Case input = coldStoreCase();
    input.compressor.load.startAngle_deg = 30;  // past bottom dead centre
    EXPECT_EQ(loadOf(input, {}).at("start_angle_deg"), 210);
}

TEST(LoadOfACase, BuildsThePressuresUpOnlyWhenTheyWereEqualised)
{
    Corner corner;
    corner.pressures = Pressures::equalised;
    EXPECT_GT(loadOf(coldStoreCase(), corner).at("build_up_revs"), 0);
    corner.pressures = Pressures::unequalised;
    EXPECT_EQ(loadOf(coldStoreCase(), corner).at("build_up_revs"), 0);
}

TEST(LoadOfACase, OfASteadyPumpIsTheRatedTorqueInAll)
{
    Case input = coldStoreCase();
    input.compressor.load.kind = LoadKind::steady;
    const SimulationModel model = modelOf(input, coldStoreMotor(), {});
    ASSERT_NE(model.find("steady_load"), nullptr);
    const Values load = valuesOf(model).at("load");
    EXPECT_DOUBLE_EQ(load.at("torque_nm") + load.at("friction_nm"), anyTorque_Nm);
    EXPECT_GT(load.at("friction_nm"), 0);
}

TEST(LoadOfACase, IsNothingOnAFreeShaft)
{
    Case input = coldStoreCase();
    input.compressor.load.kind = LoadKind::none;
    const SimulationModel none = modelOf(input, coldStoreMotor(), {});
    // A pump without torque, as on the bench, is a free shaft too.
    const Case pump = coldStoreCase();
    const SimulationModel zero =
        simulationModel(pump, caseCircuit(pump), coldStoreMotor(), 0, Corner{});
    for (const SimulationModel& model : {none, zero}) {
        ASSERT_NE(model.find("steady_load"), nullptr);
        EXPECT_EQ(model.find("steady_load")->comment, "free shaft");
        const Values load = valuesOf(model).at("load");
        for (const auto& [name, value] : load) {
            EXPECT_EQ(value, 0) << name;
        }
    }
}

TEST(CornerText, SaysWhatIsSpecialAboutTheCorner)
{
    EXPECT_EQ(cornerText({0.85, 110, Release::late, Pressures::unequalised}),
              "85 % line, hot windings, parts at the late end, unequalised");
    EXPECT_EQ(cornerText({1, 25, Release::middle, Pressures::equalised}),
              "100 % line, cold windings");
    EXPECT_EQ(cornerText({1.1, 25, Release::early, Pressures::equalised}),
              "110 % line, cold windings, parts at the early end");
    Corner corner{1, 110};
    corner.capacitors = Release::late;
    corner.restartAfter_s = 180;
    corner.switchOn_deg = 90;
    EXPECT_EQ(cornerText(corner),
              "100 % line, hot windings, capacitors at the lower end, started again after 180 s, "
              "switched on at 90 degrees");
}

}  // namespace splitstart
