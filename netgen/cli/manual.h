// The manual page and the completion of the command line, from the same descriptions as --help.
#pragma once

#include <string>

namespace splitstart
{

// The manual page in roff, man(7), section 1. `date`: "2026-11-26"; may be empty.
std::string manualPage(const std::string& date);

// A script for bash that completes commands, options, words of an option and file names.
std::string bashCompletion();

}  // namespace splitstart
