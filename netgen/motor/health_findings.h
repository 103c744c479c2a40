// The parts of health.h: what windings and what insulation say.
#pragma once

#include <vector>

#include "motor/health.h"

namespace splitstart
{

// Cautions used by more than one finding.
namespace cautions
{
extern const char* const lockOut;
extern const char* const discharge;
extern const char* const terminalCover;
extern const char* const standAside;
extern const char* const neverGrounded;
extern const char* const noVacuum;
extern const char* const bareWindings;
}  // namespace cautions

// Findings of the readings between pins.
std::vector<HealthFinding> windingFindings(const Compressor& compressor,
                                           const Identification& identification);

// Findings between windings and shell, and the rung of the ladder. `shell` holds ohmmeter readings.
struct InsulationFindings {
    std::vector<HealthFinding> findings;
    InsulationGrade grade = InsulationGrade::unknown;
};
InsulationFindings insulationFindings(const Compressor& compressor,
                                      const std::vector<ShellReading>& shell);

}  // namespace splitstart
