#include "spice/deck_vocabulary.h"

namespace splitstart
{

const std::set<std::string_view>& deckCards()
{
    static const std::set<std::string_view> cards{
        ".ac",    ".else",    ".endif",   ".ends",  ".func", ".global", ".ic",   ".if",
        ".model", ".nodeset", ".options", ".param", ".save", ".subckt", ".temp", ".tran"};
    return cards;
}

bool holdsNamesAndNumbersOnly(std::string_view card)
{
    return card == ".save" || card == ".options" || card == ".tran" || card == ".ac" ||
           card == ".global" || card == ".temp" || card == ".ends" || card == ".else" ||
           card == ".endif";
}

// Each is kept by ngspice for this circuit only. Not here: `interp` and `autostop` (they outlive
// the circuit, or change what is saved), `seed`, and everything that is a variable of ngspice's
// command language.
const std::set<std::string_view>& numericalOptions()
{
    static const std::set<std::string_view> options{
        "abstol", "chgtol",   "cshunt", "gmin",   "gminsteps", "gshunt",   "itl1",     "itl2",
        "itl4",   "itl5",     "itl6",   "klu",    "maxord",    "method",   "minbreak", "noacct",
        "nomod",  "noopiter", "nopage", "pivrel", "pivtol",    "ramptime", "reltol",   "rshunt",
        "sparse", "srcsteps", "temp",   "tnom",   "trtol",     "vntol",    "xmu",      "xtrtol"};
    return options;
}

std::size_t fewestFields(char letter)
{
    switch (letter) {
        case 'x':
            return 2;
        case 'i':
        case 'v':
            return 3;
        case 'b':
        case 'c':
        case 'd':
        case 'e':
        case 'g':
        case 'k':
        case 'l':
        case 'r':
            return 4;
        case 'f':
        case 'h':
        case 'w':
            return 5;
        case 's':
        case 't':
            return 6;
        default:
            return 0;
    }
}

bool isRandomFunction(std::string_view word)
{
    return word == "gauss" || word == "agauss" || word == "unif" || word == "aunif" ||
           word == "limit";
}

}  // namespace splitstart
