// What would be seen and measured with one cause on one machine.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "study/cause.h"
#include "study/start_runs.h"

namespace splitstart
{

struct Prediction {
    std::map<SymptomKind, std::string_view> words;
    // SI; infinity: open, or never. A kind that is not here cannot be seen then (running amps of
    // what does not run), or is not known.
    std::map<SymptomKind, Range> values;
    // Of which a meter shows either end and nothing between: before and after a contact has moved.
    std::set<SymptomKind> eitherEnd;
    // Why it was not simulated: a short, a compressor without current. Empty for the rest.
    std::string notSimulated;
};

// What the symptoms' kinds refer to, the same for all causes: the circuit as it should be, the far
// ends of its wires, how the case's own parts are.
class Predictor
{
public:
    // The references must outlive it.
    Predictor(const Case& input, const Circuit& circuit);

    // What needs no simulation: all that is measured with the supply locked out, and a start that
    // cannot be simulated. `setup` has its cause in it.
    [[nodiscard]] Prediction withoutPower(const MachineSetup& setup) const;

    // The start to be simulated; empty where `prediction` says why not.
    [[nodiscard]] std::optional<StartJob> job(const MachineSetup& setup,
                                              const Prediction& prediction) const;

    // Adds what the start showed.
    void addStart(Prediction& prediction, const MachineSetup& setup,
                  const StartMeasurement& measured) const;

private:
    void addOhms(Prediction& prediction, const MachineSetup& setup) const;
    void addCapacitors(Prediction& prediction, const MachineSetup& setup) const;
    void addStartDevice(Prediction& prediction, const MachineSetup& setup) const;
    [[nodiscard]] std::string_view startDeviceWordOf(const MachineSetup& setup,
                                                     const StartMeasurement& measured) const;
    [[nodiscard]] std::string_view fanWordOf(const StartMeasurement& measured) const;

    const Case& input_;
    const Circuit& circuit_;
    Terminal commonEnd_;
    Terminal startEnd_;
    Terminal runEnd_;
};

// Why nobody can observe that with this case's circuit, such as "the circuit has no start device";
// empty if one can.
std::string whyNotSeen(SymptomKind kind, const Case& input, const Circuit& circuit);

}  // namespace splitstart
