#include "circuit/wiring_faults.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <stdexcept>

#include "circuit/link_graph.h"

namespace splitstart
{

namespace
{

// What it means when there is no voltage across something or no current in it. What motors do then:
// any text on split-phase motors; what becomes of the parts: common practice, no source.
struct LinkWords {
    PartKind kind = PartKind::supply;
    TerminalPair ends;
    std::string_view name;  // empty where it is all that the part has
    std::string_view bridged;
    std::string_view dead;
};

constexpr std::string_view staysIn =
    "What it should switch off stays in the circuit after the start and burns within minutes.";
constexpr std::string_view neverIn =
    "The start winding gets nothing through it: the motor may hum at locked-rotor amps and not "
    "start.";
constexpr std::string_view fanStands =
    "The fan stands still or turns weakly, and the pressure in the condenser rises.";
constexpr std::string_view startWindingDead =
    "The motor hums at locked-rotor amps and does not start, until something trips.";
constexpr std::string_view runWindingDead =
    "The start winding is left alone, which it stands for seconds only; the motor does not run up.";
constexpr std::string_view noRunCapacitor =
    "The motor has little torque and runs hot, or does not start at all.";
constexpr std::string_view onFullLine =
    "What is in series with it gets the full volts without it: too much current, little torque.";
constexpr std::string_view notFed = "What is behind it is not fed.";

const std::array<LinkWords, 22>& linkWords()
{
    static const std::array<LinkWords, 22> words = {{
        {PartKind::compressor, {"C", "R"}, "run winding", runWindingDead, runWindingDead},
        {PartKind::compressor, {"C", "S"}, "start winding", startWindingDead, startWindingDead},
        {PartKind::thermostat,
         {"1", "2"},
         {},
         "Nothing switches the compressor off when it is cold enough.",
         notFed},
        {PartKind::potentialRelay, {"1", "2"}, "contact", staysIn, neverIn},
        {PartKind::potentialRelay,
         {"2", "5"},
         "coil",
         "The relay never picks up: what its contact feeds stays in the circuit after the start "
         "and "
         "burns within minutes.",
         "The relay never picks up: what its contact feeds stays in the circuit after the start "
         "and "
         "burns within minutes."},
        {PartKind::currentRelay,
         {"L", "M"},
         "coil",
         "The relay never pulls in: the motor hums at locked-rotor amps and does not start.",
         "The relay never pulls in: the motor hums at locked-rotor amps and does not start."},
        {PartKind::currentRelay, {"L", "S"}, "contact", staysIn, neverIn},
        {PartKind::startCapacitor, {"A", "B"}, {}, onFullLine, neverIn},
        {PartKind::runCapacitor, {"A", "B"}, {}, onFullLine, noRunCapacitor},
        {PartKind::protector,
         {"1", "3"},
         {},
         "Nothing guards the motor: when it stalls, its windings burn.",
         notFed},
        {PartKind::condenserFan, {"A", "B"}, {}, fanStands, fanStands},
        {PartKind::ptc, {"A", "B"}, {}, staysIn, neverIn},
        {PartKind::timedSwitch, {"1", "2"}, "contact", staysIn, neverIn},
        {PartKind::timedSwitch,
         {"L", "N"},
         "timer",
         "The timer gets no volts and never counts: what the switch feeds is not taken out in "
         "time.",
         "The timer gets no volts and never counts: what the switch feeds is not taken out in "
         "time."},
        {PartKind::centrifugalSwitch, {"1", "2"}, {}, staysIn, neverIn},
        {PartKind::dualRunCapacitor,
         {"C", "HERM"},
         "compressor's section",
         onFullLine,
         noRunCapacitor},
        {PartKind::dualRunCapacitor, {"C", "FAN"}, "fan's section", onFullLine, fanStands},
        {PartKind::fanCapacitor, {"A", "B"}, {}, onFullLine, fanStands},
        {PartKind::capacitorFan, {"C", "R"}, "run winding", fanStands, fanStands},
        {PartKind::capacitorFan, {"C", "S"}, "start winding", fanStands, fanStands},
        {PartKind::contactor,
         {"L1", "T1"},
         "pole L1-T1",
         "The contactor cannot switch this line off.",
         notFed},
        {PartKind::contactor,
         {"L2", "T2"},
         "pole L2-T2",
         "The contactor cannot switch this line off.",
         notFed},
    }};
    return words;
}

const LinkWords& wordsOf(const Link& link)
{
    static const LinkWords plain = {PartKind::supply, {}, {}, notFed, notFed};
    const auto& all = linkWords();
    const auto row = std::find_if(all.begin(), all.end(), [&link](const LinkWords& each) {
        return each.kind == link.part->kind && each.ends == link.ends;
    });
    return row == all.end() ? plain : *row;
}

// "coil of the potential relay", "run capacitor"
std::string nameOf(const Link& link)
{
    const std::string_view part = partKindInfo(link.part->kind).words;
    const std::string_view name = wordsOf(link).name;
    return name.empty() ? std::string(part) : fmt::format("{} of the {}", name, part);
}

bool isAmong(std::string_view name, const std::vector<std::string_view>& names)
{
    return std::find(names.begin(), names.end(), name) != names.end();
}

class Finder
{
public:
    explicit Finder(const Circuit& circuit)
        : circuit_(circuit), graph_(circuit), onSupply_(graph_.onSupply())
    {
    }

    std::vector<WiringFault> run()
    {
        findShorts();
        const bool shorted = !faults_.empty();
        findBridged();
        // Across a short there are no volts left to say what else is fed.
        if (!shorted && graph_.supply() != nullptr) {
            findDeadWindings();
            findDeadParts();
        }
        findFloating();
        findLooseEnds();
        return std::move(faults_);
    }

private:
    void add(WiringFaultKind kind, std::vector<Terminal> terminals, std::string finding,
             std::string meaning)
    {
        faults_.push_back({kind, std::move(terminals), std::move(finding), std::move(meaning)});
    }

    void findShorts()
    {
        if (graph_.supply() == nullptr) {
            return;
        }
        const Link& supply = *graph_.supply();
        if (LinkGraph::isBridged(supply)) {
            return add(WiringFaultKind::deadShort, {supply.first(), supply.second()},
                       "the wires join L1 and L2 of the supply: a dead short",
                       "With power on, fuse or breaker opens at once, and the wires may burn "
                       "before. Do not switch on; find the wire that lies across the line.");
        }
        const std::vector<Link> way = graph_.closedWay();
        if (way.empty()) {
            return;
        }
        std::vector<Terminal> terminals;
        std::vector<std::string> steps;
        for (const Link& link : way) {
            terminals.push_back(link.first());
            terminals.push_back(link.second());
            steps.push_back(fmt::format("{} ({} to {})", nameOf(unturned(link)),
                                        terminalText(link.first()), terminalText(link.second())));
        }
        add(WiringFaultKind::shortThroughClosedContact, std::move(terminals),
            "the wires join L1 and L2 of the supply through closed contacts: a dead short",
            fmt::format(
                "The way from L1 to L2 is: {}. Do not switch on: fuse or breaker opens, and "
                "contacts weld or burn; no winding is in that loop.",
                fmt::join(steps, ", then ")));
    }

    // As the kind's row has it.
    [[nodiscard]] const Link& unturned(const Link& link) const
    {
        for (const Link& each : graph_.links()) {
            const bool same = each.ends == link.ends || (each.ends.first == link.ends.second &&
                                                         each.ends.second == link.ends.first);
            if (each.part == link.part && same) {
                return each;
            }
        }
        return link;
    }

    void findBridged()
    {
        for (const Link& link : graph_.links()) {
            if (link.part->kind != PartKind::supply && LinkGraph::isBridged(link)) {
                add(WiringFaultKind::shortedPart, {link.first(), link.second()},
                    fmt::format("wires join {} and {}: the {} is bridged",
                                terminalText(link.first()), terminalText(link.second()),
                                nameOf(link)),
                    fmt::format("{} Take the two points apart.", wordsOf(link).bridged));
            }
        }
    }

    void findDeadWindings()
    {
        for (const CircuitPart& part : circuit_.parts) {
            if (part.kind != PartKind::compressor) {
                continue;
            }
            std::vector<Link> dead;
            std::size_t bridged = 0;
            std::size_t windings = 0;
            for (const Link& link : graph_.links()) {
                if (link.part == &part) {
                    ++windings;
                    bridged += LinkGraph::isBridged(link) ? 1U : 0U;
                    if (!LinkGraph::isBridged(link) && !graph_.isFed(link)) {
                        dead.push_back(link);
                    }
                }
            }
            if (dead.size() + bridged == windings) {
                add(WiringFaultKind::deadCompressor,
                    {{part.id, "C"}, {part.id, "S"}, {part.id, "R"}},
                    fmt::format("no current can flow in any winding of the {}", part.id),
                    "It does nothing with power on, but its pins may be live all the same: prove "
                    "them dead before touching. No closed path from L1 to L2 leads through it; put "
                    "the "
                    "wires right.");
                continue;
            }
            for (const Link& link : dead) {
                add(WiringFaultKind::deadWinding, {link.first(), link.second()},
                    fmt::format("the supply can drive no current through the {} ({} to {})",
                                nameOf(link), terminalText(link.first()),
                                terminalText(link.second())),
                    fmt::format("{} Do not leave it switched on; put the wires right.",
                                wordsOf(link).dead));
            }
        }
    }

    void findDeadParts()
    {
        for (const CircuitPart& part : circuit_.parts) {
            if (part.kind == PartKind::supply || part.kind == PartKind::compressor) {
                continue;
            }
            const PartKindInfo& info = partKindInfo(part.kind);
            std::vector<Terminal> terminals;
            bool reached = false;
            for (const std::string_view name : info.terminals) {
                if (!isAmong(name, info.tiePosts)) {
                    terminals.push_back({part.id, std::string(name)});
                    reached = reached || onSupply_[graph_.nets().of(terminals.back())];
                }
            }
            if (!reached) {
                add(WiringFaultKind::isolatedPart, terminals,
                    fmt::format("no wire leads from the supply to the {} ({})", info.words,
                                part.id),
                    "It does nothing with power on. Wire it as the circuit has it, or leave it out "
                    "on purpose.");
                continue;
            }
            findDeadLinks(part);
        }
    }

    void findDeadLinks(const CircuitPart& part)
    {
        const PartKindInfo& info = partKindInfo(part.kind);
        for (const Link& link : graph_.links()) {
            const auto mayBeFree = [&](std::string_view name) {
                return isAmong(name, info.mayStayFree) &&
                       graph_.nets().all()[graph_.nets().of({part.id, std::string(name)})].size() ==
                           1;
            };
            if (link.part != &part || LinkGraph::isBridged(link) || graph_.carriesCurrent(link) ||
                mayBeFree(link.ends.first) || mayBeFree(link.ends.second)) {
                continue;
            }
            add(WiringFaultKind::deadPart, {link.first(), link.second()},
                fmt::format("no current can flow through the {} ({} to {})", nameOf(link),
                            terminalText(link.first()), terminalText(link.second())),
                fmt::format("{} No closed path leads through it; put the wires right.",
                            wordsOf(link).dead));
        }
    }

    [[nodiscard]] bool isTiePost(const Terminal& terminal) const
    {
        const CircuitPart* const part = circuit_.find(terminal.part);
        return isAmong(terminal.name, partKindInfo(part->kind).tiePosts);
    }

    void findFloating()
    {
        for (const CircuitPart& part : circuit_.parts) {
            const PartKindInfo& info = partKindInfo(part.kind);
            for (const std::string_view name : info.terminals) {
                const Terminal terminal{part.id, std::string(name)};
                const std::vector<Terminal>& net = graph_.nets().all()[graph_.nets().of(terminal)];
                const auto others = std::count_if(net.begin(), net.end(), [&](const auto& each) {
                    return each != terminal && !isTiePost(each);
                });
                if (others > 0 || isAmong(name, info.tiePosts) || isAmong(name, info.mayStayFree)) {
                    continue;
                }
                add(WiringFaultKind::floatingTerminal, {terminal},
                    net.size() == 1 ? fmt::format("no wire reaches {} of the {}",
                                                  terminalText(terminal), info.words)
                                    : fmt::format("the wire on {} of the {} leads to no other part",
                                                  terminalText(terminal), info.words),
                    "A wire is missing or has come off. It may be live through the part itself: "
                    "power off and proved dead before touching, then find where it belongs.");
            }
        }
    }

    void findLooseEnds()
    {
        for (const std::vector<Terminal>& net : graph_.nets().all()) {
            const auto ties = std::count_if(
                net.begin(), net.end(), [this](const Terminal& each) { return isTiePost(each); });
            const auto others = static_cast<std::ptrdiff_t>(net.size()) - ties;
            if (ties == 0 || net.size() == 1 || others > 1) {
                continue;
            }
            const Terminal& post = *std::find_if(
                net.begin(), net.end(), [this](const Terminal& each) { return isTiePost(each); });
            add(WiringFaultKind::looseWireEnd, net,
                fmt::format("a wire ends on {} and goes on from there to nothing",
                            terminalText(post)),
                "That post is a bare joint with nothing behind it, so the wire does nothing. Find "
                "the terminal on which this end belongs.");
        }
    }

    const Circuit& circuit_;
    LinkGraph graph_;
    std::vector<bool> onSupply_;
    std::vector<WiringFault> faults_;
};

}  // namespace

std::vector<WiringFault> wiringFaults(const Circuit& circuit)
{
    return Finder(circuit).run();
}

std::vector<std::string> circuitFaults(const Circuit& circuit)
{
    std::vector<std::string> texts;
    for (WiringFault& fault : wiringFaults(circuit)) {
        if (fault.kind == WiringFaultKind::deadShort ||
            fault.kind == WiringFaultKind::shortThroughClosedContact ||
            fault.kind == WiringFaultKind::floatingTerminal) {
            texts.push_back(std::move(fault.finding));
        }
    }
    return texts;
}

}  // namespace splitstart
