// A batch answers as single commands do, in order, with any number of threads, in bounded memory, and without delay.
#include <doctest/doctest.h>
#include <poll.h>
#include <sys/stat.h>

#include <charconv>
#include <chrono>
#include <csignal>
#include <nlohmann/json.hpp>
#include <optional>

#include "cli/run.hpp"

namespace {

using nlohmann::json;

using words = std::vector<std::string>;

const words line_check{"line",     "--nlgi",   "1",      "--kv40",      "150 mm2/s", "--kv100",   "14.7 mm2/s",
                       "--length", "6 m",      "--bore", "4 mm",        "--flow",    "1 cm3/min", "--at",
                       "-15 C",    "--outlet", "15 bar", "--available", "250 bar"};

/// Command lines of all kinds, quick and slow, right and wrong.
std::vector<words> many_kinds() {
  const std::string fleet = COLDGREASE_TABLES_SOURCE "/demo/fleet.json";
  words stiff = line_check, twice = line_check, ours = line_check;
  stiff[14] = "-45 C";
  twice.insert(twice.end(), {"--at", "0 C"});
  ours.insert(ours.end(), {"--units", "us"});
  return {{"class", "280"},
          line_check,
          {"pick", fleet},
          {"class", "--label", "1/2"},
          {"class", "280", "--json"},
          {"class", "-5"},
          {"class", "280", "--bore", "4 mm"},
          {"class", "280", "290"},
          {"class", "--label"},
          {"class", "280", "--json=1"},
          {"class", "--", "280"},
          {"class", "--scale=half", "140"},
          {"class", ""},
          {"class", "batch"},
          {},
          {""},
          {"pcik", fleet},
          {"--bogus"},
          stiff,
          twice,
          ours,
          {"line", fleet, "--installation", "dolly", "--grease", "Synthetic 2", "--at", "-10 C"},
          {"line", fleet, "--installation", "none", "--grease", "Synthetic 2", "--at", "-10 C"},
          {"curve", "--nlgi", "1", "--kv40", "150 mm2/s", "--kv100", "14.7 mm2/s", "--at", "-20 C"},
          {"curve", "--nlgi", "1", "--kv40", "150", "--kv100", "14.7 mm2/s", "--at", "-20 C"},
          {"oil", "--kv40", "150 mm2/s", "--kv100", "14.7 mm2/s", "--at", "-15 C", "--at", "5 F"},
          {"fit", COLDGREASE_TABLES_SOURCE "/demo/synthetic_1_points.csv", "--kind", "capillary"},
          {"climate", COLDGREASE_TABLES_SOURCE "/demo/new_york.csv"},
          {"climate", COLDGREASE_TABLES_SOURCE "/demo/fleet.json"},
          {"pick", "nowhere.json"},
          {"pick"},
          {"starve", "--dry", "one", "--level", "stands"},
          {"tables", "--units", "metric"},
          {"tables"},
          {"class", "\xc3\xa9\xe2\x82\xac\t\x7f"}};
}

run_result batch(const std::string& requests, const std::string& jobs) {
  const scratch_folder folder;
  write_file(folder.path() / "requests", requests);
  run_options options;
  options.folder = folder.path();
  options.stdin_from = "requests";
  return run(COLDGREASE_TOOL, {"batch", "--jobs", jobs}, options);
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  for (std::size_t begin = 0, end = 0; (end = text.find('\n', begin)) != std::string::npos; begin = end + 1)
    lines.push_back(text.substr(begin, end - begin));
  return lines;
}

/// A running batch that is asked and answers through pipes.
class conversation {
 public:
  /// @param tables  a folder to take the data tables from instead of its own
  explicit conversation(const std::string& jobs, const std::string& tables = {}) {
    int in[2], out[2], err[2];
    if (::pipe2(in, O_CLOEXEC) != 0 || ::pipe2(out, O_CLOEXEC) != 0 || ::pipe2(err, O_CLOEXEC) != 0)
      throw std::runtime_error("cannot make a pipe");
    child_ = ::fork();
    if (child_ < 0) throw std::runtime_error("cannot fork");
    if (child_ == 0) {
      ::dup2(in[0], 0);
      ::dup2(out[1], 1);
      ::dup2(err[1], 2);
      if (!tables.empty()) ::setenv("COLDGREASE_TABLES", tables.c_str(), 1);
      ::execl(COLDGREASE_TOOL, COLDGREASE_TOOL, "batch", "--jobs", jobs.c_str(), static_cast<char*>(nullptr));
      ::_exit(127);
    }
    for (const int end : {in[0], out[1], err[1]}) ::close(end);
    to_ = in[1];
    from_ = out[0];
    errors_ = err[0];
  }
  ~conversation() {
    for (const int end : {to_, from_, errors_}) {
      if (end >= 0) ::close(end);
    }
    if (child_ > 0) {
      ::kill(child_, SIGKILL);
      ::waitpid(child_, nullptr, 0);
    }
  }
  conversation(const conversation&) = delete;
  conversation& operator=(const conversation&) = delete;

  void say(std::string_view text) const {
    while (!text.empty()) {
      const ssize_t said = ::write(to_, text.data(), text.size());
      if (said < 0) throw std::runtime_error("the batch does not listen");
      text.remove_prefix(static_cast<std::size_t>(said));
    }
  }

  /// As much of a text as is taken without an answer being read.
  std::size_t say_while_it_listens(std::string_view text) const {
    const std::size_t all = text.size();
    ::fcntl(to_, F_SETFL, O_NONBLOCK);
    for (pollfd ready{to_, POLLOUT, 0}; !text.empty() && ::poll(&ready, 1, 1000) == 1;) {
      const ssize_t said = ::write(to_, text.data(), text.size());
      if (said > 0) text.remove_prefix(static_cast<std::size_t>(said));
    }
    return all - text.size();
  }

  /// The next answer; nothing if none comes in a time that is long for any machine.
  std::optional<std::string> answer() { return line_from(from_); }
  bool has_answered() const {
    pollfd ready{from_, POLLIN, 0};
    return ::poll(&ready, 1, 0) == 1;
  }
  std::optional<std::string> error() { return line_from(errors_); }

  void close_input() { ::close(std::exchange(to_, -1)); }
  void close_output() { ::close(std::exchange(from_, -1)); }

  /// The exit code; nothing if it does not end.
  std::optional<int> end() {
    for (int waited = 0; waited < patience; waited += 5) {
      int status = 0;
      if (::waitpid(child_, &status, WNOHANG) == child_) {
        child_ = -1;
        return WIFEXITED(status) ? std::optional(WEXITSTATUS(status)) : std::nullopt;
      }
      ::poll(nullptr, 0, 5);
    }
    return std::nullopt;
  }

  /// The most memory that it has held, from the system's books [kB]; 0 if they do not say.
  int most_memory() const {
    for (const std::string& line : lines_of(bytes_of_file("/proc/" + std::to_string(child_) + "/status"))) {
      if (!line.starts_with("VmHWM:")) continue;
      int kilobytes = 0;
      const auto digit = line.find_first_of("0123456789");
      std::from_chars(line.data() + digit, line.data() + line.size(), kilobytes);
      return kilobytes;
    }
    return 0;
  }

 private:
  static constexpr int patience = 60000;  // [ms]

  std::optional<std::string> line_from(int file) {
    std::string& read = file == from_ ? answers_ : complaints_;
    while (true) {
      if (const auto end = read.find('\n'); end != std::string::npos) {
        std::string line = read.substr(0, end);
        read.erase(0, end + 1);
        return line;
      }
      pollfd ready{file, POLLIN, 0};
      if (::poll(&ready, 1, patience) != 1) return std::nullopt;
      char block[65536];
      const ssize_t got = ::read(file, block, sizeof block);
      if (got <= 0) return std::nullopt;
      read.append(block, static_cast<std::size_t>(got));
    }
  }

  pid_t child_ = -1;
  int to_ = -1, from_ = -1, errors_ = -1;
  std::string answers_, complaints_;
};

const std::string class_request = R"({"id": 1, "args": ["class", "280"]})"
                                  "\n";

}  // namespace

TEST_SUITE_BEGIN("batch");

TEST_CASE("law: a batch answers as the single commands do, to the byte") {
  std::string requests, expected;
  int failed = 0, id = 0;
  const scratch_folder folder;
  for (const words& asked : many_kinds()) {
    requests += json{{"id", ++id}, {"args", asked}}.dump() + "\n";
    words alone = asked;
    // A word after "--" would be no option.
    if (!alone.empty() && !alone.front().starts_with('-') && !alone.front().empty())
      alone.insert(alone.begin() + 1, "--json");
    run_options options;
    options.folder = folder.path();
    const run_result r = run(COLDGREASE_TOOL, alone, options);
    failed += r.exit != 0;
    expected += R"({"id": )" + std::to_string(id) + R"(, "exit": )" + std::to_string(r.exit);
    expected +=
        r.exit == 0 ? R"(, "answer": )" + lines_of(r.out).at(0) : R"(, "error": )" + json(lines_of(r.err).at(0)).dump();
    expected += "}\n";
  }
  CHECK(failed > 10);
  CHECK(id - failed > 10);
  for (const char* jobs : {"1", "3"}) {
    const run_result r = batch(requests, jobs);
    CHECK(r.exit == 1);
    const auto answers = lines_of(r.out), wanted = lines_of(expected);
    REQUIRE(answers.size() == wanted.size());
    for (std::size_t i = 0; i < wanted.size(); ++i) CHECK(answers[i] == wanted[i]);
  }
}

TEST_CASE("law: the same bytes, in the order of the requests, for any number of threads" *
          doctest::test_suite("long")) {
  const auto kinds = many_kinds();
  std::string requests;
  std::size_t count = 0;
  for (; count < 1000; ++count) {
    words asked = kinds[count * 7 % kinds.size()];
    if (!asked.empty() && asked.front() == "pick" && count > 300) asked = line_check;  // the slow one, a few times
    requests += json{{"id", count}, {"args", asked}}.dump() + "\n";
    if (count % 100 == 0) requests += "no request\n";
  }
  const run_result one = batch(requests, "1");
  std::size_t next = 0;
  for (const std::string& line : lines_of(one.out)) {
    const json answer = json::parse(line);
    if (answer.at("id").is_null()) continue;
    CHECK(answer.at("id") == next++);
  }
  CHECK(next == count);
  for (const char* jobs : {"2", "7", "256", "0"}) {
    const run_result r = batch(requests, jobs);
    CHECK(r.exit == one.exit);
    CHECK(r.err == one.err);
    CHECK((r.out == one.out));
  }
}

TEST_CASE("law: exit 0 if every request was answered with 0, 1 if one was not") {
  CHECK(batch(class_request + class_request, "2").exit == 0);
  CHECK(batch(class_request + "{}\n" + class_request, "2").exit == 1);
  CHECK(batch("", "2").exit == 0);
}

TEST_CASE("law: an answer comes before the next request is asked") {
  for (const char* jobs : {"1", "7"}) {
    conversation talk(jobs);
    for (int i = 0; i < 50; ++i) {
      talk.say(R"({"id": )" + std::to_string(i) + R"(, "args": ["class", "280"]})" + "\n");
      const auto answer = talk.answer();
      REQUIRE(answer);
      CHECK(json::parse(*answer).at("id") == i);
    }
    talk.say(R"({"id": "la)");
    talk.say(R"(st", "args": ["class", "280"]})");
    talk.close_input();
    const auto last = talk.answer();
    REQUIRE(last);
    CHECK(json::parse(*last).at("id") == "last");
    CHECK(talk.end() == 0);
  }
}

TEST_CASE("law: a quick answer does not wait for the slow ones behind it") {
  conversation talk("2");
  const std::string slow = json{{"args", {"pick", COLDGREASE_TABLES_SOURCE "/demo/fleet.json"}}}.dump() + "\n";
  std::string requests = class_request;
  for (int i = 0; i < 10; ++i) requests += slow;
  const auto start = std::chrono::steady_clock::now();
  talk.say(requests);
  REQUIRE(talk.answer());
  const auto first = std::chrono::steady_clock::now() - start;
  for (int i = 0; i < 10; ++i) REQUIRE(talk.answer());
  CHECK((first < (std::chrono::steady_clock::now() - start) / 2));
}

// Long, so not under a sanitizer, which keeps what is freed.
TEST_CASE("law: memory does not grow with the requests, nor with a line that has no end" *
          doctest::test_suite("long")) {
  conversation talk("4");
  int asked = 0;
  const auto ask_until = [&](int count) {
    std::string hundred;
    for (int i = 0; i < 100; ++i) hundred += class_request;
    for (; asked < count; asked += 100) {
      talk.say(hundred);
      for (int i = 0; i < 100; ++i) REQUIRE(talk.answer());
    }
    return talk.most_memory();
  };
  const int few = ask_until(10000);
  const int many = ask_until(200000);
  const std::string piece(1 << 16, 'a');
  for (int i = 0; i < 800; ++i) talk.say(piece);  // 50 MB
  talk.say("\n" + class_request);
  const auto refused = talk.answer();
  REQUIRE(refused);
  CHECK(refused->find("longer than 64 kB") != std::string::npos);
  const auto answered = talk.answer();
  REQUIRE(answered);
  CHECK(json::parse(*answered).at("exit") == 0);
  const int after_the_line = talk.most_memory();
  MESSAGE("most memory: " << few << " kB after 10,000 requests, " << many << " kB after 200,000, " << after_the_line
                          << " kB after a line of 50 MB");
  REQUIRE(few > 0);
  CHECK(many - few < 4000);
  CHECK(after_the_line - few < 4000);
}

TEST_CASE("law: a slow request and a slow reader hold the batch back, so that it keeps little") {
  const scratch_folder folder;
  const std::string slow = (folder.path() / "compatibility.json").string();
  REQUIRE(::mkfifo(slow.c_str(), 0600) == 0);
  std::string requests;
  while (requests.size() < 8'000'000) requests += class_request;
  for (const bool first_is_slow : {true, false}) {
    conversation talk("2", folder.path().string());
    // A table that nobody writes yet, which who started the batch chose: a request for it ends when it is opened.
    if (first_is_slow) talk.say(json{{"id", "slow"}, {"args", words{"tables"}}}.dump() + "\n");
    const std::size_t taken = talk.say_while_it_listens(requests);
    MESSAGE("taken before the first answer was: " << taken << " bytes");
    CHECK(taken > 0);
    CHECK(taken < 1'000'000);  // pipes, buffers and what may be read ahead
    CHECK(talk.has_answered() != first_is_slow);
    if (first_is_slow) {
      ::close(::open(slow.c_str(), O_WRONLY | O_CLOEXEC));
      CHECK(talk.answer().value_or("").starts_with(R"({"id": "slow", "exit": 1, "error": )"));
    }
    std::size_t answers = 0;
    for (std::size_t i = 0; i < taken / class_request.size(); ++i)
      answers += talk.answer().value_or("").starts_with(R"({"id": 1, "exit": 0, )");
    CHECK(answers == taken / class_request.size());
  }
}

TEST_CASE("law: a request for the batch's own input, a pipe or a device is refused at once and takes nothing away") {
  const scratch_folder folder;
  const std::string pipe = (folder.path() / "pipe").string();
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  std::vector<words> asked{{"climate", pipe},
                           {"pick", pipe},
                           {"learn", COLDGREASE_TABLES_SOURCE "/demo/fleet.json", pipe},
                           {"compare", COLDGREASE_TABLES_SOURCE "/demo/fleet.json", "--offers", pipe},
                           {"fit", pipe, "--kind", "capillary"},
                           {"curve", "--capillary", pipe, "--at", "-20 C"},
                           {"curve", "--greases", pipe, "--grease", "x", "--at", "-20 C"},
                           {"climate", "/dev/zero"},
                           {"climate", "/dev/tty"},
                           {"climate", "/dev/stdin"}};
  for (int file = 0; file < 10; ++file) asked.push_back({"climate", "/proc/self/fd/" + std::to_string(file)});
  std::size_t refused_by_type = 0;
  for (const char* jobs : {"1", "3"}) {
    conversation talk(jobs);
    std::string requests;
    for (const words& w : asked) requests += json{{"id", "refused"}, {"args", w}}.dump() + "\n" + class_request;
    talk.say(requests);
    for (const words& w : asked) {
      CAPTURE(w.front());
      CAPTURE(w.back());
      const auto refused = talk.answer();
      REQUIRE(refused);
      const json answer = json::parse(*refused);
      CHECK(answer.at("id") == "refused");
      CHECK(answer.at("exit") == 1);
      refused_by_type +=
          answer.at("error").get<std::string>().find("is a pipe, a socket or a device") != std::string::npos;
      const auto neighbour = talk.answer();
      REQUIRE(neighbour);
      CHECK(json::parse(*neighbour).at("exit") == 0);
    }
    talk.close_input();
    CHECK(talk.end() == 1);
  }
  // All of the first list, and of the numbers standard input, output, error and the batch's own copy of its input.
  CHECK(refused_by_type >= 2 * (10 + 4));
}

TEST_CASE("case: a closed output ends a batch at once, though more could be asked") {
  for (const char* jobs : {"1", "7"}) {
    conversation talk(jobs);
    talk.say(class_request);
    REQUIRE(talk.answer());
    talk.close_output();
    talk.say(class_request);
    const auto said = talk.error();
    REQUIRE(said);
    CHECK(*said == "standard output: cannot be written");
    CHECK(talk.end() == 1);
  }
}

TEST_CASE("case: an input that cannot be read is said") {
  run_options options;
  const scratch_folder folder;
  options.folder = folder.path();
  options.stdin_from = ".";
  const run_result r = run(COLDGREASE_TOOL, {"batch"}, options);
  CHECK(r.exit == 1);
  CHECK(r.out == "");
  CHECK(r.err == "standard input: cannot be read\n");
}

TEST_SUITE_END();
