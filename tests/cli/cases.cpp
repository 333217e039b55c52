// Runs every case of *.case against the command. A case:
//
//   === what it shows                     begins a case; '#' begins a comment line
//   file fleet.json                       makes a file, of the lines that follow
//   | {"greases": []}                       a line of it
//   * 5000 [                                a text so many times, without a newline
//   x ff fe 64 00                           bytes
//   stdin                                 the lines that follow are standard input
//   folder f                              makes a folder
//   pipe p                                makes a pipe that nobody writes to
//   env NAME=VALUE
//   args pick "fleet.json" --json         the words after the command's name; quotes hold blanks, {demo} is tables/demo
//   stdout-to /dev/full                   instead of catching it
//   exit 1                                0 if not said
//   stdout TEXT   stderr TEXT             must stand in it
//   says TEXT                             must stand in standard output, wherever its lines are broken
//   lines N   line N TEXT                 standard output has N lines; its N-th begins with TEXT
//   stdout! TEXT   stderr! TEXT           must not
//   stdout~ REGEX stderr~ REGEX           must match somewhere
//   json /pointer VALUE [~ REL]           in the JSON answer; numbers to 1e-9 or REL
//   keys /pointer a b c                   the object there has at least these
//   written FILE TEXT                     the file that it wrote begins with TEXT
//   files a b c                           afterwards its folder holds these and no others; names within folders too
//
// Checked of every case beside what it says. Failing: exit 1 or 2, nothing on standard output, exactly one line on
// standard error; of a batch one JSON object a line may stand on standard output, of `check` what is wrong. Passing:
// nothing on standard error; with -o nothing; with --json one JSON object on one line without NaN or infinity; else no
// line of more than 80 columns, unless it is markup (which begins with '<').
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <regex>

#include "cli/run.hpp"
#include "near.hpp"

namespace {

struct expectation {
  std::string kind;
  std::string text;
};

struct cli_case {
  std::string name;
  int line = 0;
  std::vector<std::pair<std::string, std::string>> files;
  std::vector<std::string> folders, pipes;
  std::vector<std::string> args;
  run_options options;
  int exit = 0;
  std::vector<expectation> expected;
  bool ran = false;
};

std::vector<std::string> split_words(const std::string& text) {
  std::vector<std::string> words;
  std::size_t i = 0;
  while (i < text.size()) {
    if (text[i] == ' ') {
      ++i;
    } else if (text[i] == '"') {
      const auto close = text.find('"', i + 1);
      if (close == std::string::npos) throw std::runtime_error("a quote is not closed");
      words.push_back(text.substr(i + 1, close - i - 1));
      i = close + 1;
    } else {
      const auto end = std::min(text.find(' ', i), text.size());
      words.push_back(text.substr(i, end - i));
      i = end;
    }
  }
  return words;
}

std::string with_demo(std::string text) {
  for (auto at = text.find("{demo}"); at != std::string::npos; at = text.find("{demo}"))
    text.replace(at, 6, COLDGREASE_TABLES_SOURCE "/demo");
  return text;
}

int whole_number(const std::string& text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size()) throw std::runtime_error(text + " is no whole number");
  return value;
}

std::string bytes_from_hex(const std::string& text) {
  std::string bytes;
  for (const std::string& word : split_words(text)) {
    unsigned value = 0;
    std::from_chars(word.data(), word.data() + word.size(), value, 16);
    bytes += static_cast<char>(value);
  }
  return bytes;
}

std::vector<cli_case> cases_of(const std::filesystem::path& path) {
  std::vector<cli_case> cases;
  std::ifstream in(path);
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    if (line.empty() || line.front() == '#') continue;
    const auto cut = std::min(line.find(' '), line.size());
    const std::string word = line.substr(0, cut), rest = cut < line.size() ? line.substr(cut + 1) : "";
    if (word == "===") {
      cases.push_back({});
      cases.back().name = rest;
      cases.back().line = number;
      continue;
    }
    if (cases.empty()) throw std::runtime_error("no case begins before line " + std::to_string(number));
    cli_case& c = cases.back();
    if (word == "file") {
      c.files.emplace_back(rest, "");
    } else if (word == "|") {
      c.files.back().second += rest + "\n";
    } else if (word == "*") {
      const auto blank = rest.find(' ');
      for (int i = whole_number(rest.substr(0, blank)); i > 0; --i) c.files.back().second += rest.substr(blank + 1);
    } else if (word == "x") {
      c.files.back().second += bytes_from_hex(rest);
    } else if (word == "stdin") {
      c.files.emplace_back("standard input", "");
      c.options.stdin_from = c.files.back().first;
    } else if (word == "folder") {
      c.folders.push_back(rest);
    } else if (word == "pipe") {
      c.pipes.push_back(rest);
    } else if (word == "env") {
      c.options.environment.emplace_back(rest.substr(0, rest.find('=')), rest.substr(rest.find('=') + 1));
    } else if (word == "args") {
      c.args = split_words(with_demo(rest));
      c.ran = true;
    } else if (word == "stdout-to") {
      c.options.stdout_to = rest;
    } else if (word == "exit") {
      c.exit = whole_number(rest);
    } else if (word == "stdout" || word == "stdout!" || word == "stdout~" || word == "stderr" || word == "stderr!" ||
               word == "stderr~" || word == "says" || word == "lines" || word == "line" || word == "json" ||
               word == "keys" || word == "written" || word == "files") {
      c.expected.push_back({word, with_demo(rest)});
    } else {
      throw std::runtime_error(fmt::format("line {}: unknown word {}", number, word));
    }
  }
  return cases;
}

std::size_t widest(const std::string& text) {
  std::size_t most = 0, n = 0;
  for (const char c : text) {
    n = c == '\n' ? 0 : n + ((static_cast<unsigned char>(c) & 0xc0U) != 0x80U);
    most = std::max(most, n);
  }
  return most;
}

bool equal(const nlohmann::json& a, const nlohmann::json& b, double relative) {
  if (a.is_number() && b.is_number()) return near(a.get<double>(), b.get<double>(), relative, relative * 1e-6);
  return a == b;
}

/// What is wrong with an expectation; empty if it holds.
/// Every run of blanks and line ends as one blank. By hand: a regular expression recurses over the whole text.
std::string unwrapped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\n';
    if (!blank) {
      out += c;
    } else if (out.empty() || out.back() != ' ') {
      out += ' ';
    }
  }
  return out;
}

std::string fault_of(const expectation& e, const run_result& r) {
  const auto shown = [](const std::string& text) { return text.size() > 600 ? text.substr(0, 600) + "..." : text; };
  const std::string& text = e.kind.starts_with("stderr") ? r.err : r.out;
  if (e.kind == "stdout" || e.kind == "stderr")
    return text.find(e.text) != std::string::npos ? "" : fmt::format("no \"{}\" in: {}", e.text, shown(text));
  if (e.kind == "lines")
    return std::ranges::count(text, '\n') == whole_number(e.text)
               ? ""
               : fmt::format("not {} lines: {}", e.text, shown(text));
  if (e.kind == "line") {
    const auto number = whole_number(e.text.substr(0, e.text.find(' ')));
    std::size_t begin = 0;
    for (int n = 1; n < number && begin != std::string::npos; ++n) {
      begin = text.find('\n', begin);
      if (begin != std::string::npos) ++begin;
    }
    const bool found =
        begin != std::string::npos && text.substr(begin).starts_with(e.text.substr(e.text.find(' ') + 1));
    return found ? "" : fmt::format("no line {} in: {}", e.text, shown(text));
  }
  if (e.kind == "says")
    return unwrapped(text).find(unwrapped(e.text)) != std::string::npos
               ? ""
               : fmt::format("nowhere \"{}\" in: {}", e.text, shown(text));
  if (e.kind == "stdout!" || e.kind == "stderr!")
    return text.find(e.text) == std::string::npos ? "" : fmt::format("holds \"{}\"", e.text);
  if (e.kind == "stdout~" || e.kind == "stderr~")
    return std::regex_search(text, std::regex(e.text)) ? "" : fmt::format("no match of {} in: {}", e.text, shown(text));

  const auto cut = e.text.find(' ');
  const std::string pointer = e.text.substr(0, cut), rest = e.text.substr(cut + 1);
  const nlohmann::json answer = nlohmann::json::parse(r.out);
  const nlohmann::json::json_pointer at(pointer == "/" ? "" : pointer);
  if (!answer.contains(at)) return fmt::format("no {} in: {}", pointer, shown(r.out));
  const nlohmann::json& found = answer.at(at);
  if (e.kind == "keys") {
    for (const std::string& key : split_words(rest)) {
      if (!found.contains(key)) return fmt::format("{} has no \"{}\"", pointer, key);
    }
    return "";
  }
  const auto tilde = rest.find(" ~ ");
  const double relative =
      tilde == std::string::npos ? 1e-9 : nlohmann::json::parse(rest.substr(tilde + 3)).get<double>();
  const nlohmann::json wanted = nlohmann::json::parse(rest.substr(0, tilde));
  return equal(found, wanted, relative) ? "" : fmt::format("{} is {}, expected {}", pointer, found.dump(), rest);
}

/// The same of what a case left in its folder.
std::string folder_fault(const expectation& e, const std::filesystem::path& folder) {
  if (e.kind == "written") {
    const auto blank = std::min(e.text.find(' '), e.text.size());
    const std::string name = e.text.substr(0, blank), bytes = bytes_of_file(folder / name);
    if (!std::filesystem::is_regular_file(folder / name)) return fmt::format("no file {}", name);
    const bool begins = blank < e.text.size() && bytes.starts_with(e.text.substr(blank + 1));
    return begins ? "" : fmt::format("{} begins: {}", name, bytes.substr(0, 200));
  }
  std::vector<std::string> found, wanted = split_words(e.text);
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
    found.push_back(std::filesystem::relative(entry.path(), folder).generic_string());
  std::ranges::sort(found);
  std::ranges::sort(wanted);
  return found == wanted ? "" : fmt::format("the folder holds: {}", fmt::join(found, " "));
}

bool json_lines(const std::string& text) {
  std::size_t begin = 0;
  for (auto end = text.find('\n'); end != std::string::npos; end = text.find('\n', begin = end + 1)) {
    if (!nlohmann::json::parse(text.substr(begin, end - begin), nullptr, false).is_object()) return false;
  }
  return begin == text.size();
}

void check_form(const cli_case& c, const run_result& r) {
  CHECK(r.signal == 0);
  CHECK_MESSAGE(r.exit == c.exit, r.err);
  const bool answers = r.exit != 2 && !c.args.empty() && c.args.front() == "batch" &&
                       std::ranges::find(c.args, "--help") == c.args.end();
  if (answers) CHECK_MESSAGE(json_lines(r.out), r.out);
  if (r.exit != 0) {
    CHECK((r.exit == 1 || r.exit == 2));
    const bool proofread = r.exit == 1 && c.args.front() == "check";
    if (!answers && !proofread) CHECK(r.out == "");
    CHECK_MESSAGE((std::ranges::count(r.err, '\n') == 1 && r.err.size() > 1 && r.err.back() == '\n'), r.err);
    return;
  }
  CHECK(r.err == "");
  if (answers) return;
  if (std::ranges::find(c.args, "-o") != c.args.end()) {
    CHECK_MESSAGE((std::ranges::count(r.out, '\n') == 1 && r.out.ends_with(" kB written\n")), r.out);
  } else if (std::ranges::find(c.args, "--csv") != c.args.end()) {
    CHECK_MESSAGE(std::ranges::count(r.out, '\n') > 1, r.out);
  } else if (std::ranges::find(c.args, "--json") != c.args.end()) {
    CHECK(std::ranges::count(r.out, '\n') == 1);
    const auto answer = nlohmann::json::parse(r.out, nullptr, false);  // refuses NaN and infinity
    CHECK(answer.is_object());
  } else if (!r.out.starts_with('<')) {
    CHECK_MESSAGE(widest(r.out) <= 80, r.out);
  }
}

/// Runs the cases of a file; returns how many.
int check_cases_of(const std::filesystem::path& path) {
  int count = 0;
  for (const cli_case& c : cases_of(path)) {
    const std::string place = fmt::format("{}:{}: {}", path.filename().string(), c.line, c.name);
    INFO(place);
    REQUIRE(c.ran);
    ++count;
    const scratch_folder folder;
    for (const auto& [name, bytes] : c.files) write_file(folder.path() / name, bytes);
    for (const std::string& name : c.folders) std::filesystem::create_directories(folder.path() / name);
    for (const std::string& name : c.pipes) REQUIRE(::mkfifo((folder.path() / name).c_str(), 0600) == 0);
    run_options options = c.options;
    options.folder = folder.path();
    const run_result r = run(COLDGREASE_TOOL, c.args, options);
    check_form(c, r);
    for (const expectation& e : c.expected) {
      const bool of_folder = e.kind == "written" || e.kind == "files";
      CHECK((of_folder ? folder_fault(e, folder.path()) : fault_of(e, r)) == "");
    }
  }
  return count;
}

}  // namespace

TEST_CASE("case: the command, as every *.case says") {
  int files = 0, count = 0;
  for (const char* folder : {COLDGREASE_TEST_DATA "/cli", COLDGREASE_TEST_DATA "/cases"}) {
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
      if (entry.path().extension() != ".case" || entry.path().stem() == "batch") continue;
      ++files;
      count += check_cases_of(entry.path());
    }
  }
  CHECK(files >= 8);
  CHECK(count >= 150);
}

TEST_CASE("case: a batch, as batch.case says" * doctest::test_suite("batch")) {
  CHECK(check_cases_of(COLDGREASE_TEST_DATA "/cli/batch.case") >= 20);
}

TEST_CASE("law: the reader of cases and its checks can fail") {
  CHECK(split_words(R"(a "b c"  d "" e)") == std::vector<std::string>{"a", "b c", "d", "", "e"});
  CHECK_THROWS(split_words("a \"b"));
  CHECK(bytes_from_hex("ff 00 41") == std::string("\xff\0A", 3));
  CHECK(json_lines(""));
  CHECK(json_lines("{}\n{\"a\": 1}\n"));
  CHECK_FALSE(json_lines("{}\n{\"a\": 1}"));
  CHECK_FALSE(json_lines("{}\n\n"));
  CHECK_FALSE(json_lines("{}\n1\n"));
  CHECK_FALSE(json_lines("{\"a\": NaN}\n"));
  CHECK(widest("a\n\xc3\xa9\xc3\xa9\xc3\xa9\nbb") == 3);
  run_result r;
  r.exit = 0;
  r.out = R"({"a": 1.0000000001, "b": null, "c": {"d": "x"}})";
  CHECK(fault_of({"json", "/a 1"}, r) == "");
  CHECK(fault_of({"json", "/a 2"}, r) != "");
  CHECK(fault_of({"json", "/a 1.01 ~ 0.02"}, r) == "");
  CHECK(fault_of({"json", "/b null"}, r) == "");
  CHECK(fault_of({"json", "/b 0"}, r) != "");
  CHECK(fault_of({"json", "/e null"}, r) != "");
  CHECK(fault_of({"keys", "/ a b c"}, r) == "");
  CHECK(fault_of({"keys", "/c d e"}, r) != "");
  CHECK(fault_of({"stdout", "null"}, r) == "");
  CHECK(fault_of({"stdout!", "null"}, r) != "");
  CHECK(fault_of({"stderr!", "null"}, r) == "");
  CHECK(fault_of({"says", "\"b\":   null"}, r) == "");
  r.out = "a 1\nb 2\n";
  CHECK(fault_of({"lines", "2"}, r) == "");
  CHECK(fault_of({"lines", "3"}, r) != "");
  CHECK(fault_of({"line", "2 b"}, r) == "");
  CHECK(fault_of({"line", "2 a"}, r) != "");
  CHECK(fault_of({"line", "4 a"}, r) != "");
  r.out = R"({"a": 1.0000000001, "b": null, "c": {"d": "x"}})";
  CHECK(fault_of({"says", "\"b\": zero"}, r) != "");
  CHECK(fault_of({"stdout~", "\"a\": [0-9]"}, r) == "");
  CHECK(fault_of({"stdout~", "\"a\": [a-z]"}, r) != "");
  const scratch_folder folder;
  write_file(folder.path() / "f/a", "<svg x");
  CHECK(folder_fault({"written", "f/a <svg x"}, folder.path()) == "");
  CHECK(folder_fault({"written", "f/a <svg y"}, folder.path()) != "");
  CHECK(folder_fault({"written", "f/b <svg"}, folder.path()) != "");
  CHECK(folder_fault({"written", "f/a"}, folder.path()) != "");
  CHECK(folder_fault({"files", "f/a f"}, folder.path()) == "");
  CHECK(folder_fault({"files", "f"}, folder.path()) != "");
}
