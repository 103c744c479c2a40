// The second line of defence (the netlist writer is the first) between text from a user and
// ngspice, which runs shell commands from decks: a comment line that starts with *#, a title
// *ng_script, a control section and included files are executed. Also refused is what ngspice
// accepts in silence though the deck cannot mean it, and what would make a result depend on earlier
// runs.
#pragma once

#include <string>

#include "spice/simulation.h"
#include "spice/simulation_job.h"

namespace splitstart
{

// Checks the deck and makes it ready: `title` (lower case) in the place of its first line, comment
// lines emptied, cards added before .end that save the wanted vectors and, with a StopRule only,
// the source that stops the run. Line numbers stay those of the caller's deck.
//
// What a deck may hold:
// - the cards .param .func .subckt .ends .model .options .ic .nodeset .save .global .temp .end,
//   and exactly one .tran or .ac, whose end is a plain number and, for .tran, equal to end_s;
// - .if with a comparison, at most one .else, and .endif, round elements and .model cards only, not
//   nested and within one subcircuit: ngspice takes a condition's whole part for its truth, and a
//   block without its end for the rest of the deck;
// - elements B C D E F G H I K L R S T V W X with at least the fields they need; an X line names
//   only parameters that its subcircuit has (ngspice would ignore the others);
// - outside comment lines letters, digits, blanks and + - * / ( ) { } , . = < > ? : & | ! ^ _ '
//   ( # on .save cards; no < > ? : & | ! on .save .options .tran .ac .global .temp .else .endif );
// - numerical options only (.options may otherwise set any of ngspice's variables);
// - no random numbers: gauss, agauss, unif, aunif, limit, trnoise, trrandom.
// A sweep needs an .ac card with one frequency, finite values, and a voltage source of that name
// (letters, digits and _ only) outside subcircuits and .if blocks.
// Control characters are refused everywhere, characters outside ASCII except in comment lines.
//
// Throws SimulationError (deckRefused; missingVector for an impossible vector name), naming the
// line.
SimulationJob prepareJob(const SimulationRequest& request, const std::string& title);

}  // namespace splitstart
