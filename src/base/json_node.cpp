#include "base/json_node.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "base/json_fault.hpp"
#include "coldgrease/base/one_line.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

using nlohmann::ordered_json;

namespace {

/// A value as an error shows it.
std::string shown(const ordered_json& value) {
  if (value.is_string()) return in_quotes(value.get_ref<const std::string&>());
  return in_quotes(value.dump(-1, ' ', false, ordered_json::error_handler_t::replace));
}

/// A member's name as a JSON pointer has it (RFC 6901).
std::string in_pointer(std::string_view key) {
  std::string out;
  for (const char c : key) {
    if (c == '~') {
      out += "~0";
    } else if (c == '/') {
      out += "~1";
    } else {
      out += c;
    }
  }
  return out;
}

}  // namespace

place json_node::where() const { return document_->place_of(pointer_); }

void json_node::refuse(std::string_view problem, std::string_view expected) const {
  throw file_error(where(), problem, expected);
}

source json_node::file() const {
  const std::string name = text();
  if (name.empty()) refuse("is empty", "the name of a file");
  return document_->file().named(name, where());
}

bool json_node::is_object() const { return value_->is_object(); }
bool json_node::is_array() const { return value_->is_array(); }
bool json_node::is_text() const { return value_->is_string(); }

void json_node::only(std::span<const std::string_view> keys) const {
  if (!is_object()) refuse("is no object", "{...}");
  for (const auto& member : value_->items()) {
    if (std::ranges::find(keys, member.key()) != keys.end()) continue;
    go_on_after([&] { refuse("unknown key " + in_quotes(member.key()), fmt::format("{}", fmt::join(keys, ", "))); });
  }
}

json_node json_node::member(const ordered_json& value, std::string_view key) const {
  return {value, *document_, pointer_ + "/" + in_pointer(key)};
}

std::optional<json_node> json_node::find(std::string_view key) const {
  if (!is_object()) refuse("is no object", "{...}");
  const auto found = value_->find(std::string(key));
  if (found == value_->end() || found->is_null()) return std::nullopt;
  if (found->is_discarded()) throw document_->refused_at(pointer_ + "/" + in_pointer(key));
  return member(*found, key);
}

json_node json_node::need(std::string_view key) const {
  auto found = find(key);
  if (!found) refuse(fmt::format("\"{}\" is missing", key), fmt::format("a value for {}", key));
  return *found;
}

std::vector<json_node> json_node::items() const {
  if (!is_array()) refuse("is no list", "[...]");
  std::vector<json_node> nodes;
  nodes.reserve(value_->size());
  for (std::size_t i = 0; i < value_->size(); ++i)
    nodes.emplace_back((*value_)[i], *document_, fmt::format("{}/{}", pointer_, i));
  return nodes;
}

std::vector<std::pair<std::string, json_node>> json_node::members() const {
  if (!is_object()) refuse("is no object", "{...}");
  std::vector<std::pair<std::string, json_node>> nodes;
  for (const auto& [key, value] : value_->items()) nodes.emplace_back(key, member(value, key));
  return nodes;
}

std::string json_node::text() const {
  if (!is_text()) refuse(shown(*value_) + " is no text", "a text in quotes");
  const auto& words = value_->get_ref<const std::string&>();
  at([&] { check_one_line(words); });
  return words;
}

double json_node::number() const {
  if (!value_->is_number()) refuse(shown(*value_) + " is no number", "a number without quotes");
  return value_->get<double>();
}

int json_node::whole_number(int least, int most) const {
  const double v = number();
  if (v != std::floor(v) || v < least || v > most)
    refuse(fmt::format("{}", v), fmt::format("a whole number from {} to {}", least, most));
  return static_cast<int>(v);
}

bool json_node::yes_or_no() const {
  if (!value_->is_boolean()) refuse(shown(*value_), "true or false");
  return value_->get<bool>();
}

double json_node::share() const {
  const std::string words = text();
  return at([&] { return parse_share(words); });
}

double parse_share(std::string_view text) {
  if (!text.ends_with('%')) throw input_error("", in_quotes(text) + " has no unit", "a percentage such as 3 %");
  const double percent = parse_number(text.substr(0, text.size() - 1), {});
  if (percent < 0.0 || percent > 100.0) throw input_error("", in_quotes(text), "0 % to 100 %");
  return percent / 100.0;
}

std::string json_node::words() const { return value_->is_number() ? value_->dump() : text(); }

namespace {

constexpr std::size_t deepest = 64;
constexpr std::size_t most_keys = 1000;  // of one object: the library looks through all of them for each

/// Looks through a text before it is parsed, as the library's own parser keeps one of two equal keys, and tells of a
/// key or a number no place. It stops at the first fault, and knows where it stands: the keys of the objects and the
/// positions in the lists that are open.
class first_look final : public nlohmann::json_sax<ordered_json> {
 public:
  /// @throws file_error for deep nesting, too many keys, a key that stands twice, a number too large, no JSON
  first_look(const std::string& name, std::string_view text) : name_(name), text_(text) {
    ordered_json::sax_parse(text, this);
  }

  bool null() override { return next(); }
  bool boolean(bool) override { return next(); }
  bool number_integer(number_integer_t) override { return next(); }
  bool number_unsigned(number_unsigned_t) override { return next(); }
  bool number_float(number_float_t, const string_t&) override { return next(); }
  bool string(string_t&) override { return next(); }
  bool binary(binary_t&) override { return next(); }
  bool start_object(std::size_t) override { return open({.is_list = false}); }
  bool start_array(std::size_t) override { return open({.is_list = true}); }
  bool end_object() override { return close(); }
  bool end_array() override { return close(); }

  bool key(string_t& key) override {
    level& l = levels_.back();
    if (l.seen.size() == most_keys) {
      levels_.pop_back();  // it is the object that is refused, not the key read last
      refuse(fmt::format("has more than {} keys", most_keys), "fewer, or a list");
    }
    l.key = key;
    if (!l.seen.insert(key).second) refuse("the key " + in_quotes(key) + " stands twice", "each key once in an object");
    return true;
  }

  bool parse_error(std::size_t byte, const std::string&, const ordered_json::exception& e) override {
    if (dynamic_cast<const ordered_json::out_of_range*>(&e)) {
      // The library names the number: "... number overflow parsing '1e400'".
      const std::string_view message = e.what();
      const auto open_quote = message.find('\''), close_quote = message.rfind('\'');
      const std::string_view number =
          open_quote < close_quote ? message.substr(open_quote + 1, close_quote - open_quote - 1) : std::string_view();
      refuse("holds a number too large for any quantity, " + in_quotes(number), "finite numbers");
    }
    const auto before = text_.substr(0, std::max<std::size_t>(byte, 1) - 1);  // the byte is counted from 1
    const auto line = static_cast<std::size_t>(std::ranges::count(before, '\n')) + 1;
    const std::size_t column = before.size() - (before.rfind('\n') + 1) + 1;  // npos + 1 is 0
    const std::string fault = json_fault(text_, before.size());
    throw file_error(place{.file = name_, .line = line},
                     text_.empty() ? "is empty"
                                   : fmt::format("is no JSON (line {}, column {}){}{}", line, column,
                                                 fault.empty() ? "" : ": ", fault),
                     "a JSON text in UTF-8");
  }

 private:
  struct level {
    bool is_list = false;
    std::size_t before = 0;  // in a list: elements before the one that is being read
    std::string key{};       // in an object
    std::set<std::string> seen{};
  };

  bool next() {
    if (!levels_.empty()) ++levels_.back().before;
    return true;
  }
  bool open(level l) {
    if (levels_.size() == deepest)
      throw file_error(name_, fmt::format("nested deeper than {}", deepest), "a flatter file");
    levels_.push_back(std::move(l));
    return true;
  }
  bool close() {
    levels_.pop_back();
    return next();
  }

  /// What stands where the parser is.
  [[noreturn]] void refuse(std::string_view problem, std::string_view expected) const {
    std::string pointer;
    for (const level& l : levels_) pointer += "/" + (l.is_list ? std::to_string(l.before) : in_pointer(l.key));
    throw file_error(place{.file = name_, .pointer = std::move(pointer)}, problem, expected);
  }

  const std::string& name_;
  std::string_view text_;
  std::vector<level> levels_;
};

}  // namespace

json_document::json_document(const source& file, refusals noted) : file_(file), noted_(noted) {
  const source::text read = file.read(file_kind::json);
  checksum_ = read.checksum;
  parse(read.bytes);
}

json_document::json_document(const source& file, const table_shape& shape, refusals noted)
    : file_(file), noted_(noted) {
  const source::text read = file.read(file_kind::json);
  checksum_ = read.checksum;
  const std::string_view text = read.bytes;
  std::string_view begin = text;
  if (begin.starts_with("\xef\xbb\xbf")) begin.remove_prefix(3);
  begin.remove_prefix(std::min(begin.find_first_not_of(" \t\r\n"), begin.size()));
  if (begin.starts_with('{') || begin.starts_with('[')) {
    parse(text);
  } else {
    parse_table(text, shape);
  }
}

void json_document::parse(std::string_view text) {
  if (text.find('\0') != std::string_view::npos)
    throw file_error(file_.name(), "holds zero bytes", "plain text, not UTF-16 or binary");
  first_look(file_.name(), text);
  value_ = std::make_unique<ordered_json>(ordered_json::parse(text));
}

json_document::~json_document() = default;

json_node json_document::root() const { return {*value_, *this, ""}; }

std::vector<json_node> table_rows(const json_node& root) {
  root.only({"schema", "about", "source", "rows"});
  root.need("schema").whole_number(1, 1);
  return root.need("rows").items();
}

}  // namespace coldgrease::inline v0::detail
