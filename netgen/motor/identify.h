// Which pin of a single-phase compressor is common, start and run, from three resistance readings.
//
// Every reading is taken as winding + meter leads + error. The windings must obey
//   R(S-R) = R(C-S) + R(C-R),
// so the pair with the highest reading stands opposite C. Start and run are told apart only by the
// usual ratio of their resistances, which is a habit of motor makers and not a law; the answer is
// therefore a probability, by Bayes' rule over the six ways to name the pins and a seventh: three
// equal windings, which is a three-phase or inverter-driven motor. Where the diagram on the
// nameplate or inside the terminal cover names the pins, it decides, and the readings check it.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "case/case.h"
#include "case/quantity.h"
#include "motor/winding_temperature.h"

namespace splitstart
{

// One log-normal share of the prior on start / run resistance.
struct RatioPrior {
    double weight_ratio = 0;  // share of motors, the shares sum to 1
    double median_ratio = 1;
    double logDeviation = 0;  // standard deviation of the natural logarithm
};

// What is taken for known beyond the readings. All of it is assumed, none of it is published:
// shapes are common practice without source, numbers are this program's choice.
struct IdentifyAssumptions {
    // Ratio start / run. Motors with start capacitor or plain resistance start: "3 to 5 times".
    // Capacitor-run motors: 1 to 2.5. Some rotary compressors: below 1.
    std::array<RatioPrior, 3> startToRun{
        {{0.55, 3.5, 0.35}, {0.38, 1.8, 0.30}, {0.07, 0.70, 0.28}}};
    // Run winding, 5 hp at 0.3 ohm to a small 230 V refrigerator at 40 ohm.
    double runMedian_ohm = 3.0;
    double runLogDeviation = 1.3;
    // Share of three-phase and inverter-driven motors, and how far their windings differ.
    double threeEqualShare_ratio = 0.03;
    double threeEqualSpread_ratio = 0.02;
    // Meter leads and contacts, the same in all three readings, when the user gives none.
    double unknownLead_ohm = 0.15;
    double unknownLeadDeviation_ohm = 0.12;
    // Leads above this are broken or misread; what is left below zero then says nothing of a short.
    double highestLead_ohm = 0.5;
    // Contact of the probes, anew in each reading; less for a meter that shows milliohms, which is
    // a four-wire meter. What stays uncertain of a given lead resistance is as large.
    double contactDeviation_ohm = 0.03;
    double fourWireContactDeviation_ohm = 0.0005;
    // Warming or cooling between the readings, 0.5 K.
    double driftDeviation_ratio = 0.002;
    // Internal protector and lead inside the shell, in the path to C alone.
    double commonPath_ohm = 0.01;
    double commonPathDeviation_ohm = 0.01;
    // Share of jobs with a coarse error (corroded pin, winding cooling down), and its size in the
    // sum of the three readings as a share of the highest.
    double coarseShare_ratio = 0.02;
    double coarseDeviation_ratio = 0.05;
    // 95 % half widths of the winding temperature.
    double givenTemperature_K = 5;
    double assumedTemperature_K = 10;
    // A winding below the first is rare, below the second unheard of: the run winding of a 5 hp,
    // 230 V motor has about 0.3 ohm.
    double lowWinding_ohm = 0.2;
    double shortedWinding_ohm = 0.1;
    WindingMetal metal = WindingMetal::copper;
    // Share of diagrams that are misread, or belong to another compressor, or whose pins were
    // labelled wrongly while reading; each other naming has the same part of it. So small that a
    // start winding within the habit stated above (down to 0.4 of run) stays certain.
    double wrongDiagramShare_ratio = 0.001;
    // The readings contradict a diagram whose common pin they alone give less than this.
    double contradictedBelow_ratio = 0.01;
};

// The assumptions in plain sentences, to be printed with the answer.
std::vector<std::string> describeAssumptions(const IdentifyAssumptions& assumptions,
                                             const Readings& readings, bool diagramGiven);

enum class ReadingPattern {
    complete,            // three readings that a two-winding motor can give
    threeEqual,          // three-phase or inverter-driven
    sumRuleViolated,     // no reading is near the sum of the other two
    contradictsDiagram,  // a two-winding motor can give them, but not with the diagram's pins
    onePinOpen,          // open from one pin to both others
    oneReadingOpen,      // one pair open although the way round it conducts: impossible
    allOpen,
    zeroReading,  // the meter showed nothing between two pins
    shorted,      // above zero, but below any winding even at the edge of the meter's error
    belowLead,    // less than the meter leads alone
};

// certain: at least 0.99; likely: at least 0.90; below that it is a guess.
enum class Confidence { none, guess, likely, certain };
Confidence confidenceOf(double probability);
// "certain", "likely", "a guess: do not wire by this", "not known".
const char* confidenceInWords(Confidence confidence);
// "96 %", never "100 %": "over 99.9 %".
std::string percentInWords(double probability);

struct PinAssignment {
    std::string common;
    std::string start;
    std::string run;
    double probability = 0;
};

// How far the readings miss R(C-R) + R(C-S) = R(S-R), for the best naming of the pins.
struct Misfit {
    double shown_ohm = 0;      // R(C-R) + R(C-S) - R(S-R) after subtracting a given lead resistance
    double expected_ohm = 0;   // what leads and protector are expected to add
    double explained_ohm = 0;  // the meter can explain this much either side of it, 99 %
    bool withinMeter = true;
    std::string explanation;  // plain text: likely causes and what each does to the sum
};

// Open circuit from one pin to both others.
struct OpenPin {
    std::string pin;
    double others_ohm = 0;  // between the two other pins, leads subtracted
};

// One pair of pins as read.
struct PairReading {
    std::string pinA;  // pinA < pinB
    std::string pinB;
    double shown_ohm = 0;      // infinity: open
    double corrected_ohm = 0;  // less the given or assumed lead resistance
    double deviation_ohm = 0;  // standard deviation, leads included
};

struct ShellReading {
    std::string pin;
    double resistance_ohm = 0;  // infinity: open
};

struct Identification {
    ReadingPattern pattern = ReadingPattern::complete;
    // What was given. With a diagram, probabilities and confidence below hold for diagram and
    // readings together, unless they say otherwise.
    std::optional<KnownPins> diagram;
    // "C", "S", "R" -> label: the diagram's, or the most probable naming. Without a diagram, empty
    // unless pattern is complete; with one, empty where the readings contradict it.
    std::map<std::string, std::string> pins;
    // The six namings: that of the diagram, then the most probable first. Empty unless pattern is
    // complete.
    std::vector<PinAssignment> assignments;
    Confidence confidence = Confidence::none;  // in the whole naming
    double commonProbability = 0;              // that pins["C"] is the common pin
    Confidence commonConfidence = Confidence::none;
    double threeEqualProbability = 0;
    // By the readings alone: the most probable naming, and how probable the diagram's common pin
    // is. Only with a diagram, and where the sum rule holds for some naming.
    std::optional<PinAssignment> byReadings;
    double diagramCommonProbability = 0;
    // Pin to pin, leads subtracted, for the best naming; temperature of the reading.
    Quantity run_ohm;    // C-R
    Quantity start_ohm;  // C-S
    double temperature_degC = 25;
    Quantity runAt25_ohm;
    Quantity startAt25_ohm;
    Quantity lead_ohm;  // meter lead and contact as the sum rule shows it
    Misfit misfit;
    std::vector<PairReading> pairs;   // three, by label
    std::vector<ShellReading> shell;  // as read
    OpenPin open;                     // pattern onePinOpen only
    std::string lowestPair;           // "A-C", the pair with the lowest reading
    // Plain sentences.
    std::string answer;
    std::string runnerUp;   // empty when nothing competes
    std::string decidedBy;  // what would decide; empty when nothing competes
    std::vector<std::string> assumptions;
};

// True for the word that stands for the compressor's bare metal in a reading.
bool isShell(const std::string& label);

// True where the readings allow no motor whose pins are those of the diagram that was given.
bool contradictsDiagram(const Identification& identification);

// Names the pins. Needs one reading of each pair of exactly three pins; readings to the
// shell are kept aside. Throws InputError when a pair is missing, a pin is read against itself,
// there are not three pins, or the diagram's pins are not these three.
Identification identify(const Readings& readings, const IdentifyAssumptions& assumptions = {},
                        const std::optional<KnownPins>& diagram = std::nullopt);

}  // namespace splitstart
