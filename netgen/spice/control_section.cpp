#include "spice/control_section.h"

#include <fmt/format.h>

#include <array>
#include <functional>
#include <map>
#include <string_view>
#include <utility>
#include <vector>

#include "spice/measurement.h"
#include "spice/measurement_names.h"
#include "spice/netlist.h"

namespace splitstart
{

namespace
{

// What the commands of scripts/ngspice look for: vectors as expressions of the circuit's own, and
// the parameters that hold a contact. models/README.md lists them.
constexpr std::array<std::string_view, 17> promptSignals = {"line_v",
                                                            "line_a",
                                                            "main_a",
                                                            "auxiliary_a",
                                                            "common_a",
                                                            "run_winding_v",
                                                            "start_winding_v",
                                                            "start_contact",
                                                            "contact_a",
                                                            "contact_override",
                                                            "coil_v",
                                                            "coil_a",
                                                            "ptc_v",
                                                            "start_capacitor_v",
                                                            "run_capacitor_v",
                                                            "protector_closed",
                                                            "protector_override"};

// "v(a)-v(b)", ground left out.
std::string difference(const std::string& plus, const std::string& minus)
{
    return minus == "0"  ? fmt::format("v({})", plus)
           : plus == "0" ? fmt::format("-v({})", minus)
                         : fmt::format("v({})-v({})", plus, minus);
}

class ControlWriter
{
public:
    ControlWriter(const SimulationModel& model, const Analysis& analysis)
        : model_(model), end_(spiceNumber(analysis.end_s))
    {
        const double cycle_s = 1 / model.frequency_Hz;
        secondCycle_ = fmt::format("from={} to={}", spiceNumber(cycle_s), spiceNumber(2 * cycle_s));
        // A hair before the last point, so that reading at the end finds a step to interpolate in.
        runningTo_ = spiceNumber(analysis.end_s * (1 - 1e-9));
        runningFrom_ = spiceNumber(analysis.end_s - cyclesAtEnd * cycle_s);
        lastCycle_ = fmt::format("from={} to={}", spiceNumber(analysis.end_s - cycle_s), end_);
        running_ = fmt::format("from={} to={}", runningFrom_, end_);
    }

    std::string write();

private:
    void let(const char* name, const std::string& expression)
    {
        signals_.emplace_back(name, expression);
        text_ += fmt::format("let {} = {}\n", name, expression);
    }
    void measure(const char* quantity, const std::string& what)
    {
        text_ += fmt::format("meas tran {} {}\n", quantity, what);
    }
    // The mean over the last six cycles, from the running integral read at both ends: `meas avg`
    // takes whole steps only, which is too coarse for what pulsates.
    void meanRunning(const char* quantity, const std::string& vector)
    {
        text_ += fmt::format(
            "let sum_{0} = integ({1})\n"
            "meas tran integral_from_{0} find sum_{0} at={2}\n"
            "meas tran integral_to_{0} find sum_{0} at={3}\n"
            "let {0} = (integral_to_{0}-integral_from_{0})/({3}-{2})\nprint {0}\n",
            quantity, vector, runningFrom_, runningTo_);
    }
    void peak(const char* quantity, const char* vector)
    {
        text_ += fmt::format("let {0} = vecmax(abs({1}))\nprint {0}\n", quantity, vector);
    }
    void writeBurningArc();
    void writeStartDevice();
    void writeCapacitors();
    [[nodiscard]] std::string forThePrompt() const;

    const SimulationModel& model_;
    std::string end_;
    std::string secondCycle_;
    std::string lastCycle_;
    std::string runningFrom_;
    std::string runningTo_;
    std::string running_;
    std::string text_;
    std::vector<std::pair<std::string, std::string>> signals_;  // names and what they stand for
};

// As StartColumns::startDeviceMade().
void ControlWriter::writeBurningArc()
{
    let("contact_a", fmt::format("i(v.{})", model_.startDevice->ammeter));
    measure("contact_current_at_end_a", "rms contact_a " + lastCycle_);
    text_ += fmt::format(
        "let made = start_contact gt 0.5\n"
        "if made[length(made)-1] lt 0.5 and vecmax(made) gt 0.5 and contact_current_at_end_a gt "
        "{0}\n"
        "let contact_left_s = vecmax(made*time)\n"
        "if contact_left_s lt {1}\n"
        "echo the arc of the open start contact burns on to the end: it counts as made\n"
        "let start_contact = made or time gt contact_left_s\n"
        "end\n"
        "end\n",
        spiceNumber(burningArc_A), runningFrom_);
}

void ControlWriter::writeStartDevice()
{
    const SubcircuitInstance* relay = model_.find("potential_relay");
    if (model_.startDevice) {
        const std::string closed = fmt::format("v({})", model_.startDevice->closedNode);
        let("start_contact", closed);
        if (model_.find("ptc") == nullptr) {
            writeBurningArc();
        }
        measure("start_contact_opened_s", "when start_contact=0.5 fall=1");
        measure("speed_at_opening_ratio", "find speed_ratio when start_contact=0.5 fall=1");
        measure("start_circuit_in_s", fmt::format("integ start_contact from=0 to={}", end_));
    }
    if (relay != nullptr) {
        let("coil_v", difference(relay->nodeOfPort.at("t2"), relay->nodeOfPort.at("t5")));
        measure("coil_running_v", "rms coil_v " + running_);
    }
    if (const SubcircuitInstance* ptc = model_.find("ptc")) {
        let("ptc_degc", fmt::format("v({})", ptc->nodeOfPort.at("temperature")));
        peak("ptc_hottest_degc", "ptc_degc");
        let("ptc_v", difference(ptc->nodeOfPort.at("a"), ptc->nodeOfPort.at("b")));
        let("ptc_w", fmt::format("ptc_v*i(v.x{}.vptc)", ptc->name));
        meanRunning("ptc_running_w", "ptc_w");
    }
}

void ControlWriter::writeCapacitors()
{
    for (const SubcircuitInstance& instance : model_.instances) {
        if (instance.subcircuit != "ac_capacitor") {
            continue;
        }
        const std::string volts =
            difference(instance.nodeOfPort.at("a"), instance.nodeOfPort.at("b"));
        if (instance.name == "start_capacitor") {
            let("start_capacitor_v", volts);
            peak("start_capacitor_peak_v", "start_capacitor_v");
        } else if (instance.name == "run_capacitor") {
            let("run_capacitor_v", volts);
            measure("run_capacitor_running_v", "rms run_capacitor_v " + running_);
        }
    }
}

std::string ControlWriter::write()
{
    const SubcircuitInstance& motor = model_.instance("compressor");
    const SubcircuitInstance& supply = model_.instance("supply");
    const std::string& c = motor.nodeOfPort.at("c");
    let("line_a", fmt::format("i(v.x{}.vline)", supply.name));
    let("main_a", "i(v.xcompressor.vmain)");
    let("auxiliary_a", "i(v.xcompressor.vaux)");
    let("common_a", "main_a+auxiliary_a");
    let("speed_ratio", fmt::format("v(speed)/{}", spiceNumber(model_.synchronousSpeed_rad_s)));
    let("run_winding_v", difference(motor.nodeOfPort.at("r"), c));
    let("start_winding_v", difference(motor.nodeOfPort.at("s"), c));
    let("line_v", difference(supply.nodeOfPort.at("l1"), supply.nodeOfPort.at("l2")));
    let("drawn_w", "-line_v*line_a");
    text_ +=
        "echo\necho quantities of this start, SI units; integral_from and integral_to are steps on "
        "the "
        "way to a mean\n";
    meanRunning("speed_at_end_ratio", "speed_ratio");
    measure("time_to_speed_s",
            fmt::format("when speed_ratio={} rise=1", spiceNumber(upToSpeed_ratio)));
    meanRunning("torque_running_nm", "v(torque)");
    measure("terminal_stalled_v", "rms run_winding_v " + secondCycle_);
    measure("line_stalled_a", "rms line_a " + secondCycle_);
    peak("line_peak_a", "line_a");
    peak("main_peak_a", "main_a");
    peak("auxiliary_peak_a", "auxiliary_a");
    writeStartDevice();
    writeCapacitors();
    measure("start_winding_running_v", "rms start_winding_v " + running_);
    measure("line_running_a", "rms line_a " + running_);
    measure("compressor_running_a", "rms common_a " + running_);
    measure("main_running_a", "rms main_a " + running_);
    meanRunning("line_running_w", "drawn_w");
    return ".control\n" + forThePrompt() + "set noaskquit\nrun\n" + text_ + "quit 0\nend\n.endc\n";
}

// Says by what names the commands of scripts/ngspice find their way, and runs nothing.
std::string ControlWriter::forThePrompt() const
{
    std::map<std::string, std::string, std::less<>> found(signals_.begin(), signals_.end());
    if (model_.startDevice) {
        const std::string& device = model_.startDevice->instance;
        found["contact_a"] = fmt::format("i(v.{})", model_.startDevice->ammeter);
        if (model_.instance(device).subcircuit != "ptc") {
            found["contact_override"] = device + "_contact_override";
        }
    }
    if (const SubcircuitInstance* relay = model_.find("current_relay")) {
        found["coil_a"] = fmt::format("i(v.x{}.vcoil)", relay->name);
    }
    if (const SubcircuitInstance* protector = model_.find("overload_protector")) {
        found["protector_closed"] = fmt::format("v({})", protector->nodeOfPort.at("closed"));
        found["protector_override"] = protector->name + "_contact_override";
    }
    // Every name each time, so that none is left of the deck that was read before.
    std::string text = "if $?ss_prompt\n";
    for (const std::string_view name : promptSignals) {
        const auto signal = found.find(name);
        text += signal != found.end() ? fmt::format("set ss_{} = \"{}\"\n", name, signal->second)
                                      : fmt::format("unset ss_{}\n", name);
    }
    return text + "else\n";
}

// The quantities of a held shaft, rms, under the names of HeldShaftMeasurement's fields.
std::string heldShaftSection(const SimulationModel& model)
{
    std::string text =
        ".control\nset noaskquit\nrun\necho\necho quantities at this speed, SI units, rms\n";
    const auto print = [&text](const char* quantity, const std::string& expression) {
        text += fmt::format("let {0} = {1}\nprint {0}\n", quantity, expression);
    };
    const auto rms = [](const std::string& phasor) {
        return fmt::format("mag({})*0.7071067811865476", phasor);
    };
    // Mean of the product of two sines: half the real part of one times the other's conjugate.
    const auto mean = [](const std::string& one, const std::string& other) {
        return fmt::format("0.5*(real({0})*real({1})+imag({0})*imag({1}))", one, other);
    };
    const auto& pins = model.instance("compressor").nodeOfPort;
    const SubcircuitInstance& supply = model.instance("supply");
    const std::string line = fmt::format("i(v.x{}.vline)", supply.name);
    print("line_a", rms(line));
    print("main_a", rms("i(v.xcompressor.vmain)"));
    print("auxiliary_a", rms("i(v.xcompressor.vaux)"));
    print("current_angle_deg",
          "ph(i(v.xcompressor.vaux)/i(v.xcompressor.vmain))*57.29577951308232");
    print("run_winding_v", rms(difference(pins.at("r"), pins.at("c"))));
    print("start_winding_v", rms(difference(pins.at("s"), pins.at("c"))));
    print("line_w",
          "-" + mean("(" + difference(supply.nodeOfPort.at("l1"), supply.nodeOfPort.at("l2")) + ")",
                     line));
    for (const SubcircuitInstance& instance : model.instances) {
        const bool isCapacitor =
            instance.name == "start_capacitor" || instance.name == "run_capacitor";
        if (isCapacitor || instance.name == "relay_coil") {
            print((instance.name + "_v").c_str(),
                  rms(difference(instance.nodeOfPort.at("a"), instance.nodeOfPort.at("b"))));
        }
    }
    print("torque_nm",
          fmt::format("{0}*{1}*{2}-{0}/{1}*{3}", model.polePairs, spiceNumber(model.turnsRatio),
                      mean("v(xcompressor.psiq)", "i(v.xcompressor.vrotd)"),
                      mean("v(xcompressor.psid)", "i(v.xcompressor.vrotq)")));
    return text + "quit 0\n.endc\n";
}

}  // namespace

std::string controlSection(const SimulationModel& model, const Analysis& analysis)
{
    if (analysis.kind == Analysis::Kind::fixedFrequency) {
        return heldShaftSection(model);
    }
    return ControlWriter(model, analysis).write();
}

std::string promptNumbers(const SimulationModel& model, const Analysis& analysis,
                          const PartRatings& ratings)
{
    std::string text =
        "*\n* for the commands at ngspice's prompt (scripts/ngspice): the run, the parts' set "
        "values "
        "and\n* their ratings, rms; 0: there is none, or nobody has told\n";
    const auto add = [&text](std::string_view name, const std::string& expression) {
        text += fmt::format(".csparam ss_{}={{{}}}\n", name, expression);
    };
    add("hertz", spiceNumber(model.frequency_Hz));
    add("synchronous_rad_s", spiceNumber(model.synchronousSpeed_rad_s));
    add("end_s", spiceNumber(analysis.end_s));
    // Set values are the parameters of the circuit itself, whatever becomes of them.
    const auto addParameter = [&](std::string_view name, const SubcircuitInstance* part,
                                  std::string_view parameter) {
        add(name, part != nullptr ? fmt::format("{}_{}", part->name, parameter) : "0");
    };
    const SubcircuitInstance* const capacitor = instanceNamed(model, "start_capacitor");
    addParameter("start_capacitor_farads", capacitor, "farads");
    addParameter("start_capacitor_series_ohms", capacitor, "series_ohms");
    const SubcircuitInstance* const potential = model.find("potential_relay");
    addParameter("pick_up_v", potential, "pick_up_v");
    addParameter("drop_out_v", potential, "drop_out_v");
    const SubcircuitInstance* const current = model.find("current_relay");
    addParameter("pull_in_a", current, "pull_in_a");
    addParameter("drop_out_a", current, "drop_out_a");
    const std::pair<std::string_view, std::optional<double>> told[] = {
        {"start_capacitor_rated_v", ratings.startCapacitor_V},
        {"start_capacitor_longest_s", ratings.startCapacitorLongest_s},
        {"run_capacitor_rated_v", ratings.runCapacitor_V},
        {"coil_rated_v", ratings.coil_V},
        {"coil_rated_a", ratings.coil_A},
        {"contact_rated_a", ratings.contact_A},
        {"ptc_rated_v", ratings.ptc_V}};
    for (const auto& [name, rating] : told) {
        add(name, spiceNumber(rating.value_or(0)));
    }
    // Without its shaft the motor can be looked at standing still by .ac.
    return text +
           "*\n* 1 holds the shaft still, for .ac\n.param shaft_held=0\n.if (shaft_held > 0)\n"
           "vshaft speed 0 dc 0\n.endif\n";
}

}  // namespace splitstart
