// The report of a case as a page.
#pragma once

#include <string>
#include <vector>

#include "study/case_study.h"
#include "study/found_start.h"
#include "study/next_measurement.h"
#include "study/traced_start.h"
#include "study/wiring_study.h"

namespace splitstart
{

// Who made the page, and when: "2026-11-26 14:05", "splitstart 0.1.0, ngspice 39".
struct PageMaking {
    std::string time;
    std::string versions;
    std::string options =
        {};  // those that could change a number: "200 machines at the most, seed 1"
};

// What a report is made of.
struct ReportData {
    CheckStudy study;
    std::vector<NextMeasurement> next;
    WiringStudy wiring;
    FoundStartAnswer found;
    std::vector<TracedStart> starts;  // the first at rated volts
    std::string netlist;              // of the first of them
};

// Verdict, cautions, pins, parts with ratings and margins, the start's curves, wiring, where each
// number comes from, the netlist: one page that needs nothing else.
std::string reportPage(const Case& input, const ReportData& data, const PageMaking& making);

// The report of a compressor whose readings condemn the windings, so that no start was simulated.
// `wiring`: where the case names a circuit.
std::string condemnedPage(const Case& input, const MotorStudy& study,
                          const std::optional<WiringStudy>& wiring, const PageMaking& making);

}  // namespace splitstart
