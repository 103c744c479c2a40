#include "cli/whole_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <stdexcept>

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
        std::size_t done = 0;
        while (done < text.size()) {
            const ssize_t written = ::write(descriptor_, text.data() + done, text.size() - done);
            if (written < 0 && errno != EINTR) {
                refuse(target_, errno);
            }
            done += written > 0 ? static_cast<std::size_t>(written) : 0;
        }
    }

    void keep()
    {
        // mkstemp makes private files; the result should be as readable as any new file.
        const mode_t mask = umask(0);
        umask(mask);
        const int closed =
            fchmod(descriptor_, 0666 & ~mask) | fsync(descriptor_) | close(descriptor_);
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

}  // namespace

void writeWholeFile(const std::string& path, const std::string& text)
{
    struct stat existing {
    };
    // A device or pipe cannot be replaced by renaming; it takes the text as it comes.
    if (stat(path.c_str(), &existing) == 0 && !S_ISREG(existing.st_mode)) {
        if (S_ISDIR(existing.st_mode)) {
            refuse(path, EISDIR);
        }
        const int descriptor = open(path.c_str(), O_WRONLY | O_CLOEXEC);
        const ssize_t written = descriptor < 0 ? -1 : ::write(descriptor, text.data(), text.size());
        const int error = errno;
        if (descriptor >= 0) {
            close(descriptor);
        }
        if (written != static_cast<ssize_t>(text.size())) {
            refuse(path, error);
        }
        return;
    }
    TemporaryFile file(path);
    file.write(text);
    file.keep();
}

}  // namespace splitstart
