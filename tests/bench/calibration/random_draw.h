// Random numbers that are the same on every machine.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

namespace splitstart::calibration
{

// What a row of random numbers is for; each has its own, so that one more number in one of them
// changes nothing in the others.
enum class Stream : std::uint64_t { machine = 1, parts, readings, running, tool };

// Well-mixed bits of three numbers (the finaliser of the splitmix64 generator, public domain).
inline std::uint64_t mixed(std::uint64_t seed, std::uint64_t index, Stream stream)
{
    std::uint64_t bits = seed;
    for (const std::uint64_t next : {index, static_cast<std::uint64_t>(stream)}) {
        bits += 0x9e3779b97f4a7c15ULL * (next + 1);
        bits = (bits ^ (bits >> 30U)) * 0xbf58476d1ce4e5b9ULL;
        bits = (bits ^ (bits >> 27U)) * 0x94d049bb133111ebULL;
        bits ^= bits >> 31U;
    }
    return bits;
}

class Draw
{
public:
    explicit Draw(std::uint64_t seed) : engine_(seed) {}

    double unit() { return static_cast<double>(engine_() >> 11U) * 0x1p-53; }
    double uniform(double from, double to) { return std::lerp(from, to, unit()); }
    double logUniform(double from, double to)
    {
        return std::exp(uniform(std::log(from), std::log(to)));
    }
    double normal()
    {
        const double radius = std::sqrt(-2 * std::log1p(-unit()));
        return radius * std::cos(2 * std::numbers::pi * unit());
    }
    // A factor whose logarithm has that standard deviation.
    double spread(double deviation) { return std::exp(deviation * normal()); }
    bool chance(double probability) { return unit() < probability; }

private:
    std::mt19937_64 engine_;
};

}  // namespace splitstart::calibration
