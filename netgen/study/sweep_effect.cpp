#include "study/sweep_effect.h"

#include <boost/container_hash/hash.hpp>
#include <variant>

namespace splitstart
{

SweepEffect::SweepEffect(const SweepPlan& plan, std::size_t motorsPerCase)
    : plan_(plan), motorsPerCase_(motorsPerCase), results_(plan.size() * motorsPerCase)
{
}

void SweepEffect::add(const SweepRow& row)
{
    // Before the results come the case's number, the fields and the motor's number.
    std::size_t hash = 0;
    for (std::size_t i = 2 + plan_.fields().size(); i < row.cells.size(); ++i) {
        boost::hash_combine(hash, row.cells[i].index());
        if (const auto* number = std::get_if<double>(&row.cells[i])) {
            boost::hash_combine(hash, *number);
        } else if (const auto* word = std::get_if<std::string>(&row.cells[i])) {
            boost::hash_combine(hash, *word);
        }
    }
    results_.at(row.number) = hash;
    ++added_;
}

std::vector<std::string> SweepEffect::fieldsWithoutEffect() const
{
    std::vector<std::string> idle;
    if (added_ != results_.size() || plan_.isSample()) {
        return idle;
    }
    // How many rows further the next value of a field is: the last field changes fastest.
    std::size_t stride = motorsPerCase_;
    for (std::size_t i = plan_.fields().size(); i-- > 0;) {
        const std::size_t values = plan_.fields()[i].values.size();
        bool changes = values < 2;
        for (std::size_t row = 0; row + stride < results_.size() && !changes; ++row) {
            const bool isLast = row / stride % values == values - 1;
            changes = !isLast && results_[row] != results_[row + stride];
        }
        if (!changes) {
            idle.insert(idle.begin(), plan_.fields()[i].field.written);
        }
        stride *= values;
    }
    return idle;
}

}  // namespace splitstart
