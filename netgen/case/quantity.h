// Where a number comes from, how sure it is, and where in a file it was read.
#pragma once

#include <string>

namespace splitstart
{

enum class Origin { measured, nameplate, given, estimated, assumed };

// "measured", "nameplate", ... as shown to the user.
const char* originName(Origin origin);

// A value with its provenance. `accuracy_ratio` is the half width of the interval that holds the
// true value with about 95 % confidence, as a share of the value (0.1: plus or minus 10 %).
struct Quantity {
    double value = 0;
    Origin origin = Origin::assumed;
    double accuracy_ratio = 0;
};

// A place in an input file; line 0 means that the value did not come from a file.
struct SourcePlace {
    std::string file;
    int line = 0;
};

}  // namespace splitstart
