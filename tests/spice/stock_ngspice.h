// Runs of the stock `ngspice -b`, as a user of models/ has it: another process, no start-up file.
// The embedded library is not in it, so that what is checked here is the models alone.
#pragma once

#include <complex>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace splitstart::stock
{

struct Outcome {
    int exitStatus = -1;
    std::string log;  // standard output and standard error
};

// Runs that deck in its own folder. Throws std::runtime_error if ngspice cannot be started.
Outcome run(const std::filesystem::path& deck);

struct Waveforms {
    std::vector<double> time_s;
    std::vector<std::vector<double>> values;  // in the order asked for

    // First time, from `from_s` on, at which that vector passes the level in either direction,
    // straight lines between the points. Throws std::runtime_error if it never does.
    [[nodiscard]] double crossing_s(std::size_t vector, double level, double from_s = 0) const;
    // All such times.
    [[nodiscard]] std::vector<double> crossings_s(std::size_t vector, double level) const;
    [[nodiscard]] double at(std::size_t vector, double time_s) const;
    [[nodiscard]] double highestMagnitude(std::size_t vector, double from_s, double to_s) const;
    // Mean over that stretch of time.
    [[nodiscard]] double mean(std::size_t vector, double from_s, double to_s) const;
    [[nodiscard]] double rms(std::size_t vector, double from_s, double to_s) const;
};

struct Transient {
    double end_s = 0.1;
    double step_s = 1e-4;  // largest
    std::string options = "method=trap reltol=1e-4";
};

// The functions below put `circuit` (element cards) behind the include of models/splitstart.lib,
// analyse it, and return the vectors asked for. They throw std::runtime_error, with the log, when
// ngspice reports any error or warning, or when the run has not reached its end.
Waveforms transient(std::string_view circuit, const std::vector<std::string>& vectors,
                    const Transient& analysis);
std::vector<std::complex<double>> alternating(std::string_view circuit,
                                              const std::vector<std::string>& vectors,
                                              double frequency_Hz);
std::vector<double> operatingPoint(std::string_view circuit,
                                   const std::vector<std::string>& vectors);

std::filesystem::path modelsFolder();

}  // namespace splitstart::stock
