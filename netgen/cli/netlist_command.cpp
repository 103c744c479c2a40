#include <fmt/format.h>

#include "circuit/case_circuit.h"
#include "cli/command.h"
#include "cli/corner_options.h"
#include "study/case_study.h"

namespace splitstart
{

namespace po = boost::program_options;

CommandLine netlistLine()
{
    CommandLine line(
        "splitstart netlist CASE.xml [options]",
        "Writes the start circuit as it is wired as one self-contained SPICE deck. Stock `ngspice "
        "-b` runs it unchanged and prints the quantities of the start.",
        "splitstart netlist examples/cheese-store.xml -o start.cir && ngspice -b start.cir");
    addCornerOptions(line);
    line.options.add_options()("seconds", po::value<double>()->default_value(1.5)->value_name("S"),
                               "length of the run");
    return line;
}

int netlistCommand(const po::variables_map& values)
{
    if (wantsJson(values)) {
        throw UsageError("--format json: a netlist is text");
    }
    const double end_s = values["seconds"].as<double>();
    if (!(end_s >= 0.2 && end_s <= 60)) {
        throw UsageError(fmt::format("--seconds: found {}; allowed: 0.2 to 60", end_s));
    }
    const Case input = caseFrom(values);
    const Corner corner = cornerFrom(values, input);
    const Circuit circuit = caseCircuit(input);
    SimulatorPool pool;
    const MotorStudy motor = motorStudy(input, circuit, pool);
    deliver(values, startDeck(input, circuit, motor, corner, end_s));
    return allPass;
}

}  // namespace splitstart
