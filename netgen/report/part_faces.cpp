#include "report/part_faces.h"

#include <algorithm>
#include <map>

namespace splitstart
{

namespace
{

constexpr Side left = Side::left;
constexpr Side right = Side::right;

Face mirrored(Face face)
{
    for (TerminalSpot& spot : face) {
        spot.side = spot.side == left ? right : left;
    }
    return face;
}

std::vector<Face> withMirrored(const std::vector<Face>& faces)
{
    std::vector<Face> all;
    for (const Face& face : faces) {
        all.push_back(face);
        all.push_back(mirrored(face));
    }
    return all;
}

// Through the part from side to side, or both ends on one side.
std::vector<Face> facesOfTwo(std::string_view a, std::string_view b)
{
    return withMirrored({{{a, left, 0}, {b, right, 0}},
                         {{a, right, 0}, {b, right, 1}},
                         {{b, right, 0}, {a, right, 1}}});
}

std::map<PartKind, std::vector<Face>> allFaces()
{
    std::map<PartKind, std::vector<Face>> faces;
    for (const PartKind kind : {PartKind::startCapacitor, PartKind::runCapacitor,
                                PartKind::fanCapacitor, PartKind::condenserFan, PartKind::ptc}) {
        faces[kind] = facesOfTwo("A", "B");
    }
    faces[PartKind::thermostat] = facesOfTwo("1", "2");
    faces[PartKind::centrifugalSwitch] = facesOfTwo("1", "2");
    faces[PartKind::protector] = facesOfTwo("1", "3");
    faces[PartKind::supply] = {{{"L1", right, 0}, {"L2", right, 1}}};
    faces[PartKind::contactor] = {
        {{"L1", left, 0}, {"T1", right, 0}, {"L2", left, 1}, {"T2", right, 1}}};
    faces[PartKind::compressor] = {{{"R", left, 0}, {"S", left, 1}, {"C", left, 2}}};
    faces[PartKind::capacitorFan] =
        withMirrored({{{"C", left, 0}, {"R", right, 0}, {"S", right, 1}},
                      {{"C", left, 0}, {"R", right, 0}, {"S", left, 1}}});
    faces[PartKind::dualRunCapacitor] =
        withMirrored({{{"C", left, 0}, {"HERM", right, 0}, {"FAN", right, 1}},
                      {{"C", left, 0}, {"HERM", right, 0}, {"FAN", left, 1}}});
    faces[PartKind::currentRelay] =
        withMirrored({{{"L", left, 0}, {"M", right, 0}, {"S", right, 1}},
                      {{"L", left, 0}, {"M", right, 0}, {"S", left, 1}}});
    faces[PartKind::potentialRelay] = withMirrored(
        {{{"1", right, 0}, {"2", right, 1}, {"5", right, 2}, {"4", left, 0}, {"6", left, 2}},
         {{"1", left, 0}, {"2", right, 0}, {"5", right, 1}, {"4", left, 1}, {"6", left, 2}}});
    faces[PartKind::timedSwitch] =
        withMirrored({{{"1", left, 0}, {"2", right, 0}, {"L", left, 1}, {"N", right, 1}},
                      {{"1", right, 0}, {"2", right, 1}, {"L", left, 2}, {"N", right, 2}},
                      {{"1", left, 0}, {"2", right, 0}, {"N", left, 1}, {"L", right, 1}}});
    return faces;
}

std::map<PartKind, std::vector<Inside>> allInsides()
{
    return {
        {PartKind::supply, {{Symbol::source, "L1", "L2"}}},
        {PartKind::startCapacitor, {{Symbol::capacitor, "A", "B"}}},
        {PartKind::runCapacitor, {{Symbol::capacitor, "A", "B"}}},
        {PartKind::fanCapacitor, {{Symbol::capacitor, "A", "B"}}},
        {PartKind::dualRunCapacitor,
         {{Symbol::capacitor, "C", "HERM"}, {Symbol::capacitor, "C", "FAN"}}},
        {PartKind::condenserFan, {{Symbol::motor, "A", "B"}}},
        {PartKind::capacitorFan, {{Symbol::motor, "C", "R"}}},
        {PartKind::ptc, {{Symbol::ptc, "A", "B"}}},
        {PartKind::thermostat, {{Symbol::openContact, "1", "2"}}},
        {PartKind::contactor,
         {{Symbol::openContact, "L1", "T1"}, {Symbol::openContact, "L2", "T2"}}},
        {PartKind::protector, {{Symbol::closedContact, "1", "3"}}},
        {PartKind::centrifugalSwitch, {{Symbol::closedContact, "1", "2"}}},
        {PartKind::timedSwitch, {{Symbol::closedContact, "1", "2"}, {Symbol::timer, "L", "N"}}},
        {PartKind::potentialRelay, {{Symbol::closedContact, "1", "2"}, {Symbol::coil, "2", "5"}}},
        {PartKind::currentRelay, {{Symbol::coil, "L", "M"}, {Symbol::openContact, "L", "S"}}},
    };
}

}  // namespace

const std::vector<Face>& facesOf(PartKind kind)
{
    static const std::map<PartKind, std::vector<Face>> faces = allFaces();
    return faces.at(kind);
}

const TerminalSpot& spotOf(const Face& face, std::string_view terminal)
{
    return *std::find_if(face.begin(), face.end(),
                         [terminal](const TerminalSpot& spot) { return spot.name == terminal; });
}

const std::vector<Inside>& insideOf(PartKind kind)
{
    static const std::map<PartKind, std::vector<Inside>> insides = allInsides();
    static const std::vector<Inside> nothing;
    const auto found = insides.find(kind);
    return found == insides.end() ? nothing : found->second;
}

}  // namespace splitstart
