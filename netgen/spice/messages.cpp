#include "spice/messages.h"

#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <stdexcept>
#include <utility>

namespace splitstart
{
namespace
{

// More than a worker may ever send (see the limit in ngspice_session.cpp): a longer one is damage.
constexpr std::uint64_t longestMessage_bytes = std::uint64_t{1} << 31U;

bool sendAll(int socket, std::string_view bytes, int flags)
{
    while (!bytes.empty()) {
        const ssize_t count = ::send(socket, bytes.data(), bytes.size(), MSG_NOSIGNAL | flags);
        if (count >= 0) {
            bytes.remove_prefix(static_cast<std::size_t>(count));
        } else if (errno != EINTR) {
            return false;
        }
    }
    return true;
}

}  // namespace

FileDescriptor::FileDescriptor(FileDescriptor&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1))
{
}

FileDescriptor& FileDescriptor::operator=(FileDescriptor&& other) noexcept
{
    if (this != &other) {
        close();
        descriptor_ = std::exchange(other.descriptor_, -1);
    }
    return *this;
}

FileDescriptor::~FileDescriptor()
{
    close();
}

void FileDescriptor::close()
{
    if (descriptor_ >= 0) {
        ::close(descriptor_);
        descriptor_ = -1;
    }
}

bool sendMessage(int socket, std::string_view message)
{
    const std::uint64_t length = message.size();
    std::array<char, sizeof length> header{};
    std::memcpy(header.data(), &length, sizeof length);
    return sendAll(socket, {header.data(), header.size()}, MSG_MORE) && sendAll(socket, message, 0);
}

MessageReader::State MessageReader::read(int socket, bool wait)
{
    for (;;) {
        if (!lengthKnown_ && bytes_.empty()) {
            bytes_.resize(sizeof(std::uint64_t));
        }
        while (filled_ < bytes_.size()) {
            const ssize_t count = ::recv(socket, bytes_.data() + filled_, bytes_.size() - filled_,
                                         wait ? 0 : MSG_DONTWAIT);
            if (count > 0) {
                filled_ += static_cast<std::size_t>(count);
                continue;
            }
            if (count < 0 && errno == EINTR) {
                continue;
            }
            const bool isEmpty = count < 0 && (errno == EAGAIN || errno == EWOULDBLOCK);
            return isEmpty ? State::incomplete : State::closed;
        }
        if (lengthKnown_) {
            return State::complete;
        }
        std::uint64_t length = 0;
        std::memcpy(&length, bytes_.data(), sizeof length);
        if (length > longestMessage_bytes) {
            return State::closed;
        }
        lengthKnown_ = true;
        filled_ = 0;
        bytes_.resize(static_cast<std::size_t>(length));
    }
}

std::string MessageReader::take()
{
    lengthKnown_ = false;
    filled_ = 0;
    return std::exchange(bytes_, {});
}

std::optional<std::string> receiveMessage(int socket)
{
    MessageReader reader;
    if (reader.read(socket, true) != MessageReader::State::complete) {
        return std::nullopt;
    }
    return reader.take();
}

void ByteWriter::text(std::string_view text)
{
    value(static_cast<std::uint64_t>(text.size()));
    bytes_.append(text);
}

void ByteWriter::texts(const std::vector<std::string>& texts)
{
    value(static_cast<std::uint64_t>(texts.size()));
    for (const std::string& each : texts) {
        text(each);
    }
}

const char* ByteReader::next(std::size_t size)
{
    if (size > bytes_.size()) {
        throw std::out_of_range("message too short");
    }
    const char* const start = bytes_.data();
    bytes_.remove_prefix(size);
    return start;
}

std::size_t ByteReader::length(std::size_t itemSize)
{
    const auto count = value<std::uint64_t>();
    if (count > bytes_.size() / itemSize) {
        throw std::out_of_range("message too short");
    }
    return static_cast<std::size_t>(count);
}

std::string ByteReader::text()
{
    const std::size_t size = length(1);
    return {next(size), size};
}

std::vector<std::string> ByteReader::texts()
{
    // Each text takes at least its length field.
    std::vector<std::string> result(length(sizeof(std::uint64_t)));
    for (std::string& each : result) {
        each = text();
    }
    return result;
}

}  // namespace splitstart
