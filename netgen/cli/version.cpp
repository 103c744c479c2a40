#include "cli/version.h"

#include <fmt/format.h>

#include "spice/simulation.h"

namespace splitstart
{

std::string versionText()
{
    std::string ngspice;
    try {
        SimulatorPool pool(1);
        ngspice = "ngspice " + pool.version();
    } catch (const SimulationError& error) {
        ngspice = fmt::format("no ngspice: {}", error.what());
    }
    return fmt::format("splitstart {}, {}\n", SPLITSTART_VERSION, ngspice);
}

}  // namespace splitstart
