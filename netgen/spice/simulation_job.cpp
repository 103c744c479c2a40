#include "spice/simulation_job.h"

#include <complex>
#include <cstdint>

#include "spice/messages.h"

namespace splitstart
{
namespace
{

template <typename Number>
void writeColumns(ByteWriter& out, const std::vector<std::vector<Number>>& columns)
{
    out.value(static_cast<std::uint64_t>(columns.size()));
    for (const std::vector<Number>& column : columns) {
        out.numbers(column);
    }
}

template <typename Number>
std::vector<std::vector<Number>> readColumns(ByteReader& in)
{
    std::vector<std::vector<Number>> columns;
    for (auto left = in.value<std::uint64_t>(); left > 0; --left) {
        columns.push_back(in.numbers<Number>());
    }
    return columns;
}

}  // namespace

std::string encode(const SimulationJob& job)
{
    ByteWriter out;
    out.text(job.title);
    out.texts(job.lines);
    out.texts(job.vectors);
    out.value(job.transient);
    out.value(job.end);
    out.value(job.reachAtLeast);
    out.value(job.stop.has_value());
    if (job.stop) {
        out.text(job.stop->vector);
        out.value(job.stop->threshold);
        out.value(job.stop->heldFor_s);
        out.value(job.stop->heldForShare);
        out.value(job.stop->meanOver_s);
        out.value(job.stop->notBefore_s);
    }
    out.value(job.sweep.has_value());
    if (job.sweep) {
        out.text(job.sweep->source);
        out.numbers(job.sweep->values);
    }
    return out.bytes();
}

SimulationJob decodeJob(std::string_view bytes)
{
    ByteReader in(bytes);
    SimulationJob job;
    job.title = in.text();
    job.lines = in.texts();
    job.vectors = in.texts();
    job.transient = in.value<bool>();
    job.end = in.value<double>();
    job.reachAtLeast = in.value<double>();
    if (in.value<bool>()) {
        StopRule stop;
        stop.vector = in.text();
        stop.threshold = in.value<double>();
        stop.heldFor_s = in.value<double>();
        stop.heldForShare = in.value<double>();
        stop.meanOver_s = in.value<double>();
        stop.notBefore_s = in.value<double>();
        job.stop = stop;
    }
    if (in.value<bool>()) {
        SourceSweep sweep;
        sweep.source = in.text();
        sweep.values = in.numbers<double>();
        job.sweep = sweep;
    }
    return job;
}

std::string encode(const WorkerReply& reply)
{
    ByteWriter out;
    out.value(reply.retire);
    out.value(reply.trouble.has_value());
    if (reply.trouble) {
        out.value(reply.trouble->fault);
        out.text(reply.trouble->message);
        out.text(reply.log);
        return out.bytes();
    }
    out.numbers(reply.waveforms.time_s);
    writeColumns(out, reply.waveforms.real);
    out.numbers(reply.waveforms.frequency_Hz);
    writeColumns(out, reply.waveforms.phasors);
    out.value(reply.waveforms.stoppedEarly);
    return out.bytes();
}

WorkerReply decodeReply(std::string_view bytes)
{
    ByteReader in(bytes);
    WorkerReply reply;
    reply.retire = in.value<bool>();
    if (in.value<bool>()) {
        Trouble trouble;
        trouble.fault = in.value<SimulationFault>();
        trouble.message = in.text();
        reply.trouble = trouble;
        reply.log = in.text();
        return reply;
    }
    reply.waveforms.time_s = in.numbers<double>();
    reply.waveforms.real = readColumns<double>(in);
    reply.waveforms.frequency_Hz = in.numbers<double>();
    reply.waveforms.phasors = readColumns<std::complex<double>>(in);
    reply.waveforms.stoppedEarly = in.value<bool>();
    return reply;
}

}  // namespace splitstart
