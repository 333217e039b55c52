// Rows of a delimited text file, as views into the text.
#pragma once

#include <deque>
#include <functional>
#include <initializer_list>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/blanks.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/ranges.hpp"

namespace coldgrease::inline v0::detail {

/// A column that a reader looks for.
struct wanted_column {
  std::vector<std::string> names{};             // its spellings, in lower case; a refusal shows the first
  std::optional<std::size_t>* found = nullptr;  // receives its number, or nothing
  bool needed = false;                          // refused where it is missing
  std::string_view instead_of{};                // a needed column that may be missing where all of these stand
  bool with_unit = false;                       // its name has to carry a unit in brackets: "bore [mm]"
  bool number = false;                          // its cells are numbers; so they are where a unit has to stand
  bool keeps_row = false;                       // a row that has it is no leftover, whatever else it lacks
};

/// What a reader does with columns that it does not look for: tables of others have many, in our own one is a mistake,
/// as are a unit in brackets where a column has none and a cell that is not one line of UTF-8.
enum class other_columns { ignored, refused };

/// Splits comma, semicolon, tab or bar separated text (told from the header line) into trimmed fields, as programs and
/// spreadsheets write it. Quotes may surround a field on one line, and stand doubled within it (RFC 4180); the blanks
/// just inside them are trimmed as well. Skips a byte-order mark, blank lines and rows of empty cells, lines that begin
/// with '#' above the header, and below it those of them that are no row: with fewer cells than there are needed
/// columns. Takes CRLF, UTF-16, Latin-1, units in brackets or parentheses, and decimal commas where the file leaves no
/// other reading. What is left out beside - titles above the header, a last row of totals, rows without any needed
/// cell - stands in remarks().
class csv_rows {
 public:
  /// Reads the header: the first line, until it is looked for. @throws file_error for empty or binary text
  csv_rows(std::string_view text, std::string_view file);

  /// Takes for the header the first of the lines at the top that `is_head` takes, what is above it for titles; stays
  /// where it is if there is none.
  void seek_head(const std::function<bool(const csv_rows&)>& is_head);

  /// Finds the columns of a reader, once and before the first row; looks for a header that has those needed.
  /// @param expected  what a refusal says is expected
  /// @throws file_error for a column that stands twice, is missing, has no unit, or should not be there
  void find(std::span<const wanted_column> columns, other_columns others, std::string_view expected);
  void find(std::initializer_list<wanted_column> columns, other_columns others, std::string_view expected) {
    find(std::span(columns.begin(), columns.size()), others, expected);
  }

  const std::vector<std::string>& header() const { return header_; }
  /// Header names in lower case, without a unit in brackets.
  const std::string& name_of(std::size_t column) const { return heads_[column].name; }
  /// The unit in the brackets of a column's name: "tmin [C]", "tmin (C)" -> "C"; empty if there is none.
  const std::string& unit_of(std::size_t column) const { return heads_[column].unit; }

  /// The next row; false at the end. Its fields are valid until the next call.
  /// @throws file_error if it has not as many fields as the header, for a number that may be read in two ways, and in
  ///         our own table for a cell that is not one line
  bool next(std::vector<std::string_view>& fields);

  /// What stands behind the last row, for a reader that knows a row when it sees one.
  std::string_view rest() const { return rest_; }
  char delimiter() const { return delimiter_; }
  /// Says that a whole row, as next() would have it, has been read from rest(), with its line end.
  void took_row(std::size_t bytes) {
    rest_.remove_prefix(bytes);
    ++line_;
  }

  std::size_t line() const { return line_; }
  /// The last row.
  coldgrease::place place() const;
  /// A field of the last row.
  coldgrease::place place(std::size_t column) const;
  /// What was left out or taken otherwise than it stands, up to the last row, each with its file and line.
  const std::vector<file_error>& remarks() const { return remarks_; }

 private:
  struct head {
    std::string name;
    std::string unit;
  };
  /// Whether a comma among digits is a decimal mark in this file: told from all its numbers.
  enum class comma { not_looked_at, decimal, in_groups, either, beside_points };

  static head head_of(std::string_view written);
  void read_header(std::string_view line);
  bool has_needed(std::span<const wanted_column> columns) const;
  /// The columns that stand instead of a missing one. @throws file_error unless all that may do so are there
  std::vector<std::size_t> need_instead(const wanted_column& missing, std::span<const wanted_column> columns,
                                        std::string_view expected) const;
  bool next_line(std::string_view& line);
  /// Of a line that begins with '#'.
  bool is_comment(std::string_view line) const;
  bool is_total(const std::vector<std::string_view>& fields) const;
  bool is_leftover(const std::vector<std::string_view>& fields) const;
  void split(std::string_view line, std::vector<std::string_view>& fields);
  /// Before a field or behind its quotes: a tab may be the delimiter.
  void skip_blanks(std::string_view& line) const {
    while (!line.empty() && is_blank(line.front()) && line.front() != delimiter_) line.remove_prefix(1);
  }
  /// Takes a field in quotes off the front of a line, up to the delimiter after it.
  std::string_view take_quoted(std::string_view& line);
  std::string_view undoubled(std::string_view quoted);
  std::string& kept_text();
  /// A number with a comma, with a point instead; what is none as it stands. @throws file_error
  std::string_view with_point(std::size_t column, std::string_view field);
  comma comma_of_numbers() const;
  void remark(std::size_t line, std::string_view text);

  std::shared_ptr<const std::string> decoded_{};  // what the fields are views of, where the file was no UTF-8
  std::string_view rest_;
  std::string_view file_;
  std::size_t line_ = 0;
  std::string_view first_rows_{};  // where the rows begin
  char delimiter_ = ',';
  std::vector<std::string> header_;  // as written
  std::vector<head> heads_;
  std::vector<std::size_t> needed_;   // cells that every row has
  std::vector<std::size_t> keep_;     // cells of which each makes a row
  std::vector<std::size_t> numbers_;  // columns of them
  comma comma_ = comma::not_looked_at;
  bool is_ours_ = false;               // a table of our own format: its cells are names and values on one line
  std::deque<std::string> undoubled_;  // where fields of the last row live that differ from the text; kept for the next
  std::size_t undoubled_used_ = 0;
  bool has_quotes_ = false;  // the last row
  std::vector<file_error> remarks_;
};

/// One cell as RFC 4180 has it: in quotes where it has to be.
std::string csv_field(std::string_view text);

/// For a reader that has nowhere to say them: refuses the first that tells of lines left out. Another encoding is
/// taken.
void refuse_left_out(std::span<const file_error> remarks);

/// Remarks as lines.
std::vector<std::string> lines_of(std::span<const file_error> remarks);

/// Runs `read` on a field with the unit of its column behind it. @throws file_error naming place and field
template <class Read>
auto with_unit(const csv_rows& rows, std::size_t column, std::string_view field, Read read) {
  const std::string unit = rows.unit_of(column);
  if (field.empty()) throw file_error(rows.place(column), "is empty", "a number with a decimal point");
  try {
    return read(std::string(field) + " " + unit);
  } catch (const input_error& refused) {
    const auto reads_alone = [&] {
      try {
        read(std::string(field));
        return true;
      } catch (const input_error&) {
        return false;
      }
    };
    if (reads_alone())
      throw file_error(rows.place(column), in_quotes(field) + " has a unit of its own",
                       "a number in " + unit + ", as the column");
    throw at(rows.place(column), refused);
  }
}

/// A field as a quantity in the unit of its column's name. @throws file_error naming place and field
template <class Quantity>
Quantity quantity_of(const csv_rows& rows, std::size_t column, std::string_view field, measure m) {
  return with_unit(rows, column, field, [&](const std::string& text) { return parse<Quantity>(text, {}, m); });
}

}  // namespace coldgrease::inline v0::detail
