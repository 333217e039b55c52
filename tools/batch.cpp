// Requests, one a line, in; answers, one a line, out, in the same order. Workers take lines themselves, so the memory
// is that of the lines and answers between the oldest one unanswered and the newest one read. POSIX: poll wakes a
// worker that waits for a line when the output fails.
#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <condition_variable>
#include <csignal>
#include <cstdio>
#include <mutex>
#include <system_error>
#include <thread>

#include "command.hpp"
#include "descriptor.hpp"
#include "progress_line.hpp"
#include "request.hpp"

namespace coldgrease::tools {

namespace {

constexpr std::size_t longest_line = 65536;
constexpr std::size_t read_ahead = 64;  // lines a worker

struct input_line {
  std::string text;
  bool too_long = false;
};

void refuse_in_batch(const std::vector<std::string>& words) {
  for (const std::string_view name : {"batch", "report", "chart", "new"}) {
    if (!words.empty() && words.front() == name) throw not_in_batch(name);
  }
  for (const std::string& word : words) {
    if (word.starts_with("-o") || word == csv_option.name || word.starts_with(root_option.name))
      throw not_in_batch(word);
  }
}

struct answer_line {
  std::string text;
  bool failed = false;
};

answer_line answer(const input_line& line, const std::optional<std::string>& root) {
  std::string id = "null";
  result r;
  try {
    if (line.too_long) throw input_error("request", "is longer than 64 kB", "a shorter line");
    const request asked = read_request(line.text);
    id = asked.id;
    refuse_in_batch(asked.args);
    r = run(asked.args, asked_by::batch, root);
  } catch (const input_error& e) {
    r = {2, {}, e.what()};
  } catch (...) {
    r = {1, {}, words_of_failure(std::current_exception())};
  }
  std::string text = R"({"id": )" + id + R"(, "exit": )" + std::to_string(r.exit);
  if (r.exit == 0) {
    while (r.output.ends_with('\n')) r.output.pop_back();
    text += R"(, "answer": )" + r.output;
  } else {
    text += R"(, "error": )" + json_text(r.error);
  }
  return {text + "}\n", r.exit != 0};
}

/// Lines of standard input, each as soon as it is there. One thread at a time.
class line_reader {
 public:
  line_reader() : in_(::fcntl(STDIN_FILENO, F_DUPFD_CLOEXEC, 3)) {
    // A request that reads /dev/stdin as a file would take lines away.
    const descriptor nothing(::open("/dev/null", O_RDONLY | O_CLOEXEC));
    failed_ = in_.number() < 0 || nothing.number() < 0 || ::dup2(nothing.number(), STDIN_FILENO) < 0 ||
              ::pipe2(wake_.data(), O_CLOEXEC) != 0;
  }
  ~line_reader() {
    for (const int end : wake_) ::close(end);
  }
  line_reader(const line_reader&) = delete;
  line_reader& operator=(const line_reader&) = delete;

  /// Without its end, and without its text if it is too long; nothing at the end of the input or after stop().
  std::optional<input_line> next() {
    input_line line;
    bool ended = false;
    while (!ended && filled()) {
      const auto from = buffer_.begin() + at_, to = buffer_.begin() + end_;
      const auto newline = std::find(from, to, '\n');
      ended = newline != to;
      at_ = newline - buffer_.begin() + ended;
      if (!line.too_long) line.text.append(from, newline);
      if (line.text.size() > longest_line + 4) {  // a byte order mark and a carriage return do not count
        line.too_long = true;
        line.text.clear();
      }
    }
    if (first_ && line.text.starts_with("\xef\xbb\xbf")) line.text.erase(0, 3);
    first_ = false;
    if (stopped_ || failed_ || (!ended && !line.too_long && line.text.empty())) return std::nullopt;
    if (line.text.ends_with('\r')) line.text.pop_back();
    line.too_long = line.too_long || line.text.size() > longest_line;
    return line;
  }

  /// From any thread: ends the wait for a line.
  void stop() const {
    const char any = 0;
    while (::write(wake_[1], &any, 1) < 0 && errno == EINTR) continue;
  }
  bool failed() const { return failed_; }

 private:
  /// Whether there are bytes to take; waits for them.
  bool filled() {
    if (at_ < end_) return true;
    if (failed_ || stopped_) return false;
    ssize_t got = 0;
    do {
      std::array<pollfd, 2> ready{pollfd{in_.number(), POLLIN, 0}, pollfd{wake_[0], POLLIN, 0}};
      got = ::poll(ready.data(), ready.size(), -1);
      stopped_ = got > 0 && ready[1].revents != 0;
      if (stopped_) return false;
      if (got > 0) got = ::read(in_.number(), buffer_.data(), buffer_.size());
    } while (got < 0 && (errno == EINTR || errno == EAGAIN));
    failed_ = got < 0;
    at_ = 0;
    end_ = std::max<std::ptrdiff_t>(got, 0);
    return end_ > 0;
  }

  descriptor in_;
  std::array<int, 2> wake_{-1, -1};
  std::array<char, 65536> buffer_{};
  std::ptrdiff_t at_ = 0, end_ = 0;
  bool first_ = true, stopped_ = false, failed_ = false;
};

/// Writes answers in the order of their numbers, each as soon as its turn has come. Any thread.
class ordered_writer {
 public:
  explicit ordered_writer(std::size_t room) : waiting_(room) {}

  /// Waits until the n-th answer has a place; false if writing failed.
  bool wait_for_place(std::size_t n) {
    std::unique_lock lock(mutex_);
    place_free_.wait(lock, [&] { return failed_ || n < turn_ + waiting_.size(); });
    return !failed_;
  }

  bool write(std::size_t n, std::string text) {
    const std::lock_guard lock(mutex_);
    waiting_[n % waiting_.size()] = std::move(text);
    if (n != turn_ || failed_) return !failed_;
    for (std::string* due = &waiting_[n % waiting_.size()]; !due->empty(); due = &waiting_[++turn_ % waiting_.size()]) {
      failed_ = failed_ || std::fwrite(due->data(), 1, due->size(), stdout) != due->size();
      *due = {};
    }
    failed_ = failed_ || std::fflush(stdout) != 0;
    line_.show(std::to_string(turn_) + " answered");
    place_free_.notify_all();
    return !failed_;
  }

  bool failed() const { return failed_; }

 private:
  std::mutex mutex_;
  std::condition_variable place_free_;
  std::vector<std::string> waiting_;  // a ring; empty: not answered yet
  std::size_t turn_ = 0;
  bool failed_ = false;
  progress_line line_{::isatty(STDOUT_FILENO) == 0, "requests"};  // answers on the same terminal show it themselves
};

result stream(const arguments& given) {
  const auto jobs = static_cast<unsigned>(given.jobs(1));
  std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is a failed write like any other
  line_reader in;
  ordered_writer out(read_ahead * jobs);
  std::mutex taking;
  std::size_t taken = 0;
  std::atomic<std::size_t> failed = 0;
  const auto work = [&] {
    while (true) {
      std::optional<input_line> line;
      std::size_t n = 0;
      {
        const std::lock_guard lock(taking);
        if (!out.wait_for_place(taken) || !(line = in.next())) return;
        n = taken++;
      }
      answer_line a = answer(*line, given.root);
      failed += a.failed;
      if (!out.write(n, std::move(a.text))) return in.stop();
    }
  };
  {
    std::vector<std::jthread> others;
    try {
      while (others.size() + 1 < jobs) others.emplace_back(work);
    } catch (const std::system_error&) {
      // No more threads to be had: fewer give the same answers.
    }
    work();
  }
  if (out.failed()) return {1, {}, "standard output: cannot be written"};
  if (in.failed()) return {1, {}, "standard input: cannot be read"};
  if (failed > 0)
    return {1, {}, "batch: " + std::to_string(failed) + " of " + std::to_string(taken) + " requests failed"};
  return {};
}

}  // namespace

command batch_command() {
  return {.name = "batch",
          .does = "one request a line in, one answer a line out",
          .positional = "",
          .positional_help = "",
          .options = {{"--jobs", "worker threads: 1 (default) to 256, all (0)"},
                      {root_option.name, "folder in which all files of requests must lie"}},
          .examples = {{R"(echo '{"id": 7, "args": ["class", "280"]}' |
    coldgrease batch)",
                        "One request and its answer"},
                       {R"(printf '%s\n' '{"args": ["class", "280"]}' '{"args": ["tables"]}' |
    coldgrease batch --jobs all)",
                        "Several, on every core"}},
          .run = nullptr,
          .whole = stream,
          .notes = R"(A request is the words of a command line; its answer is what --json prints, or
an error:
  {"id": 7, "args": ["class", "280"]}
  {"id": 7, "exit": 0, "answer": {...}}
  {"id": 7, "exit": 2, "error": "..."}
The id is a number, a text or null. A line that is no request is answered in
its place with the id null. The order is that of the input for any --jobs.
Requests read regular files alone, no pipes and no devices, and write none.
Exit is 0 if every request was answered with exit 0, 1 if one failed.)"};
}

}  // namespace coldgrease::tools
