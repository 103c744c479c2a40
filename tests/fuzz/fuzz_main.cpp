// One fuzzer: libFuzzer's entry to the target of which the name is SPLITSTART_FUZZ_TARGET. What a
// target throws ends the process, and libFuzzer keeps the input.
#include <cstddef>
#include <cstdint>

#include "fuzz/targets.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    // Inputs that were refused stay in the corpus: they are what the messages are made for.
    splitstart::fuzz::SPLITSTART_FUZZ_TARGET({data, size});
    return 0;
}
