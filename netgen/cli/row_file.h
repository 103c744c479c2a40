// Files with the rows of a sweep, one JSON line each: the journal of one that runs, a part of one
// that was computed elsewhere, a whole one.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "report/sweep_table.h"
#include "spice/messages.h"

namespace splitstart
{

enum class RowFormat { csv, jsonLines };

// Such a file, open for reading, and where each row of it is.
class RowFile
{
public:
    // Reads it once from end to end. What stands after the last line end is the line that was being
    // written when the writer was killed, and is left out. Throws std::runtime_error if it is no
    // plain file, cannot be read, or a line is no row of the sweep that its first line tells of.
    explicit RowFile(const std::string& path);
    // The same of an open file, which stays the caller's; `path` is for messages.
    RowFile(int descriptor, const std::string& path);
    [[nodiscard]] const std::string& path() const { return path_; }
    [[nodiscard]] const SweepHeader& header() const { return header_; }
    [[nodiscard]] bool has(std::size_t number) const { return places_[number].second > 0; }
    [[nodiscard]] std::size_t count() const { return count_; }
    [[nodiscard]] std::string line(std::size_t number) const;
    // Bytes up to the last line end.
    [[nodiscard]] std::size_t size() const { return size_; }

private:
    void read();
    void addLine(std::string_view line);

    std::string path_;
    FileDescriptor own_;
    int descriptor_ = -1;
    std::size_t lines_ = 0;
    SweepHeader header_;
    std::vector<std::pair<std::size_t, std::size_t>> places_;  // by number: offset, length
    std::size_t count_ = 0;
    std::size_t size_ = 0;
};

// Where the line of each wanted row is found, or empty where it is missing.
using LineOfRow = std::function<std::optional<std::string>(std::size_t)>;

// Writes the rows that are there, in the order of their numbers, whole or not at all. True if every
// row has its numbers.
bool writeRows(const std::string& path, const SweepHeader& header, RowFormat format,
               const LineOfRow& lineOf);

// The journal of a sweep on its way to `path`: the file `path`.part, in which each finished row is
// written at once, so that none is lost however the process ends.
class SweepJournal
{
public:
    // Begins one, or goes on with the one that is there if `resume`. Throws std::runtime_error if
    // there is one and it is not to be resumed, if it is of another sweep, if another process
    // writes it, or if it cannot be written.
    SweepJournal(const std::string& path, const SweepHeader& header, bool resume);
    [[nodiscard]] bool has(std::size_t number) const { return done_[number]; }
    [[nodiscard]] std::size_t count() const { return count_; }
    [[nodiscard]] const std::string& path() const { return path_; }
    void add(const SweepRow& row);
    // Puts the sweep's file in place and takes the journal away. True if every row has its numbers.
    // Throws std::runtime_error unless there are `wanted` rows.
    bool finish(RowFormat format, std::size_t wanted);

private:
    // Whether the open file is still the one of that name.
    [[nodiscard]] bool isInPlace() const;
    void begin(bool resume);

    std::string target_;
    std::string path_;
    SweepHeader header_;
    FileDescriptor file_;
    std::vector<bool> done_;
    std::size_t count_ = 0;
    double synced_s_ = 0;
};

}  // namespace splitstart
