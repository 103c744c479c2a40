#include "fuzz/random_case.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <set>
#include <sstream>
#include <string_view>
#include <vector>

#include "case/vocabulary.h"
#include "circuit/circuit.h"
#include "circuit/part_physics.h"

namespace splitstart::fuzz
{

namespace
{

// What somebody might write into a name to reach ngspice, a shell, markup or a terminal.
constexpr std::array hostilePieces = {std::string_view(".control"),
                                      std::string_view("*# shell"),
                                      std::string_view(".include /x"),
                                      std::string_view("*ng_script"),
                                      std::string_view("; .end"),
                                      std::string_view("{undefined}"),
                                      std::string_view("$(touch x)"),
                                      std::string_view("`touch x`"),
                                      std::string_view("+ r1 0 1 1"),
                                      std::string_view("<script>"),
                                      std::string_view("\" onload='"),
                                      std::string_view("%s%n"),
                                      std::string_view("\xC3\xA4\xE2\x82\xAC\xF0\x9F\x90\x84"),
                                      std::string_view("\\n.end\\n"),
                                      std::string_view(".param x=1"),
                                      std::string_view("xcompressor"),
                                      std::string_view("&amp;#10;"),
                                      std::string_view("\xEF\xBC\x8E"
                                                       "end"),
                                      std::string_view("a"),
                                      std::string_view("shop")};

std::string hostileText(Choices& choices)
{
    std::string text;
    const std::size_t pieces = 1 + choices.below(6);
    for (std::size_t i = 0; i < pieces; ++i) {
        if (choices.chance(0.3)) {
            text += static_cast<char>(' ' + choices.below(95));
        } else {
            text += hostilePieces[choices.below(hostilePieces.size())];
        }
        text += i % 2 == 0 ? " " : "";
    }
    // A text of blanks is none.
    return "n" + text;
}

// As high or low as it may be, next to nothing, or anywhere.
double drawn(const AttributeSpec& spec, Choices& choices)
{
    const std::size_t where = choices.below(16);
    if (where == 0) {
        return spec.minimum;
    }
    if (where == 1) {
        return spec.maximum;
    }
    if (spec.minimum == 0 && where == 2) {
        return 1e-290;  // below 1e-295 or so some units make it subnormal, which is refused
    }
    if (spec.minimum > 0 && where > 4) {
        return std::clamp(choices.betweenByRatio(spec.minimum, spec.maximum), spec.minimum,
                          spec.maximum);
    }
    return std::clamp(choices.between(spec.minimum, spec.maximum), spec.minimum, spec.maximum);
}

const ElementSpec& childOf(const ElementSpec& parent, std::string_view name)
{
    for (const ChildSpec& child : parent.children) {
        if (child.element->name == name) {
            return *child.element;
        }
    }
    throw std::logic_error(fmt::format("no <{}> in <{}>", name, parent.name));
}

void set(pugi::xml_node node, std::string_view name, const std::string& value)
{
    const std::string key(name);
    if (value.empty()) {
        node.remove_attribute(key.c_str());
        return;
    }
    pugi::xml_attribute attribute = node.attribute(key.c_str());
    (attribute ? attribute : node.append_attribute(key.c_str())).set_value(value.c_str());
}

bool has(pugi::xml_node node, std::string_view name)
{
    return !node.attribute(std::string(name).c_str()).empty();
}

double valueOf(pugi::xml_node node, std::string_view name)
{
    return node.attribute(std::string(name).c_str()).as_double();
}

// Rising along the row, as far as they are there. What is left of two that are equal must differ.
void sortAlong(pugi::xml_node node, std::initializer_list<std::string_view> names)
{
    std::vector<std::string_view> there;
    std::vector<double> values;
    for (const std::string_view name : names) {
        if (has(node, name)) {
            there.push_back(name);
            values.push_back(valueOf(node, name));
        }
    }
    std::sort(values.begin(), values.end());
    for (std::size_t i = 0; i < there.size(); ++i) {
        if (i > 0 && values[i] <= values[i - 1]) {
            values[i] = values[i - 1] * 1.0001 + 1e-9;
        }
        set(node, there[i], numberText(values[i]));
    }
}

class CaseMaker
{
public:
    CaseMaker(Choices& choices, const CaseWishes& wishes) : choices_(choices), wishes_(wishes) {}

    pugi::xml_document make()
    {
        const auto circuits = standardCircuits();
        const std::size_t drawnCircuit = choices_.below(circuits.size());
        circuit_ = &circuits[wishes_.circuit.value_or(drawnCircuit)];
        pugi::xml_document document;
        pugi::xml_node root = document.append_child("case");
        fill(root, caseElement());
        addSupply(root);
        addCompressor(root);
        addCircuit(root);
        addAsFound(root);
        return document;
    }

private:
    [[nodiscard]] bool wanted(std::string_view element, double probability)
    {
        const bool drawnSo = choices_.chance(probability);
        const auto wish = wishes_.without.find(std::string(element));
        return drawnSo && (wish == wishes_.without.end() || !wish->second);
    }

    pugi::xml_node append(pugi::xml_node parent, const ElementSpec& spec)
    {
        pugi::xml_node node = parent.append_child(std::string(spec.name).c_str());
        fill(node, spec);
        return node;
    }

    void fill(pugi::xml_node node, const ElementSpec& spec)
    {
        for (const AttributeSpec& attribute : spec.attributes) {
            const bool given = attribute.required || choices_.chance(0.3);
            const auto wish = wishes_.fields.find(fmt::format("{}.{}", spec.name, attribute.name));
            if (wish != wishes_.fields.end()) {
                set(node, attribute.name, wish->second);
            } else if (given) {
                set(node, attribute.name, textFor(attribute));
            }
        }
    }

    // Empty for what hangs on other elements: ids, references, labels, files.
    std::string textFor(const AttributeSpec& attribute)
    {
        switch (attribute.kind) {
            case ValueKind::number:
            case ValueKind::ohmsOrOpen:
                return numberText(drawn(attribute, choices_));
            case ValueKind::ohmsOrAbove:
                return choices_.chance(0.2) ? std::string(">500")
                                            : numberText(drawn(attribute, choices_));
            case ValueKind::evenNumber:
                return numberText(2 * std::floor(drawn(attribute, choices_) / 2));
            case ValueKind::wholeNumber:
                return numberText(std::floor(drawn(attribute, choices_)));
            case ValueKind::yesNo:
                return choices_.chance(0.5) ? "yes" : "no";
            case ValueKind::choice:
                return std::string(attribute.words[choices_.below(attribute.words.size())]);
            case ValueKind::text:
                return hostileText(choices_);
            default:
                return {};
        }
    }

    void addSupply(pugi::xml_node root)
    {
        const ElementSpec& spec = childOf(caseElement(), "supply");
        pugi::xml_node supply = append(root, spec);
        for (std::size_t i = choices_.below(3); i > 0; --i) {
            if (!wanted("conductor", 0.7)) {
                continue;
            }
            pugi::xml_node run = append(supply, childOf(spec, "conductor"));
            const bool inFeet = choices_.chance(0.5);
            const bool byGauge = choices_.chance(0.5);
            require(run, childOf(spec, "conductor"), inFeet ? "feet" : "metres");
            require(run, childOf(spec, "conductor"), byGauge ? "awg" : "square-millimetres");
            set(run, inFeet ? "metres" : "feet", {});
            set(run, byGauge ? "square-millimetres" : "awg", {});
        }
    }

    // The attribute, drawn where it is not there yet.
    void require(pugi::xml_node node, const ElementSpec& spec, std::string_view name)
    {
        for (const AttributeSpec& attribute : spec.attributes) {
            if (attribute.name == name && !has(node, name)) {
                set(node, name, textFor(attribute));
            }
        }
    }

    void addCompressor(pugi::xml_node root)
    {
        const ElementSpec& spec = childOf(caseElement(), "compressor");
        pugi::xml_node compressor = append(root, spec);
        const auto optional = [&](std::string_view name, double probability) {
            return wanted(name, probability) ? append(compressor, childOf(spec, name))
                                             : pugi::xml_node();
        };
        addReadings(compressor, spec);
        optional("insulation", 0.5);
        optional("winding-wire", 0.2);
        if (pugi::xml_node plate = optional("nameplate", 0.7)) {
            sortAlong(plate, {"rated-load-amps", "locked-rotor-amps"});
            if (has(plate, "horsepower")) {
                set(plate, "output-watts", {});
            }
        }
        if (pugi::xml_node load = optional("load", 0.9)) {
            finishLoad(load, childOf(spec, "load"));
        } else {
            compressor.append_child("load").append_attribute("kind").set_value("none");
        }
        pugi::xml_node motor = append(compressor, childOf(spec, "equivalent-circuit"));
        finishMotor(motor, childOf(spec, "equivalent-circuit"));
        set(compressor, "poles", motor.attribute("poles").value());
    }

    void addReadings(pugi::xml_node compressor, const ElementSpec& spec)
    {
        if (!wanted("readings", 0.6)) {
            return;
        }
        // Labels may be whatever has no blank in it.
        static constexpr std::array<std::array<const char*, 3>, 4> labels = {
            {{"A", "B", "C"}, {"1", "2", "3"}, {"*#a", ".end", "{x}"}, {"$(x)", "+b", "\xC3\xA4"}}};
        const auto& label = labels[choices_.below(labels.size())];
        const ElementSpec& readingsSpec = childOf(spec, "readings");
        pugi::xml_node readings = append(compressor, readingsSpec);
        for (const auto& [one, other] : {std::pair(0, 1), {1, 2}, {0, 2}}) {
            pugi::xml_node reading = append(readings, childOf(readingsSpec, "reading"));
            set(reading, "between",
                fmt::format("{} {}", label[static_cast<std::size_t>(one)],
                            label[static_cast<std::size_t>(other)]));
            if (choices_.chance(0.7)) {  // as windings have
                set(reading, "ohms", numberText(choices_.betweenByRatio(0.3, 60)));
            }
        }
        if (wanted("pins", 0.3)) {
            pugi::xml_node pins = compressor.append_child("pins");
            const std::size_t turn = choices_.below(3);
            set(pins, "common", label[turn]);
            set(pins, "start", label[(turn + 1) % 3]);
            set(pins, "run", label[(turn + 2) % 3]);
        }
    }

    void finishLoad(pugi::xml_node load, const ElementSpec& spec)
    {
        if (std::string_view(load.attribute("kind").value()) == "none") {
            for (const AttributeSpec& attribute : spec.attributes) {
                if (attribute.name != "kind") {
                    set(load, attribute.name, {});
                }
            }
            return;
        }
        require(load, spec, "torque-newton-metres");
        sortAlong(load, {"suction-bar", "equalised-bar", "discharge-bar"});
    }

    void finishMotor(pugi::xml_node motor, const ElementSpec& spec)
    {
        if (valueOf(motor, "rotor-bar-ohms") > 20 * valueOf(motor, "rotor-main-ohms")) {
            set(motor, "rotor-bar-ohms", numberText(2 * valueOf(motor, "rotor-main-ohms")));
        }
        if (valueOf(motor, "saturation-slope-ratio") > 0) {
            require(motor, spec, "saturation-knee-volts");
        }
    }

    // A part in that place of the circuit, under an id of its own.
    std::string addPart(pugi::xml_node parts, std::string_view element)
    {
        const ElementSpec& spec = childOf(partsFileElement(), element);
        pugi::xml_node part = append(parts, spec);
        const std::string id = fmt::format("{}{}", element, choices_.chance(0.2) ? ".-_9" : "");
        set(part, "id", id);
        finishPart(part, spec, element);
        return id;
    }

    void finishPart(pugi::xml_node part, const ElementSpec& spec, std::string_view element)
    {
        sortAlong(part, {"drop-out-volts-min", "drop-out-volts-max", "pick-up-volts-min",
                         "pick-up-volts-max"});
        sortAlong(part, {"drop-out-amps-min", "drop-out-amps-max", "pull-in-amps-min",
                         "pull-in-amps-max"});
        sortAlong(part, {"cold-ohms-min", "cold-ohms-max"});
        sortAlong(part, {"switch-seconds-min", "switch-seconds-max"});
        sortAlong(part, {"seconds-min", "seconds-max"});
        sortAlong(part, {"closes-rpm-min", "closes-rpm-max", "opens-rpm-min", "opens-rpm-max"});
        sortAlong(part, {"ultimate-trip-amps", "trip-amps"});
        sortAlong(part, {"trip-seconds-min", "trip-seconds-max"});
        sortAlong(part, {"fan-microfarads", "microfarads"});
        if (has(part, "hot-ohms")) {
            set(part, "hot-ohms",
                numberText(
                    std::max(valueOf(part, "hot-ohms"), 10 * valueOf(part, "cold-ohms-max"))));
        }
        if (has(part, "cut-off-volts")) {
            sortAlong(part, {"volts", "cut-off-volts"});
        }
        if (!has(part, "bleed-ohms")) {
            set(part, "bleed-watts", {});
        }
        if (has(part, "life-hours")) {
            set(part, "operation-class", {});
        }
        if (element == "run-capacitor") {
            finishRunCapacitor(part, spec);
        } else {
            sortAlong(part, {"microfarads-min", "microfarads-max"});
        }
        if (element == "protector") {
            require(part, spec, "rating-ambient-c");
            sortAlong(part, {"rating-ambient-c", "reset-c", "trip-c"});
        }
        if (element == "capacitor-fan" && wishes_.fields.count("capacitor-fan.amps") == 0) {
            const CapacitorFan fan{.voltage_V = valueOf(part, "volts"),
                                   .current_A = 1,
                                   .capacitor_F = valueOf(part, "microfarads") * 1e-6};
            const Range fitting_A = fanAmps(fan, hertz_());
            set(part, "amps",
                numberText(std::clamp(choices_.between(fitting_A.minimum, fitting_A.maximum), 0.01,
                                      50.0)));
        }
    }

    void finishRunCapacitor(pugi::xml_node part, const ElementSpec& spec)
    {
        const bool nominal =
            wishes_.fields.contains("run-capacitor.microfarads") || choices_.chance(0.5);
        for (const char* name : {"microfarads", "tolerance-percent"}) {
            nominal ? require(part, spec, name) : set(part, name, {});
        }
        for (const char* name : {"microfarads-min", "microfarads-max"}) {
            nominal ? set(part, name, {}) : require(part, spec, name);
        }
        sortAlong(part, {"microfarads-min", "microfarads-max"});
    }

    [[nodiscard]] double hertz_() const { return valueOf(supply_, "hertz"); }

    void addCircuit(pugi::xml_node root)
    {
        supply_ = root.child("supply");
        pugi::xml_node choice = append(root, childOf(caseElement(), "circuit"));
        pugi::xml_node parts = root.append_child("parts");
        set(choice, "type", circuit_->type);
        set(choice, "variant", circuit_->variant);
        const bool fan = wanted("fan", 0.3) && circuit_->find(PartKind::condenserFan) != nullptr;
        const bool capacitorFan = fan && choices_.chance(0.5);
        const bool dual = capacitorFan && choices_.chance(0.4) &&
                          circuit_->find(PartKind::runCapacitor) != nullptr &&
                          circuit_->variant != "crankcase-heat" &&
                          startDeviceOf(*circuit_) != PartKind::currentRelay;
        if (const auto device = startDeviceOf(*circuit_)) {
            set(choice, "start-device", addPart(parts, partKindInfo(*device).name));
        }
        if (circuit_->find(PartKind::startCapacitor) != nullptr) {
            set(choice, "start-capacitor", addStartCapacitor(parts));
        }
        if (circuit_->find(PartKind::runCapacitor) != nullptr) {
            set(choice, "run-capacitor",
                addPart(parts, dual ? "dual-run-capacitor" : "run-capacitor"));
        }
        if (fan) {
            set(choice, "fan", addPart(parts, capacitorFan ? "capacitor-fan" : "condenser-fan"));
        }
        if (capacitorFan && !dual) {
            addFanCapacitor(choice, parts);
        }
        if (wanted("protector", 0.5)) {
            set(choice, "protector", addPart(parts, "protector"));
        }
        if (wanted("contactor", 0.3)) {
            set(choice, "contactor", addPart(parts, "contactor"));
            if (circuit_->variant == "crankcase-heat") {
                set(parts.last_child(), "poles", "1");
            }
        }
        if (parts.first_child().empty()) {
            addPart(parts, "start-capacitor");
        }
    }

    // The fan's capacitor is the one that its label asks for, under an id of its own.
    void addFanCapacitor(pugi::xml_node choice, pugi::xml_node parts)
    {
        pugi::xml_node capacitor = parts.append_child("run-capacitor");
        set(capacitor, "id", "of-fan");
        set(capacitor, "microfarads",
            parts.child("capacitor-fan").attribute("microfarads").value());
        set(capacitor, "tolerance-percent", "6");
        set(capacitor, "volts", "440");
        set(choice, "fan-capacitor", "of-fan");
    }

    std::string addStartCapacitor(pugi::xml_node parts)
    {
        const std::string id = addPart(parts, "start-capacitor");
        if (!wanted("start-capacitor-pair", 0.15)) {
            return id;
        }
        pugi::xml_node pair = append(parts, childOf(partsFileElement(), "start-capacitor-pair"));
        set(pair, "id", "pair");
        set(pair, "first", id);
        set(pair, "second", id);
        if (!has(parts.child("start-capacitor"), "bleed-ohms")) {
            set(pair, "connection", "parallel");
        }
        return "pair";
    }

    // The circuit's own wires, with some ends moved; which of them can be is not looked at here.
    void addAsFound(pugi::xml_node root)
    {
        if (!wanted("as-found", 0.15)) {
            return;
        }
        pugi::xml_node found = root.append_child("as-found");
        std::set<std::pair<std::string, std::string>> seen;
        for (const Wire& wire : circuit_->wires) {
            std::string from = terminalText(wire.from);
            const std::string to = terminalText(wire.to);
            if (choices_.chance(0.1)) {
                from = terminalText(circuit_->wires[choices_.below(circuit_->wires.size())].to);
            }
            if (from != to && seen.emplace(from, to).second && seen.emplace(to, from).second) {
                pugi::xml_node node = found.append_child("wire");
                set(node, "from", from);
                set(node, "to", to);
            }
        }
    }

    Choices& choices_;
    const CaseWishes& wishes_;
    const Circuit* circuit_ = nullptr;
    pugi::xml_node supply_;
};

}  // namespace

pugi::xml_document randomCase(Choices& choices, const CaseWishes& wishes)
{
    return CaseMaker(choices, wishes).make();
}

void makeHarmless(pugi::xml_document& document)
{
    pugi::xml_node root = document.child("case");
    set(root, "name", "shop");
    for (pugi::xml_node part : root.child("parts").children()) {
        set(part, "description", {});
    }
}

std::string fileText(const pugi::xml_document& document)
{
    std::ostringstream text;
    document.save(text, " ");
    return text.str();
}

std::string numberText(double value)
{
    std::array<char, 32> buffer{};
    const auto result = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
    std::string text(buffer.data(), result.ptr);
    // The reader takes no plus sign, not in an exponent either way to be sure.
    text.erase(std::remove(text.begin(), text.end(), '+'), text.end());
    return text;
}

}  // namespace splitstart::fuzz
