#include <gtest/gtest.h>

#include <functional>
#include <string>

#include "case/input_error.h"
#include "circuit/simulation_model.h"
#include "unit/circuit/circuit_fixture.h"
#include "unit/circuit/model_fixture.h"

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
    EXPECT_EQ(problem.place.file, "cold-store.xml");
}

TEST(CaseCircuit, RefusesACircuitThatIsNoStandardOne)
{
    const InputProblem problem = problemWith(&CircuitChoice::type, "RSIR");
    EXPECT_EQ(problem.field, "circuit/type");
    EXPECT_EQ(problem.place.line, 7);
    EXPECT_NE(problem.found.find("RSIR"), std::string::npos);
    EXPECT_NE(problem.allowed.find("CSCR"), std::string::npos);
    EXPECT_NE(problem.allowed.find("CSIR"), std::string::npos);
}

TEST(CaseCircuit, RefusesACircuitWithAnotherStartDevice)
{
    Case input = bottleCoolerCase();
    input.circuit->type = "CSCR";
    EXPECT_EQ(problemOf(input).field, "circuit/type");
    EXPECT_NE(problemOf(input).found.find("current relay"), std::string::npos);
    EXPECT_EQ(problemWith(&CircuitChoice::startDevice, "").field, "circuit/type");
    EXPECT_NE(problemWith(&CircuitChoice::startDevice, "").found.find("no start device"),
              std::string::npos);
}

TEST(CaseCircuit, AsksForThePartsThatTheCircuitNeeds)
{
    const InputProblem start = problemWith(&CircuitChoice::startCapacitor, "");
    EXPECT_EQ(start.field, "circuit/start-capacitor");
    EXPECT_NE(start.allowed.find("start capacitor"), std::string::npos);
    EXPECT_EQ(problemWith(&CircuitChoice::runCapacitor, "").field, "circuit/run-capacitor");
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
}

}  // namespace splitstart
