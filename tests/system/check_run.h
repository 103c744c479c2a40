// `check` on the invented examples, its JSON, and the numbers that the examples themselves hold.
#pragma once

#include <complex>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace splitstart
{

struct CheckRun {
    int status = -1;
    nlohmann::json json;

    [[nodiscard]] std::set<std::string> withVerdict(std::string_view verdict) const;
    // Null if this case has no such check.
    [[nodiscard]] nlohmann::json finding(std::string_view id) const;
    [[nodiscard]] std::string verdictOf(std::string_view id) const;  // "none" without such a check
    [[nodiscard]] const nlohmann::json& starts() const;
    [[nodiscard]] const nlohmann::json& restarts() const;
};

// Each example is run once in a process, however many tests ask for it.
const CheckRun& checkExample(const std::string& name);

// Fails the test where the start has no such quantity.
double quantity(const nlohmann::json& start, const char* name);
bool hasQuantity(const nlohmann::json& start, const char* name);
bool isEarly(
    const nlohmann::json& start);  // parts at the end at which the start circuit leaves early
double lineRatio(const nlohmann::json& start);
bool isHot(const nlohmann::json& start);
std::string cornerOf(const nlohmann::json& start);  // for messages

// A number from the XML of an example, by XPath; throws if there is none.
double exampleNumber(const std::string& name, const std::string& attributePath);
// The same from the invented store room.
double stockNumber(const std::string& partId, const std::string& attribute);
double openCircuitVolts(const std::string& name, const nlohmann::json& start);

// At standstill no volts of speed arise, the two windings know nothing of each other, and each is
// the T-circuit of any text on induction machines: winding in series with what the magnetizing
// branch and the short-circuited rotor are in parallel.
using Impedance = std::complex<double>;
struct WindingsAtRest {
    Impedance main_ohm;
    Impedance auxiliary_ohm;
};
// Resistances at 25 degC as in the example's <equivalent-circuit>. Copper by 234.5 + T, the rotor's
// aluminium by 225 + T (IEC 60034-1, resistance method).
WindingsAtRest windingsAtRest(const std::string& name, double winding_degC);
Impedance sourceImpedance(const std::string& name);  // source-ohms and source-millihenries
Impedance capacitorImpedance(double microfarads, double hertz);
Impedance inParallel(Impedance a, Impedance b);

// In every corner the motor comes up to speed within 3 s, and its protector holds.
void expectComesUpEverywhere(const CheckRun& run);
// The same, and nothing fails or is left open; the corners reach from 85 to 110 % line.
void expectFit(const CheckRun& run);
// The start circuit leaves once, for good, between these shares of synchronous speed.
void expectLeavesOnce(const CheckRun& run, double slowest_ratio, double fastest_ratio);

}  // namespace splitstart
