#include <fmt/format.h>

#include "case/found_wire.h"
#include "case/input_error.h"
#include "circuit/case_circuit.h"
#include "cli/command.h"
#include "report/part_text.h"
#include "report/report.h"
#include "report/wiring_drawing.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

// Wires named on the command line are all that were found, in place of the case's.
void takeFoundWires(const po::variables_map& values, Case& input)
{
    if (values.count("wire") == 0) {
        return;
    }
    FoundWiring found;
    for (const std::string& wire : values["wire"].as<std::vector<std::string>>()) {
        try {
            found.wires.push_back(parseFoundWire(wire));
        } catch (const std::invalid_argument& error) {
            throw UsageError(error.what());
        }
    }
    input.asFound = found;
}

// What wires that are not right do.
FoundStartAnswer startAsFound(const Case& input, const WiringStudy& study)
{
    FoundStartAnswer answer;
    if (!study.found || study.found->isRight()) {
        return answer;
    }
    if (isShort(*study.found)) {
        answer.whyNot =
            "it is a short from line to line; nothing limits the current but the supply";
        return answer;
    }
    if (isDead(*study.found)) {
        answer.whyNot = "no current can flow through the compressor: it does nothing";
        return answer;
    }
    try {
        SimulatorPool pool;
        answer.start = foundStart(input, study, pool);
    } catch (const InputError& error) {
        answer.whyNot = std::string("the case does not tell the motor: ") + error.what();
    } catch (const SimulationError& error) {
        answer.whyNot = std::string("the simulator could not follow it: ") + error.what();
    }
    return answer;
}

// As found, where that is known and asked for; else as it should be.
std::string drawingOf(const Case& input, const WiringStudy& study, bool asFound)
{
    DrawingText text;
    text.title = input.name;
    text.invented = input.invented;
    text.pins = study.pins;
    for (const CircuitPart& part : study.circuit.parts) {
        if (part.kind == PartKind::supply) {
            text.ratings[part.id] =
                fmt::format("{} V, {} Hz", input.supply.voltage_V, input.supply.frequency_Hz);
        }
        if (const CatalogPart* entry = catalogPartOf(input, part.kind)) {
            text.ratings[part.id] = labelText(entry->data);
        }
    }
    if (!asFound) {
        return wiringDrawing(study.circuit, text);
    }
    Circuit found = study.found->circuit;
    found.description = "AS FOUND" + std::string(study.found->isRight() ? "" : ", NOT RIGHT");
    return wiringDrawing(found, text);
}

}  // namespace

int wiringCommand(const std::vector<std::string>& arguments)
{
    CommandLine line(
        "splitstart wiring CASE.xml [options]",
        "Lists the wires of the circuit in the order in which they are landed, and what an "
        "ohmmeter must read before the supply is put on. Compares the wires that were found with "
        "those that ought to be, and says the fewest changes that put them right.\nExit status: 0 "
        "done, 1 the wires found are wrong or the readings say that this compressor must not be "
        "energised, 2 bad input.",
        "splitstart wiring examples/cheese-store.xml --drawing -o wiring.svg");
    line.options.add_options()("drawing", po::bool_switch(),
                               "the drawing in place of the list, as SVG, from the same wires")(
        "wire", po::value<std::vector<std::string>>()->composing()->value_name("A.1=B.2"),
        "a wire as found, once for each: all of them, in place of the case's <as-found>")(
        "as-found", po::bool_switch(), "with --drawing: as it was found, not as it should be");
    po::variables_map values;
    if (!line.parse(arguments, values)) {
        return allPass;
    }
    const bool json = wantsJson(values);
    const bool drawing = values["drawing"].as<bool>();
    if (json && drawing) {
        throw UsageError("--drawing: the drawing is SVG; leave out --format json");
    }
    Case input = caseFrom(values);
    takeFoundWires(values, input);
    const bool asFound = values["as-found"].as<bool>();
    if (asFound && !(drawing && input.asFound)) {
        throw UsageError(
            "--as-found: draws the wires found; name them with --wire or in the "
            "case's <as-found>, and add --drawing");
    }
    const WiringStudy study = wiringStudy(input);
    if (drawing) {
        deliver(values, drawingOf(input, study, asFound));
    } else {
        const FoundStartAnswer found = startAsFound(input, study);
        deliver(values,
                json ? wiringJson(input, study, found)
                     : wiringText(input, study, found, {colourWanted(), false, pageWidth()}));
    }
    const bool isWrong = study.found && !study.found->isRight();
    return isWrong || study.windings.health.safe.answer == EnergiseAnswer::no ? failsOrUndecided
                                                                              : allPass;
}

}  // namespace splitstart
