#include <fcntl.h>
#include <fmt/format.h>

#include <algorithm>
#include <boost/uuid/name_generator_sha1.hpp>
#include <boost/uuid/uuid_io.hpp>
#include <charconv>
#include <filesystem>
#include <map>
#include <optional>
#include <stdexcept>
#include <utility>

#include "case/text.h"
#include "cli/command.h"
#include "cli/interrupt.h"
#include "cli/number_option.h"
#include "cli/progress_bar.h"
#include "cli/row_file.h"
#include "cli/row_options.h"
#include "cli/sampling_options.h"
#include "cli/whole_file.h"
#include "report/sweep_table.h"
#include "spice/messages.h"
#include "study/sweep.h"
#include "study/sweep_effect.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

constexpr std::size_t mostShards = 100'000;
constexpr std::size_t mostRowsOnScreen = 5000;

// "2/5": the second of five parts.
struct Shard {
    std::size_t part = 1;
    std::size_t parts = 1;
    [[nodiscard]] bool holds(std::size_t caseIndex) const { return caseIndex % parts == part - 1; }
};

std::optional<Shard> shardFrom(const po::variables_map& values)
{
    if (values.count("shard") == 0) {
        return std::nullopt;
    }
    const auto& text = values["shard"].as<std::string>();
    Shard shard;
    const char* const end = text.data() + text.size();
    const auto first = std::from_chars(text.data(), end, shard.part);
    const bool slash = first.ec == std::errc() && first.ptr != end && *first.ptr == '/';
    const auto second = slash ? std::from_chars(first.ptr + 1, end, shard.parts) : first;
    if (!slash || second.ec != std::errc() || second.ptr != end || shard.part < 1 ||
        shard.part > shard.parts || shard.parts > mostShards) {
        throw UsageError(fmt::format(
            "--shard: found \"{}\"; allowed: k/n, the k-th of n parts, k from 1 to n, n up to {}",
            shortText(text), mostShards));
    }
    return shard;
}

SweepPlan planFrom(const po::variables_map& values)
{
    std::vector<VariedField> fields;
    if (values.count("vary") != 0) {
        for (const std::string& text : values["vary"].as<std::vector<std::string>>()) {
            fields.push_back(variedField(text));
        }
    }
    std::optional<LatinHypercube> sample;
    if (values.count("latin-hypercube") != 0) {
        sample = LatinHypercube{static_cast<std::size_t>(values["latin-hypercube"].as<long>()),
                                seedFrom(values)};
    }
    return {std::move(fields), sample};
}

// Whatever would change a row changes this.
std::string planName(const CaseSource& source, const SweepPlan& plan, const SweepOptions& options)
{
    std::string text =
        fmt::format("{}\n{}\n{}\n{} {} {}\n", SPLITSTART_VERSION, source.text(), source.partsText(),
                    options.machines, options.seed, options.checks);
    for (const VariedField& varied : plan.fields()) {
        text += fmt::format("{}={}\n", varied.field.written, fmt::join(varied.values, ","));
    }
    for (std::size_t i = 0; i < plan.size(); ++i) {
        for (const FieldChange& change : plan.changesOf(i)) {
            text += change.value + ",";
        }
    }
    // A name by SHA-1 (RFC 4122, version 5).
    return boost::uuids::to_string(
        boost::uuids::name_generator_sha1(boost::uuids::ns::url())(text));
}

// Rows to standard output in the order of their numbers, each as soon as those before it are there.
class RowPrinter
{
public:
    RowPrinter(const SweepHeader& header, RowFormat format, TextSink sink)
        : header_(header), format_(format), sink_(std::move(sink))
    {
        sink_(format == RowFormat::csv ? csvHeader(header) : headerLine(header) + "\n");
    }
    void add(SweepRow row)
    {
        const std::size_t number = row.number;
        waiting_.emplace(number, std::move(row));
        for (auto first = waiting_.begin(); first != waiting_.end() && first->first == next_;
             first = waiting_.erase(first), ++next_) {
            sink_(format_ == RowFormat::csv ? csvRow(first->second)
                                            : rowLine(header_, first->second) + "\n");
        }
    }

private:
    const SweepHeader& header_;
    RowFormat format_;
    TextSink sink_;
    std::map<std::size_t, SweepRow> waiting_;
    std::size_t next_ = 0;
};

std::string stoppedText(std::size_t done, std::size_t all, const std::string& journal)
{
    return fmt::format(
        "splitstart: stopped after {} of {}; {}\n", done, rowCount(all),
        journal.empty()
            ? std::string("with -o FILE a sweep can be gone on with")
            : fmt::format("they are in {}; the same command with --resume goes on", journal));
}

// One sweep, with what the command line asks of it.
class SweepRun
{
public:
    SweepRun(const po::variables_map& values, Sweep& sweep, SweepHeader header,
             std::optional<Shard> shard)
        : values_(values),
          sweep_(sweep),
          header_(std::move(header)),
          shard_(shard.value_or(Shard())),
          format_(rowFormatFrom(values))
    {
    }

    // Every case, before anything is simulated.
    void readAll() const;
    // With which ngspice, and by what name parts of it find together.
    void name(const std::string& simulator, const std::string& plan)
    {
        header_.simulator = simulator;
        header_.plan = plan;
    }
    int toFile();
    int toScreen();

private:
    // How many rows of the shard there are: whole cases.
    [[nodiscard]] std::size_t wanted() const
    {
        const std::size_t cases = header_.rows / header_.motorsPerCase;
        return (cases + shard_.parts - shard_.part) / shard_.parts * header_.motorsPerCase;
    }
    [[nodiscard]] bool isWanted(std::size_t number) const
    {
        return shard_.holds(number / header_.motorsPerCase);
    }
    TextSink screen();
    void noteIdleFields() const;
    [[nodiscard]] std::optional<int> statusIfWhole(const std::string& path) const;
    // False if it was interrupted.
    bool compute(const std::function<bool(std::size_t)>& isKnown, std::size_t known,
                 const std::function<void(SweepRow)>& take);

    const po::variables_map& values_;
    Sweep& sweep_;
    SweepHeader header_;
    Shard shard_;
    std::optional<RowFormat> format_;
    FileDescriptor device_;
    std::vector<std::string> idleFields_;  // made no difference
};

void SweepRun::readAll() const
{
    ProgressBar bar("reading cases");
    sweep_.readAll([this](std::size_t number) { return isWanted(number); },
                   [&bar](std::size_t done, std::size_t all) { bar.show(done, all); });
}

bool SweepRun::compute(const std::function<bool(std::size_t)>& isKnown, std::size_t known,
                       const std::function<void(SweepRow)>& take)
{
    ProgressBar bar("simulating starts");
    SweepEffect effect(sweep_.plan(), header_.motorsPerCase);
    std::size_t done = known;
    bar.show(done, wanted());
    SweepTask task;
    task.isWanted = [&](std::size_t number) { return isWanted(number) && !isKnown(number); };
    task.take = [&](SweepRow row) {
        effect.add(row);
        take(std::move(row));
        bar.show(++done, wanted());
    };
    task.keepGoing = [] { return !Interrupt::exitStatus(); };
    const bool finished = sweep_.run(task);
    idleFields_ = effect.fieldsWithoutEffect();
    return finished;
}

// Where the file is the whole result of this sweep, or of this part of it, the exit status that it
// has. Of CSV nobody can tell.
std::optional<int> SweepRun::statusIfWhole(const std::string& path) const
{
    if (*format_ != RowFormat::jsonLines || !std::filesystem::exists(path) ||
        std::filesystem::exists(path + ".part")) {
        return std::nullopt;
    }
    try {
        const RowFile file(path);
        if (headerLine(file.header()) != headerLine(header_) || file.count() != wanted()) {
            return std::nullopt;
        }
        bool whole = true;
        for (std::size_t number = 0; number < header_.rows; ++number) {
            const std::optional<SweepRow> row =
                file.has(number) ? rowOfLine(header_, file.line(number)) : std::nullopt;
            whole = whole && !(row && hasProblem(*row));
        }
        return exitStatusOfRows(whole);
    } catch (const std::runtime_error&) {
        return std::nullopt;
    }
}

int SweepRun::toFile()
{
    const auto& path = values_["output"].as<std::string>();
    if (const std::optional<int> status =
            values_["resume"].as<bool>() ? statusIfWhole(path) : std::nullopt) {
        printOut(fmt::format("{} is whole: nothing is left to do\n", path));
        return *status;
    }
    const Interrupt interrupt;
    SweepJournal journal(path, header_, values_["resume"].as<bool>());
    const bool finished = compute([&](std::size_t number) { return journal.has(number); },
                                  journal.count(), [&](const SweepRow& row) { journal.add(row); });
    if (!finished) {
        fmt::print(stderr, "{}", stoppedText(journal.count(), wanted(), journal.path()));
        return Interrupt::exitStatus().value_or(simulatorFailed);
    }
    noteIdleFields();
    const std::size_t rows = journal.count();
    const bool whole = journal.finish(*format_, wanted());
    printOut(fmt::format("{} of {}{}: {}{}\n", rowCount(rows), header_.caseName,
                         header_.invented ? " (invented)" : "", path,
                         whole ? "" : "; some have no numbers, the column \"problem\" says why"));
    return exitStatusOfRows(whole);
}

// To standard error, where it disturbs no rows.
void SweepRun::noteIdleFields() const
{
    for (const std::string& field : idleFields_) {
        fmt::print(
            stderr,
            "splitstart: {} made no difference in any row: nothing in this circuit, as it is "
            "simulated, depends on it\n",
            field);
    }
}

// Standard output, or the device or pipe that was named instead.
TextSink SweepRun::screen()
{
    if (values_.count("output") == 0) {
        return printOut;
    }
    const auto& path = values_["output"].as<std::string>();
    device_ = FileDescriptor(open(path.c_str(), O_WRONLY | O_CLOEXEC));
    return [this, path](const std::string& text) {
        if (device_.get() < 0 || writeAll(device_.get(), text) != 0) {
            throw std::runtime_error(fmt::format("{}: cannot be written", shortText(path, 500)));
        }
    };
}

int SweepRun::toScreen()
{
    const Interrupt interrupt;
    bool allHaveNumbers = true;
    std::size_t done = 0;
    const auto none = [](std::size_t) { return false; };
    std::optional<RowPrinter> printer;
    std::vector<SweepRow> rows;
    if (format_) {
        printer.emplace(header_, *format_, screen());
    } else if (wanted() > mostRowsOnScreen) {
        throw UsageError(
            fmt::format("{} rows are too many for a screen (at most {}); write them "
                        "to a file with -o",
                        wanted(), mostRowsOnScreen));
    }
    const bool finished = compute(none, 0, [&](SweepRow row) {
        allHaveNumbers = allHaveNumbers && !hasProblem(row);
        ++done;
        if (printer) {
            printer->add(std::move(row));
        } else {
            rows.push_back(std::move(row));
        }
    });
    if (!printer && !rows.empty()) {
        // Of a sweep that was stopped, the cases from the beginning that are whole.
        std::sort(rows.begin(), rows.end(),
                  [](const SweepRow& a, const SweepRow& b) { return a.number < b.number; });
        std::size_t whole = 0;
        while (whole < rows.size() && rows[whole].number == whole) {
            ++whole;
        }
        rows.resize(whole - whole % header_.motorsPerCase);
        const auto shown = values_.count("show") == 0
                               ? std::vector<std::string>()
                               : values_["show"].as<std::vector<std::string>>();
        printOut(sweepText(header_, rows, shown, {colourWanted(), false, pageWidth()}));
    }
    if (!finished) {
        fmt::print(stderr, "{}", stoppedText(done, wanted(), ""));
        return Interrupt::exitStatus().value_or(simulatorFailed);
    }
    noteIdleFields();
    return exitStatusOfRows(allHaveNumbers);
}

void checkShown(const po::variables_map& values, const std::vector<SweepColumn>& columns)
{
    if (values.count("show") == 0) {
        return;
    }
    for (const std::string& name : values["show"].as<std::vector<std::string>>()) {
        std::vector<std::string_view> names;
        names.reserve(columns.size());
        for (const SweepColumn& column : columns) {
            names.push_back(column.name);
        }
        if (std::find(names.begin(), names.end(), name) == names.end()) {
            const std::string_view meant = nearest(name, names);
            throw UsageError(fmt::format(
                "--show: found \"{}\"; allowed: a column, as --columns lists them{}",
                shortText(name),
                meant.empty() ? std::string() : fmt::format("; did you mean {}?", meant)));
        }
    }
}

}  // namespace

CommandLine sweepLine()
{
    CommandLine line(
        "splitstart sweep CASE.xml --vary FIELD=VALUES [options]",
        "Simulates one start for each combination of values: what if the capacitor were larger, "
        "the line lower, the winding hot? FIELD is ELEMENT.ATTRIBUTE of the case file, such as "
        "supply.volts, or of a part in its circuit, such as start-capacitor.microfarads, or "
        "ELEMENT/WHICH.ATTRIBUTE; or start.line-percent, start.winding-temperature-c, start.parts "
        "(early, middle, late), start.capacitors (upper-end, lower-end), "
        "start.restart-after-seconds. VALUES are from:to:step, E12:from:to (preferred values of "
        "IEC 60063), printed:from:to (ranges printed on start capacitors), single values, or "
        "several of these with commas. The motor is estimated once, from the case as it stands, "
        "unless a field varies that tells of it.",
        "splitstart sweep examples/cheese-store.xml --vary start-capacitor.microfarads=80:200:5 "
        "--vary supply.volts=207,230,253 -o sweep.csv",
        "text|csv|json");
    line.statuses = {{allPass, "done"},
                     {badInput},
                     {simulatorFailed, "some starts could not be simulated"},
                     {stoppedByCtrlC, "stopped by Ctrl-C"},
                     {stoppedByKill, "stopped by a kill (SIGTERM)"}};
    line.options.add_options()(
        "vary,v", po::value<std::vector<std::string>>()->composing()->value_name("FIELD=VALUES"),
        "a field and its values; may be repeated, every combination is "
        "simulated, the last field changing fastest")(
        "checks", po::bool_switch(),
        "judge every case at all corners as well, with its best estimate; takes twenty times as "
        "long")("resume", po::bool_switch(), "go on with an unfinished sweep of the same -o FILE")(
        "shard", po::value<std::string>()->value_name("K/N"),
        "only the K-th of N parts, as JSON lines for `splitstart merge`")(
        "show", po::value<std::vector<std::string>>()->composing()->value_name("COLUMN"),
        "a column of the table on the screen; may be repeated")(
        "columns", po::bool_switch(), "list the columns with units and meanings, and end")(
        "list-files", po::bool_switch(),
        "list the files that it reads, once all is found right, and end");
    addNumber<long>(line,
                    {"latin-hypercube",
                     "N",
                     {2, mostCases},
                     std::nullopt,
                     "N combinations spread evenly instead of all; VALUES may then be from:to"});
    addNumber<int>(line,
                   {"machines",
                    "N",
                    {0, 1000},
                    0,
                    "besides the most probable motor, N others that the readings leave possible"});
    addSeedOption(line, "rows");
    addWorkersOption(line);
    return line;
}

int sweepCommand(const po::variables_map& values)
{
    const std::optional<RowFormat> format = rowFormatFrom(values);
    const std::optional<Shard> shard = shardFrom(values);
    if (shard && (values.count("output") == 0 || format != RowFormat::jsonLines)) {
        throw UsageError(
            "--shard: a part is written as JSON lines; name its file, such as -o "
            "part.jsonl");
    }
    if (values["resume"].as<bool>() && values.count("output") == 0) {
        throw UsageError("--resume needs the -o FILE that the sweep was writing");
    }
    SweepOptions options;
    options.machines = static_cast<std::size_t>(values["machines"].as<int>());
    options.seed = seedFrom(values);
    options.checks = values["checks"].as<bool>();
    const unsigned workers = workersFrom(values);
    if (values.count("output") != 0 && values.count("show") != 0) {
        throw UsageError("--show picks columns of the table on the screen; a file has all");
    }
    // A device or pipe takes the rows as they come and has no journal.
    const bool toFile =
        values.count("output") != 0 && isReplaceable(values["output"].as<std::string>());
    if (shard && !toFile) {
        throw UsageError("--shard: a part goes into a plain file");
    }
    SweepPlan plan = planFrom(values);
    if (plan.size() > mostCases / (1 + options.machines)) {
        throw UsageError(fmt::format("{} cases with {} motors each are too many; allowed: {} rows",
                                     plan.size(), 1 + options.machines, mostCases));
    }
    const CaseSource source(caseFile(values));
    const Case input = source.read();
    refuseToOverwrite(values, input);
    if (options.machines > 0 && input.compressor.equivalentCircuit) {
        throw UsageError(
            "--machines: the case gives the motor in full, so that no other is possible");
    }
    SimulatorPool pool(workers);
    Sweep sweep(source, std::move(plan), options, pool);
    SweepHeader header;
    header.caseName = input.name;
    header.invented = input.invented;
    header.motorGiven = input.compressor.equivalentCircuit.has_value();
    header.rows = sweep.rows();
    header.motorsPerCase = 1 + options.machines;
    header.columns = sweep.columns();
    if (shard) {
        header.shard = fmt::format("{}/{}", shard->part, shard->parts);
    }
    checkShown(values, header.columns);
    SweepRun run(values, sweep, header, shard);
    run.readAll();
    if (values["columns"].as<bool>()) {
        printOut(columnsText(header.columns));
        return allPass;
    }
    if (values["list-files"].as<bool>()) {
        printOut(fmt::format("{}\n", fmt::join(input.filesRead, "\n")));
        return allPass;
    }
    run.name(pool.version(), planName(source, sweep.plan(), options));
    return toFile ? run.toFile() : run.toScreen();
}

}  // namespace splitstart
