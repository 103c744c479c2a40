// What benchmarks that run stock ngspice need: a folder of their own and a stop-watch.
#pragma once

#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <stdexcept>
#include <string>

namespace splitstart::bench
{

// Wall clock.
inline double seconds(const std::function<void()>& work)
{
    const auto begin = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

// A directory of its own with an empty start-up file, so that the user's own has no say.
class PrivateDirectory
{
public:
    PrivateDirectory()
    {
        std::string name = (std::filesystem::temp_directory_path() / "bench-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) {
            throw std::runtime_error("cannot make a directory like " + name);
        }
        path_ = name;
        std::ofstream(path_ / ".spiceinit");
    }
    ~PrivateDirectory()
    {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    PrivateDirectory(const PrivateDirectory&) = delete;
    PrivateDirectory& operator=(const PrivateDirectory&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

}  // namespace splitstart::bench
