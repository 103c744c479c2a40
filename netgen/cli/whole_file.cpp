#include "cli/whole_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <stdexcept>
#include <system_error>

namespace splitstart
{

namespace
{

[[noreturn]] void refuse(const std::string& path, int error)
{
    throw std::runtime_error(fmt::format("{}: cannot be written: {}", path, std::strerror(error)));
}

// A file that is removed again unless keep() was reached.
class TemporaryFile
{
public:
    explicit TemporaryFile(const std::string& target)
        : target_(target), path_(target + ".XXXXXX"), descriptor_(mkstemp(path_.data()))
    {
        if (descriptor_ < 0) {
            refuse(target_, errno);
        }
    }
    TemporaryFile(const TemporaryFile&) = delete;
    TemporaryFile& operator=(const TemporaryFile&) = delete;
    ~TemporaryFile()
    {
        if (descriptor_ >= 0) {
            close(descriptor_);
        }
        if (!kept_) {
            unlink(path_.c_str());
        }
    }

    void write(const std::string& text) const
    {
        if (const int error = writeAll(descriptor_, text); error != 0) {
            refuse(target_, error);
        }
    }

    void keep()
    {
        // mkstemp makes private files; the result should be as readable as any new file.
        const mode_t mask = umask(0);
        umask(mask);
        if (fchmod(descriptor_, 0666 & ~mask) != 0 || fsync(descriptor_) != 0) {
            refuse(target_, errno);
        }
        const int closed = close(descriptor_);
        descriptor_ = -1;
        if (closed != 0 || rename(path_.c_str(), target_.c_str()) != 0) {
            refuse(target_, errno);
        }
        kept_ = true;
    }

private:
    std::string target_;
    std::string path_;
    int descriptor_;
    bool kept_ = false;
};

// For what cannot be replaced by renaming.
void writeInPlace(const std::string& path, const std::function<void(const TextSink&)>& produce)
{
    const int descriptor = open(path.c_str(), O_WRONLY | O_TRUNC | O_CLOEXEC);
    if (descriptor < 0) {
        refuse(path, errno);
    }
    int error = 0;
    produce(
        [&](const std::string& text) { error = error != 0 ? error : writeAll(descriptor, text); });
    const int closed = close(descriptor) == 0 ? 0 : errno;
    if (error != 0 || closed != 0) {
        refuse(path, error != 0 ? error : closed);
    }
}

// The file that would be replaced; empty: a device or pipe, or one without a name.
std::string replaceableTarget(const std::string& path)
{
    // A link stays, and what it points to is replaced: /dev/stdout is one.
    std::error_code unresolved;
    const bool isLink = std::filesystem::is_symlink(path, unresolved);
    std::string target = isLink ? std::filesystem::canonical(path, unresolved).string() : path;
    struct stat existing {
    };
    const bool exists = stat(path.c_str(), &existing) == 0;
    if (exists && S_ISDIR(existing.st_mode)) {
        refuse(path, EISDIR);
    }
    if (exists && (!S_ISREG(existing.st_mode) || target.empty())) {
        return {};
    }
    if (target.empty()) {
        refuse(path, ENOENT);  // a link to nothing, or no name
    }
    const std::string folder = std::filesystem::path(target).parent_path().string();
    if (access(folder.empty() ? "." : folder.c_str(), W_OK | X_OK) != 0) {
        refuse(path, errno);
    }
    return target;
}

}  // namespace

int writeAll(int descriptor, const std::string& text)
{
    std::size_t done = 0;
    while (done < text.size()) {
        const ssize_t written = ::write(descriptor, text.data() + done, text.size() - done);
        if (written < 0 && errno != EINTR) {
            return errno;
        }
        done += written > 0 ? static_cast<std::size_t>(written) : 0;
    }
    return 0;
}

void writeWholeFile(const std::string& path, const std::string& text)
{
    writeWholeFile(path, [&text](const TextSink& sink) { sink(text); });
}

bool isReplaceable(const std::string& path)
{
    return !replaceableTarget(path).empty();
}

void writeWholeFile(const std::string& path, const std::function<void(const TextSink&)>& produce)
{
    const std::string target = replaceableTarget(path);
    if (target.empty()) {
        return writeInPlace(path, produce);
    }
    TemporaryFile file(target);
    produce([&file](const std::string& text) { file.write(text); });
    file.keep();
}

}  // namespace splitstart
