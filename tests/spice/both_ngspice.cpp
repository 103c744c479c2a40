#include "spice/both_ngspice.h"

#include <fmt/format.h>

#include "case/embedded_files.h"
#include "spice/model_library.h"
#include "spice/simulation.h"

namespace splitstart
{

namespace
{

// "v(node)" and "i(v.x.ammeter)" as the library names them.
std::string libraryName(const std::string& vector)
{
    const std::string inner = vector.substr(2, vector.size() - 3);
    return vector.front() == 'i' ? inner + "#branch" : inner;
}

SimulatorPool& simulator()
{
    static SimulatorPool pool(1);
    return pool;
}

}  // namespace

std::string embeddedDeck(std::string_view circuit, const stock::Transient& analysis)
{
    std::string deck = "both kinds of ngspice\n";
    for (const EmbeddedFile& file : embeddedFiles()) {
        if (file.name.ends_with(".lib") && file.name != "splitstart.lib") {
            deck += parseSubcircuit(file.text).text;
        }
    }
    return deck.append(circuit) + fmt::format(".options noacct {}\n.tran {} {} 0 {} uic\n.end\n",
                                              analysis.options, analysis.step_s, analysis.end_s,
                                              analysis.step_s);
}

stock::Waveforms transientIn(Ngspice ngspice, std::string_view circuit,
                             const std::vector<std::string>& vectors,
                             const stock::Transient& analysis)
{
    if (ngspice == Ngspice::stock) {
        return stock::transient(circuit, vectors, analysis);
    }
    SimulationRequest request;
    request.deck = embeddedDeck(circuit, analysis);
    request.end_s = analysis.end_s;
    for (const std::string& vector : vectors) {
        request.vectors.push_back(libraryName(vector));
    }
    Waveforms run = simulator().run(request);
    return {std::move(run.time_s), std::move(run.real)};
}

}  // namespace splitstart
