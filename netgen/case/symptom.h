// What was seen, heard or measured on a compressor that will not do as it should, as named on the
// command line: "motor=hums", "line-amps-stalled=62", "contact-ohms=open".
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace splitstart
{

enum class SymptomKind {
    // A word each.
    motor,
    startDevice,
    fan,
    gauges,
    // Numbers, supply on.
    supplyVoltsIdle,
    lineAmpsStalled,
    lineAmpsRunning,
    startLeadAmpsStalled,
    startLeadAmpsRunning,
    startCommonVoltsStalled,
    startCommonVoltsRunning,
    supplyVoltsStalled,
    secondsToStart,
    secondsToTrip,
    // Numbers, supply locked out.
    runCommonOhms,
    startCommonOhms,
    startCapacitorMicrofarads,
    runCapacitorMicrofarads,
    contactOhms,
    coilOhms,
    bleedOhms,
};

// Words of the symptom `motor`.
namespace motorWord
{
constexpr std::string_view starts = "starts";
constexpr std::string_view slow = "slow";
constexpr std::string_view hums = "hums";
constexpr std::string_view silent = "silent";
constexpr std::string_view breaker = "breaker";
}  // namespace motorWord

// Words of the symptom `start-device`.
namespace startDeviceWord
{
constexpr std::string_view opens = "opens";
constexpr std::string_view stays = "stays";
constexpr std::string_view chatters = "chatters";
constexpr std::string_view never = "never";
}  // namespace startDeviceWord

// Words of the symptom `fan`.
namespace fanWord
{
constexpr std::string_view runs = "runs";
constexpr std::string_view still = "still";
}  // namespace fanWord

// Words of the symptom `gauges`.
namespace gaugesWord
{
constexpr std::string_view equal = "equal";
constexpr std::string_view apart = "apart";
}  // namespace gaugesWord

// One kind: its name, what it means, what may be given.
struct SymptomInfo {
    SymptomKind kind = SymptomKind::motor;
    std::string_view name;  // "line-amps-stalled"
    std::string_view meaning;
    std::string_view unit = {};                // of a number, as it is written; "" for words
    std::vector<std::string_view> words = {};  // of a word; empty for numbers
    double least = 0;                          // of a number, in its unit
    double most = 0;
    double unitInSi = 1;     // the unit in SI units: 1e-6 for microfarads
    bool mayBeOpen = false;  // the word "open" in place of a number
    bool powered = false;    // seen with the supply on
};

// All of them, in the order of SymptomKind.
std::span<const SymptomInfo> symptomKinds();
const SymptomInfo& symptomInfo(SymptomKind kind);

struct Symptom {
    SymptomKind kind = SymptomKind::motor;
    std::string word;  // of a symptom with words
    double value = 0;  // of one with numbers, SI; infinity for "open"
};

// "line-amps-stalled=62". Throws std::invalid_argument with one line that names the field, what was
// found and what is allowed.
Symptom parseSymptom(std::string_view text);

}  // namespace splitstart
