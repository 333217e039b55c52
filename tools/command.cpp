// The one file that knows the command-line library: it converts nothing, values stay text.
#include "command.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <list>
#include <map>
#include <new>
#include <thread>

#include "coldgrease/base/one_line.hpp"
#include "coldgrease/base/version.hpp"

namespace coldgrease::tools {

std::optional<std::string> arguments::find(std::string_view option) const {
  const auto found = std::ranges::find(mentions, option, &mention::option);
  return found == mentions.end() ? std::nullopt : std::optional(found->value);
}

std::vector<std::string> arguments::all(std::string_view option) const {
  std::vector<std::string> values;
  for (const mention& m : mentions) {
    if (m.option == option) values.push_back(m.value);
  }
  return values;
}

std::string arguments::need(std::string_view option) const {
  if (auto value = find(option)) return *value;
  throw input_error(option, "is missing", "a value for it");
}

std::optional<double> arguments::number(std::string_view option) const {
  const auto text = find(option);
  return text ? std::optional(parse_number(*text, option)) : std::nullopt;
}

std::optional<int> arguments::whole_number(std::string_view option) const {
  const auto value = number(option);
  if (!value) return std::nullopt;
  if (*value != std::floor(*value) || std::abs(*value) > 1e6)
    throw input_error(option, in_quotes(*find(option)), "a whole number");
  return static_cast<int>(*value);
}

bool arguments::csv() const {
  const bool asked = find(csv_option.name).has_value();
  if (asked && in_batch) throw not_in_batch(csv_option.name);
  if (asked && json) throw input_error(csv_option.name, "stands beside --json", "one of them");
  return asked;
}

input_error not_in_batch(std::string_view word) {
  return {word, "cannot stand in a batch", "a command that answers in one line"};
}

source arguments::file(const std::string& name) const {
  source s(name);
  if (root) s = s.below(*root);
  return in_batch ? s.untrusted() : s;
}

std::optional<double> arguments::confidence() const {
  const auto text = find("--confidence");
  // "90%" is 0.90.
  const bool percent = text && text->ends_with('%');
  const auto value = percent ? std::optional(parse_number(text->substr(0, text->size() - 1), "--confidence") / 100.0)
                             : number("--confidence");
  if (value) check_confidence(*value, "--confidence", in_quotes(*find("--confidence")));
  return value;
}

int arguments::jobs(int otherwise) const {
  constexpr int most = 256;
  const auto text = find("--jobs");
  const int asked = !text ? otherwise : *text == "all" ? 0 : whole_number("--jobs").value_or(otherwise);
  if (asked < 0 || asked > most)
    throw input_error("--jobs", in_quotes(*text), "1 to " + std::to_string(most) + ", or all (0) for every core");
  return asked > 0 ? asked : std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, most);
}

namespace {

/// A subcommand under construction: where CLI11 puts what it finds.
struct slot {
  command what;
  CLI::App* app = nullptr;
  std::map<std::string, std::vector<std::string>> values;
  std::map<std::string, bool> flags;
  std::string first_word, second_word;
  CLI::Option *first = nullptr, *second = nullptr;  // where the command takes them
  std::string units = "si";
  bool json = false;
};

std::string indented(std::string_view text) {
  std::string out = "  ";
  for (const char c : text) {
    out += c;
    if (c == '\n') out += "  ";
  }
  return out;
}

void add(CLI::App& root, slot& s) {
  s.app = root.add_subcommand(std::string(s.what.name), std::string(s.what.does));
  if (!s.what.positional.empty()) {
    s.first = s.app->add_option(std::string(s.what.positional), s.first_word, std::string(s.what.positional_help));
    if (s.what.positional_needed) s.first->required();
  }
  if (!s.what.second.empty())
    s.second = s.app->add_option(std::string(s.what.second), s.second_word, std::string(s.what.second_help));
  for (const option& o : s.what.options) {
    if (o.flag) {
      s.app->add_flag(std::string(o.name), s.flags[std::string(o.name)], std::string(o.help))->disable_flag_override();
      continue;
    }
    auto* added = s.app->add_option(std::string(o.name), s.values[std::string(o.name)], std::string(o.help));
    added->expected(1)->allow_extra_args(false)->type_name(o.repeats ? "TEXT ..." : "TEXT");
    added->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);  // counted below, for a message that says so
  }
  if (s.what.in_numbers) {
    s.app->add_option(std::string(units_option.name), s.units, std::string(units_option.help))->type_name("TEXT");
    s.app->add_flag(std::string(json_option.name), s.json, std::string(json_option.help))->disable_flag_override();
  }
  const std::string notes = s.what.notes.empty() ? "" : std::string(s.what.notes) + "\n\n";
  s.app->footer(notes + "Example:\n" + indented(s.what.examples.front().line));
}

/// A word without an option before it, where it is given; an empty one says nothing and is not taken for none.
std::optional<std::string> word_of(const CLI::Option* o, const std::string& word, std::string_view called,
                                   std::string_view help) {
  if (o == nullptr || o->count() == 0) return std::nullopt;
  if (word.empty()) throw input_error(called, "is empty", help);
  return word;
}

arguments given(const slot& s) {
  arguments a;
  a.positional = word_of(s.first, s.first_word, s.what.positional, s.what.positional_help);
  a.second = word_of(s.second, s.second_word, s.what.second, s.what.second_help);
  a.json = s.json;
  a.units = parse_word<unit_system>(s.units, "--units");
  for (const option& o : s.what.options) {
    if (o.flag) continue;
    const std::size_t times = s.values.at(std::string(o.name)).size();
    if (!o.repeats && times > 1) throw input_error(o.name, "is given " + std::to_string(times) + " times", "once");
  }
  std::map<std::string, std::size_t> taken;
  for (const CLI::Option* o : s.app->parse_order()) {
    const std::string name = !o->get_lnames().empty()   ? "--" + o->get_lnames().front()
                             : !o->get_snames().empty() ? "-" + o->get_snames().front()
                                                        : std::string();
    if (const auto flag = s.flags.find(name); flag != s.flags.end()) {
      a.mentions.push_back({name, {}});
      continue;
    }
    const auto values = s.values.find(name);
    if (values == s.values.end() || taken[name] >= values->second.size()) continue;
    a.mentions.push_back({name, values->second[taken[name]++]});
  }
  a.root = a.find(root_option.name);
  std::error_code ignored;
  if (a.root && !std::filesystem::is_directory(*a.root, ignored))
    throw input_error(root_option.name, in_quotes(*a.root) + " is no folder", "a folder");
  return a;
}

/// The first word is a command or one of the few options that stand alone; the library would only ask for a command.
void refuse_unknown(std::span<const std::string> words) {
  std::string names;
  for (const command& c : commands()) names += (names.empty() ? "" : ", ") + std::string(c.name);
  if (words.empty()) throw input_error("coldgrease", "no command is given", names + " (see --help)");
  for (const std::string& word : words) check_one_line(word, "coldgrease");
  const std::string& first = words.front();
  if (std::ranges::find(commands(), first, &command::name) != commands().end()) return;
  if (first == "--help" || first == "-h" || first == "--version") return;
  if (first.starts_with('-'))
    throw input_error(first, "is no option before a command", "--help, --version or a command: " + names);
  throw input_error("coldgrease", in_quotes(first) + " is no command", names + " (see --help)");
}

/// What the library found wrong with the words, said as every other error is.
input_error usage_error(const CLI::App& root, const CLI::ParseError& e) {
  const auto chosen = root.get_subcommands();
  const std::string command = chosen.empty() ? "coldgrease" : chosen.front()->get_name();
  const std::string text = e.what();
  std::vector<std::string_view> flags{json_option.name};
  if (const auto own = std::ranges::find(commands(), command, &tools::command::name); own != commands().end()) {
    for (const option& o : own->options) {
      if (o.flag) flags.push_back(o.name);
    }
  }
  if (dynamic_cast<const CLI::ExtrasError*>(&e) != nullptr) {
    const auto extra = root.remaining(true);
    const std::string word = extra.empty() ? std::string() : extra.front();
    if (word.starts_with('-')) return {word, "is no option of " + command, "one of those that --help shows"};
    return {command, in_quotes(word) + " is one word too many", R"(a value of two words in quotes, such as "-15 C")"};
  }
  if (dynamic_cast<const CLI::RequiredError*>(&e) != nullptr)
    return {command, "no " + text.substr(0, text.find(' ')) + " is given", "one (see --help)"};
  if (dynamic_cast<const CLI::ArgumentMismatch*>(&e) != nullptr) {
    for (const std::string_view flag : flags) {
      if (text.starts_with(std::string(flag.substr(2)) + " "))
        return {flag, "takes no value", std::string(flag) + " alone"};
    }
    return {text.substr(0, text.find(':')), "has no value", "one, with its unit where it has one"};
  }
  return {command, "cannot be read as a command line", "what --help shows"};
}

std::string one_line(std::string text) {
  while (!text.empty() && text.back() == '\n') text.pop_back();
  std::ranges::replace(text, '\n', ' ');
  return text;
}

}  // namespace

std::string words_of_failure(const std::exception_ptr& failure) {
  try {
    std::rethrow_exception(failure);
  } catch (const std::bad_alloc&) {
    return "coldgrease: there is not enough memory for this; nothing was answered";
  } catch (...) {
    return "coldgrease: a mistake of the program itself; nothing was answered, please report the command and its files";
  }
}

std::span<const command> commands() {
  static const std::array all{new_command(),    class_command(),   oil_command(),    curve_command(), line_command(),
                              fit_command(),    climate_command(), pick_command(),   plan_command(),  compare_command(),
                              report_command(), chart_command(),   check_command(),  learn_command(), change_command(),
                              doses_command(),  starve_command(),  tables_command(), batch_command()};
  return all;
}

std::vector<option> options_of(const command& c) {
  std::vector<option> all = c.options;
  if (c.in_numbers) all.insert(all.end(), {units_option, json_option});
  all.push_back(help_option);
  return all;
}

result run(std::span<const std::string> words, asked_by who, const std::optional<std::string>& root_folder) {
  CLI::App root("coldgrease: " + std::string(about), "coldgrease");
  root.set_help_flag(std::string(help_option.name), std::string(help_option.help));
  root.set_version_flag(std::string(version_option.name), std::string(library_version()),
                        std::string(version_option.help));
  root.require_subcommand(1);
  root.get_formatter()->column_width(26);
  // Setting up words for the library costs more than most answers: the command asked for is set up alone, in a batch
  // (which shows no help) with the options that are mentioned.
  const auto all = commands();
  const auto asked = words.empty() ? all.end() : std::ranges::find(all, words.front(), &command::name);
  std::list<slot> slots;
  for (auto c = all.begin(); c != all.end(); ++c) {
    if (asked != all.end() && asked != c) continue;
    slot& s = slots.emplace_back();
    s.what = *c;
    if (who == asked_by::batch)
      std::erase_if(s.what.options, [&](const option& o) {
        return std::ranges::none_of(words, [&](const std::string& word) { return word.starts_with(o.name); });
      });
    add(root, s);
  }
  try {
    refuse_unknown(words);
    root.parse(std::vector<std::string>(words.rbegin(), words.rend()));
    for (const slot& s : slots) {
      if (!s.app->parsed()) continue;
      arguments a = given(s);
      a.in_batch = who == asked_by::batch;
      a.json = a.json || a.in_batch;
      if (root_folder) a.root = root_folder;
      return s.what.whole != nullptr ? s.what.whole(a) : result{0, s.what.run(a), {}};
    }
  } catch (const CLI::CallForHelp&) {
    if (who == asked_by::batch) return {2, {}, not_in_batch("--help").what()};
    const auto chosen = root.get_subcommands();
    return {0, chosen.empty() ? root.help() : chosen.front()->help("coldgrease"), {}};
  } catch (const CLI::CallForVersion&) {
    if (who == asked_by::batch) return {2, {}, not_in_batch("--version").what()};
    return {0, "coldgrease " + std::string(library_version()) + "\n", {}};
  } catch (const CLI::ParseError& e) {
    return {2, {}, one_line(usage_error(root, e).what())};
  } catch (const file_error& e) {
    return {1, {}, one_line(e.what())};
  } catch (const input_error& e) {
    return {2, {}, one_line(e.what())};
  }
  return {2, {}, "coldgrease: no command is given"};
}

}  // namespace coldgrease::tools
