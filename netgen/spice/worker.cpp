#include "spice/worker.h"

#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <optional>
#include <string>

#include "spice/messages.h"
#include "spice/ngspice_session.h"
#include "spice/simulation_job.h"

namespace splitstart
{
namespace
{

// Runs; a sweep counts with each of its values. ngspice keeps about 0.1 kB of each run, more of a
// stopped one: so a worker is replaced at times, which costs a millisecond.
constexpr std::size_t runsOfAWorker = 5000;
constexpr std::size_t runsBetweenChecks = 50;
constexpr long mostGrowth_bytes = 64L << 20U;

long residentMemory_bytes()
{
    std::ifstream file("/proc/self/statm");
    long total_pages = 0;
    long resident_pages = 0;
    file >> total_pages >> resident_pages;
    return resident_pages * sysconf(_SC_PAGESIZE);
}

}  // namespace

void serveJobs(NgspiceLibrary& library, int socket, WorkerStatus& status)
{
    NgspiceSession session(library, status);
    const long atStart_bytes = residentMemory_bytes();
    std::size_t runs = 0;
    std::size_t checkedAt = 0;
    for (;;) {
        const std::optional<std::string> request = receiveMessage(socket);
        if (!request) {
            _exit(EXIT_SUCCESS);
        }
        const SimulationJob job = decodeJob(*request);
        runs += job.sweep ? job.sweep->values.size() : 1;
        WorkerReply reply = session.run(job);
        reply.retire = reply.retire || reply.trouble || runs >= runsOfAWorker;
        if (!reply.retire && runs - checkedAt >= runsBetweenChecks) {
            checkedAt = runs;
            library.forgetCommands();
            reply.retire = residentMemory_bytes() - atStart_bytes > mostGrowth_bytes;
        }
        if (!sendMessage(socket, encode(reply)) || reply.retire) {
            _exit(EXIT_SUCCESS);
        }
    }
}

}  // namespace splitstart
