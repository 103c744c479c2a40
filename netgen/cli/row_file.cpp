#include "cli/row_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstring>
#include <stdexcept>

#include "case/text.h"
#include "cli/whole_file.h"

namespace splitstart
{

namespace
{

[[noreturn]] void refuse(const std::string& path, const std::string& what)
{
    throw std::runtime_error(fmt::format("{}: {}", shortText(path, 500), what));
}

double now_s()
{
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

}  // namespace

RowFile::RowFile(const std::string& path)
    : path_(path),
      own_(open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK)),
      descriptor_(own_.get())
{
    if (descriptor_ < 0) {
        refuse(path_, fmt::format("cannot be read: {}", std::strerror(errno)));
    }
    read();
}

RowFile::RowFile(int descriptor, const std::string& path) : path_(path), descriptor_(descriptor)
{
    read();
}

void RowFile::addLine(std::string_view line)
{
    ++lines_;
    if (lines_ == 1) {
        const std::optional<SweepHeader> header = headerOfLine(line);
        if (!header) {
            refuse(
                path_,
                "its first line does not tell of a sweep; it is no file of `splitstart sweep` in "
                "JSON lines");
        }
        header_ = *header;
        places_.resize(header_.rows);
    } else {
        const std::optional<SweepRow> row = rowOfLine(header_, line);
        if (!row || has(row->number)) {
            refuse(path_, fmt::format("line {} is {}", lines_,
                                      row ? "a row that was there before"
                                          : "no row of this sweep; the file is damaged"));
        }
        places_[row->number] = {size_, line.size()};
        ++count_;
    }
    size_ += line.size() + 1;
}

void RowFile::read()
{
    constexpr std::size_t piece = std::size_t{1} << 16;
    constexpr std::size_t longestLine = std::size_t{1} << 20;
    struct stat info {
    };
    if (fstat(descriptor_, &info) != 0 || !S_ISREG(info.st_mode)) {
        refuse(path_, "is no plain file");
    }
    std::string buffer(piece, '\0');
    std::string rest;
    off_t offset = 0;
    while (true) {
        const ssize_t got = pread(descriptor_, buffer.data(), buffer.size(), offset);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            refuse(path_, fmt::format("cannot be read: {}", std::strerror(errno)));
        }
        if (got == 0) {
            break;
        }
        offset += got;
        rest.append(buffer, 0, static_cast<std::size_t>(got));
        std::size_t begin = 0;
        for (std::size_t end = rest.find('\n'); end != std::string::npos;
             end = rest.find('\n', begin)) {
            addLine(std::string_view(rest).substr(begin, end - begin));
            begin = end + 1;
        }
        rest.erase(0, begin);
        if (rest.size() > longestLine) {
            refuse(path_, fmt::format("line {} is too long for a row of a sweep", lines_ + 1));
        }
    }
    if (lines_ == 0) {
        refuse(path_, "it is empty; it is no file of `splitstart sweep` in JSON lines");
    }
}

std::string RowFile::line(std::size_t number) const
{
    const auto [offset, length] = places_[number];
    std::string text(length, '\0');
    std::size_t done = 0;
    while (done < length) {
        const ssize_t got = pread(descriptor_, text.data() + done, length - done,
                                  static_cast<off_t>(offset + done));
        if (got <= 0 && !(got < 0 && errno == EINTR)) {
            refuse(path_, "changed while it was read");
        }
        done += got > 0 ? static_cast<std::size_t>(got) : 0;
    }
    return text;
}

bool writeRows(const std::string& path, const SweepHeader& header, RowFormat format,
               const LineOfRow& lineOf)
{
    bool whole = true;
    writeWholeFile(path, [&](const TextSink& sink) {
        sink(format == RowFormat::csv ? csvHeader(header) : headerLine(header) + "\n");
        for (std::size_t number = 0; number < header.rows; ++number) {
            const std::optional<std::string> line = lineOf(number);
            if (!line) {
                continue;
            }
            const std::optional<SweepRow> row = rowOfLine(header, *line);
            if (!row) {
                refuse(path, "a row changed while it was read");
            }
            whole = whole && !hasProblem(*row);
            sink(format == RowFormat::csv ? csvRow(*row) : *line + "\n");
        }
    });
    return whole;
}

SweepJournal::SweepJournal(const std::string& path, const SweepHeader& header, bool resume)
    : target_(path), path_(path + ".part"), header_(header), done_(header.rows)
{
    // Between opening and locking another one may have finished and taken its journal away.
    do {
        file_ = FileDescriptor(open(path_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0666));
        if (file_.get() < 0) {
            refuse(path_, fmt::format("cannot be written: {}", std::strerror(errno)));
        }
        if (flock(file_.get(), LOCK_EX | LOCK_NB) != 0) {
            refuse(path_, "another splitstart is writing it");
        }
    } while (!isInPlace());
    begin(resume);
}

bool SweepJournal::isInPlace() const
{
    struct stat open {
    };
    struct stat named {
    };
    return fstat(file_.get(), &open) == 0 && stat(path_.c_str(), &named) == 0 &&
           open.st_ino == named.st_ino && open.st_dev == named.st_dev;
}

void SweepJournal::begin(bool resume)
{
    const std::string first = headerLine(header_) + "\n";
    const off_t length = lseek(file_.get(), 0, SEEK_END);
    // Of a first line that is not whole nothing is lost.
    std::string begun(first.size(), '\0');
    begun.resize(static_cast<std::size_t>(
        std::max<ssize_t>(0, pread(file_.get(), begun.data(), begun.size(), 0))));
    if (begun != first && first.starts_with(begun) &&
        static_cast<std::size_t>(length) == begun.size()) {
        if (ftruncate(file_.get(), 0) != 0 || writeAll(file_.get(), first) != 0) {
            refuse(path_, fmt::format("cannot be written: {}", std::strerror(errno)));
        }
        return;
    }
    if (!resume) {
        refuse(path_,
               "is the journal of a sweep that was not finished; go on with it by --resume, or "
               "remove it to begin anew");
    }
    const RowFile known(file_.get(), path_);
    if (headerLine(known.header()) + "\n" != first) {
        refuse(path_,
               "is the journal of another sweep (case, parts, fields, values, options or version "
               "differ); remove it, or name another file to write");
    }
    if (ftruncate(file_.get(), static_cast<off_t>(known.size())) != 0) {
        refuse(path_, fmt::format("cannot be written: {}", std::strerror(errno)));
    }
    for (std::size_t number = 0; number < header_.rows; ++number) {
        done_[number] = known.has(number);
    }
    count_ = known.count();
}

void SweepJournal::add(const SweepRow& row)
{
    constexpr double syncEach_s = 1;
    if (const int error = writeAll(file_.get(), rowLine(header_, row) + "\n"); error != 0) {
        refuse(path_, fmt::format("cannot be written: {}", std::strerror(error)));
    }
    done_[row.number] = true;
    ++count_;
    // A written line outlives the process; only for the machine's own end must it reach the disk.
    if (now_s() - synced_s_ > syncEach_s) {
        fdatasync(file_.get());
        synced_s_ = now_s();
    }
}

bool SweepJournal::finish(RowFormat format, std::size_t wanted)
{
    const RowFile rows(file_.get(), path_);
    if (rows.count() != wanted) {
        refuse(path_, fmt::format("holds {} of {} rows: somebody changed it while it was written",
                                  rows.count(), wanted));
    }
    const bool whole = writeRows(target_, header_, format, [&rows](std::size_t number) {
        return rows.has(number) ? std::optional(rows.line(number)) : std::nullopt;
    });
    if (isInPlace()) {
        unlink(path_.c_str());
    }
    return whole;
}

}  // namespace splitstart
