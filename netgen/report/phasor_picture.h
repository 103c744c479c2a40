// Sines as arrows that turn, beside the same sines over time; and two fields that turn against each
// other.
#pragma once

#include <map>
#include <pugixml.hpp>
#include <string>
#include <vector>

#include "study/lesson.h"

namespace splitstart
{

// User units of the picture for each unit of a quantity, by its unit: the largest arrow of all
// positions just fits. Arrows of one unit share a scale.
using PhasorScales = std::map<std::string, double>;
PhasorScales phasorScales(const std::vector<LessonPosition>& positions);

// The arrows as an <svg> without ids below that node: each a <line> with data-phasor, data-unit,
// data-scale and data-rms, from x1, y1 to x2, y2 at its angle ahead of the line's own sine,
// counter- clockwise. All lie in one <g class="turning">, which a script may turn; nothing moves by
// itself. An arc tells the angle from run current to start current where both flow.
pugi::xml_node addPhasors(pugi::xml_node parent, const LessonPosition& position,
                          const PhasorScales& scales);

// The same sines through two cycles, as heights of the arrows' ends, with a line
// (class "cursor", data-cycle: its way in one cycle) that a script may move along.
pugi::xml_node addPhasorWaves(pugi::xml_node parent, const LessonPosition& position,
                              const PhasorScales& scales);

// Two arrows in <g class="turning-forward"> and <g class="turning-backward">, and the ellipse that
// their sum runs along with a dot (class "field-sum", data-forward, data-backward) on it.
// `largest`: of both lengths together in any position.
pugi::xml_node addFields(pugi::xml_node parent, const LessonFields& fields, double largest);

}  // namespace splitstart
