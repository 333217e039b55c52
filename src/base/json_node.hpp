// A JSON value that knows where it stands, so that every refusal can name file and pointer; and tables of records,
// which become JSON values that know their line and column.
#pragma once

#include <map>
#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/refusals.hpp"
#include "base/table_shape.hpp"
#include "coldgrease/base/ranges.hpp"
#include "coldgrease/base/source.hpp"

namespace coldgrease::inline v0::detail {

class json_document;

/// One value of a document; valid while the document lives.
class json_node {
 public:
  json_node(const nlohmann::ordered_json& value, const json_document& document, std::string pointer)
      : value_(&value), document_(&document), pointer_(std::move(pointer)) {}

  place where() const;
  [[noreturn]] void refuse(std::string_view problem, std::string_view expected = {}) const;
  /// Runs `read`; what it refuses stands here.
  template <class Read>
  auto at(Read read) const {
    return read_at([&] { return where(); }, read);
  }
  /// As refusals::go_on_after.
  template <class Read>
  bool go_on_after(Read read) const {
    return noted().go_on_after(read);
  }
  const refusals& noted() const;
  /// The file that this text names, beside the document.
  source file() const;

  bool is_object() const;
  bool is_array() const;
  bool is_text() const;

  /// Refuses every other key, and anything that is no object.
  void only(std::span<const std::string_view> keys) const;
  void only(std::initializer_list<std::string_view> keys) const { only(std::span(keys.begin(), keys.size())); }
  /// A member; nothing if it is missing or null.
  std::optional<json_node> find(std::string_view key) const;
  /// A member that must be there.
  json_node need(std::string_view key) const;
  /// Elements of an array, which this must be.
  std::vector<json_node> items() const;
  /// Names and values of an object, which this must be.
  std::vector<std::pair<std::string, json_node>> members() const;

  std::string text() const;
  double number() const;
  int whole_number(int least, int most) const;
  bool yes_or_no() const;
  /// A percentage, "3 %", as a share from 0 to 1.
  double share() const;
  template <class Quantity>
  Quantity quantity(measure m) const {
    return at([&] { return parse<Quantity>(words(), {}, m); });
  }
  /// The text of a quantity; a bare number is handed on as text, so that the parser refuses it with both readings.
  std::string words() const;

 private:
  json_node member(const nlohmann::ordered_json& value, std::string_view key) const;

  const nlohmann::ordered_json* value_;
  const json_document* document_;
  std::string pointer_;
};

/// A file read and parsed. @throws file_error for syntax (with the line), duplicate keys, nesting beyond 64, numbers
/// out of range
class json_document {
 public:
  explicit json_document(const source& file, refusals noted = {});
  /// JSON, or a table of that shape as CSV, which is a list of records then: told from the first character.
  /// @throws file_error
  json_document(const source& file, const table_shape& shape, refusals noted = {});
  ~json_document();
  json_document(const json_document&) = delete;
  json_document& operator=(const json_document&) = delete;

  json_node root() const;
  /// Where the value at a pointer stands: there, or in a line and column of a table.
  place place_of(const std::string& pointer) const;
  /// What was wrong with a cell, whose value is discarded: it is refused where it is read, in its turn.
  const file_error& refused_at(const std::string& pointer) const;
  const source& file() const { return file_; }
  /// Of a table: what was left out, or taken otherwise than it stands.
  const std::vector<file_error>& left_out() const { return left_out_; }
  const refusals& noted() const { return noted_; }
  input_file read() const { return {file_.name(), checksum_}; }

 private:
  /// Where the values of a table come from.
  struct table_places {
    std::vector<std::vector<std::size_t>> lines{};            // of the parts of each record
    std::map<std::string, std::string, std::less<>> heads{};  // of the columns, as written, by key
    std::string_view parts{};
    std::map<std::string, file_error, std::less<>> refused{};  // cells, by pointer
  };
  void parse(std::string_view text);
  void parse_table(std::string_view text, const table_shape& shape);

  std::unique_ptr<nlohmann::ordered_json> value_;
  std::unique_ptr<table_places> places_;  // null for JSON
  source file_;
  std::uint32_t checksum_ = 0;
  std::vector<file_error> left_out_{};
  refusals noted_;
};

inline const refusals& json_node::noted() const { return document_->noted(); }

/// A percentage, "3 %", as a share from 0 to 1. @throws input_error
double parse_share(std::string_view text);

/// Rows of a table file: {"schema": 1, "about", "source", "rows": [...]}. @throws file_error for another shape
std::vector<json_node> table_rows(const json_node& root);

}  // namespace coldgrease::inline v0::detail
