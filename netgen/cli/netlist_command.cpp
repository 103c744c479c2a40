#include <fmt/format.h>

#include "circuit/case_circuit.h"
#include "cli/command.h"
#include "cli/corner_options.h"
#include "cli/number_option.h"
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
    line.statuses = {{allPass, "done"}, {badInput}, {simulatorFailed}};
    addCornerOptions(line);
    addNumber<double>(line, {"seconds", "S", startLength_s, 1.5, "length of the run in seconds"});
    return line;
}

int netlistCommand(const po::variables_map& values)
{
    if (wantsJson(values)) {
        throw UsageError("--format json: a netlist is text");
    }
    const double end_s = values["seconds"].as<double>();
    const Case input = caseFrom(values);
    const Corner corner = cornerFrom(values, input);
    const Circuit circuit = caseCircuit(input);
    SimulatorPool pool;
    const MotorStudy motor = motorStudy(input, circuit, pool);
    deliver(values, startDeck(input, circuit, motor, corner, end_s));
    return allPass;
}

}  // namespace splitstart
