#include "cli/row_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
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
    : path_(path), descriptor_(open(path.c_str(), O_RDONLY | O_CLOEXEC))
{
    if (descriptor_ < 0) {
        refuse(path, fmt::format("cannot be read: {}", std::strerror(errno)));
    }
    constexpr std::size_t piece = std::size_t{1} << 16;
    std::string buffer;
    std::string rest;
    std::size_t number = 0;
    while (true) {
        buffer.resize(piece);
        const ssize_t got = read(descriptor_, buffer.data(), buffer.size());
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            const int error = errno;
            close(descriptor_);
            refuse(path, fmt::format("cannot be read: {}", std::strerror(error)));
        }
        if (got == 0) {
            break;
        }
        rest.append(buffer, 0, static_cast<std::size_t>(got));
        std::size_t begin = 0;
        for (std::size_t end = rest.find('\n'); end != std::string::npos;
             end = rest.find('\n', begin)) {
            const std::string_view line = std::string_view(rest).substr(begin, end - begin);
            ++number;
            if (number == 1) {
                const std::optional<SweepHeader> header = headerOfLine(line);
                if (!header) {
                    close(descriptor_);
                    refuse(path,
                           "its first line does not tell of a sweep; it is no file of "
                           "`splitstart sweep` in JSON lines");
                }
                header_ = *header;
                places_.resize(header_.rows);
            } else {
                const std::optional<SweepRow> row = rowOfLine(header_, line);
                if (!row || has(row->number)) {
                    close(descriptor_);
                    refuse(path, fmt::format("line {} is {}", number,
                                             row ? "a row that was there before"
                                                 : "no row of this sweep; the file is damaged"));
                }
                places_[row->number] = {size_, line.size()};
                ++count_;
            }
            size_ += line.size() + 1;
            begin = end + 1;
        }
        rest.erase(0, begin);
    }
    if (number == 0) {
        close(descriptor_);
        refuse(path, "it is empty; it is no file of `splitstart sweep` in JSON lines");
    }
}

RowFile::~RowFile()
{
    close(descriptor_);
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
    descriptor_ = open(path_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
    if (descriptor_ < 0) {
        refuse(path_, fmt::format("cannot be written: {}", std::strerror(errno)));
    }
    const auto giveUp = [this](const std::string& what) {
        close(descriptor_);
        refuse(path_, what);
    };
    if (flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
        giveUp("another splitstart is writing it");
    }
    const off_t length = lseek(descriptor_, 0, SEEK_END);
    const std::string first = headerLine(header) + "\n";
    // A file without a whole first line holds nothing.
    std::string begun(static_cast<std::size_t>(std::min<off_t>(length, 1 << 16)), '\0');
    const bool isEmpty =
        length == 0 || (pread(descriptor_, begun.data(), begun.size(), 0) >= 0 &&
                        begun.find('\n') == std::string::npos && first.starts_with(begun));
    if (isEmpty) {
        if (ftruncate(descriptor_, 0) != 0 || writeAll(descriptor_, first) != 0) {
            giveUp(fmt::format("cannot be written: {}", std::strerror(errno)));
        }
        return;
    }
    if (!resume) {
        giveUp(
            "is the journal of a sweep that was not finished; go on with it by --resume, or "
            "remove it to begin anew");
    }
    const RowFile known(path_);
    if (headerLine(known.header()) + "\n" != first) {
        giveUp(
            "is the journal of another sweep (case, parts, fields, values or options differ); "
            "remove it, or name another file to write");
    }
    if (ftruncate(descriptor_, static_cast<off_t>(known.size())) != 0) {
        giveUp(fmt::format("cannot be written: {}", std::strerror(errno)));
    }
    for (std::size_t number = 0; number < header.rows; ++number) {
        done_[number] = known.has(number);
    }
    count_ = known.count();
}

SweepJournal::~SweepJournal()
{
    if (descriptor_ >= 0) {
        close(descriptor_);
    }
}

void SweepJournal::add(const SweepRow& row)
{
    constexpr double syncEach_s = 1;
    if (const int error = writeAll(descriptor_, rowLine(header_, row) + "\n"); error != 0) {
        refuse(path_, fmt::format("cannot be written: {}", std::strerror(error)));
    }
    done_[row.number] = true;
    ++count_;
    // A written line outlives the process; only for the machine's own end must it reach the disk.
    if (now_s() - synced_s_ > syncEach_s) {
        fdatasync(descriptor_);
        synced_s_ = now_s();
    }
}

bool SweepJournal::finish(RowFormat format)
{
    const RowFile rows(path_);
    const bool whole = writeRows(target_, header_, format, [&rows](std::size_t number) {
        return rows.has(number) ? std::optional(rows.line(number)) : std::nullopt;
    });
    unlink(path_.c_str());
    return whole;
}

}  // namespace splitstart
