// The process in which decks run.
#pragma once

#include "spice/ngspice_library.h"
#include "spice/worker_status.h"

namespace splitstart
{

// Takes jobs from the socket and answers each, until the other side closes it, a run had trouble,
// or the worker has grown. Does not return.
[[noreturn]] void serveJobs(NgspiceLibrary& library, int socket, WorkerStatus& status);

}  // namespace splitstart
