#include "circuit/ohm_network.h"

#include <Eigen/Dense>
#include <limits>
#include <set>

#include "circuit/case_circuit.h"

namespace splitstart
{

namespace
{

// A closed contact: less than any ohmmeter shows.
constexpr double contact_ohm = 1e-4;

// Nets that direct current reaches from that one.
std::set<std::size_t> reached(std::size_t from, const Nets& nets,
                              const std::vector<OhmBranch>& branches)
{
    std::set<std::size_t> found = {from};
    for (bool grows = true; grows;) {
        grows = false;
        for (const OhmBranch& branch : branches) {
            const std::size_t a = nets.of(branch.a);
            const std::size_t b = nets.of(branch.b);
            if (found.count(a) != found.count(b)) {
                found.insert({a, b});
                grows = true;
            }
        }
    }
    return found;
}

}  // namespace

std::vector<OhmBranch> branchesAtRest(const Case& input, const Circuit& circuit,
                                      const WindingOhms& windings)
{
    std::vector<OhmBranch> branches;
    for (const CircuitPart& part : circuit.parts) {
        const auto add = [&](std::string_view a, std::string_view b, double ohm) {
            branches.push_back({{part.id, std::string(a)}, {part.id, std::string(b)}, ohm});
        };
        if (part.kind == PartKind::compressor) {
            add("C", "R", windings.run_ohm);
            add("C", "S", windings.start_ohm);
            continue;
        }
        if (part.kind == PartKind::currentRelay) {
            const auto* relay = chosenPart<CurrentRelay>(input, &CircuitChoice::startDevice);
            add("L", "M", relay != nullptr ? relay->coil_ohm : contact_ohm);
            continue;
        }
        for (const auto& [a, b] : partKindInfo(part.kind).closedAtRest) {
            add(a, b, contact_ohm);
        }
        if (part.kind == PartKind::potentialRelay) {
            if (const auto* relay =
                    chosenPart<PotentialRelay>(input, &CircuitChoice::startDevice)) {
                add("2", "5", relay->coil_ohm);
            }
        } else if (part.kind == PartKind::ptc) {
            if (const auto* ptc = chosenPart<Ptc>(input, &CircuitChoice::startDevice)) {
                add("A", "B", ptc->cold_ohm.middle());
            }
        } else if (part.kind == PartKind::startCapacitor) {
            const auto* capacitor =
                chosenPart<StartCapacitor>(input, &CircuitChoice::startCapacitor);
            if (capacitor != nullptr && capacitor->bleed_ohm) {
                add("A", "B", *capacitor->bleed_ohm);
            }
        }
    }
    return branches;
}

double ohmsBetween(const Circuit& circuit, const std::vector<OhmBranch>& branches,
                   const Terminal& a, const Terminal& b)
{
    const Nets nets(circuit);
    const std::size_t from = nets.of(a);
    const std::size_t to = nets.of(b);
    if (from == to) {
        return 0;
    }
    const std::set<std::size_t> nodes = reached(from, nets, branches);
    if (nodes.count(to) == 0) {
        return std::numeric_limits<double>::infinity();
    }
    // One ampere into `from` and out of `to`; volts against `to` are then ohms.
    std::map<std::size_t, Eigen::Index> rowOf;
    for (const std::size_t node : nodes) {
        if (node != to) {
            rowOf.emplace(node, static_cast<Eigen::Index>(rowOf.size()));
        }
    }
    const auto size = static_cast<Eigen::Index>(rowOf.size());
    Eigen::MatrixXd conductance = Eigen::MatrixXd::Zero(size, size);
    for (const OhmBranch& branch : branches) {
        const std::size_t first = nets.of(branch.a);
        const std::size_t second = nets.of(branch.b);
        if (nodes.count(first) == 0 || first == second) {
            continue;
        }
        for (const auto& [own, other] : {std::pair(first, second), std::pair(second, first)}) {
            if (own == to) {
                continue;
            }
            conductance(rowOf.at(own), rowOf.at(own)) += 1 / branch.ohm;
            if (other != to) {
                conductance(rowOf.at(own), rowOf.at(other)) -= 1 / branch.ohm;
            }
        }
    }
    Eigen::VectorXd current = Eigen::VectorXd::Zero(size);
    current[rowOf.at(from)] = 1;
    return conductance.ldlt().solve(current)[rowOf.at(from)];
}

}  // namespace splitstart
