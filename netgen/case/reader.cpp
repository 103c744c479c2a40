#include "case/reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <functional>
#include <optional>
#include <utility>

#include "case/case_rules.h"
#include "case/element.h"
#include "case/field_edit.h"
#include "case/parts_reader.h"
#include "case/reading_rules.h"
#include "case/wire_gauge.h"

namespace splitstart
{

namespace
{

// What reading a case needs besides its text.
struct CaseReading {
    std::string folder;  // that the parts file is looked for in
    std::function<FileContent(const std::string&)> readFile;
    std::span<const FieldChange> changes;
};

ConductorMaterial readMaterial(const Element& element)
{
    static constexpr ConductorMaterial materials[] = {ConductorMaterial::copper,
                                                      ConductorMaterial::aluminium};
    return materials[element.choice("material")];
}

ConductorRun readConductor(const Element& element)
{
    checkConductor(element);
    ConductorRun run;
    run.length_m = element.number(element.given("feet") ? "feet" : "metres");
    run.area_m2 = element.good("awg") ? awgArea_m2(element.text("awg"))
                                      : element.number("square-millimetres");
    run.material = readMaterial(element);
    run.temperature_degC = element.number("temperature-c");
    run.place = element.place();
    return run;
}

Supply readSupply(const Element& element)
{
    static constexpr SupplyKind kinds[] = {SupplyKind::utility, SupplyKind::generator,
                                           SupplyKind::inverter};
    Supply supply;
    supply.voltage_V = element.number("volts");
    supply.frequency_Hz = element.number("hertz");
    supply.source_ohm = element.number("source-ohms");
    supply.source_H = element.number("source-millihenries");
    supply.sourceImpedanceGiven =
        element.given("source-ohms") || element.given("source-millihenries");
    supply.switchOn_deg = element.number("switch-on-degrees");
    supply.kind = kinds[element.choice("kind")];
    supply.limit_A = element.numberIfGiven("limit-amps");
    for (const Element& child : element.children()) {
        supply.conductors.push_back(readConductor(child));
    }
    return supply;
}

bool allPairsKnown(const Element& readings)
{
    const std::vector<Element>& all = readings.children();
    return !all.empty() && std::all_of(all.begin(), all.end(), [](const Element& reading) {
        return reading.good("between");
    });
}

Readings readReadings(const Element& element, ProblemList& problems)
{
    Readings readings;
    readings.windingTemperature_degC = element.number("winding-temperature-c");
    readings.windingTemperatureGiven = element.given("winding-temperature-c");
    readings.lead_ohm = element.number("lead-ohms");
    readings.leadGiven = element.given("lead-ohms");
    readings.accuracy_ratio = element.number("accuracy-percent");
    readings.accuracyGiven = element.given("accuracy-percent");
    readings.resolution_ohm = element.number("resolution-ohms");
    readings.resolutionGiven = element.given("resolution-ohms");
    for (const Element& child : element.children()) {
        auto [pinA, pinB] = child.pins("between");
        readings.readings.push_back(
            {std::move(pinA), std::move(pinB), child.number("ohms"), child.place()});
    }
    if (allPairsKnown(element)) {
        for (InputProblem& problem : readingProblems(readings.readings, element.place())) {
            problems.add(std::move(problem));
        }
    }
    return readings;
}

// `readings` may be null.
KnownPins readPins(const Element& element, const Element* readings,
                   const std::vector<WindingReading>& read)
{
    KnownPins pins{element.text("common"), element.text("start"), element.text("run"),
                   element.place()};
    if (!element.good("common") || !element.good("start") || !element.good("run")) {
        return pins;
    }
    const bool comparable = readings != nullptr && allPairsKnown(*readings);
    for (const PinsObjection& objection :
         pinsObjections(pins, comparable ? read : std::vector<WindingReading>())) {
        element.reject(objection.attribute, objection.allowed, objection.hint);
    }
    return pins;
}

InsulationReading readInsulation(const Element& element)
{
    return {element.number("megohms"), element.number("test-volts"), element.above("megohms")};
}

Nameplate readNameplate(const Element& element)
{
    static constexpr LockedRotorOf owners[] = {LockedRotorOf::compressor,
                                               LockedRotorOf::runWinding};
    checkNameplate(element);
    Nameplate plate;
    plate.voltage_V = element.numberIfGiven("volts");
    plate.frequency_Hz = element.numberIfGiven("hertz");
    plate.lockedRotor_A = element.numberIfGiven("locked-rotor-amps");
    plate.ratedLoad_A = element.numberIfGiven("rated-load-amps");
    plate.output_W = element.given("horsepower") ? element.numberIfGiven("horsepower")
                                                 : element.numberIfGiven("output-watts");
    if (element.good("code-letter")) {
        plate.codeLetter = element.text("code-letter").front();
    }
    plate.ratedLoad_W = element.numberIfGiven("rated-load-watts");
    plate.accuracy_ratio = element.number("accuracy-percent");
    plate.lockedRotorOf = owners[element.choice("locked-rotor-of")];
    plate.lockedRotorOfGiven = element.given("locked-rotor-of");
    return plate;
}

Measurement readMeasured(const Element& element)
{
    checkMeasured(element);
    Measurement measurement;
    measurement.quantity = measuredQuantities()[element.choice("quantity")].quantity;
    measurement.value = element.number("value");
    measurement.accuracy_ratio = element.number("accuracy-percent");
    measurement.place = element.place();
    measurement.winding_degC = element.numberIfGiven("winding-temperature-c");
    return measurement;
}

TwoFeedTest readTwoFeedTest(const Element& element)
{
    return {element.number("run-fed-volts"),    element.number("start-open-volts"),
            element.number("start-fed-volts"),  element.number("run-open-volts"),
            element.number("accuracy-percent"), element.place()};
}

CompressorLoad readLoad(const Element& element)
{
    static constexpr LoadKind kinds[] = {LoadKind::none, LoadKind::steady, LoadKind::reciprocating};
    static constexpr Pressures pressures[] = {Pressures::equalised, Pressures::unequalised};
    checkLoad(element);
    CompressorLoad load;
    load.kind = kinds[element.choice("kind")];
    load.kindGiven = element.given("kind");
    load.pressures = pressures[element.choice("pressures")];
    load.pressuresGiven = element.given("pressures");
    load.startAngle_deg = element.number("start-angle-degrees");
    load.torque_Nm = element.numberIfGiven("torque-newton-metres");
    load.suction_Pa = element.numberIfGiven("suction-bar");
    load.discharge_Pa = element.numberIfGiven("discharge-bar");
    load.equalised_Pa = element.numberIfGiven("equalised-bar");
    return load;
}

EquivalentCircuit readEquivalentCircuit(const Element& element)
{
    EquivalentCircuit circuit;
    circuit.frequency_Hz = element.number("hertz");
    circuit.main_ohm = element.number("main-ohms");
    circuit.mainLeakage_ohm = element.number("main-leakage-reactance-ohms");
    circuit.mainMagnetizing_ohm = element.number("main-magnetizing-reactance-ohms");
    circuit.rotorMain_ohm = element.number("rotor-main-ohms");
    circuit.rotorMainLeakage_ohm = element.number("rotor-main-leakage-reactance-ohms");
    circuit.auxiliary_ohm = element.number("auxiliary-ohms");
    circuit.auxiliaryLeakage_ohm = element.number("auxiliary-leakage-reactance-ohms");
    circuit.auxiliaryMagnetizing_ohm = element.number("auxiliary-magnetizing-reactance-ohms");
    circuit.rotorAuxiliary_ohm = element.number("rotor-auxiliary-ohms");
    circuit.rotorAuxiliaryLeakage_ohm = element.number("rotor-auxiliary-leakage-reactance-ohms");
    circuit.turnsRatio = element.number("turns-ratio");
    circuit.poles = static_cast<int>(element.number("poles"));
    circuit.inertia_kgm2 = element.number("inertia-kg-m2");
    circuit.coreLoss_W = element.number("core-loss-watts");
    circuit.friction_W = element.number("friction-watts");
    circuit.resistanceTemperature_degC = element.number("resistance-temperature-c");
    circuit.rotorBar_ohm = element.number("rotor-bar-ohms");
    constexpr double mostBars_ratio = 20;
    if (element.good("rotor-main-ohms") &&
        circuit.rotorBar_ohm > mostBars_ratio * circuit.rotorMain_ohm) {
        element.reject("rotor-bar-ohms", "at most twenty times rotor-main-ohms");
    }
    circuit.rotorBarCorner_Hz = element.number("rotor-bar-corner-hertz");
    circuit.saturationSlope_ratio = element.number("saturation-slope-ratio");
    circuit.saturationKnee_V = element.number("saturation-knee-volts");
    if (circuit.saturationSlope_ratio > 0 && !element.given("saturation-knee-volts")) {
        element.reject("saturation-slope-ratio",
                       "a slope only together with saturation-knee-volts");
    }
    return circuit;
}

Compressor readCompressor(const Element& element, ProblemList& problems)
{
    checkCompressor(element);
    Compressor compressor;
    compressor.poles = static_cast<int>(element.number("poles"));
    compressor.polesGiven = element.given("poles");
    if (const Element* const child = element.child("readings")) {
        compressor.readings = readReadings(*child, problems);
    }
    if (const Element* const child = element.child("pins")) {
        compressor.pins = readPins(*child, element.child("readings"),
                                   compressor.readings.value_or(Readings{}).readings);
    }
    if (const Element* const child = element.child("insulation")) {
        compressor.insulation = readInsulation(*child);
    }
    if (const Element* const child = element.child("nameplate")) {
        compressor.nameplate = readNameplate(*child);
    }
    if (const Element* const child = element.child("two-feed-test")) {
        compressor.twoFeedTest = readTwoFeedTest(*child);
    }
    if (const Element* const child = element.child("winding-wire")) {
        compressor.wire = {child->numberIfGiven("main-square-millimetres"),
                           child->numberIfGiven("auxiliary-square-millimetres"),
                           readMaterial(*child)};
    }
    if (const Element* const child = element.child("load")) {
        compressor.load = readLoad(*child);
    }
    if (const Element* const child = element.child("equivalent-circuit")) {
        compressor.equivalentCircuit = readEquivalentCircuit(*child);
        compressor.poles = compressor.equivalentCircuit->poles;
        compressor.polesGiven = true;
    }
    for (const Element& child : element.children()) {
        if (child.name() == "measured") {
            compressor.measurements.push_back(readMeasured(child));
        }
    }
    return compressor;
}

CircuitChoice readCircuit(const Element& element)
{
    static constexpr Refrigerant refrigerants[] = {Refrigerant::unknown, Refrigerant::notFlammable,
                                                   Refrigerant::flammable};
    return {element.text("type"),
            element.text("start-device"),
            element.text("start-capacitor"),
            element.text("run-capacitor"),
            element.text("protector"),
            element.text("fan"),
            element.place(),
            element.text("variant"),
            element.text("fan-capacitor"),
            element.text("contactor"),
            element.numberIfGiven("ambient-c"),
            element.numberIfGiven("starts-per-hour"),
            element.numberIfGiven("off-seconds"),
            refrigerants[element.choice("refrigerant")],
            element.given("variant")};
}

FoundWiring readAsFound(const Element& element)
{
    FoundWiring found;
    found.place = element.place();
    for (const Element& child : element.children()) {
        found.wires.push_back({child.text("from"), child.text("to"), child.place()});
    }
    return found;
}

// The parts file that a case names, as far as it could be read.
struct PartsFile {
    std::string path;  // empty: it names none
    std::string problem;
    std::optional<XmlText> xml;
};

PartsFile readPartsFileOf(const XmlText& xml, const CaseReading& reading, ProblemList& problems)
{
    PartsFile file;
    const pugi::xml_node parts = xml.root().child("parts");
    const std::optional<std::string> name =
        parts.empty() ? std::optional<std::string>() : xml.valueOf(parts, "file");
    // Names that the reader of <parts> refuses are not looked for.
    if (!name || name->empty() || name->starts_with('/')) {
        return file;
    }
    file.path = (std::filesystem::path(reading.folder) / *name).string();
    FileContent content = reading.readFile(file.path);
    file.problem = content.problem;
    if (file.problem.empty()) {
        file.xml.emplace(std::move(content.text), file.path, problems);
    }
    return file;
}

// The named file's parts, then the inline ones.
PartsList readPartsOfCase(const Element& element, const PartsFile& file, bool caseInvented,
                          ProblemList& problems)
{
    const std::size_t before = problems.count();
    PartsList parts;
    if (element.good("file")) {
        if (file.xml) {
            parts = readPartsXml(*file.xml, problems);
        } else {
            element.reject("file", "a parts file that can be read",
                           fmt::format("{}: {}.", file.path, file.problem));
        }
    } else if (!element.given("file") && element.children().empty()) {
        element.report("there is neither a file nor a part in it", "a file, or parts, or both");
    }
    readParts(element, caseInvented, parts);
    if (problems.count() == before) {
        resolvePairs(parts, problems);
    }
    checkIds(parts, problems);
    return parts;
}

Case readCase(XmlText& xml, const CaseReading& reading, ProblemList& problems)
{
    Case result;
    result.file = xml.name();
    if (!rootIs(xml, "case", "parts", "This is a parts file; name it in <parts file=\"...\"/>.",
                problems)) {
        return result;
    }
    const std::size_t beforeParts = problems.count();
    PartsFile partsFile = readPartsFileOf(xml, reading, problems);
    const bool partsFileRead = problems.count() == beforeParts;
    changeCase(xml, reading.changes, problems);
    changeParts(xml, partsFile.xml ? &*partsFile.xml : nullptr, reading.changes, problems);
    const Element root(xml, xml.root(), caseElement(), problems);
    result.name = root.text("name");
    result.invented = root.yes("invented");
    if (const Element* const child = root.child("supply")) {
        result.supply = readSupply(*child);
        result.supplyGiven = true;
    }
    if (const Element* const child = root.child("compressor")) {
        result.compressor = readCompressor(*child, problems);
    }
    const std::size_t before = problems.count();
    if (const Element* const child = root.child("parts")) {
        result.parts = readPartsOfCase(*child, partsFile, result.invented, problems);
        if (partsFile.xml) {
            result.filesRead.push_back(partsFile.path);
        }
    }
    const bool partsUnderstood = partsFileRead && problems.count() == before;
    if (const Element* const child = root.child("circuit")) {
        result.circuit = readCircuit(*child);
        checkCircuit(*child, result.supplyGiven);
        // A part that was not understood must not be reported as missing too.
        if (partsUnderstood) {
            resolveReferences(*child, result.parts, *result.circuit);
        }
    }
    if (const Element* const child = root.child("as-found")) {
        result.asFound = readAsFound(*child);
        if (!result.circuit && !root.hasUnknown()) {
            child->report("there is an <as-found> but no <circuit>",
                          "a circuit that says how it should be wired");
        }
    }
    return result;
}

}  // namespace

Case readCaseText(std::string_view text, const std::string& name, const std::string& folder)
{
    ProblemList problems;
    XmlText xml(std::string(text), name, problems);
    Case result = readCase(xml, {folder, readPlainFile, {}}, problems);
    problems.throwIfAny();
    return result;
}

Case readCaseFile(const std::string& path)
{
    return CaseSource(path).read();
}

CaseSource::CaseSource(const std::string& path)
    : path_(path),
      folder_(std::filesystem::path(path).parent_path().string()),
      text_(readPlainFileOrThrow(path))
{
    // Read once and for all, so that no change of the files comes between two cases.
    ProblemList problems;
    XmlText xml(text_, path_, problems);
    readCase(xml,
             {folder_,
              [this](const std::string& partsPath) {
                  FileContent content = readPlainFile(partsPath);
                  partsText_ = content.text;
                  return content;
              },
              {}},
             problems);
    problems.throwIfAny();
}

Case CaseSource::read(std::span<const FieldChange> changes) const
{
    ProblemList problems;
    XmlText xml(text_, path_, problems);
    Case result = readCase(xml,
                           {folder_,
                            [this](const std::string&) {
                                return FileContent{partsText_, {}};
                            },
                            changes},
                           problems);
    problems.throwIfAny();
    result.filesRead.push_back(path_);
    return result;
}

}  // namespace splitstart
