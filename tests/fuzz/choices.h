// Where a made-up case takes its choices from: the bytes of a fuzzer, so that it can change them
// one by one, or a random generator.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <random>
#include <span>

namespace splitstart::fuzz
{

class Choices
{
public:
    Choices() = default;
    virtual ~Choices() = default;
    Choices(const Choices&) = delete;
    Choices& operator=(const Choices&) = delete;

    // A number of that many bits, 8 or 16.
    virtual std::uint32_t bits(int count) = 0;

    // 0 to `count` - 1; `count` from 1 to 65536.
    std::size_t below(std::size_t count)
    {
        const std::uint32_t number = bits(count > 256 ? 16 : 8);
        return count > 256 ? number % count : number * count / 256;
    }
    // 0 to 1, both ends included.
    double share() { return bits(16) / 65535.0; }
    bool chance(double probability) { return bits(8) < probability * 256; }

    double between(double low, double high) { return low + (high - low) * share(); }
    // Requires both above 0.
    double betweenByRatio(double low, double high) { return low * std::pow(high / low, share()); }
};

// What comes after the last byte is nought.
class ByteChoices final : public Choices
{
public:
    explicit ByteChoices(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}
    std::uint32_t bits(int count) override
    {
        std::uint32_t number = 0;
        for (int i = 0; i < count; i += 8) {
            number = number << 8 | (next_ < bytes_.size() ? bytes_[next_] : 0U);
            ++next_;
        }
        return number;
    }

private:
    std::span<const std::uint8_t> bytes_;
    std::size_t next_ = 0;
};

class RandomChoices final : public Choices
{
public:
    explicit RandomChoices(std::uint32_t seed) : random_(seed) {}
    std::uint32_t bits(int count) override
    {
        return static_cast<std::uint32_t>(random_()) >> (32 - count);
    }

private:
    std::mt19937 random_;
};

}  // namespace splitstart::fuzz
