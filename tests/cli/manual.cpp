// Manual pages and --help say the same: what one shows stands in the other, in the same words.
#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "cli/shell.hpp"

namespace {

using words = std::map<std::string, std::string>;  // what is said of an option, a positional or a command

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    lines.push_back(text.substr(begin, end - begin));
    begin = end + 1;
  }
  return lines;
}

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(' ');
  return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(' ') - first + 1);
}

/// Roff read back: letters as they were, fonts left out.
std::string plain(std::string text) {
  for (const auto& [roff, sign] : std::vector<std::pair<std::string, std::string>>{{"\\fB", ""},
                                                                                   {"\\fI", ""},
                                                                                   {"\\fR", ""},
                                                                                   {"\\&", ""},
                                                                                   {"\\-", "-"},
                                                                                   {"\\(aq", "'"},
                                                                                   {"\\(ga", "`"},
                                                                                   {"\\(ha", "^"},
                                                                                   {"\\(ti", "~"},
                                                                                   {"\\(rs", "\\"}}) {
    for (auto at = text.find(roff); at != std::string::npos; at = text.find(roff, at + sign.size()))
      text.replace(at, roff.size(), sign);
  }
  return text;
}

/// The names before a blank: "--bore TEXT ..." and "-h, --help" are "--bore" and "-h,--help".
std::string name_of(std::string term) {
  for (auto at = term.find(", "); at != std::string::npos; at = term.find(", ")) term.erase(at + 1, 1);
  return term.substr(0, term.find(' '));
}

/// The lists of --help: two blanks before a name, its words in the same line or below it.
words help_entries(const std::string& help) {
  constexpr std::size_t column = 26;
  words found;
  std::string name;
  bool in_list = false;
  for (const std::string& line : lines_of(help)) {
    if (!line.empty() && line.front() != ' ') {
      in_list = line == "Positionals:" || line == "Options:" || line == "Subcommands:";
    } else if (in_list && line.size() > 2) {
      const bool begins = line[2] != ' ';
      if (begins) name = name_of(line.substr(2));
      const bool has_words = !begins || (line.size() > column && line[column - 1] == ' ');
      if (has_words) found[name] = trimmed(found[name] + " " + trimmed(line.substr(column)));
      if (begins && !has_words) found[name];
    }
  }
  return found;
}

/// The tagged paragraphs of some sections of a page.
words page_entries(const std::string& page, const std::set<std::string>& sections) {
  words found;
  const std::vector<std::string> lines = lines_of(page);
  std::string section;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (lines[i].starts_with(".SH ")) section = lines[i].substr(4);
    if (lines[i] != ".TP" || !sections.contains(section) || i + 2 >= lines.size()) continue;
    found[name_of(plain(lines[i + 1]))] = plain(lines[i + 2]);
  }
  return found;
}

/// The command lines of the section EXAMPLES, each as it stands between .nf and .fi.
std::vector<std::string> page_examples(const std::string& page) {
  std::vector<std::string> found;
  bool in_section = false, in_line = false;
  for (const std::string& line : lines_of(page)) {
    if (line.starts_with(".SH ")) in_section = line == ".SH EXAMPLES";
    if (!in_section) continue;
    if (line == ".nf") {
      found.emplace_back();
      in_line = true;
    } else if (line == ".fi") {
      in_line = false;
    } else if (in_line) {
      found.back() += (found.back().empty() ? "" : "\n") + plain(line);
    }
  }
  return found;
}

/// Bytes of the files in a folder, behind a link none.
std::uintmax_t bytes_in(const std::filesystem::path& folder) {
  std::uintmax_t bytes = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
    if (entry.is_regular_file()) bytes += entry.file_size();
  }
  return bytes;
}

/// Runs what stands on a page, one after the other in one folder.
void check_answered(const std::vector<std::string>& examples) {
  const demo_folder folder;
  for (const std::string& line : examples) {
    INFO(line);
    const std::uintmax_t before = bytes_in(folder.path());
    const run_result r = in_shell(line, folder.path());
    CHECK(r.exit == 0);
    CHECK(r.err == "");
    CHECK((r.out != "" || bytes_in(folder.path()) > before));
  }
}

std::string indented(std::string text) {
  for (auto at = text.find('\n'); at != std::string::npos; at = text.find('\n', at + 1)) text.insert(at + 1, "  ");
  return "  " + text;
}

std::string help_of(const std::vector<std::string>& arguments) {
  const scratch_folder folder;
  const run_result r = run(COLDGREASE_TOOL, arguments, {.folder = folder.path(), .environment = {}, .stdout_to = {}});
  REQUIRE(r.exit == 0);
  return r.out;
}

std::string page_of(const std::string& name) {
  return bytes_of_file(std::filesystem::path(COLDGREASE_MANUAL) / "man1" / (name + ".1"));
}

void check_same(const words& help, const words& page) {
  for (const auto& shown : help) {
    INFO(shown.first << ": shown by --help");
    REQUIRE(page.contains(shown.first));
    CHECK(page.at(shown.first) == shown.second);
  }
  for (const auto& stands : page) {
    INFO(stands.first << ": stands on the manual page");
    CHECK(help.contains(stands.first));
  }
}

}  // namespace

TEST_CASE("law: every option of --help stands on the command's manual page in the same words, and the reverse") {
  const std::string help = help_of({"--help"});
  words commands = page_entries(page_of("coldgrease"), {"COMMANDS"}), listed;
  for (const auto& [page, does] : commands) {
    const std::string begin = "coldgrease-", end = "(1)";
    REQUIRE((page.starts_with(begin) && page.ends_with(end)));
    listed[page.substr(begin.size(), page.size() - begin.size() - end.size())] = does;
  }
  CHECK(listed.size() >= 14);
  words overview = page_entries(page_of("coldgrease"), {"OPTIONS"});
  overview.insert(listed.begin(), listed.end());
  check_same(help_entries(help), overview);

  std::size_t options = 0;
  for (const auto& command : listed) {
    const std::string& name = command.first;
    INFO(name);
    const words shown = help_entries(help_of({name, "--help"}));
    options += shown.size();
    CHECK(shown.contains("-h,--help"));
    check_same(shown, page_entries(page_of("coldgrease-" + name), {"OPTIONS"}));
  }
  CHECK(options >= 100);
}

TEST_CASE("law: the examples of every manual page are answered, and the first one ends the command's help" *
          doctest::test_suite("long")) {
  const words commands = page_entries(page_of("coldgrease"), {"COMMANDS"});
  CHECK(commands.size() >= 14);
  for (const auto& listed : commands) {
    const std::string page = listed.first.substr(0, listed.first.find('('));
    const std::string name = page.substr(page.find('-') + 1);
    INFO(page);
    const std::vector<std::string> examples = page_examples(page_of(page));
    REQUIRE(!examples.empty());
    for (const std::string& line : examples) CHECK(line.find("coldgrease " + name) != std::string::npos);
    CHECK(help_of({name, "--help"}).ends_with("\n\nExample:\n" + indented(examples.front()) + "\n"));
    check_answered(examples);
  }
  const std::vector<std::string> first_hour = page_examples(page_of("coldgrease"));
  CHECK(first_hour.size() >= 4);
  check_answered(first_hour);
}

TEST_CASE("law: the folder of manual pages holds one for each command and one for all") {
  std::set<std::string> files, expected{"coldgrease.1"};
  for (const auto& entry : std::filesystem::directory_iterator(COLDGREASE_MANUAL "/man1"))
    files.insert(entry.path().filename().string());
  for (const auto& [page, does] : page_entries(page_of("coldgrease"), {"COMMANDS"}))
    expected.insert(page.substr(0, page.find('(')) + ".1");
  CHECK(files == expected);
}

TEST_CASE("law: the readers of help and of manual pages can find a difference") {
  const words help = help_entries(
      "does things\nOptions:\n  -h,--help               show this help\n  --a-long-option-of-many-words TEXT\n"
      "                          what it does\n  --bore TEXT ...         its inner diameter: 4 mm\n\nA note --note.\n");
  CHECK(help == words{{"-h,--help", "show this help"},
                      {"--a-long-option-of-many-words", "what it does"},
                      {"--bore", "its inner diameter: 4 mm"}});
  const std::string page =
      ".SH OPTIONS\n.TP\n\\fB\\-h\\fR, \\fB\\-\\-help\\fR\nshow this help\n.TP\n\\fB\\-\\-bore\\fR \\fItext\\fR ...\n"
      "its inner diameter: 4 mm\n.SH OTHER\n.TP\n\\fB0\\fR\nzero\n";
  CHECK(page_entries(page, {"OPTIONS"}) ==
        words{{"-h,--help", "show this help"}, {"--bore", "its inner diameter: 4 mm"}});
  CHECK(page_examples(
            ".SH OTHER\n.nf\nno\n.fi\n.SH EXAMPLES\nWhat:\n.nf\na \\(rs\n  \\(aqb\\(aq\n.fi\n.nf\nc\n.fi\n.SH X\n") ==
        std::vector<std::string>{"a \\\n  'b'", "c"});
}
