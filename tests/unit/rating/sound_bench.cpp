#include "unit/rating/sound_bench.h"

#include <numbers>
#include <stdexcept>
#include <string>

#include "circuit/case_circuit.h"
#include "circuit/simulation_model.h"

namespace splitstart
{

namespace
{

// Lines of the trade's order of magnitude, straight between standstill and synchronous speed.
struct Course {
    double standing = 0;
    double synchronous = 0;
    [[nodiscard]] double at(double speed_ratio) const
    {
        return standing + (synchronous - standing) * speed_ratio;
    }
};

struct MotorCourses {
    double rated_Nm = 0;
    Course inTorque_Nm, outTorque_Nm;
    Course main_A, compressor_A;
    Course startWinding_V;
    Course runWinding_V;
    Course losses_W;
};

constexpr double synchronous_rad_s = 2 * std::numbers::pi * 60;  // two poles on 60 Hz

HeldShaftMeasurement row(const Circuit& circuit, const MotorCourses& motor, double speed_ratio,
                         bool startCircuitIn)
{
    HeldShaftMeasurement held;
    held.speed_ratio = speed_ratio;
    held.torque_Nm = (startCircuitIn ? motor.inTorque_Nm : motor.outTorque_Nm).at(speed_ratio);
    held.main_A = motor.main_A.at(speed_ratio);
    held.compressor_A = motor.compressor_A.at(speed_ratio);
    held.line_A = held.compressor_A;
    held.line_W = held.torque_Nm * speed_ratio * synchronous_rad_s + motor.losses_W.at(speed_ratio);
    held.auxiliary_A = 0.5 * held.main_A;
    held.startWinding_V = motor.startWinding_V.at(speed_ratio);
    held.runWinding_V = motor.runWinding_V.at(speed_ratio);
    if (circuit.find(PartKind::startCapacitor) != nullptr) {
        held.startCapacitor_V = held.startWinding_V;
    }
    if (circuit.find(PartKind::runCapacitor) != nullptr ||
        circuit.find(PartKind::dualRunCapacitor) != nullptr) {
        held.runCapacitor_V = 1.1 * held.startWinding_V;
    }
    if (circuit.find(PartKind::potentialRelay) != nullptr) {
        held.coil_V = held.startWinding_V;
    }
    if (circuit.find(PartKind::currentRelay) != nullptr) {
        held.coil_A = held.main_A;
    }
    return held;
}

std::vector<HeldShaftTable> tablesOf(const Circuit& circuit, const MotorCourses& motor)
{
    std::vector<HeldShaftTable> tables;
    for (const double winding_degC : {25.0, 110.0}) {
        for (const Release release : {Release::early, Release::late}) {
            HeldShaftTable table{winding_degC, release, {}, {}};
            for (const double speed_ratio : {0.0, 0.3, 0.6, 0.75, 0.85, 0.9, 0.95, 0.99}) {
                table.startCircuitIn.push_back(row(circuit, motor, speed_ratio, true));
                table.startCircuitOut.push_back(row(circuit, motor, speed_ratio, false));
            }
            tables.push_back(table);
        }
    }
    return tables;
}

std::vector<StartRun> startsOf(const StartMeasurement& measured)
{
    std::vector<StartRun> starts;
    for (const double line_ratio : {0.85, 1.0, 1.1}) {
        for (const double winding_degC : {25.0, 110.0}) {
            for (const Release release : {Release::early, Release::late}) {
                starts.push_back(
                    {{line_ratio, winding_degC, release, Pressures::equalised}, measured});
            }
        }
    }
    return starts;
}

std::vector<FitResidual> soundFit()
{
    return {{"locked-rotor amps", "A", 85, 84, 0.1}, {"rated-load amps", "A", 10, 10.1, 0.1}};
}

// Up to speed in 0.3 s at about what it draws standing still.
StartMeasurement soundStart(const Circuit& circuit, const MotorCourses& motor)
{
    constexpr double toSpeed_s = 0.3;
    StartMeasurement measured;
    measured.end_s = 0.6;
    measured.speedAtEnd_ratio = 0.96;
    measured.timeToSpeed_s = toSpeed_s;
    measured.terminalStalled_V = motor.runWinding_V.standing;
    measured.mainAfterOpening_A = 12;
    measured.startWindingAfterOpening_V = 130;
    measured.mainHeat_A2s = toSpeed_s * motor.main_A.standing * motor.main_A.standing;
    measured.auxiliaryHeat_A2s = 0.25 * *measured.mainHeat_A2s;
    measured.protectorTripped = 0;
    measured.protectorHottest_degC = 80;
    if (startDeviceOf(circuit)) {
        measured.startContactOpened_s = 0.25;
        measured.speedAtOpening_ratio = 0.8;
        measured.startContactOpenings = 1;
        measured.startContactAtEnd = 0;
        measured.startCircuitIn_s = 0.25;
        measured.contactCurrentMade_A = 20;
    }
    if (circuit.find(PartKind::ptc) != nullptr) {
        measured.ptcAtStart_degC = 25;
        measured.ptcHottest_degC = 150;
        measured.ptcWorst_V = 280;
        measured.ptcRunning_W = 2.5;
    } else if (startDeviceOf(circuit)) {
        measured.startContactOpen_V = 300;
    }
    if (circuit.find(PartKind::potentialRelay) != nullptr) {
        measured.coilAfterOpening_V = 130;
    }
    if (circuit.find(PartKind::currentRelay) != nullptr) {
        measured.coilAfterOpening_A = 12;
    }
    if (circuit.find(PartKind::startCapacitor) != nullptr) {
        measured.startCapacitorPeak_V = 220;
        measured.startCapacitorWorst_V = 150;
        measured.startCapacitorLeft_V = 200;
    }
    return measured;
}

RatingBench benchOf(const Case& input, const MotorCourses& motor)
{
    RatingBench bench{input, caseCircuit(input), {}};
    bench.evidence = {"", motor.rated_Nm, startsOf(soundStart(bench.circuit, motor)),
                      tablesOf(bench.circuit, motor), soundFit()};
    bench.evidence.auxiliaryOnLine_A = 0.5 * motor.main_A.standing;
    return bench;
}

// Of the 230 V compressors.
MotorCourses largeMotor()
{
    return {.rated_Nm = 5,
            .inTorque_Nm = {9, 9},
            .outTorque_Nm = {80, 0},  // 5 N m at 94 % speed
            .main_A = {70, 5},
            .compressor_A = {85, 4},
            .startWinding_V = {120, 300},
            .runWinding_V = {215, 228},
            .losses_W = {9000, 200}};
}

// An internal protector that trips at 85 % line before windings that heat by 18 K/s at rated volts
// are at 200 degC.
void quickenProtector(Case& input)
{
    partOf<Protector>(input, "inside").tripTime_s = {3.5, 7};
}

}  // namespace

std::vector<Finding> RatingBench::findings() const
{
    return judge(input, circuit, {&evidence, 1});
}

std::vector<Finding> RatingBench::findings(const std::vector<Evidence>& others) const
{
    std::vector<Evidence> all = {evidence};
    all.insert(all.end(), others.begin(), others.end());
    return judge(input, circuit, all);
}

Finding findingOf(const std::vector<Finding>& findings, std::string_view id)
{
    for (const Finding& finding : findings) {
        if (finding.check->id == id) {
            return finding;
        }
    }
    throw std::out_of_range(std::string(id) + " does not apply");
}

Finding RatingBench::finding(std::string_view id) const
{
    return findingOf(findings(), id);
}

RatingBench soundColdStore()
{
    Case input = coldStoreCase();
    quickenProtector(input);
    return benchOf(input, largeMotor());
}

RatingBench soundBottleCooler()
{
    Case input = bottleCoolerCase();
    partOf<StartCapacitor>(input, "start").bleed_ohm = 15e3;
    partOf<StartCapacitor>(input, "start").bleed_W = 2;
    RatingBench bench = benchOf(input, {.rated_Nm = 1,
                                        .inTorque_Nm = {2, 2},
                                        .outTorque_Nm = {16, 0},
                                        .main_A = {24, 4},
                                        .compressor_A = {28, 3},
                                        .startWinding_V = {90, 140},
                                        .runWinding_V = {108, 114},
                                        .losses_W = {1500, 60}});
    bench.eachStart([](StartMeasurement& m) {
        m.startCapacitorWorst_V = 120;
        m.startCapacitorPeak_V = 180;
    });
    return bench;
}

RatingBench soundMilkTank()
{
    Case input = milkTankCase();
    quickenProtector(input);
    RatingBench bench = benchOf(input, largeMotor());
    for (const StartRun& run : bench.evidence.starts) {
        if (isHot(run.corner.winding_degC) && run.corner.line_ratio <= 1) {
            StartRun again = run;
            again.corner.restartAfter_s = input.circuit->shortestOff_s;
            again.measured.ptcAtStart_degC = 90;
            bench.evidence.restarts.push_back(again);
        }
    }
    return bench;
}

RatingBench soundCurdRoom()
{
    Case input = curdRoomCase();
    // Outside the shell: it takes the volts away from which the switch counts.
    auto& outside = partOf<Protector>(input, "outside");
    outside.ultimateTrip_A = 28;
    outside.tripCurrent_A = 70;
    outside.tripTime_s = {3.5, 7};
    input.circuit->protector = "outside";
    return benchOf(input, largeMotor());
}

RatingBench soundButterChurn()
{
    Case input = butterChurnCase();
    quickenProtector(input);
    return benchOf(input, largeMotor());
}

RatingBench soundRipeningRoom()
{
    Case input = ripeningRoomCase();
    quickenProtector(input);
    RatingBench bench = benchOf(input, largeMotor());
    HeldShaftMeasurement off;
    off.auxiliary_A = 2;
    off.line_W = 15;  // against some 700 W of losses in running
    bench.evidence.offTime = off;
    return bench;
}

RatingBench soundCreamCellar()
{
    Case input = coldStoreCase();
    input.name = "cream cellar of the dairy";
    input.file = "cream-cellar.xml";
    input.circuit->variant = "crankcase-heat";
    quickenProtector(input);
    RatingBench bench = benchOf(input, largeMotor());
    HeldShaftMeasurement off;
    off.auxiliary_A = 2;
    off.line_W = 15;
    off.startCapacitor_V = 3;  // its lead is open
    bench.evidence.offTime = off;
    return bench;
}

std::vector<RatingBench> soundBenches()
{
    return {soundColdStore(),   soundBottleCooler(), soundMilkTank(),   soundCurdRoom(),
            soundButterChurn(), soundRipeningRoom(), soundCreamCellar()};
}

}  // namespace splitstart
