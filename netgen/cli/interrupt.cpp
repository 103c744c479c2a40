#include "cli/interrupt.h"

#include <csignal>

namespace splitstart
{

namespace
{

volatile std::sig_atomic_t caught = 0;

extern "C" void remember(int number)
{
    caught = number;
}

void handle(int number, void (*handler)(int), int flags)
{
    struct sigaction action {
    };
    action.sa_handler = handler;
    action.sa_flags = flags;
    sigemptyset(&action.sa_mask);
    sigaction(number, &action, nullptr);
}

}  // namespace

Interrupt::Interrupt()
{
    caught = 0;
    for (const int number : {SIGINT, SIGTERM}) {
        // No SA_RESTART: what waits is to wake up.
        handle(number, remember, static_cast<int>(SA_RESETHAND));
    }
}

Interrupt::~Interrupt()
{
    for (const int number : {SIGINT, SIGTERM}) {
        handle(number, SIG_DFL, 0);
    }
}

std::optional<int> Interrupt::exitStatus()
{
    constexpr int bySignal = 128;
    return caught == 0 ? std::nullopt : std::optional<int>(bySignal + caught);
}

}  // namespace splitstart
