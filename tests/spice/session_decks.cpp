#include "spice/session_decks.h"

#include <fmt/format.h>

namespace splitstart
{
namespace
{

SimulationRequest transient(const std::string& cards, std::vector<std::string> vectors,
                            double end_s = 1e-3)
{
    SimulationRequest request;
    request.deck = fmt::format("a deck for a test\n{}.tran 1e-5 {} 0 1e-5\n.end\n", cards, end_s);
    request.vectors = std::move(vectors);
    request.end_s = end_s;
    return request;
}

}  // namespace

SimulationRequest chargingCapacitor(double resistance_ohm)
{
    SimulationRequest request;
    request.deck = fmt::format(
        "a capacitor is charged\n"
        "v1 in 0 dc 1\n"
        "r1 in out {}\n"
        "c1 out 0 1e-6 ic=0\n"
        ".tran 1e-5 5e-3 0 1e-5 uic\n"
        ".end\n",
        resistance_ohm);
    request.vectors = {"out", "v1#branch"};
    request.end_s = 5e-3;
    return request;
}

SimulationRequest filterAt(double frequency_Hz, double resistance_ohm)
{
    SimulationRequest request;
    request.deck = fmt::format(
        "a low-pass filter\n"
        "v1 in 0 dc 0 ac 1\n"
        "r1 in out {}\n"
        "c1 out 0 1e-6\n"
        ".ac lin 1 {} {}\n"
        ".end\n",
        resistance_ohm, frequency_Hz, frequency_Hz);
    request.vectors = {"out", "v1#branch"};
    return request;
}

SimulationRequest shapedSource(const std::string& points, double end_s)
{
    return transient(fmt::format("v1 in 0 pwl({})\nr1 in 0 1000\n", points), {"in"}, end_s);
}

SimulationRequest endlessRun()
{
    SimulationRequest request = chargingCapacitor();
    request.deck =
        "an endless run\nv1 in 0 sin(0 1 50)\nr1 in out 1000\nc1 out 0 1e-6\n"
        ".tran 1e-6 100 0 1e-6 uic\n.end\n";
    request.end_s = 100;
    return request;
}

std::vector<FaultyDeck> faultyDecks()
{
    const std::string load = "v1 in 0 dc 1\nr1 in 0 1000\n";
    std::vector<FaultyDeck> decks{
        {"unknown model",
         transient(load + "s1 in 0 in 0 nomodel\n", {"in"}),
         SimulationFault::deckRefused,
         {"nomodel", "line 4"}},
        {"unknown subcircuit",
         transient(load + "x1 in 0 nosuch\n", {"in"}),
         SimulationFault::deckRefused,
         {"nosuch"}},
        {"a value that is no number",
         transient(load + "r2 in 0 abc\n", {"in"}),
         SimulationFault::deckRefused,
         {"abc", "line 4"}},
        {"an element twice",
         transient(load + "r1 in 0 5\n", {"in"}),
         SimulationFault::deckRefused,
         {"r1", "already exists"}},
        {"unknown function",
         transient(load + "b1 x 0 v=foo(v(in))\nr2 x 0 1\n", {"in"}),
         SimulationFault::deckRefused,
         {"no such function 'foo'"}},
        {"current of a source that is not there",
         transient(load + "b1 x 0 v=i(vzz)\nr2 x 0 1\n", {"in"}),
         SimulationFault::deckRefused,
         {"vzz"}},
        {"a model parameter that is ignored",
         transient(load + "s1 in 0 in 0 m\n.model m sw(vt=3 rom=1)\n", {"in"}),
         SimulationFault::deckRefused,
         {"rom"}},
        {"too few nodes for the subcircuit",
         transient(load + "x1 in two\n.subckt two a b\nr1 a b 1\n.ends\n", {"in"}),
         SimulationFault::deckRefused,
         {"two", "Too few"}},
        {"undefined parameter",
         transient(load + "r2 in 0 {unheard_of}\n", {"in"}),
         SimulationFault::undefinedParameter,
         {"unheard_of", "line 4", "r2 in 0"}},
        {"undefined parameter in a subcircuit",
         transient(load + "x1 in sub a=2\n.subckt sub p a=1\nr1 p 0 {a*unheard_of}\n.ends\n",
                   {"in"}),
         SimulationFault::undefinedParameter,
         {"unheard_of", "line 6"}},
        {"expression without sense",
         transient(load + "r2 in 0 {3*/4}\n", {"in"}),
         SimulationFault::controlledExit,
         {"3*/4", "line 4"}},
        {"subcircuit that is not closed",
         transient(load + "x1 in sub\n.subckt sub p\nr1 p 0 1\n", {"in"}),
         SimulationFault::controlledExit,
         {".subckt"}},
        {"vectors that are not there",
         transient(load, {"in", "nowhere", "v9#branch"}),
         SimulationFault::missingVector,
         {"nowhere", "v9#branch"}},
        {"no vector that is there",
         transient(load, {"nowhere"}),
         SimulationFault::missingVector,
         {"nowhere"}},
        {"two sources at one node",
         transient(load + "v2 in 0 dc 2\n", {"in"}),
         SimulationFault::noConvergence,
         {"operating point", "v1#branch"}},
        {"feedback without answer",
         transient(load + "b1 b 0 v=v(b)>0 ? -1 : 1\nr2 b 0 1\n", {"in"}),
         SimulationFault::noConvergence,
         {"operating point", "\"b\""}},
        {"a contact that works against itself",
         transient("v1 in 0 pwl(0 0 1e-3 1)\nr1 in a 10\ns1 a 0 ctl 0 m\n"
                   "b1 ctl 0 v=v(a)>0.5 ? 1 : -1\n.model m sw(vt=0 vh=0 ron=1 roff=1e6)\n",
                   {"a"}),
         SimulationFault::aborted,
         {"Timestep too small", "s1", "of 0.001 s"}},
        {"a value beyond the numbers",
         transient("v1 in 0 dc 1e308\ne1 out 0 in 0 100\nr1 out 0 1\n", {"out"}),
         SimulationFault::notFinite,
         {"out", "0 s of 0.001 s"}},
        {"a function of itself",
         transient(".func f(x) {f(x)+1}\n" + load + "b1 b 0 v=f(v(in))\nr2 b 0 1\n", {"in"}),
         SimulationFault::crashed,
         {"signal 11"}},
        {"a run without end", endlessRun(), SimulationFault::timeLimit, {"0.05 s", "of 100 s"}},
    };
    decks.back().request.timeLimit_s = 0.05;
    SimulationRequest noPoint = filterAt(60);
    noPoint.deck = "no point\nv1 out 0 dc 1\nv2 out 0 dc 2\n.ac lin 1 60 60\n.end\n";
    decks.push_back({"frequency run without operating point",
                     noPoint,
                     SimulationFault::noConvergence,
                     {"operating point"}});
    return decks;
}

SimulationOutcome outcomeOf(SimulatorPool& pool, const SimulationRequest& request)
{
    return pool.runAll({&request, 1}).front();
}

std::string faultOf(const SimulationOutcome& outcome)
{
    const auto* const error = std::get_if<SimulationError>(&outcome);
    return error == nullptr ? "none" : faultName(error->fault());
}

bool isSame(const Waveforms& a, const Waveforms& b)
{
    return a.time_s == b.time_s && a.real == b.real && a.frequency_Hz == b.frequency_Hz &&
           a.phasors == b.phasors && a.stoppedEarly == b.stoppedEarly;
}

bool isSame(const SimulationOutcome& a, const SimulationOutcome& b)
{
    if (a.index() != b.index()) {
        return false;
    }
    if (const auto* const waveforms = std::get_if<Waveforms>(&a)) {
        return isSame(*waveforms, std::get<Waveforms>(b));
    }
    const auto& first = std::get<SimulationError>(a);
    const auto& second = std::get<SimulationError>(b);
    return first.fault() == second.fault() && std::string(first.what()) == second.what();
}

}  // namespace splitstart
