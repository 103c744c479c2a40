// The same circuit in stock and in embedded ngspice, for the checks of models/ that run in both.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <string_view>
#include <vector>

#include "spice/stock_ngspice.h"

namespace splitstart
{

// Embedded: the subcircuits are those compiled into the library, in a worker process.
enum class Ngspice { stock, embedded };

inline std::string nameOf(const testing::TestParamInfo<Ngspice>& info)
{
    return info.param == Ngspice::stock ? "StockNgspice" : "EmbeddedNgspice";
}

// A deck for the embedded library: all subcircuits of models/, these element cards, and the
// analysis.
std::string embeddedDeck(std::string_view circuit, const stock::Transient& analysis);

// Runs `circuit` (element cards) there. `vectors` as in stock ngspice: "v(node)", "i(v.x.ammeter)".
// Throws std::runtime_error if the run did not reach its end.
stock::Waveforms transientIn(Ngspice ngspice, std::string_view circuit,
                             const std::vector<std::string>& vectors,
                             const stock::Transient& analysis);

}  // namespace splitstart
