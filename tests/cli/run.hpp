// Runs a program as a user does: arguments, a folder, standard output and error caught in files.
#pragma once

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

/// A new empty folder, removed with everything in it.
class scratch_folder {
 public:
  scratch_folder() {
    static std::atomic<int> count{0};
    path_ = std::filesystem::temp_directory_path() /
            ("coldgrease_cli_" + std::to_string(::getpid()) + "_" + std::to_string(count++));
    std::filesystem::create_directories(path_);
  }
  ~scratch_folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  scratch_folder(const scratch_folder&) = delete;
  scratch_folder& operator=(const scratch_folder&) = delete;
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

inline std::string bytes_of_file(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

inline void write_file(const std::filesystem::path& path, const std::string& bytes) {
  if (path.has_parent_path()) std::filesystem::create_directories(path.parent_path());
  std::ofstream(path, std::ios::binary) << bytes;
}

struct run_result {
  int exit = -1;
  int signal = 0;  // that ended the program, 0 if none
  std::string out;
  std::string err;
};

struct run_options {
  std::filesystem::path folder;                                  // to run in
  std::vector<std::pair<std::string, std::string>> environment;  // added to the one of the test
  std::string stdout_to;                                         // a device instead of a file that is read back
  std::string stdin_from = "/dev/null";                          // seen from the folder
};

/// No shell stands between: an argument arrives as it is written here.
inline run_result run(const std::string& program, const std::vector<std::string>& arguments,
                      const run_options& options) {
  const scratch_folder caught;
  const std::string out = options.stdout_to.empty() ? (caught.path() / "out").string() : options.stdout_to;
  const std::string err = (caught.path() / "err").string();
  std::vector<char*> words{const_cast<char*>(program.c_str())};
  for (const std::string& a : arguments) words.push_back(const_cast<char*>(a.c_str()));
  words.push_back(nullptr);

  const pid_t child = ::fork();
  if (child < 0) throw std::runtime_error("cannot fork");
  if (child == 0) {
    const int to = ::open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    const int errors = ::open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    if (to < 0 || errors < 0 || ::chdir(options.folder.c_str()) != 0) ::_exit(126);
    const int from = ::open(options.stdin_from.c_str(), O_RDONLY);
    if (from < 0) ::_exit(126);
    ::dup2(from, 0);
    ::dup2(to, 1);
    ::dup2(errors, 2);
    for (const auto& [name, value] : options.environment) ::setenv(name.c_str(), value.c_str(), 1);
    ::execv(program.c_str(), words.data());
    ::_exit(127);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  run_result result;
  result.exit = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  result.signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0;
  if (options.stdout_to.empty()) result.out = bytes_of_file(out);
  result.err = bytes_of_file(err);
  return result;
}
