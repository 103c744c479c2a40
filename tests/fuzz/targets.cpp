#include "fuzz/targets.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>

#include "case/found_wire.h"
#include "case/input_error.h"
#include "case/reader.h"
#include "circuit/as_found.h"
#include "circuit/case_circuit.h"
#include "circuit/part_notes.h"
#include "circuit/simulation_model.h"
#include "circuit/wire_changes.h"
#include "circuit/wiring_faults.h"
#include "circuit/wiring_plan.h"
#include "fuzz/deck_properties.h"
#include "fuzz/random_case.h"
#include "motor/health.h"
#include "motor/identify.h"
#include "spice/deck_check.h"
#include "spice/netlist.h"
#include "study/case_study.h"

namespace splitstart::fuzz
{

namespace
{

std::string_view textOf(Bytes bytes)
{
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

// One line for each problem, without anything that a terminal would obey.
void requireShowable(std::string_view message)
{
    if (message.empty()) {
        throw std::logic_error("a refusal without a word");
    }
    for (const char c : message) {
        if ((c >= 0 && c < ' ' && c != '\n') || c == 0x7F) {
            throw std::logic_error(
                fmt::format("a message with the control character {:#x}", static_cast<int>(c)));
        }
    }
}

// Where the examples' parts lie, so that they can be mutated with their parts.
const std::string folder = SPLITSTART_SOURCE_DIR "/examples";

MotorStudy studyOf(const Case& input)
{
    MotorStudy study;
    if (input.compressor.readings) {
        study.identification = identify(*input.compressor.readings, {}, input.compressor.pins);
    }
    study.health = assessHealth(input.compressor, study.identification);
    study.notes = assumedPartNotes(input);
    study.source = {input.supply.source_ohm, input.supply.source_H};
    return study;
}

Corner drawCorner(Choices& choices)
{
    static constexpr Release releases[] = {Release::early, Release::middle, Release::late};
    Corner corner;
    corner.line_ratio = choices.between(0.5, 1.3);
    corner.winding_degC = choices.between(-40, 200);
    corner.release = releases[choices.below(3)];
    corner.pressures = choices.chance(0.5) ? Pressures::unequalised : Pressures::equalised;
    if (choices.chance(0.3)) {
        corner.switchOn_deg = choices.between(0, 360);
    }
    if (choices.chance(0.3)) {
        corner.capacitors = releases[choices.below(3)];
    }
    if (choices.chance(0.3)) {
        corner.restartAfter_s = choices.chance(0.3) ? 0 : choices.betweenByRatio(1e-3, 86400);
    }
    return corner;
}

RunSetting drawSetting(Choices& choices, double synchronous_rad_s)
{
    static constexpr StartContact contacts[] = {StartContact::automatic, StartContact::heldClosed,
                                                StartContact::heldOpen};
    RunSetting setting;
    setting.contact = contacts[choices.below(3)];
    setting.switchOpen = choices.chance(0.2);
    if (choices.chance(0.5)) {
        setting.fixedSpeed_rad_s = choices.between(-1.2, 1.2) * synchronous_rad_s;
    } else if (choices.chance(0.3)) {
        setting.initialSpeed_rad_s = choices.between(-1.2, 1.2) * synchronous_rad_s;
    }
    return setting;
}

// The session's own check of it, as before each run.
void requireTaken(const std::string& deck, double end_s)
{
    prepareJob({.deck = deck, .vectors = {"speed"}, .end_s = end_s, .stop = {}, .sweep = {}},
               "a title");
}

void requireFinite(const SimulationModel& model)
{
    for (const SubcircuitInstance& instance : model.instances) {
        for (const auto& [name, value] : instance.parameters) {
            if (!std::isfinite(value)) {
                throw std::logic_error(fmt::format("{}_{} is {}", instance.name, name, value));
            }
        }
    }
}

// Decks of one circuit at one working point; each with what its analysis ends at, 0 for .ac, and a
// negative number where the session does not take it (a control section).
struct WrittenDeck {
    std::string text;
    double end_s = 0;
};

std::vector<WrittenDeck> decksOf(const Case& input, const Circuit& circuit, const MotorStudy& study,
                                 const Corner& corner, const RunSetting& setting)
{
    const SimulationModel model = simulationModel(
        input, circuit, study.motor.circuit, study.motor.ratedTorque_Nm.value, corner, setting);
    requireFinite(model);
    std::vector<WrittenDeck> decks;
    Analysis analysis;
    analysis.end_s = endBetweenSteps_s(1.5, analysis.largestStep_s);
    if (setting.fixedSpeed_rad_s) {
        analysis.kind = Analysis::Kind::fixedFrequency;
        analysis.frequency_Hz = model.frequency_Hz;
        analysis.end_s = 0;
    }
    DeckText text = deckText(input, circuit, study, corner);
    for (const bool readOften : {false, true}) {
        text.controlSection = false;
        text.readOften = readOften;
        decks.push_back({writeDeck(model, analysis, text), analysis.end_s});
    }
    text.controlSection = true;
    text.readOften = false;
    decks.push_back({writeDeck(model, analysis, text), -1});
    return decks;
}

void requireSound(const std::vector<WrittenDeck>& decks)
{
    for (const WrittenDeck& deck : decks) {
        requireWhole(deck.text);
        if (deck.end_s >= 0) {
            requireTaken(deck.text, deck.end_s);
        }
    }
}

// As far as the wires found can be simulated, their deck is as sound as any.
void tryFound(const Case& input, const Circuit& wanted, const FoundWiring& wires,
              const MotorStudy& study)
{
    const Circuit found = asFoundCircuit(wanted, wires);
    const WireComparison comparison = compareWiring(wanted, found);
    if (!sameConnections(withMoves(found, comparison.moves), wanted)) {
        throw std::logic_error("the moves do not lead to the circuit that is wanted");
    }
    for (const WireMove& move : comparison.moves) {
        requireShowable(moveSentence(move));
    }
    for (const WiringFault& fault : wiringFaults(found)) {
        requireShowable(fault.finding);
        if (fault.kind == WiringFaultKind::deadShort ||
            fault.kind == WiringFaultKind::shortThroughClosedContact ||
            fault.kind == WiringFaultKind::deadCompressor) {
            return;
        }
    }
    requireSound(decksOf(input, simulable(found).circuit, study, {}, {}));
}

// A case to put wires into, for each standard circuit; read once, since wires are what is tried.
const Case& caseOfCircuit(std::size_t circuit)
{
    static std::map<std::size_t, Case> cases;
    if (!cases.contains(circuit)) {
        RandomChoices choices(3);
        const CaseWishes wishes{circuit, {{"case.name", "wires"}}, {{"as-found", true}}};
        cases.emplace(circuit,
                      readCaseText(fileText(randomCase(choices, wishes)), "wires.xml", {}));
    }
    return cases.at(circuit);
}

}  // namespace

bool tryCase(Bytes bytes)
{
    try {
        const Case input = readCaseText(textOf(bytes), "fuzz.xml", folder);
        const MotorStudy study = studyOf(input);
        if (!input.circuit) {
            return true;
        }
        const Circuit circuit = caseCircuit(input);
        wiringPlan(circuit);
        if (input.asFound) {
            compareWiring(circuit, asFoundCircuit(circuit, *input.asFound));
        }
        return true;
    } catch (const InputError& error) {
        requireShowable(error.what());
        return false;
    }
}

bool tryParts(Bytes bytes)
{
    try {
        readPartsText(textOf(bytes), "fuzz.xml");
        return true;
    } catch (const InputError& error) {
        requireShowable(error.what());
        return false;
    }
}

bool tryWires(Bytes bytes)
{
    if (bytes.empty()) {
        return false;
    }
    const Case& input = caseOfCircuit(bytes.front() % standardCircuits().size());
    const Circuit wanted = caseCircuit(input);
    std::string_view text = textOf(bytes.subspan(1));
    // Beyond that nothing new happens, and the matching of wires to nets takes its time.
    constexpr std::size_t mostWires = 40;
    FoundWiring wires;
    while (!text.empty() && wires.wires.size() < mostWires) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        try {
            wires.wires.push_back(parseFoundWire(text.substr(0, end)));
        } catch (const std::invalid_argument& error) {
            requireShowable(error.what());
        }
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    try {
        MotorStudy study = studyOf(input);
        study.motor = givenMotor(input.compressor);
        tryFound(input, wanted, wires, study);
        return true;
    } catch (const InputError& error) {
        requireShowable(error.what());
        return false;
    }
}

bool tryNetlist(Bytes bytes)
{
    ByteChoices choices(bytes);
    // The working point first: it is then not pushed along when the case grows.
    const Corner corner = drawCorner(choices);
    RunSetting setting = drawSetting(choices, 377);
    const bool motorUnknown = choices.chance(0.25);
    pugi::xml_document document = randomCase(choices);
    Case input;
    Circuit circuit;
    try {
        input = readCaseText(fileText(document), "fuzz.xml", {});
        circuit = caseCircuit(input);
    } catch (const InputError& error) {
        requireShowable(error.what());
        return false;
    }
    MotorStudy study = studyOf(input);
    study.motor = givenMotor(input.compressor);
    makeHarmless(document);
    Case harmless = readCaseText(fileText(document), "fuzz.xml", {});
    if (motorUnknown) {
        // As if the motor had been estimated.
        input.compressor.equivalentCircuit.reset();
        harmless.compressor.equivalentCircuit.reset();
    }
    const std::vector<WrittenDeck> decks = decksOf(input, circuit, study, corner, setting);
    requireSound(decks);
    const std::vector<WrittenDeck> others =
        decksOf(harmless, caseCircuit(harmless), study, corner, setting);
    for (std::size_t i = 0; i < decks.size(); ++i) {
        requireSameButComments(decks[i].text, others[i].text);
    }
    requireWhole(startDeck(input, circuit, study, corner, 1.5));
    if (input.asFound) {
        try {
            tryFound(input, circuit, *input.asFound, study);
        } catch (const InputError& error) {
            requireShowable(error.what());
        }
    }
    return true;
}

}  // namespace splitstart::fuzz
