// models/winding_heat.lib against the standard formula of adiabatic heating,
//   I^2 t = K^2 S^2 ln((theta_f + beta) / (theta_i + beta)),
// IEC 60949 (also IEC 60724), for copper K = 226 A s^0.5/mm2 and beta = 234.5 K (from memory; both
// constants stand in public summaries of the standard too), against its factors for insulated
// copper in IEC 60364, and against the heat balance with handbook values.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "physics/deck.h"
#include "physics/near.h"

namespace splitstart
{
namespace
{

struct Heating {
    double area_mm2 = 0.5;
    double initial_degC = 25;
    double rms_A = 20;
    double frequency_Hz = 0;  // 0: direct current
    double end_s = 10;
};

struct Curve {
    std::vector<double> time_s;
    std::vector<double> copper_degC;

    [[nodiscard]] double timeOf_s(double temperature_degC) const
    {
        for (std::size_t i = 1; i < time_s.size(); ++i) {
            if (copper_degC[i] >= temperature_degC) {
                const double share =
                    (temperature_degC - copper_degC[i - 1]) / (copper_degC[i] - copper_degC[i - 1]);
                return std::lerp(time_s[i - 1], time_s[i], share);
            }
        }
        return std::nan("");
    }
};

Curve heated(const Heating& heating)
{
    const std::string current =
        heating.frequency_Hz > 0
            ? fmt::format("sin(0 {} {})", heating.rms_A * std::numbers::sqrt2, heating.frequency_Hz)
            : fmt::format("dc {}", heating.rms_A);
    const std::string deck = modelText({"winding_heat"}) +
                             fmt::format(
                                 "iload 0 lead {}\n"
                                 "xheat lead 0 copper winding_heat square_millimetres={} "
                                 "initial_degc={}\n",
                                 current, heating.area_mm2, heating.initial_degC) +
                             transientCard(heating.end_s, 2e-4);
    const Waveforms w = runTransient(deck, {"copper"}, heating.end_s);
    return {w.time_s, w.real.at(0)};
}

double standardTemperature_degC(const Heating& heating, double time_s)
{
    constexpr double k = 226;
    constexpr double beta_K = 234.5;
    const double density = heating.rms_A / heating.area_mm2;
    return (heating.initial_degC + beta_K) * std::exp(density * density * time_s / (k * k)) -
           beta_K;
}

// The rise within 1 %.
TEST(AdiabaticHeat, FollowsTheStandardFormula)
{
    for (const Heating& heating :
         {Heating{.area_mm2 = 0.5, .rms_A = 20},
          Heating{.area_mm2 = 0.8, .initial_degC = 90, .rms_A = 35},
          Heating{.area_mm2 = 2, .rms_A = 75, .frequency_Hz = 60},
          Heating{.area_mm2 = 1.2, .initial_degC = 60, .rms_A = 50, .frequency_Hz = 50}}) {
        const Curve curve = heated(heating);
        for (const double share : {0.2, 0.5, 1.0}) {
            const double time_s = share * heating.end_s;
            const double expected_degC = standardTemperature_degC(heating, time_s);
            SCOPED_TRACE(fmt::format("{} A in {} mm2, {} s, {} degC", heating.rms_A,
                                     heating.area_mm2, time_s, expected_degC));
            EXPECT_TRUE(nearRel(curve.timeOf_s(expected_degC), time_s, 0.01));
            EXPECT_GT(expected_degC - heating.initial_degC, 10);
        }
        const double reached_degC = curve.copper_degC.back();
        EXPECT_TRUE(nearRel(reached_degC - heating.initial_degC,
                            standardTemperature_degC(heating, heating.end_s) - heating.initial_degC,
                            0.01));
    }
}

// IEC 60364-4-43, table 43A (from memory): I sqrt(t) / S from the highest operating temperature to
// the highest one after a short circuit, copper insulated with PVC (70 to 160 degC) 115, with
// cross-linked polyethylene (90 to 250 degC) 143, rubber for 60 degC (60 to 200 degC) 141.
TEST(AdiabaticHeat, GivesTheFactorsOfTheStandardForInsulatedCopper)
{
    struct Printed {
        double from_degC;
        double to_degC;
        double factor;
    };
    for (const Printed& row :
         std::vector<Printed>{{70, 160, 115}, {90, 250, 143}, {60, 200, 141}}) {
        const Heating heating{
            .area_mm2 = 1.5, .initial_degC = row.from_degC, .rms_A = 60, .end_s = 15};
        const double time_s = heated(heating).timeOf_s(row.to_degC);
        EXPECT_TRUE(
            agreesWithPrint(heating.rms_A * std::sqrt(time_s) / heating.area_mm2, row.factor, 1))
            << row.from_degC << " to " << row.to_degC;
    }
}

// The first moments, before the resistance has risen. Annealed copper of IEC 60028: 1/58 ohm mm2/m
// at 20 degC, 0.00393 per K, 8.89 g/cm3; heat capacity of copper at 25 degC: 0.385 J/(g K), CRC
// Handbook of Chemistry and Physics. From memory.
TEST(AdiabaticHeat, BeginsAtTheRateOfHandbookValues)
{
    const Heating heating{.area_mm2 = 1, .initial_degC = 25, .rms_A = 10, .end_s = 1};
    const double resistivity_ohm_m = 1e-6 / 58 * (1 + 0.00393 * 5);
    const double density_A_m2 = 10e6;
    const double rate_K_s = resistivity_ohm_m * density_A_m2 * density_A_m2 / (8890 * 385.0);
    EXPECT_TRUE(nearRel(heated(heating).copper_degC.back() - 25, rate_K_s, 0.01));
}

}  // namespace
}  // namespace splitstart
