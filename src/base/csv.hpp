// Rows of a delimited text file, as views into the text.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

/// Splits comma, semicolon, tab or bar separated text (told from the header line) into trimmed fields. Quotes may
/// surround a field on one line. Skips a byte-order mark, blank lines and lines that begin with '#'; takes CRLF.
class csv_rows {
 public:
  /// Reads the header. @throws file_error for empty or binary text
  csv_rows(std::string_view text, std::string_view file);

  const std::vector<std::string>& header() const { return header_; }
  /// Header names in lower case, without a unit in brackets.
  std::string name_of(std::size_t column) const;
  /// The unit in the brackets of a column's name: "tmin [C]" -> "C"; empty if there is none.
  std::string unit_of(std::size_t column) const;

  /// The next row; false at the end. @throws file_error if it has not as many fields as the header
  bool next(std::vector<std::string_view>& fields);
  std::size_t line() const { return line_; }
  /// The last row.
  coldgrease::place place() const;
  /// A field of the last row.
  coldgrease::place place(std::size_t column) const;

 private:
  bool next_line(std::string_view& line);
  void split(std::string_view line, std::vector<std::string_view>& fields) const;

  std::string_view rest_;
  std::string_view file_;
  std::size_t line_ = 0;
  char delimiter_ = ',';
  std::vector<std::string> header_;
};

/// A field as a quantity in the unit of its column's name. @throws file_error naming place and field
template <class Quantity>
Quantity quantity_of(const csv_rows& rows, std::size_t column, std::string_view field, sign allowed) {
  const std::string unit = rows.unit_of(column);
  if (field.empty()) throw file_error(rows.place(column), "is empty", "a number with a decimal point");
  try {
    return parse<Quantity>(std::string(field) + " " + unit, {}, allowed);
  } catch (const input_error& refused) {
    const auto reads_alone = [&] {
      try {
        parse<Quantity>(field, {});
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

}  // namespace coldgrease::inline v0::detail
