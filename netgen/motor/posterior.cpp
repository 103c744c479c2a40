#include "motor/posterior.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <utility>

namespace splitstart::estimation
{

double effectiveCount(std::span<const WeighedMotor> motors)
{
    double sum = 0;
    double squares = 0;
    for (const WeighedMotor& each : motors) {
        sum += each.weight;
        squares += each.weight * each.weight;
    }
    return squares > 0 ? sum * sum / squares : 0;
}

Posterior::Posterior(std::shared_ptr<const Estimator> estimator,
                     const std::vector<Estimator::Fit>& fits, std::uint64_t seed)
    : estimator_(std::move(estimator)), random_(seed)
{
    double all = 0;
    for (const Estimator::Fit& fit : fits) {
        Mode& mode = modes_.emplace_back();
        mode.fit = fit;
        const Eigen::MatrixXd covariance = (fit.slope.transpose() * fit.slope).inverse();
        mode.gain = covariance * fit.slope.transpose();
        mode.root = covariance.llt().matrixL();
        // Volume of a normal hill: its height times the root of the covariance's determinant.
        mode.share = std::exp(-0.5 * (fit.squares() - fits.front().squares())) *
                     mode.root.diagonal().prod() / modes_.front().root.diagonal().prod();
        all += mode.share;
    }
    for (Mode& mode : modes_) {
        mode.share /= all;
    }
}

std::size_t Posterior::chosen(double chance) const
{
    std::size_t index = 0;
    while (index + 1 < modes_.size() && chance >= modes_[index].share) {
        chance -= modes_[index].share;
        ++index;
    }
    return index;
}

std::size_t Posterior::nearest(const Eigen::VectorXd& x) const
{
    const auto distance = [&x](const Mode& mode) {
        return mode.root.triangularView<Eigen::Lower>().solve(x - mode.fit.x).squaredNorm();
    };
    const auto closest =
        std::min_element(modes_.begin(), modes_.end(),
                         [&](const Mode& a, const Mode& b) { return distance(a) < distance(b); });
    return static_cast<std::size_t>(closest - modes_.begin());
}

PossibleMotors Posterior::weighed(double enough)
{
    PossibleMotors possible;
    possible.covariance = Eigen::MatrixXd::Zero(unknownCount, unknownCount);
    for (const Mode& mode : modes_) {
        possible.covariance += mode.share * mode.root * mode.root.transpose();
    }
    while (effectiveCount(possible.motors) < enough) {
        refill(&possible.motors);
    }
    return possible;
}

std::vector<MotorSample> Posterior::draw(std::size_t count)
{
    while (kept_.size() < count) {
        refill();
    }
    const auto end = kept_.begin() + static_cast<std::ptrdiff_t>(count);
    std::vector<MotorSample> result(std::make_move_iterator(kept_.begin()),
                                    std::make_move_iterator(end));
    kept_.erase(kept_.begin(), end);
    return result;
}

void Posterior::refill(std::vector<WeighedMotor>* proposals)
{
    constexpr std::size_t block = 30;
    constexpr double capQuantile = 0.95;
    constexpr std::size_t mostEmptyBlocks = 50;
    const Evidence& evidence = estimator_->evidence();
    std::vector<Eigen::VectorXd> xs;
    std::vector<std::size_t> modeOf;
    std::vector<double> proposed;           // -2 ln of the proposal's density, up to a constant
    std::vector<Eigen::VectorXd> distance;  // of the proposal from its fit
    for (std::size_t i = 0; i < block; ++i) {
        modeOf.push_back(chosen(uniform_(random_)));
        Eigen::VectorXd z(static_cast<Eigen::Index>(unknownCount));
        for (double& each : z) {
            each = normal_(random_);
        }
        proposed.push_back(z.squaredNorm());
        distance.emplace_back(modes_[modeOf[i]].root * z);
        xs.emplace_back(modes_[modeOf[i]].fit.x + distance[i]);
    }
    const auto atProposal = estimator_->answers(evidence, xs);
    for (std::size_t i = 0; i < block; ++i) {
        const Mode& mode = modes_[modeOf[i]];
        const Eigen::VectorXd there = estimator_->residuals(evidence, xs[i], atProposal[i]);
        xs[i] -= mode.gain * (there - mode.fit.residuals - mode.fit.slope * (xs[i] - mode.fit.x));
    }
    const auto answers = estimator_->answers(evidence, xs);
    std::vector<double> logRatio;
    for (std::size_t i = 0; i < block; ++i) {
        const double squares = estimator_->residuals(evidence, xs[i], answers[i]).squaredNorm();
        const double ratio = 0.5 * (proposed[i] - (squares - modes_[modeOf[i]].fit.squares()));
        // No number: no motor.
        logRatio.push_back(std::isnan(ratio) ? -std::numeric_limits<double>::infinity() : ratio);
    }
    if (!cap_) {
        std::vector<double> sorted = logRatio;
        std::sort(sorted.begin(), sorted.end());
        cap_ = sorted[static_cast<std::size_t>(capQuantile * (block - 1))];
    }
    const std::size_t before = kept_.size();
    const std::size_t ratedPoint = Evidence(evidence).ratedPoint();
    for (std::size_t i = 0; i < block; ++i) {
        // One number for each proposal, kept or not, so that the sequence hangs on nothing else.
        const double chance = uniform_(random_);
        const double logKept = logRatio[i] - *cap_;
        const bool belongs = nearest(xs[i]) == modeOf[i];
        const bool isKept = belongs && std::log(chance) < logKept;
        if (!isKept && proposals == nullptr) {
            continue;
        }
        MotorSample sample;
        sample.circuit = estimator_->circuitAt(xs[i]);
        sample.ratedTorque_Nm = estimator_->ratedTorque_Nm(xs[i], answers[i][ratedPoint]);
        sample.source = estimator_->sourceAt(xs[i]);
        sample.unknowns.assign(xs[i].begin(), xs[i].end());
        if (proposals != nullptr) {
            const bool counts = belongs && !std::isnan(logKept);
            proposals->push_back(
                {sample, counts ? std::exp(std::min(logKept, 0.0)) : 0, distance[i]});
        }
        if (isKept) {
            kept_.push_back(std::move(sample));
        }
    }
    emptyBlocks_ = kept_.size() > before ? 0 : emptyBlocks_ + 1;
    if (emptyBlocks_ > mostEmptyBlocks) {
        throw std::runtime_error("no motor could be drawn that has the figures that are given");
    }
}

std::vector<std::string> Posterior::unknownNames() const
{
    std::vector<std::string> names;
    for (const Prior& prior : estimator_->priors()) {
        names.emplace_back(prior.name);
    }
    return names;
}

std::vector<MotorPosterior::Prediction> Posterior::predict(
    std::span<const MeasuredQuantity> quantities, std::span<const MotorSample> motors)
{
    Evidence evidence(*estimator_);
    std::vector<std::optional<std::size_t>> observationOf;
    std::vector<std::string> notes;
    for (const MeasuredQuantity quantity : quantities) {
        Measurement measurement;
        measurement.quantity = quantity;
        measurement.value = 1;
        measurement.accuracy_ratio = 0;
        observationOf.push_back(evidence.addMeasurement(measurement, notes)
                                    ? std::optional(evidence.observations().size() - 1)
                                    : std::nullopt);
    }
    std::vector<Eigen::VectorXd> xs;
    xs.reserve(motors.size());
    for (const MotorSample& motor : motors) {
        xs.emplace_back(Eigen::Map<const Eigen::VectorXd>(
            motor.unknowns.data(), static_cast<Eigen::Index>(motor.unknowns.size())));
    }
    const auto answers = estimator_->answers(evidence, xs);
    std::vector<Prediction> predictions;
    for (const std::optional<std::size_t>& index : observationOf) {
        Prediction& prediction = predictions.emplace_back();
        if (!index) {
            continue;
        }
        const Observation& observation = evidence.observations()[*index];
        prediction.accuracy_ratio = observation.model_ratio;
        for (std::size_t i = 0; i < xs.size(); ++i) {
            prediction.values.push_back(observation.predicted(xs[i], answers[i]));
        }
    }
    return predictions;
}

}  // namespace splitstart::estimation
