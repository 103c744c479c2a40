#include "spice/ngspice_library.h"

#include <dlfcn.h>
#include <fmt/format.h>
#include <ngspice/sharedspice.h>

#include <cstddef>

namespace splitstart
{

double SimulatedPoint::real(std::size_t vector) const
{
    return values_.vecsa[vector]->creal;
}

double SimulatedPoint::imaginary(std::size_t vector) const
{
    return values_.vecsa[vector]->cimag;
}

namespace
{

template <typename Function>
Function* findFunction(void* library, const std::string& file, const char* name)
{
    // POSIX guarantees that a function's address survives in a void pointer.
    auto* const function = reinterpret_cast<Function*>(dlsym(library, name));
    if (function == nullptr) {
        throw NgspiceLibraryError(fmt::format(
            "The file {} is not the ngspice library (it has no function {}); install the Debian "
            "package libngspice0.",
            file, name));
    }
    return function;
}

void* openLibrary(const std::string& file)
{
    void* const library = dlopen(file.c_str(), RTLD_NOW | RTLD_LOCAL);
    if (library == nullptr) {
        const char* const reason = dlerror();
        throw NgspiceLibraryError(fmt::format(
            "The circuit simulator's library {} cannot be loaded ({}); install the Debian package "
            "libngspice0 (sudo apt-get install libngspice0).",
            file, reason == nullptr ? "no reason given" : reason));
    }
    return library;
}

}  // namespace

struct NgspiceLibrary::Callbacks {
    static NgspiceEvents& events(void* self)
    {
        return *static_cast<NgspiceLibrary*>(self)->events_;
    }
    static int message(char* text, int /*ident*/, void* self) noexcept
    {
        events(self).message(text == nullptr ? "" : text);
        return 0;
    }
    static int controlledExit(int /*status*/, NG_BOOL /*immediate*/, NG_BOOL /*quit*/,
                              int /*ident*/, void* self) noexcept
    {
        events(self).controlledExit();
        return 0;
    }
    static int analysisStarted(pvecinfoall info, int /*ident*/, void* self) noexcept
    {
        std::vector<std::string_view> names;
        for (int i = 0; i < info->veccount; ++i) {
            const char* const name = info->vecs[i]->vecname;
            names.emplace_back(name == nullptr ? "" : name);
        }
        events(self).analysisStarted(info->title == nullptr ? "" : info->title, names);
        return 0;
    }
    static int point(pvecvaluesall values, int /*count*/, int /*ident*/, void* self) noexcept
    {
        events(self).point(SimulatedPoint(*values));
        return 0;
    }
    // ngspice reads a NULL here as a wish, so it gets functions that do nothing.
    static int backgroundRun(NG_BOOL /*ended*/, int /*ident*/, void* /*self*/) noexcept
    {
        return 0;
    }
    static int externalVoltage(double* volts, double /*time*/, char* /*node*/, int /*ident*/,
                               void* self) noexcept
    {
        *volts = events(self).externalVoltage();
        return 0;
    }
};

NgspiceLibrary::NgspiceLibrary(const std::string& file, NgspiceEvents& events) : events_(&events)
{
    void* const library = openLibrary(file);
    auto* const initialise = findFunction<decltype(ngSpice_Init)>(library, file, "ngSpice_Init");
    auto* const initialiseSources =
        findFunction<decltype(ngSpice_Init_Sync)>(library, file, "ngSpice_Init_Sync");
    loadCircuit_ = findFunction<decltype(ngSpice_Circ)>(library, file, "ngSpice_Circ");
    runCommand_ = findFunction<decltype(ngSpice_Command)>(library, file, "ngSpice_Command");
    findVector_ = findFunction<decltype(ngGet_Vec_Info)>(library, file, "ngGet_Vec_Info");

    const int status =
        initialise(Callbacks::message, nullptr, Callbacks::controlledExit, Callbacks::point,
                   Callbacks::analysisStarted, Callbacks::backgroundRun, this);
    static int ident = 0;  // ngspice keeps its address
    const int sourceStatus =
        initialiseSources(Callbacks::externalVoltage, nullptr, nullptr, &ident, nullptr);
    if (status != 0 || sourceStatus != 0) {
        throw NgspiceLibraryError(
            fmt::format("The circuit simulator's library {} does not start (status {}); reinstall "
                        "the Debian package libngspice0.",
                        file, status != 0 ? status : sourceStatus));
    }
}

int NgspiceLibrary::load(std::span<const std::string> lines)
{
    std::vector<std::string> copies(lines.begin(), lines.end());  // ngspice wants char*
    std::vector<char*> pointers;
    pointers.reserve(copies.size() + 1);
    for (std::string& line : copies) {
        pointers.push_back(line.data());
    }
    pointers.push_back(nullptr);
    return loadCircuit_(pointers.data());
}

int NgspiceLibrary::command(const char* command)
{
    std::string copy(command);
    return runCommand_(copy.data());
}

std::optional<double> NgspiceLibrary::setSource(const std::string& source, double volts)
{
    // Seventeen digits read back as the same number; fmt writes a point whatever the locale.
    command(fmt::format("alter {} dc = {:.17g}", source, volts).c_str());
    std::string name = fmt::format("@{}[dc]", source);
    const vector_info* const vector = findVector_(name.data());
    if (vector == nullptr || vector->v_realdata == nullptr || vector->v_length < 1) {
        return std::nullopt;
    }
    return *vector->v_realdata;
}

void NgspiceLibrary::forgetCommands()
{
    runCommand_(nullptr);
}

}  // namespace splitstart
