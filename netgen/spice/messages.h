// How the main process, the spawner and the workers talk: whole messages over local sockets, in the
// machine's own byte order, as all of them are the same program.
#pragma once

#include <cstdint>
#include <cstring>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

namespace splitstart
{

// Owns a file descriptor; closes it.
class FileDescriptor
{
public:
    FileDescriptor() = default;
    explicit FileDescriptor(int descriptor) : descriptor_(descriptor) {}
    FileDescriptor(FileDescriptor&& other) noexcept;
    FileDescriptor& operator=(FileDescriptor&& other) noexcept;
    FileDescriptor(const FileDescriptor&) = delete;
    FileDescriptor& operator=(const FileDescriptor&) = delete;
    ~FileDescriptor();
    [[nodiscard]] int get() const { return descriptor_; }
    void close();

private:
    int descriptor_ = -1;
};

// Sends all of one message. False when the other side is gone or does not take it within the
// socket's send time.
bool sendMessage(int socket, std::string_view message);

// Collects one message from a stream socket, which may come in pieces.
class MessageReader
{
public:
    enum class State { incomplete, complete, closed };
    // Reads what is there; with `wait`, waits for something to be there.
    State read(int socket, bool wait);
    std::string take();

private:
    std::string bytes_;
    std::size_t filled_ = 0;
    bool lengthKnown_ = false;
};

// Waits for one message. Empty when the other side is gone.
std::optional<std::string> receiveMessage(int socket);

class ByteWriter
{
public:
    template <typename Value>
    void value(const Value& value)
    {
        static_assert(std::is_trivially_copyable_v<Value>);
        const std::size_t at = bytes_.size();
        bytes_.resize(at + sizeof value);
        std::memcpy(bytes_.data() + at, &value, sizeof value);
    }
    void text(std::string_view text);
    void texts(const std::vector<std::string>& texts);
    template <typename Number>
    void numbers(const std::vector<Number>& numbers)
    {
        static_assert(std::is_trivially_copyable_v<Number>);
        value(static_cast<std::uint64_t>(numbers.size()));
        if (!numbers.empty()) {
            const std::size_t at = bytes_.size();
            bytes_.resize(at + numbers.size() * sizeof(Number));
            std::memcpy(bytes_.data() + at, numbers.data(), numbers.size() * sizeof(Number));
        }
    }
    [[nodiscard]] const std::string& bytes() const { return bytes_; }

private:
    std::string bytes_;
};

// Reads back what ByteWriter wrote. Throws std::out_of_range when the message is too short.
class ByteReader
{
public:
    explicit ByteReader(std::string_view bytes) : bytes_(bytes) {}
    template <typename Value>
    Value value()
    {
        static_assert(std::is_trivially_copyable_v<Value>);
        Value result;
        std::memcpy(&result, next(sizeof result), sizeof result);
        return result;
    }
    std::string text();
    std::vector<std::string> texts();
    template <typename Number>
    std::vector<Number> numbers()
    {
        const std::size_t count = length(sizeof(Number));
        std::vector<Number> result(count);
        if (count != 0) {
            std::memcpy(result.data(), next(count * sizeof(Number)), count * sizeof(Number));
        }
        return result;
    }

private:
    const char* next(std::size_t size);
    std::size_t length(std::size_t itemSize);

    std::string_view bytes_;
};

}  // namespace splitstart
