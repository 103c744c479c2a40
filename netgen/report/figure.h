// Curves with axes: one description, from which a picture, a table and a page's chart are made.
#pragma once

#include <optional>
#include <pugixml.hpp>
#include <string>
#include <vector>

#include "case/parts.h"

namespace splitstart
{

// How a curve is drawn. Each differs in dashes as well as in colour, so that a print in black and
// white tells them apart.
enum class Stroke { solid, dashed, dotted, dashDotted, longDashed, thin };

// One curve: equally long x (rising or not) and y. A value that is not finite leaves a gap.
struct FigureCurve {
    std::string name;    // "start winding, S-C"
    std::string column;  // its name in a table, with unit: "start_winding_v"
    std::vector<double> x = {};
    std::vector<double> y = {};
    Stroke stroke = Stroke::solid;
    bool isStep = false;  // keeps its value until the next point, as a contact does
};

// A range of one axis that is shaded, with its name in it: pick-up volts, the time a contact is
// made.
struct FigureBand {
    std::string name;
    Range range;
    bool ofX = false;
};

// A dot with its name.
struct FigureMark {
    std::string name;
    double x = 0;
    double y = 0;
};

struct FigureAxis {
    std::string name;                  // "speed"
    std::string unit;                  // "% of synchronous"
    std::optional<Range> limits = {};  // empty: what the curves and bands need
};

struct Figure {
    std::string id;     // "start-volts": letters, digits and -
    std::string title;  // "Winding volts through the start"
    FigureAxis x;
    FigureAxis y;
    std::vector<FigureCurve> curves;
    std::vector<FigureBand> bands = {};
    std::vector<FigureMark> marks = {};
    std::string words = {};  // what there is to see, for who cannot see it
};

// A stroke in colour, dashes ("9 4"; "" for none) and width.
struct StrokeLook {
    const char* colour;
    const char* dashes;
    const char* width;
};
StrokeLook strokeLook(Stroke stroke);

// Where the ticks of an axis are: 3 to 8 round numbers within the range. Requires a finite range.
std::vector<double> axisTicks(const Range& range);

// Draws that shape in colour, width and dashes of the stroke.
void setStroke(pugi::xml_node node, Stroke stroke);

// The picture as an <svg> below that node, without ids, so that several can stand in one page.
// Curves are thinned to what the picture can show. Texts are cleaned of control characters. Throws
// std::invalid_argument if a curve's x and y differ in length.
pugi::xml_node addFigure(pugi::xml_node parent, const Figure& figure);

// The same as a document for other documents to include.
std::string figureSvg(const Figure& figure);

}  // namespace splitstart
