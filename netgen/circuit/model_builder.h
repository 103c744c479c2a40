// Builds a SimulationModel, part by part. Internal to circuit/.
#pragma once

#include <algorithm>
#include <cctype>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "circuit/case_circuit.h"
#include "circuit/simulation_model.h"

namespace splitstart
{

class ModelBuilder
{
public:
    // The references must outlive the builder.
    ModelBuilder(const Case& input, const Circuit& circuit, const EquivalentCircuit& motor,
                 double ratedTorque_Nm, const Corner& corner, const RunSetting& setting)
        : input_(input),
          circuit_(circuit),
          motor_(motor),
          ratedTorque_Nm_(ratedTorque_Nm),
          corner_(corner),
          setting_(setting)
    {
    }

    SimulationModel build();

private:
    using Parameters = std::vector<std::pair<std::string, double>>;

    void nameNodes();
    void addPart(const CircuitPart& part);
    void addStartDevice(const CircuitPart& part);
    void addSupply(const CircuitPart& part);
    void addCompressor(const CircuitPart& part);
    void addLoad();
    void addPotentialRelay(const CircuitPart& part, const PotentialRelay& relay);
    void addCurrentRelay(const CircuitPart& part, const CurrentRelay& relay);
    void addPtc(const CircuitPart& part, const Ptc& ptc);
    void addTimedSwitch(const CircuitPart& part, const TimedSwitch& timer);
    void addCentrifugalSwitch(const CircuitPart& part, const CentrifugalSwitch& onShaft);
    void addStartCapacitor(const CircuitPart& part, const StartCapacitor& capacitor);
    // What a capacitor has beside its capacitance: a bleed resistor, and its charge when it was
    // last switched off.
    struct CapacitorState {
        std::optional<double> bleed_ohm = {};
        double charge_V = 0;
    };
    void addCapacitor(const std::string& name, const std::string& a, const std::string& b,
                      const Range& capacitance_F, double dissipation, const CapacitorState& state,
                      const char* comment);
    void addProtector(const std::string& id, const Protector& protector,
                      const std::string& lineNode, const std::string& motorNode);
    void addFan(const CircuitPart& part, const CondenserFan& fan);
    void addCapacitorFan(const CircuitPart& part, const CapacitorFan& fan);
    void addContactor(const CircuitPart& part, const Contactor& contactor);

    [[nodiscard]] const std::string& node(const CircuitPart& part, const char* terminal) const
    {
        return model_.node(part.id, terminal);
    }

    // Instance names: SPICE folds case and gives "-" no meaning of its own, so only letters,
    // digits and "_" are used.
    static std::string instanceName(std::string_view id)
    {
        std::string name(id);
        std::replace(name.begin(), name.end(), '-', '_');
        return name;
    }

    void add(std::string name, std::string subcircuit, std::map<std::string, std::string> nodes,
             Parameters parameters, std::string comment)
    {
        model_.instances.push_back({std::move(name), std::move(subcircuit), std::move(nodes),
                                    std::move(parameters), std::move(comment)});
    }

    template <typename Data>
    [[nodiscard]] const Data& data(const std::string& id) const
    {
        return std::get<Data>(input_.parts.find(id)->data);
    }

    // With the shaft held the steady state is wanted, before anything moves or trips: contacts are
    // plain resistances then, which ngspice also reads four times faster.
    [[nodiscard]] bool held() const { return setting_.fixedSpeed_rad_s.has_value(); }

    void addResistance(const std::string& name, const std::string& a, const std::string& b,
                       double resistance_ohm, const char* comment)
    {
        add(name, "closed_switch", {{"a", a}, {"b", b}}, {{"ohms", resistance_ohm}}, comment);
    }

    // A series resistance and inductance: a coil, or a motor as the line sees it.
    void addImpedance(const std::string& name, const std::string& a, const std::string& b,
                      double resistance_ohm, double inductance_H, const char* comment)
    {
        add(name, "fan_motor", {{"a", a}, {"b", b}},
            {{"ohms", resistance_ohm}, {"henries", std::max(inductance_H, 1e-9)}}, comment);
    }

    // The start contact of a held shaft: `madeAtRest` is what an untouched one does.
    void addHeldContact(const std::string& name, const std::string& a, const std::string& b,
                        bool madeAtRest);
    [[nodiscard]] bool heldContactMade(bool madeAtRest) const
    {
        return setting_.contact == StartContact::heldClosed ||
               (setting_.contact == StartContact::automatic && madeAtRest);
    }

    [[nodiscard]] double startContactOverride() const
    {
        return setting_.contact == StartContact::automatic    ? 0
               : setting_.contact == StartContact::heldClosed ? 1
                                                              : -1;
    }

    // Which end of their tolerance capacitors have.
    [[nodiscard]] Release capacitorRelease() const
    {
        return corner_.capacitors.value_or(corner_.release);
    }

    const Case& input_;
    const Circuit& circuit_;
    const EquivalentCircuit& motor_;
    double ratedTorque_Nm_;
    const Corner& corner_;
    const RunSetting& setting_;
    SimulationModel model_;
};

// The parameters of split_phase_motor that an equivalent circuit gives, without temperatures and
// speed.
std::vector<std::pair<std::string, double>> motorParameters(const EquivalentCircuit& motor,
                                                            double rated_V);

constexpr double relayContact_ohm = 0.02;  // a sound contact (assumed; under 0.5 ohm is passed)
constexpr double openContact_ohm = 1e6;    // leakage of an open contact, far above all windings

}  // namespace splitstart
