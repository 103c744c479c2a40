#include "case/quantity.h"

namespace splitstart
{

const char* originName(Origin origin)
{
    switch (origin) {
        case Origin::measured:
            return "measured";
        case Origin::nameplate:
            return "nameplate";
        case Origin::given:
            return "given";
        case Origin::estimated:
            return "estimated";
        case Origin::assumed:
            return "assumed";
    }
    return "unknown";
}

}  // namespace splitstart
