#include "output_file.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <optional>
#include <random>
#include <string_view>
#include <system_error>

#include "coldgrease/base/error.hpp"
#include "descriptor.hpp"

namespace coldgrease::tools {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view name_begin = ".coldgrease-", name_end = ".part";
constexpr std::size_t name_digits = 16;
constexpr ::mode_t permissions = 0777;

[[noreturn]] void fail(int why = errno) { throw std::system_error(why, std::generic_category()); }

void write_all(int file, std::string_view text) {
  while (!text.empty()) {
    const ::ssize_t written = ::write(file, text.data(), text.size());
    if (written < 0 && errno != EINTR) fail();
    if (written > 0) text.remove_prefix(static_cast<std::size_t>(written));
  }
}

/// Onto the disk; a file system that knows no such thing has done all it can.
void settle(int file) {
  if (::fsync(file) != 0 && errno != EINVAL && errno != ENOSYS) fail();
}

std::string fresh_name() {
  std::random_device random;
  std::string name(name_begin);
  for (std::size_t i = 0; i < name_digits; ++i) name += "0123456789abcdef"[random() % 16];
  return name.append(name_end);
}

bool is_ours(std::string_view name) {
  if (name.size() != name_begin.size() + name_digits + name_end.size()) return false;
  return name.starts_with(name_begin) && name.ends_with(name_end) &&
         name.substr(name_begin.size(), name_digits).find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

bool lock(int file) { return ::flock(file, LOCK_EX | LOCK_NB) == 0; }

/// Removes what killed writers left in a folder. The lock of a writer ends with it, so that what can be locked is
/// nobody's; the name is looked up no further, as no other file ever gets one of these. What cannot be looked at stays.
void sweep(const fs::path& folder) {
  std::error_code ignored;
  for (fs::directory_iterator entry(folder, ignored), end; entry != end; entry.increment(ignored)) {
    const fs::path& path = entry->path();
    if (!is_ours(path.filename().native())) continue;
    const descriptor left(::open(path.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
    struct ::stat found {};
    if (left.number() >= 0 && ::fstat(left.number(), &found) == 0 && S_ISREG(found.st_mode) && lock(left.number()))
      ::unlink(path.c_str());
  }
}

/// A file that did not exist before, locked as long as it is written; removed unless it has taken its place.
class temporary {
 public:
  temporary(const fs::path& folder, ::mode_t mode) {
    // A sweep may come between a file and its lock: then it is gone or held, and another is made.
    for (int tries = 0; tries < 100; ++tries) {
      path_ = folder / fresh_name();
      descriptor made(::open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode));
      if (made.number() < 0 && errno == EEXIST) continue;
      if (made.number() < 0) fail();
      const bool locked = lock(made.number());
      const bool swept = !locked && errno == EWOULDBLOCK;  // else no locks are to be had here, and none for a sweep
      struct ::stat found {};
      if (swept || (::fstat(made.number(), &found) == 0 && found.st_nlink == 0)) continue;
      file_.emplace(std::move(made));
      return;
    }
    fail(EEXIST);
  }
  ~temporary() {
    if (file_) ::unlink(path_.c_str());
  }
  temporary(const temporary&) = delete;
  temporary& operator=(const temporary&) = delete;

  int number() const { return file_->number(); }

  /// The lock goes when it has its name, and not before.
  void move_to(const fs::path& target) {
    if (::rename(path_.c_str(), target.c_str()) != 0) fail();
    file_.reset();
  }

 private:
  fs::path path_;
  std::optional<descriptor> file_;
};

/// What a path names once every link is followed, be there a file or not.
fs::path followed(const std::string& path) {
  fs::path target = fs::weakly_canonical(fs::absolute(path));
  constexpr int most_links = 40;
  std::error_code none;
  for (int links = 0; fs::is_symlink(target, none); ++links) {
    if (links == most_links) fail(ELOOP);
    target = fs::weakly_canonical(target.parent_path() / fs::read_symlink(target));
  }
  return target;
}

/// The open standard output or error that a path such as /dev/stdout names; -1 if it is neither.
int standard_stream(const struct ::stat& there) {
  for (const int stream : {STDOUT_FILENO, STDERR_FILENO}) {
    struct ::stat open {};
    if (::fstat(stream, &open) == 0 && open.st_dev == there.st_dev && open.st_ino == there.st_ino) return stream;
  }
  return -1;
}

void replace(const fs::path& target, const std::string& text, const struct ::stat* there) {
  sweep(target.parent_path());
  temporary beside(target.parent_path(), there != nullptr ? there->st_mode & permissions : 0666);
  // What is private is so from the first byte; what else the old mode allows is given where the file system knows
  // modes.
  if (there != nullptr) static_cast<void>(::fchmod(beside.number(), there->st_mode & permissions));
  write_all(beside.number(), text);
  settle(beside.number());
  beside.move_to(target);
  // The name as well; where a folder cannot be opened for that, the system does it in its own time.
  const descriptor folder(::open(target.parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (folder.number() >= 0) settle(folder.number());
}

void write(const std::string& path, const std::string& text) {
  struct ::stat there {};
  const bool exists = ::stat(path.c_str(), &there) == 0;
  if (!exists && errno != ENOENT) fail();
  if (exists) {
    // Written where it stands: anew it would begin at the start of a file that others write to as well.
    if (const int stream = standard_stream(there); stream >= 0) return write_all(stream, text);
    if (!S_ISREG(there.st_mode)) {
      descriptor device(::open(path.c_str(), O_WRONLY | O_NOCTTY | O_CLOEXEC));
      if (device.number() < 0) fail();
      write_all(device.number(), text);
      if (device.close() != 0) fail();
      return;
    }
  }
  replace(followed(path), text, exists ? &there : nullptr);
}

}  // namespace

void write_file(const std::string& path, const std::string& text, std::span<const input_file> inputs) {
  if (path.empty()) throw input_error("-o", "is empty", "a file to write");
  std::error_code ignored;
  for (const input_file& input : inputs) {
    if (fs::equivalent(path, input.path, ignored))
      throw input_error("-o", in_quotes(path) + " is what the answer is made from", "another file");
  }
  try {
    write(path, text);
  } catch (const std::system_error& e) {
    throw file_error(path, e.code().message(), "a file that can be written");
  }
}

void write_fresh_file(const std::string& path, const std::string& text) {
  const descriptor file(::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666));
  if (file.number() < 0)
    throw file_error(
        path, errno == EEXIST ? "is there already" : std::generic_category().message(errno),
        errno == EEXIST ? "a folder without it: nothing is written over" : "a folder that may be written to");
  try {
    write_all(file.number(), text);
    settle(file.number());
  } catch (const std::system_error& e) {
    ::unlink(path.c_str());
    throw file_error(path, e.code().message(), "room on the disk");
  }
}

std::string ending_of(std::string_view path) {
  std::string ending = fs::path(path).extension().string();
  for (char& c : ending) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return ending;
}

void check_promise(std::string_view path, std::initializer_list<std::string_view> endings) {
  constexpr std::array known{".csv", ".docx", ".htm", ".html", ".ics", ".jpg", ".json", ".md",
                             ".ods", ".pdf",  ".png", ".svg",  ".txt", ".xls", ".xlsx"};
  const std::string ending = ending_of(path);
  if (std::ranges::find(known, ending) == known.end() || std::ranges::find(endings, ending) != endings.end()) return;
  std::string expected;
  for (const std::string_view e : endings) expected += (expected.empty() ? "" : " or ") + std::string(e);
  throw input_error("-o", in_quotes(path) + " promises another format than is written",
                    "a name that ends with " + expected);
}

std::vector<input_file> inputs_of(const fleet& f) {
  std::vector<input_file> files = f.files;
  for (const route& r : f.routes) {
    for (const leg& l : r.legs) {
      if (!l.weather.empty()) files.push_back({l.weather.name(), {}});
    }
  }
  return files;
}

std::string written(const arguments& given, const std::string& text, std::span<const input_file> inputs) {
  const auto path = given.find("-o");
  if (!path) return text;
  write_file(*path, text, inputs);
  std::error_code unknown;
  // Where a pipe or a device was written to, its reader wants nothing but the answer.
  if (!fs::is_regular_file(*path, unknown)) return {};
  const std::size_t kilobytes = (text.size() + 999) / 1000;
  return *path + ": " + std::to_string(kilobytes) + " kB written\n";
}

}  // namespace coldgrease::tools
