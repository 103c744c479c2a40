// Decks of the standard circuits taken apart, for the tests of this folder. The reading is this
// folder's own, so that it does not share a mistake with the writer.
#pragma once

#include <map>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "spice/deck_check.h"
#include "spice/measurement.h"
#include "spice/netlist.h"
#include "unit/circuit/model_fixture.h"
#include "unit/dairy_service_cases.h"

namespace splitstart
{

// Standard circuits with every kind of part: each start device and none, both kinds of fan and
// none, one can and two, with contactor and without, a feed and a supply with a limit, protector
// inside and outside the shell, every kind of load.
inline std::vector<SimulationModel> modelsWith(const RunSetting& setting)
{
    std::vector<SimulationModel> models;
    for (Case input : {coldStoreCase(), bottleCoolerCase(), milkTankCase(), curdRoomCase(),
                       butterChurnCase(), ripeningRoomCase()}) {
        for (const LoadKind load : {LoadKind::reciprocating, LoadKind::steady, LoadKind::none}) {
            input.compressor.load.kind = load;
            models.push_back(modelOf(input, coldStoreMotor(), {0.85, 110, Release::late}, setting));
        }
    }
    return models;
}

inline std::vector<SimulationModel> startModels()
{
    return modelsWith({});
}

inline std::vector<SimulationModel> heldModels()
{
    return modelsWith({StartContact::heldClosed, 300.0});
}

inline Analysis analysisOf(const SimulationModel& model)
{
    Analysis analysis;
    if (model.fixedSpeed_rad_s) {
        analysis.kind = Analysis::Kind::fixedFrequency;
    }
    return analysis;
}

// An X line.
struct DeckInstance {
    std::string name;
    std::vector<std::string> nodes;
    std::string subcircuit;
    std::map<std::string, std::string> parameters;
};

class DeckLines
{
public:
    explicit DeckLines(const std::string& deck)
    {
        std::istringstream stream(deck);
        for (std::string line; std::getline(stream, line);) {
            all.push_back(line);
        }
        // Instances stand above the subcircuits, whose own lines are not looked at.
        for (std::size_t i = 1; i < all.size(); ++i) {
            read(all[i]);
        }
    }

    std::vector<std::string> all;
    std::multiset<std::string> cards;                    // all but comments
    std::multimap<std::string, std::string> parameters;  // .param lines outside subcircuits
    std::vector<DeckInstance> instances;                 // likewise
    std::multiset<std::string> subcircuits;

private:
    void read(const std::string& line)
    {
        if (line.starts_with('*')) {
            return;
        }
        cards.insert(line);
        std::istringstream stream(line);
        std::string word;
        stream >> word;
        if (word == ".subckt") {
            stream >> word;
            subcircuits.insert(word);
            inside_ = true;
        } else if (word == ".ends") {
            inside_ = false;
        } else if (!inside_ && word == ".param") {
            stream >> word;
            const std::size_t equals = word.find('=');
            parameters.emplace(word.substr(0, equals), word.substr(equals + 1));
        } else if (!inside_ && word.starts_with('x')) {
            readInstance(word, stream);
        } else if (!inside_ && word == "+") {
            while (stream >> word) {
                const std::size_t equals = word.find('=');
                instances.back().parameters[word.substr(0, equals)] = word.substr(equals + 1);
            }
        }
    }

    void readInstance(const std::string& name, std::istringstream& stream)
    {
        DeckInstance instance;
        instance.name = name;
        for (std::string word; stream >> word;) {
            instance.nodes.push_back(word);
        }
        instance.subcircuit = instance.nodes.back();
        instance.nodes.pop_back();
        instances.push_back(std::move(instance));
    }

    bool inside_ = false;
};

// What the session's check has to say about the deck; empty when it would be run.
inline std::string deckComplaint(const SimulationModel& model, const Analysis& analysis,
                                 const DeckText& text)
{
    SimulationRequest request;
    request.deck = writeDeck(model, analysis, text);
    const bool transient = analysis.kind == Analysis::Kind::transient;
    request.vectors = transient ? startVectors(model) : heldShaftVectors(model);
    request.end_s = transient ? analysis.end_s : 0;
    try {
        prepareJob(request, "a title");
        return {};
    } catch (const SimulationError& error) {
        return error.what();
    }
}

}  // namespace splitstart
