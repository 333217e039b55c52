// A subcommand as data: its words, and the function that answers.
#pragma once

#include <exception>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/ranges.hpp"
#include "coldgrease/base/source.hpp"
#include "coldgrease/base/words.hpp"
#include "coldgrease/report/text.hpp"

namespace coldgrease::tools {

/// What a user wrote after a subcommand; values are text until the library reads them.
class arguments {
 public:
  struct mention {
    std::string option;  // "--bore"
    std::string value;
  };

  std::optional<std::string> positional{};
  std::optional<std::string> second{};
  std::vector<mention> mentions{};  // in the order written
  bool json = false;
  bool in_batch = false;
  std::optional<std::string> root{};  // below which what a file names must lie; in a batch all files of a request
  unit_system units = unit_system::si;

  std::optional<std::string> find(std::string_view option) const;
  std::vector<std::string> all(std::string_view option) const;
  /// The value of an option that must be there. @throws input_error
  std::string need(std::string_view option) const;

  template <class Quantity>
  std::optional<Quantity> quantity(std::string_view option, measure m) const {
    const auto text = find(option);
    return text ? std::optional(parse<Quantity>(*text, option, m)) : std::nullopt;
  }
  /// The value that an option's word stands for, `otherwise` where it is not given.
  template <worded Enum>
  Enum word(std::string_view option, Enum otherwise) const {
    const auto text = find(option);
    return text ? parse_word<Enum>(*text, option) : otherwise;
  }
  std::optional<double> number(std::string_view option) const;
  std::optional<int> whole_number(std::string_view option) const;
  /// A file that the words name. A request of a batch may be anybody's: it reads no pipe and nothing outside the root.
  source file(const std::string& name) const;
  /// --csv. @throws input_error beside --json
  bool csv() const;
  /// --confidence, 0.55 to 0.99.
  std::optional<double> confidence() const;
  /// --jobs, 1 to 256 threads; all or 0: one a core. @param otherwise  taken where it is not given
  int jobs(int otherwise) const;
};

struct option {
  std::string_view name;  // "--bore"
  std::string_view help;
  bool repeats = false;
  bool flag = false;  // stands alone
};

// What stands beside a command's own options.
inline constexpr std::string_view about =
    "which grease reaches the last point of an automatic grease system\non the coldest morning";
inline constexpr option help_option{"-h,--help", "show this help", false, true};
inline constexpr option version_option{"--version", "show the version", false, true};
inline constexpr option units_option{"--units", "si or us, for the text (JSON is always SI)"};
inline constexpr option ignore_readings{"--ignore-readings", "answer without the fleet's readings", false, true};
inline constexpr option root_option{"--root", "folder in which what the fleet file names must lie"};
inline constexpr option csv_option{"--csv", "answer as one table for a spreadsheet", false, true};
inline constexpr option jobs_option{"--jobs", "threads, 1 to 256, or all (0, default): one a core"};
inline constexpr option json_option{"--json", "answer as JSON", false, true};

/// What a command line comes to. Output and error are texts, so that a caller can place them.
struct result {
  int exit = 0;  // 0 answered, 1 a file was refused, 2 wrong usage
  std::string output{};
  std::string error{};
};

/// A command line as a shell takes it, with the files of the demo, and what it shows.
struct example {
  std::string_view line;
  std::string_view shows;
};

struct command {
  std::string_view name;
  std::string_view does;
  std::string_view positional;  // empty: takes none
  std::string_view positional_help;
  bool positional_needed = false;
  std::vector<option> options;
  std::vector<example> examples;                // at least one: the first ends the help, the manual page has them all
  std::string (*run)(const arguments&);         // the text for standard output
  result (*whole)(const arguments&) = nullptr;  // in its place: with an exit of its own, or what it printed itself
  std::string_view notes{};   // below the options in its help; a line that begins with a blank is set as it stands
  bool in_numbers = true;     // what it answers: it takes --units and --json
  std::string_view second{};  // a second word that may stand behind the first; empty: none
  std::string_view second_help{};
};

command change_command();
command check_command();
command doses_command();
command class_command();
command oil_command();
command curve_command();
command learn_command();
command new_command();
command line_command();
command fit_command();
command climate_command();
command pick_command();
command compare_command();
command plan_command();
command report_command();
command chart_command();
command starve_command();
command tables_command();
command batch_command();

/// All of them, in the order in which help lists them.
std::span<const command> commands();
/// What a command takes, in the order in which its help lists it: its own options, then those that all share.
std::vector<option> options_of(const command& c);

/// What is said of a word that asks for more than an answer on its line.
input_error not_in_batch(std::string_view word);

/// One line about an exception that is no refused input: memory that runs out, or a mistake of the program. What a
/// library says of it stays unsaid, for it tells a user nothing.
std::string words_of_failure(const std::exception_ptr& failure);

enum class asked_by { shell, batch };

/// Runs one command line (without the program's name); safe from several threads. A request of a batch is answered as
/// JSON, with or without --json, and asks for no help and no version.
/// @param root  of a batch: the folder in which all files of the request must lie
result run(std::span<const std::string> words, asked_by who = asked_by::shell,
           const std::optional<std::string>& root = {});

}  // namespace coldgrease::tools
