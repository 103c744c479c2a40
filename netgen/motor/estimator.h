// The least-squares estimation behind motor/estimate.h: what is unknown, what is known, the fit,
// and what is said of the result. Internal to motor/.
#pragma once

#include <Eigen/Dense>
#include <array>
#include <cmath>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "motor/estimate.h"

namespace splitstart::estimation
{

// The unknowns, each as the natural logarithm of its ratio to the prior's median. What physics ties
// together is tied by the choice of ratios: all reactances grow with the run winding's leakage, all
// of the start axis with the turns ratio squared, the slip of a measurement with the rated one.
enum Unknown : std::size_t {
    turnsRatio,
    leakage,           // run winding leakage reactance / run winding resistance
    rotorLeakage,      // rotor / run winding leakage reactance
    magnetizing,       // magnetising / run winding leakage reactance
    rotorResistance,   // rotor / run winding resistance, both at 25 degC, at low slip
    rotorRise,         // by which the rotor's resistance is higher at line frequency, as a share
    auxiliaryLeakage,  // start leakage / (turns ratio squared times run leakage)
    coreLoss,          // share of rated volts times rated amps
    friction,          // the same, bearings and windage of the motor itself
    inertia,           // energy at synchronous speed / rated output, in seconds
    ratedSlip,         // at rated load
    loadTorque,        // load torque / what is said of it
    measuredSlip,      // while the further measurements were taken / rated slip; see also
                       // Evidence::addLoadWhileMeasured
    sourceImpedance,   // / what is said of it
    plateCapacitors,   // start and run capacitors that the plate was rated with / the case's
    mainResistance,    // of the run winding at 25 degC
    auxiliaryResistance,
    unknownCount
};

struct Prior {
    double median = 1;
    double spread = 1;       // standard deviation of the natural logarithm
    const char* name = "";   // "turns ratio"
    const char* basis = "";  // where median and spread come from, in one clause
};

using Priors = std::array<Prior, unknownCount>;

// The priors for this motor; see estimate_priors.cpp.
Priors priorsFor(const EstimationInput& input);

// Temperatures at which nameplate figures hold (assumed: locked rotor from cold, rated load warm).
constexpr double lockedRotor_degC = 25;
constexpr double ratedLoad_degC = 75;
constexpr double inertiaOutput_ratio = 0.65;  // of the rated volt-amps, a scale for inertia alone
constexpr double ninetyFivePercent = 1.96;    // standard deviations, normal distribution
constexpr double oneInAThousand = 3.29;       // the same, beyond which one in a thousand lies

// Where the shaft is held.
enum class At { standstill, ratedSlip, measuredSlip, fixed };

// 95 % half width, as a ratio, of a quantity whose logarithm has that standard deviation.
inline double accuracyOf(double deviation)
{
    return std::expm1(ninetyFivePercent * deviation);
}

// One trial of the bench, as a function of the unknowns.
struct OperatingPoint {
    Feed feed = Feed::startCircuitIn;
    At at = At::standstill;
    double fixed_ratio = 0;  // of synchronous speed, with At::fixed
    double line_V = 0;
    double winding_degC = 25;
    bool stiff = true;        // at stiff terminals, as plates are; else behind the supply
    bool swapped = false;     // the two windings in each other's place
    bool plateParts = false;  // with the capacitors that the plate was rated with
    bool operator==(const OperatingPoint&) const = default;
};

using Responses = std::span<const HeldShaftResponse>;

// One figure, and how the bench would show it.
struct Observation {
    std::string name;
    std::string unit;
    double wanted = 0;
    double accuracy_ratio = 0;        // 95 %, of the figure
    double model_ratio = 0;           // 95 %, what the computation adds
    std::vector<std::size_t> points;  // that it needs
    std::function<double(const Eigen::VectorXd& x, Responses)> predicted;
    bool isFigure = true;  // false: physics that ties unknowns together, nothing that was read
    [[nodiscard]] double deviation() const
    {
        return std::max(std::hypot(accuracy_ratio, model_ratio) / ninetyFivePercent, 1e-3);
    }
};

class Estimator;

// Figures, and the trials that they need.
class Evidence
{
public:
    explicit Evidence(const Estimator& estimator) : estimator_(&estimator) {}

    void addNameplate(const Nameplate& plate, std::vector<std::string>& notes);
    // False, with a note why, where this compressor has nothing of the kind to measure.
    bool addMeasurement(const Measurement& measurement, std::vector<std::string>& notes);
    void addTwoFeedTest(const TwoFeedTest& test);

    [[nodiscard]] const std::vector<OperatingPoint>& points() const { return points_; }
    [[nodiscard]] const std::vector<Observation>& observations() const { return observations_; }
    // With those observations only; the points keep their places.
    [[nodiscard]] Evidence only(std::span<const std::size_t> which) const;
    // Whether one of the observations needs that point, or it is the rated one.
    [[nodiscard]] bool isNeeded(std::size_t point) const;
    // Index of the rated point, which is always there.
    [[nodiscard]] std::size_t ratedPoint();

private:
    std::size_t point(const OperatingPoint& wanted);
    void addField(const Measurement& measurement, const char* name, const char* unit,
                  const OperatingPoint& at, double HeldShaftResponse::*which);
    void addPowerFactor(const Measurement& measurement, const char* name, const OperatingPoint& at);
    void addSecondsToStart(const Measurement& measurement);
    void addLoadWhileMeasured(const OperatingPoint& running);
    void addUsualRating();
    [[nodiscard]] OperatingPoint measuredAt(const Measurement& measurement, Feed feed, At at) const;

    const Estimator* estimator_;
    std::vector<OperatingPoint> points_;
    std::vector<Observation> observations_;
};

// A proposal, counted as much as `weight` says (0 to 1).
struct WeighedMotor {
    MotorSample motor;
    double weight = 1;
    Eigen::VectorXd proposed;  // how far from its fit it was proposed, before it was moved
};

// As many motors that count alike know as much (Kish: sum of weights squared over sum of squares).
double effectiveCount(std::span<const WeighedMotor> motors);

// What the evidence allows, as a few motors and the law that they were proposed by.
struct PossibleMotors {
    std::vector<WeighedMotor> motors;
    Eigen::MatrixXd covariance;  // of the law of WeighedMotor::proposed

    // Root mean square, over what the evidence allows, of a logarithm that is zero at the best
    // estimate and grows by `slope` with the unknowns: that of the motors, less what chance has in
    // so few of them. That is seen where they were proposed, whose law is known (ratio estimator:
    // W. G. Cochran, "Sampling Techniques", 1977, from memory). How many chance has put around
    // which fit is not made up for. Some motor must count.
    template <typename LogarithmOf>
    [[nodiscard]] double deviation(const Eigen::VectorXd& slope,
                                   const LogarithmOf& logarithmOf) const
    {
        double squares = 0;
        double weights = 0;
        double proposedSquares = 0;
        for (const WeighedMotor& each : motors) {
            const double proposed = slope.dot(each.proposed);
            proposedSquares += proposed * proposed / static_cast<double>(motors.size());
            // One that does not count may be no motor, and its logarithm no number.
            if (each.weight > 0) {
                const double logarithm = logarithmOf(each.motor);
                squares += each.weight * logarithm * logarithm;
                weights += each.weight;
            }
        }
        const double byChance =
            proposedSquares > 0 ? slope.dot(covariance * slope) / proposedSquares : 1;
        return std::sqrt(byChance * squares / weights);
    }
};

class Estimator
{
public:
    Estimator(const EstimationInput& input, const HeldShaftBench& bench);
    Estimator(const Estimator&) = delete;
    Estimator& operator=(const Estimator&) = delete;
    ~Estimator() = default;

    [[nodiscard]] const EstimationInput& input() const { return input_; }
    [[nodiscard]] const Priors& priors() const { return priors_; }
    [[nodiscard]] const Evidence& evidence() const { return evidence_; }
    [[nodiscard]] const std::vector<std::string>& notes() const { return notes_; }
    [[nodiscard]] double value(const Eigen::VectorXd& x, Unknown unknown) const
    {
        return priors_[unknown].median * std::exp(x[static_cast<Eigen::Index>(unknown)]);
    }
    [[nodiscard]] double ratedSpeed_ratio(const Eigen::VectorXd& x) const;
    [[nodiscard]] double measuredSpeed_ratio(const Eigen::VectorXd& x) const;
    [[nodiscard]] double synchronous_rad_s() const;
    [[nodiscard]] double ratedVoltAmps() const;
    [[nodiscard]] EquivalentCircuit circuitAt(const Eigen::VectorXd& x) const;
    [[nodiscard]] SourceImpedance sourceAt(const Eigen::VectorXd& x) const;
    // Shaft torque that the motor delivers at rated slip.
    [[nodiscard]] double delivered_Nm(const Eigen::VectorXd& x,
                                      const HeldShaftResponse& rated) const;
    [[nodiscard]] double ratedTorque_Nm(const Eigen::VectorXd& x,
                                        const HeldShaftResponse& rated) const;

    // The bench's answers to the points of the evidence at each x: answers[x][point]. Points that
    // no observation needs are left empty.
    [[nodiscard]] std::vector<std::vector<HeldShaftResponse>> answers(
        const Evidence& evidence, std::span<const Eigen::VectorXd> xs) const;
    // Of observations, then of priors.
    [[nodiscard]] Eigen::VectorXd residuals(const Evidence& evidence, const Eigen::VectorXd& x,
                                            Responses responses) const;
    // Derivatives of the logarithm of the rated torque, where it is not zero.
    [[nodiscard]] Eigen::VectorXd ratedTorqueSlope(const Eigen::VectorXd& x) const;
    // Derivatives of the residuals, which are `here` at x.
    [[nodiscard]] Eigen::MatrixXd jacobian(const Evidence& evidence, const Eigen::VectorXd& x,
                                           const Eigen::VectorXd& here) const;
    // A place where the probability is highest around.
    struct Fit {
        Eigen::VectorXd x;
        Eigen::VectorXd residuals;  // there
        Eigen::MatrixXd slope;      // and their derivatives
        // Twice the negative logarithm of the probability there.
        [[nodiscard]] double squares() const { return residuals.squaredNorm(); }
    };
    [[nodiscard]] Fit fit(const Evidence& evidence, const Eigen::VectorXd& start) const;
    // From the priors' medians, and where that leaves turns ratio or leakage open, from either side
    // of them too: start winding and capacitor in resonance allow two motors for one plate.
    // Different ones only, the most probable first.
    [[nodiscard]] std::vector<Fit> fits(const Evidence& evidence) const;
    // Figures that exclude one another; see contradictions.cpp.
    [[nodiscard]] std::vector<std::string> contradictions(const Fit& best) const;
    // See estimate_report.cpp. `possible`: other motors that the evidence allows.
    [[nodiscard]] Motor describe(const Eigen::VectorXd& x, const PossibleMotors& possible) const;

private:
    EstimationInput input_;
    HeldShaftBench bench_;
    Priors priors_;
    std::vector<std::string> notes_;
    Evidence evidence_;
};

}  // namespace splitstart::estimation
