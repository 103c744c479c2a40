// What the checks of several parts read from the evidence. Internal to rating/.
#pragma once

#include <functional>
#include <initializer_list>
#include <optional>
#include <string>

#include "circuit/case_circuit.h"
#include "circuit/part_physics.h"
#include "rating/check.h"

namespace splitstart
{

// The lowest and the highest line that a part has to stand, as shares of the rated volts: 85 and
// 110
// %, or the supply as found where that is worse.
double lowestLine_ratio(const Case& input);
double highestLine_ratio(const Case& input);

// Speeds between which the start circuit must leave (common practice, no source: at about 75 %, 60
// % at the least; near full speed the start capacitor's volts climb steeply).
constexpr double earliestOpening_ratio = 0.60;
constexpr double latestOpening_ratio = 0.95;

// The start device, if it is of that kind.
template <typename Relay>
const Relay* startDevice(const CheckContext& context)
{
    return chosenPart<Relay>(context.input, &CircuitChoice::startDevice);
}

template <typename Relay>
bool hasStartDevice(const CheckContext& context)
{
    return startDevice<Relay>(context) != nullptr;
}

// How a value is held against its limit.
enum class Bound { atMost, atLeast };

// A limit, which may hang on how hot the compressor is.
class Limit
{
public:
    Limit(double fixed) : at_([fixed](double) { return fixed; }) {}  // NOLINT: a number is a limit
    explicit Limit(std::function<double(double)> atWinding_degC) : at_(std::move(atWinding_degC)) {}
    [[nodiscard]] double at(double winding_degC) const { return at_(winding_degC); }

private:
    std::function<double(double)> at_;
};

// A run capacitor, or one section of a dual one.
struct RunSection {
    Range capacitance_F;
    double rated_V = 0;
};
std::optional<RunSection> runSection(const CheckContext& context);  // the compressor's
std::optional<RunSection> fanSection(const CheckContext& context);

// Whether values at held speeds leave something out: the iron saturates there, which `.ac` does not
// show. At standstill the flux is low.
bool saturates(const CheckContext& context);
constexpr const char* unsaturated =
    "the iron of this motor saturates, which values at held speeds do not show: see the starts";

// Why there is nothing to ask of a contact.
constexpr const char* neverOpened = "the contact never opened in any run";
constexpr const char* neverMade = "the contact never made in any run";

// Whether anything is known of what lies between the supply's open-circuit volts and the
// compressor: given, or estimated from the volts while it was stalled.
bool sourceKnown(const CheckContext& context);

// Of the case's motor on the case's supply.
double synchronousSpeed_rad_s(const CheckContext& context);

// One comparison for each start in which the quantity exists; the value is multiplied by `scale`
// first. Does not arise, because of `absent`, if it exists in none (empty: plainly nothing to
// compare).
CheckReading overStarts(const CheckContext& context, std::optional<double> StartMeasurement::*field,
                        const Limit& limit, Bound bound, double scale = 1,
                        const std::string& absent = {});

// The corner that a held-shaft table stands for at a line voltage.
std::string heldCornerText(const HeldShaftTable& table, double line_ratio);

// Where the shaft is held.
enum class HeldPoint {
    standstill,
    latestOpening,  // the highest speed at which the start circuit may still be in
    lightLoad,      // the speed at a tenth of rated torque (assumed)
    fullLoad,       // the speed at rated torque
};

// One comparison for each held-shaft table and each of the line voltages, with what `value` takes
// from the point; a table in which that is empty is passed over. Undecided where the motor cannot
// carry the load of the point.
CheckReading overHeld(
    const CheckContext& context, StartContact contact, HeldPoint point,
    std::initializer_list<double> lines_ratio, const Limit& limit, Bound bound,
    const std::function<std::optional<double>(const HeldShaftMeasurement&)>& value);

// Speed in percent of synchronous at which the motor settles under that load at the lowest line (0:
// it stalls), with the start circuit in or out; must be at least the limit.
CheckReading settledSpeeds(const CheckContext& context, StartContact contact, double load_Nm,
                           double limit_percent);

// Speed at the first opening, in percent of synchronous.
CheckReading openingSpeeds(const CheckContext& context, double limit_ratio, Bound bound);

// Cycle rms through the start contact against its rating, undecided if the label does not give it.
CheckReading contactAmps(const CheckContext& context, const std::optional<double>& rating_A);

}  // namespace splitstart
