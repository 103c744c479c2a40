#include "report/prose_sections.h"
#include "report/report.h"
#include "report/text_page.h"

namespace splitstart
{

void writeCautions(Prose& page)
{
    for (const char* caution : {
             "Lock out and tag every supply; prove the meter on a live point, the compressor dead, "
             "the meter again.",
             "Off is not dead: a thermostat or a contactor with one pole leaves the other line on "
             "the pins, and crankcase heat through the run capacitor keeps all three live.",
             "Discharge every capacitor through a resistor and measure below 50 V before touching.",
             "Terminal cover on before power. Pins can be blown out: stand aside, never face them.",
             "Never energise a grounded compressor, one with an open shell, or one under vacuum.",
             "Hold the first attempt to 3 s with someone at the disconnect; five minutes of rest "
             "between "
             "attempts (common practice, no source).",
             "Local codes and a licensed technician's judgement come before this computation.",
         }) {
        page.paragraph(std::string("! ") + caution, 2, 2);
    }
}

std::string cautionsText(int width)
{
    TextPage page(false, width);
    writeCautions(page);
    return page.text();
}

}  // namespace splitstart
