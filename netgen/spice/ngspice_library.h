// The ngspice shared library, loaded at run time: the program starts, and says what is missing, on
// a machine without it. Only ngspice_library.cpp knows ngspice's own header.
#pragma once

#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

struct vecvaluesall;
struct vector_info;

namespace splitstart
{

// One accepted point of an analysis; valid during the call only.
class SimulatedPoint
{
public:
    explicit SimulatedPoint(const vecvaluesall& values) : values_(values) {}
    [[nodiscard]] double real(std::size_t vector) const;
    [[nodiscard]] double imaginary(std::size_t vector) const;

private:
    const vecvaluesall& values_;
};

// What ngspice reports while it works. It must not be called back from here, and nothing may be
// thrown through it (it uses longjmp): an exception ends the process.
class NgspiceEvents
{
public:
    NgspiceEvents() = default;
    NgspiceEvents(const NgspiceEvents&) = delete;
    NgspiceEvents& operator=(const NgspiceEvents&) = delete;
    virtual void message(std::string_view line) noexcept = 0;
    // `title`: first line of the deck that really runs, lower case. `names`: of the vectors in the
    // order of the points.
    virtual void analysisStarted(std::string_view title,
                                 const std::vector<std::string_view>& names) noexcept = 0;
    virtual void point(const SimulatedPoint& point) noexcept = 0;
    // ngspice has given up: no further call into it is safe.
    virtual void controlledExit() noexcept = 0;
    // Voltage of the `external` sources; asked several times a point.
    virtual double externalVoltage() noexcept = 0;

protected:
    ~NgspiceEvents() = default;
};

// Why ngspice could not be loaded or started; what() is a whole sentence.
class NgspiceLibraryError : public std::runtime_error
{
public:
    using std::runtime_error::runtime_error;
};

// The one ngspice of this process. Its state is global: not more than one object in a process.
class NgspiceLibrary
{
public:
    // Loads and initialises. Reads `spinit` from $SPICE_SCRIPTS and `.spiceinit` from the working
    // directory. Throws NgspiceLibraryError.
    NgspiceLibrary(const std::string& file, NgspiceEvents& events);
    NgspiceLibrary(const NgspiceLibrary&) = delete;
    NgspiceLibrary& operator=(const NgspiceLibrary&) = delete;

    void setEvents(NgspiceEvents& events) { events_ = &events; }

    // The deck line by line, .end last. The result proves nothing when it is 0.
    int load(std::span<const std::string> lines);
    // Fixed commands of this program only: ngspice runs shell commands from such text.
    int command(const char* command);
    // Sets the direct volts of a source and reads them back: empty when the circuit has no such
    // source. `source`: letters, digits and _ only. `volts`: finite.
    std::optional<double> setSource(const std::string& source, double volts);
    // Frees the history of commands, which ngspice keeps for ever.
    void forgetCommands();

private:
    struct Callbacks;

    NgspiceEvents* events_;
    int (*loadCircuit_)(char**) = nullptr;
    int (*runCommand_)(char*) = nullptr;
    vector_info* (*findVector_)(char*) = nullptr;
};

}  // namespace splitstart
