// Wrong input: where it stands, what is wrong with it, what is expected instead.
#pragma once

#include <cstddef>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>

namespace coldgrease::inline v0 {

/// Where an input stands: in a line of a file, at a JSON pointer of it, or under a name alone.
struct place {
  std::string file{};
  std::size_t line = 0;                  // from 1; 0: no line is meant
  std::optional<std::string> pointer{};  // of JSON (RFC 6901), "" for the whole
  std::string field{};                   // an option (`--bore`), a column, a field of a struct, a file named there
  friend bool operator==(const place&, const place&) = default;
};

/// "lines.csv:3: length [m]", "fleet.json: /routes/0/legs/1", "--bore". Control characters and bytes that are no UTF-8
/// are written as escapes; of a long name the end is kept.
std::string text_of(const place& where);

/// Input that cannot be used. what() is one line, "where: problem; expected what", of at most 300 bytes.
/// Only readers and validation throw; a physical 'no' is a value (a verdict, an empty optional, a zero flow).
class input_error : public std::runtime_error {
 public:
  /// @param field  an option, a column or the name of a field; may be empty
  input_error(std::string_view field, std::string_view problem, std::string_view expected = {});
  input_error(place where, std::string_view problem, std::string_view expected = {});

  const place& where() const noexcept { return where_; }
  const std::string& problem() const noexcept { return problem_; }
  const std::string& expected() const noexcept { return expected_; }

 private:
  place where_;
  std::string problem_;
  std::string expected_;
};

/// The same, found in a file: a program maps it to exit 1, any other input_error to exit 2.
class file_error : public input_error {
 public:
  /// @param file  the name of a file
  file_error(std::string_view file, std::string_view problem, std::string_view expected = {});
  file_error(place where, std::string_view problem, std::string_view expected = {})
      : input_error(std::move(where), problem, expected) {}
};

/// The same refusal, of an input that stands at a place in a file. The field it names stays behind the place.
file_error at(place where, const input_error& refused);

/// Runs `read`; what it refuses, but for a file_error, which knows its place, stands at `where()` in a file.
template <class Where, class Read>
auto read_at(Where where, Read read) {
  try {
    return read();
  } catch (const file_error&) {
    throw;
  } catch (const input_error& refused) {
    throw at(where(), refused);
  }
}

/// `text` in double quotes, on one line and cut after 60 bytes: what an error shows of a user's value.
std::string in_quotes(std::string_view text);

}  // namespace coldgrease::inline v0
