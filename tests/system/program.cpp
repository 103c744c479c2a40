#include "system/program.h"

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <regex>
#include <sstream>
#include <stdexcept>

namespace splitstart
{

namespace
{

[[noreturn]] void becomeProgram(const std::string& program,
                                const std::vector<std::string>& arguments,
                                const std::map<std::string, std::string>& environment,
                                const std::filesystem::path& folder,
                                const std::filesystem::path& out, const std::filesystem::path& err)
{
    const int input = open("/dev/null", O_RDONLY);
    const int output = open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    const int errors = open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    dup2(input, STDIN_FILENO);
    dup2(output, STDOUT_FILENO);
    dup2(errors, STDERR_FILENO);
    for (const auto& [name, value] : environment) {
        setenv(name.c_str(), value.c_str(), 1);
    }
    if (!folder.empty() && chdir(folder.c_str()) != 0) {
        _exit(126);
    }
    std::vector<char*> words = {const_cast<char*>(program.c_str())};
    for (const std::string& argument : arguments) {
        words.push_back(const_cast<char*>(argument.c_str()));
    }
    words.push_back(nullptr);
    execvp(program.c_str(), words.data());
    _exit(127);
}

}  // namespace

Outcome runProgram(const std::string& program, const std::vector<std::string>& arguments,
                   const std::map<std::string, std::string>& environment,
                   const std::filesystem::path& folder)
{
    const ScratchFolder scratch;
    const std::filesystem::path out = scratch.path() / "out";
    const std::filesystem::path err = scratch.path() / "err";
    const pid_t child = fork();
    if (child < 0) {
        throw std::runtime_error("fork failed");
    }
    if (child == 0) {
        becomeProgram(program, arguments, environment, folder, out, err);
    }
    int status = 0;
    waitpid(child, &status, 0);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), fileText(out),
            fileText(err)};
}

Outcome splitstartRun(const std::vector<std::string>& arguments,
                      const std::map<std::string, std::string>& environment)
{
    return runProgram(SPLITSTART_BINARY, arguments, environment);
}

std::string example(const std::string& name)
{
    return std::string(SPLITSTART_SOURCE_DIR) + "/examples/" + name;
}

std::string fileText(const std::filesystem::path& path)
{
    std::ifstream stream(path, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

ScratchFolder::ScratchFolder()
{
    std::string name = (std::filesystem::temp_directory_path() / "splitstart-test-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) {
        throw std::runtime_error("no scratch folder");
    }
    path_ = name;
}

ScratchFolder::~ScratchFolder()
{
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

std::string ScratchFolder::write(const std::string& name, const std::string& text) const
{
    std::ofstream(path_ / name, std::ios::binary) << text;
    return (path_ / name).string();
}

std::map<std::string, double> stockQuantities(const std::string& deckFile)
{
    const ScratchFolder home;
    const Outcome run =
        runProgram("ngspice", {"-n", "-b", deckFile}, {{"HOME", home.path()}}, home.path());
    std::map<std::string, double> quantities;
    std::istringstream lines(run.out);
    static const std::regex pattern(R"(^([a-z_]+)\s*=\s*([-+0-9.eE]+)\b.*)");
    for (std::string line; std::getline(lines, line);) {
        std::smatch match;
        if (std::regex_match(line, match, pattern)) {
            quantities[match[1]] = std::stod(match[2]);
        }
    }
    return quantities;
}

}  // namespace splitstart
