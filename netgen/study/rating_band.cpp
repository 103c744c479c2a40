#include "study/rating_band.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

#include "case/preferred_values.h"
#include "circuit/case_circuit.h"
#include "study/best_evidence.h"
#include "study/made_up_parts.h"
#include "study/sample_study.h"

namespace splitstart
{

namespace
{

// A rating that is a little better than the least (assumed), for parts that are made up.
constexpr double better_ratio = 1.05;

// One relay never drops out above its own pull-in, and needs a gap between the two (assumed).
constexpr double gap_ratio = 0.9;

// Values that run capacitors are made in, in microfarads, within 5 % (common practice, no source).
constexpr double runSeries_uF[] = {2,  2.5, 3,  4,  5,  6,  7.5, 10, 12.5, 15, 17.5, 20, 25,
                                   30, 35,  40, 45, 50, 55, 60,  65, 70,   75, 80,   90, 100};
constexpr double runTolerance_ratio = 0.05;

// One kind of circuit with one kind of device.
class BandFinder
{
public:
    BandFinder(const BandInput& from, const CircuitShape& shape, const CheckOptions& options,
               SimulatorPool& pool, const StudyProgress& progress)
        : from_(from), shape_(shape), options_(options), pool_(pool), progress_(progress)
    {
    }

    RatingBands run();

private:
    [[nodiscard]] bool chosen(StockPlace place) const { return !from_.kept.contains(place); }
    [[nodiscard]] bool makesRelay() const
    {
        return chosen(StockPlace::startDevice) && (shape_.startDevice == PartKind::potentialRelay ||
                                                   shape_.startDevice == PartKind::currentRelay);
    }
    void prepare();
    void findRun();
    RatingRow held(const std::optional<Range>& capacitance_F);
    static std::optional<Range> heldBand(RatingRow& row);
    void fitRelay(RatingRow& row, const Range& calibration);
    bool passesAt(RatingRow& row, double value);
    std::optional<Range> startBand(RatingRow& row, const Range& held);
    void simulate(RatingRow& row);
    void fitRatings(RatingRow& row, const std::vector<Evidence>& evidence);
    void judgeRow(RatingRow& row, const std::vector<Evidence>& evidence);
    void walk(std::vector<RatingRow>& rows);
    void prove();
    [[nodiscard]] CheckContext contextOf(const RatingRow& row, const Evidence& evidence) const
    {
        return {row.input, shape_.circuit, evidence};
    }

    const BandInput& from_;
    const CircuitShape& shape_;
    const CheckOptions& options_;
    SimulatorPool& pool_;
    const StudyProgress& progress_;
    Case base_;
    Range fan_F_;
    RatingBands bands_;
    std::map<std::string, std::vector<Evidence>> evidence_;  // of the rows that pass, by name
};

void BandFinder::prepare()
{
    base_ = from_.input;
    CircuitChoice& choice = *base_.circuit;
    bands_.circuit = fmt::format("{}: {}", shape_.circuit.type, shape_.circuit.description);
    bands_.device = shape_.startDevice;
    if (makesRelay()) {
        choice.startDevice = madeDevice;
        setPart(base_, madeDevice, deviceOf(*shape_.startDevice));
    } else if (shape_.startDevice) {
        const CatalogPart* const own = base_.parts.find(choice.startDevice);
        if (own == nullptr || startDeviceKind(own->data) != shape_.startDevice) {
            for (const CatalogPart& part : from_.offer.onShelf) {
                if (startDeviceKind(part.data) == shape_.startDevice) {
                    choice.startDevice = part.id;
                    break;
                }
            }
        }
        bands_.deviceId = choice.startDevice;
    } else {
        choice.startDevice.clear();
    }
    if (chosen(StockPlace::startCapacitor)) {
        choice.startCapacitor = shape_.startCapacitor ? madeStart : "";
    }
    if (shape_.dual) {
        const auto* const fan = chosenPart<CapacitorFan>(base_, &CircuitChoice::fan);
        const double fan_F = fan != nullptr ? fan->capacitor_F : 0;
        fan_F_ = {fan_F * (1 - runTolerance_ratio), fan_F * (1 + runTolerance_ratio)};
        choice.fanCapacitor.clear();
    }
}

// The lowest and highest usual value of those that pass without a gap around the one used; nothing
// where none does.
Range passingAround(double used_F, const std::vector<std::optional<Rank>>& ranks)
{
    Range result;
    const auto nearest = static_cast<std::size_t>(
        std::min_element(std::begin(runSeries_uF), std::end(runSeries_uF),
                         [used_F](double a, double b) {
                             return std::abs(a * 1e-6 - used_F) < std::abs(b * 1e-6 - used_F);
                         }) -
        std::begin(runSeries_uF));
    for (std::size_t i = nearest; i < ranks.size() && ranks[i]; ++i) {
        result.maximum = runSeries_uF[i] * 1e-6;
    }
    for (std::size_t i = nearest + 1; i-- > 0 && ranks[i];) {
        result.minimum = runSeries_uF[i] * 1e-6;
    }
    return result;
}

// The case's run capacitor where it names one; and of the usual values, which pass what held shafts
// show, whatever the start capacitor.
void BandFinder::findRun()
{
    CircuitChoice& choice = *base_.circuit;
    if (!shape_.runCapacitor || !chosen(StockPlace::runCapacitor)) {
        choice.runCapacitor = shape_.runCapacitor ? choice.runCapacitor : std::string();
        return;
    }
    std::optional<Range> own_F;
    if (const auto* single = chosenPart<RunCapacitor>(from_.input, &CircuitChoice::runCapacitor)) {
        own_F = single->capacitance_F;
    } else if (const auto* dual =
                   chosenPart<DualRunCapacitor>(from_.input, &CircuitChoice::runCapacitor)) {
        own_F = dual->compressor_F;
    }
    choice.runCapacitor = madeRun;
    const std::span<const Range> printed = preferredStartRanges_F();
    const CatalogPart* const start = from_.input.parts.find(from_.bestStart);
    const auto* const best = start != nullptr ? std::get_if<StartCapacitor>(&start->data) : nullptr;
    const Range beside_F = best != nullptr ? best->capacitance_F : printed[printed.size() / 3];
    RunCapacitorNeed need;
    std::optional<Rank> bestRank;
    const auto around = [](double value_F) {
        return Range{value_F * (1 - runTolerance_ratio), value_F * (1 + runTolerance_ratio)};
    };
    const auto rankWith = [&](const Range& capacitance_F) {
        setPart(base_, madeRun, runOf(capacitance_F, shape_.dual, fan_F_));
        RatingRow row = held(shape_.startCapacitor ? std::optional(beside_F) : std::nullopt);
        // What judges start capacitor and start device is for the rows to say.
        std::erase_if(row.findings, [](const Finding& each) {
            const std::optional<StockPlace> place = stockPlaceOfCheck(each.check->part);
            return !each.hasLimit || place == StockPlace::startDevice ||
                   place == StockPlace::startCapacitor;
        });
        return rankOf(row.findings, from_.leftOut, 0, 0, {});
    };
    std::vector<std::optional<Rank>> ranks;
    for (const double value_uF : runSeries_uF) {
        const Rank rank = rankWith(around(value_uF * 1e-6));
        const bool passes = rank.outcome == Outcome::pass;
        ranks.push_back(passes ? std::optional(rank) : std::nullopt);
        if (passes && (!bestRank || isBetter(rank, *bestRank))) {
            bestRank = rank;
            need.used_F = value_uF * 1e-6;
        }
    }
    need.ofCase = own_F && rankWith(*own_F).outcome == Outcome::pass;
    if (need.ofCase) {
        need.used_F = own_F->middle();
    }
    need.nominal_F = passingAround(need.used_F, ranks);
    if (need.used_F == 0) {
        need.used_F = runSeries_uF[std::size(runSeries_uF) / 2] * 1e-6;
    }
    const Range used_F = need.ofCase ? *own_F : around(need.used_F);
    setPart(base_, madeRun, runOf(used_F, shape_.dual, fan_F_));
    bands_.run = need;
}

// The row's case with a relay in the middle of the bands, and what held shafts say of it.
RatingRow BandFinder::held(const std::optional<Range>& capacitance_F)
{
    RatingRow row;
    row.capacitance_F = capacitance_F;
    row.input = base_;
    if (capacitance_F && chosen(StockPlace::startCapacitor)) {
        setPart(row.input, madeStart, startOf(*capacitance_F));
    }
    const Evidence evidence = heldEvidence(row.input, shape_.circuit, from_.motor, pool_);
    if (makesRelay()) {
        const CheckContext context = contextOf(row, evidence);
        if (shape_.startDevice == PartKind::potentialRelay) {
            row.device.potential = potentialRelayNeed(context);
        } else {
            row.device.current = currentRelayNeed(context);
        }
        if (const std::optional<Range> band = heldBand(row)) {
            fitRelay(row, middleOf(band->minimum, band->maximum));
        }
    }
    row.findings = judge(row.input, shape_.circuit, {&evidence, 1});
    judgeRow(row, {evidence});
    return row;
}

// Whether what held shafts ask of a relay leaves a band at all, and which: of the pick-up volts of
// a potential relay, of the drop-out amps of a current relay.
std::optional<Range> BandFinder::heldBand(RatingRow& row)
{
    if (row.device.potential) {
        const PotentialRelayNeed& need = *row.device.potential;
        if (need.lowestPickUp_V < need.highestPickUp_V) {
            return Range{need.lowestPickUp_V, need.highestPickUp_V};
        }
        row.why = fmt::format(
            "no pick-up volts fit: {:.0f} V are there before it may open, {:.0f} V when it must "
            "have opened",
            need.lowestPickUp_V, need.highestPickUp_V);
    } else if (row.device.current) {
        const CurrentRelayNeed& need = *row.device.current;
        const double highest_A = std::min(need.highestDropOut_A, gap_ratio * need.highestPullIn_A);
        if (need.lowestPullIn_A < need.highestPullIn_A && need.lowestDropOut_A < highest_A) {
            return Range{need.lowestDropOut_A, highest_A};
        }
        row.why = fmt::format(
            "no pull-in and drop-out amps fit: every pull-in below {:.3g} A, every drop-out "
            "between "
            "{:.3g} and {:.3g} A would be needed",
            need.highestPullIn_A, need.lowestDropOut_A, highest_A);
    } else {
        row.why =
            "the motor does not carry its load, so the relay's volts or amps in running are "
            "not known";
    }
    return std::nullopt;
}

// A relay of that calibration in the row's case: of the pick-up, or of the drop-out.
void BandFinder::fitRelay(RatingRow& row, const Range& calibration)
{
    PartData data = deviceOf(*shape_.startDevice);
    if (auto* relay = std::get_if<PotentialRelay>(&data)) {
        relay->pickUp_V = calibration;
        const double highest_V =
            std::min(row.device.potential->highestDropOut_V, calibration.minimum);
        relay->dropOut_V = {0.2 * highest_V, 0.5 * highest_V};
    } else if (auto* other = std::get_if<CurrentRelay>(&data)) {
        const CurrentRelayNeed& need = *row.device.current;
        other->dropOut_A = calibration;
        other->pullIn_A =
            middleOf(std::max(need.lowestPullIn_A, calibration.maximum), need.highestPullIn_A);
    }
    setPart(row.input, madeDevice, data);
}

// Whether a relay of just that calibration passes at the few corners.
bool BandFinder::passesAt(RatingRow& row, double value)
{
    fitRelay(row, {value, value});
    const Evidence held = heldEvidence(row.input, shape_.circuit, from_.motor, pool_);
    const std::vector<Evidence> evidence =
        withStarts(held, row.input, shape_.circuit, from_.motor, Corners::few, pool_);
    judgeRow(row, evidence);
    return row.rank.outcome == Outcome::pass;
}

// Where in the band of the held shafts starts pass too. A start takes the contact some
// milliseconds to open, in which a light motor gains speed, so that the band of the starts lies
// within. What passes lies side by side: the first that passes of a few, halved towards both ends.
std::optional<Range> BandFinder::startBand(RatingRow& row, const Range& held)
{
    constexpr double tries_ratio[] = {0.5, 0.25, 0.75, 0.1, 0.4, 0.6, 0.9};
    constexpr int halvings = 2;
    const auto at = [&held](double ratio) { return std::lerp(held.minimum, held.maximum, ratio); };
    for (const double first : tries_ratio) {
        if (!passesAt(row, at(first))) {
            continue;
        }
        const auto edge = [&](double beyond) {
            double passing = first;
            for (int i = 0; i < halvings; ++i) {
                const double middle = 0.5 * (passing + beyond);
                (passesAt(row, at(middle)) ? passing : beyond) = middle;
            }
            return at(passing);
        };
        const double lowest = edge(0);
        return Range{lowest, edge(1)};
    }
    return std::nullopt;
}

void BandFinder::judgeRow(RatingRow& row, const std::vector<Evidence>& evidence)
{
    row.findings = judge(row.input, shape_.circuit, evidence);
    row.rank =
        rankOf(row.findings, from_.leftOut, startingTorque_Nm(contextOf(row, evidence.front())), 0,
               row.capacitance_F ? fmt::format("{:.6f}", row.capacitance_F->minimum * 1e6)
                                 : std::string());
    row.failing = Finding();
    const Finding* worst = nullptr;
    for (const Finding& each : row.findings) {
        const bool counts = each.verdict == Verdict::fail && !from_.leftOut.contains(each.check);
        if (counts && (worst == nullptr || relativeMargin(each) < relativeMargin(*worst))) {
            worst = &each;
        }
    }
    if (worst != nullptr) {
        row.failing = *worst;
    }
    if (!row.why.empty()) {
        row.rank.outcome = Outcome::fail;
    }
}

// What the starts ask of the parts, put into them.
void BandFinder::fitRatings(RatingRow& row, const std::vector<Evidence>& evidence)
{
    const auto need = [&](const char* id, double rating) {
        double highest = 0;
        for (const Evidence& each : evidence) {
            highest = std::max(highest, neededRating(id, contextOf(row, each), rating).value_or(0));
        }
        return highest;
    };
    if (chosen(StockPlace::startCapacitor) && row.capacitance_F) {
        StartCapacitor start =
            *chosenPart<StartCapacitor>(row.input, &CircuitChoice::startCapacitor);
        row.seen_V = need("start-capacitor-volts", start.rated_V);
        for (const double usual_V : preferredStartVolts_V()) {
            if (usual_V >= row.seen_V) {
                row.printed_V = usual_V;
                break;
            }
        }
        start.rated_V = row.printed_V > 0 ? row.printed_V : start.rated_V;
        setPart(row.input, madeStart, start);
    }
    if (!makesRelay()) {
        return;
    }
    row.device.contact_A = need("relay-contact-amps", ample);
    const auto lowest = [&](const char* id, double rating, double bound) {
        for (const Evidence& each : evidence) {
            bound = std::min(bound, neededRating(id, contextOf(row, each), rating).value_or(bound));
        }
        return bound;
    };
    if (row.device.potential) {
        PotentialRelay relay = *chosenPart<PotentialRelay>(row.input, &CircuitChoice::startDevice);
        PotentialRelayNeed& asked = *row.device.potential;
        asked.highestDropOut_V =
            lowest("relay-holds-after-opening", relay.dropOut_V.maximum, asked.highestDropOut_V);
        relay.coilContinuous_V = better_ratio * asked.coilContinuous_V;
        relay.contact_A = better_ratio * row.device.contact_A;
        setPart(row.input, madeDevice, relay);
    } else if (row.device.current) {
        CurrentRelay relay = *chosenPart<CurrentRelay>(row.input, &CircuitChoice::startDevice);
        CurrentRelayNeed& asked = *row.device.current;
        asked.lowestPullIn_A = std::max(
            asked.lowestPullIn_A, need("relay-stays-open-after-opening", relay.pullIn_A.minimum));
        relay.coilContinuous_A = better_ratio * asked.coilContinuous_A;
        relay.contact_A = better_ratio * row.device.contact_A;
        setPart(row.input, madeDevice, relay);
    }
}

void BandFinder::simulate(RatingRow& row)
{
    if (makesRelay()) {
        const std::optional<Range> band = startBand(row, *heldBand(row));
        if (!band) {
            return;
        }
        if (row.device.potential) {
            row.device.potential->lowestPickUp_V = band->minimum;
            row.device.potential->highestPickUp_V = band->maximum;
        } else {
            row.device.current->lowestDropOut_A = band->minimum;
            row.device.current->highestDropOut_A = band->maximum;
        }
        fitRelay(row, middleOf(band->minimum, band->maximum));
    }
    const std::vector<Evidence> evidence =
        bestEvidence(row.input, shape_.circuit, from_.motor, pool_);
    fitRatings(row, evidence);
    judgeRow(row, evidence);
    row.passes = row.rank.outcome == Outcome::pass;
    if (row.passes && bands_.run && bands_.run->least_V == 0) {
        const CheckContext context = contextOf(row, evidence.front());
        for (const char* id : {"run-capacitor-volts", "run-capacitor-amps"}) {
            bands_.run->least_V =
                std::max(bands_.run->least_V, neededRating(id, context, ample).value_or(0));
        }
    }
    if (row.passes) {
        evidence_[row.rank.name] = evidence;
    }
}

// Starts from the rows that held shafts leave, nearest to the middle first; once one passes, from
// there outwards until one fails: what passes lies side by side.
void BandFinder::walk(std::vector<RatingRow>& rows)
{
    std::vector<std::size_t> left;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (rows[i].rank.outcome != Outcome::fail) {
            left.push_back(i);
        }
    }
    double middle = 0;
    const CatalogPart* const begin = from_.input.parts.find(from_.bestStart);
    const auto* const known =
        begin != nullptr ? std::get_if<StartCapacitor>(&begin->data) : nullptr;
    for (const std::size_t i : left) {
        middle += rows[i].capacitance_F
                      ? std::log(rows[i].capacitance_F->middle()) / static_cast<double>(left.size())
                      : 0;
    }
    if (known != nullptr) {
        middle = std::log(known->capacitance_F.middle());
    }
    std::vector<std::size_t> order = left;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const auto away = [&](std::size_t i) {
            return rows[i].capacitance_F
                       ? std::abs(std::log(rows[i].capacitance_F->middle()) - middle)
                       : 0;
        };
        return away(a) < away(b);
    });
    std::size_t done = 0;
    const auto passes = [&](std::size_t i) {
        if (progress_) {
            progress_(done++, left.size());
        }
        simulate(rows[i]);
        return rows[i].passes;
    };
    for (const std::size_t first : order) {
        if (!passes(first)) {
            continue;
        }
        for (std::size_t i = first + 1; i < rows.size(); ++i) {
            if (rows[i].rank.outcome == Outcome::fail || !passes(i)) {
                break;
            }
        }
        for (std::size_t i = first; i-- > 0;) {
            if (rows[i].rank.outcome == Outcome::fail || !passes(i)) {
                break;
            }
        }
        return;
    }
}

// The made-up parts of the best rows, as `check` judges any, until some pass.
void BandFinder::prove()
{
    constexpr std::size_t mostTries = 2;
    std::vector<std::size_t> order(bands_.rows.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [this](std::size_t a, std::size_t b) {
        return isBetter(bands_.rows[a].rank, bands_.rows[b].rank);
    });
    order.resize(std::min(order.size(), mostTries));
    for (const std::size_t i : order) {
        const RatingRow& row = bands_.rows[i];
        CheckStudy study;
        study.circuit = shape_.circuit;
        study.motor = from_.motor;
        study.evidence = evidence_.at(row.rank.name);
        study.findings = row.findings;
        decideBySamples(row.input, study, options_, pool_, progress_);
        const Outcome outcome = outcomeOf(study.findings, from_.leftOut);
        if (!bands_.proof || outcome < *bands_.proof) {
            bands_.best = i;
            bands_.proof = outcome;
            bands_.proofFindings = study.findings;
        }
        if (outcome == Outcome::pass) {
            return;
        }
    }
}

RatingBands BandFinder::run()
{
    prepare();
    if (shape_.startDevice && base_.circuit->startDevice.empty()) {
        return bands_;  // no device of that kind is known
    }
    findRun();
    std::vector<RatingRow> rows;
    if (shape_.startCapacitor && chosen(StockPlace::startCapacitor)) {
        for (const Range& printed_F : preferredStartRanges_F()) {
            rows.push_back(held(printed_F));
            for (const CatalogPart& part : from_.offer.onShelf) {
                const auto* const start = std::get_if<StartCapacitor>(&part.data);
                if (start != nullptr && isPrintedAs(start->capacitance_F, printed_F)) {
                    rows.back().onShelf.push_back(part.id);
                }
            }
        }
    } else {
        rows.push_back(held(std::nullopt));
    }
    walk(rows);
    std::optional<RatingRow> nearest;
    for (RatingRow& row : rows) {
        if (row.passes) {
            bands_.rows.push_back(std::move(row));
        } else if (!nearest || isBetter(row.rank, nearest->rank)) {
            nearest = std::move(row);
        }
    }
    if (bands_.rows.empty()) {
        bands_.nearest = std::move(nearest);
    }
    prove();
    return std::move(bands_);
}

}  // namespace

std::vector<RatingBands> ratingBands(const BandInput& from, const CheckOptions& options,
                                     SimulatorPool& pool, const StudyProgress& progress)
{
    const CatalogPart* const named = from.input.parts.find(from.input.circuit->startDevice);
    const std::optional<PartKind> wanted =
        named != nullptr ? startDeviceKind(named->data) : std::nullopt;
    std::vector<const CircuitShape*> shapes;
    const auto isRelay = [](const CircuitShape& shape) {
        return shape.startDevice == PartKind::potentialRelay ||
               shape.startDevice == PartKind::currentRelay;
    };
    const auto collect = [&](const auto& fits) {
        for (const CircuitShape& shape : from.offer.shapes) {
            const bool known =
                std::any_of(shapes.begin(), shapes.end(), [&shape](const CircuitShape* each) {
                    return each->startDevice == shape.startDevice &&
                           each->startCapacitor == shape.startCapacitor;
                });
            if (!known && fits(shape)) {
                shapes.push_back(&shape);
            }
        }
    };
    if (wanted) {
        collect([&](const CircuitShape& shape) { return shape.startDevice == wanted; });
    }
    if (shapes.empty()) {
        collect(isRelay);
    }
    if (shapes.empty()) {
        collect([](const CircuitShape& /*shape*/) { return true; });
    }
    std::vector<RatingBands> all;
    all.reserve(shapes.size());
    for (const CircuitShape* shape : shapes) {
        all.push_back(BandFinder(from, *shape, options, pool, progress).run());
    }
    return all;
}

}  // namespace splitstart
