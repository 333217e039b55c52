// Wrong input, said in one line.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace coldgrease {

/// Input that cannot be used. what() is one line: "where: what is wrong; expected what".
/// `where` is an option (`--bore`), `file:line: column`, `file: /json/pointer` or the name of a field.
/// Only readers and validation throw; a physical 'no' is a value (a verdict, an empty optional, a zero flow).
class input_error : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
  input_error(std::string_view where, std::string_view problem, std::string_view expected = {});
};

/// The same, found in a file: a program maps it to exit 1, any other input_error to exit 2.
class file_error : public input_error {
 public:
  using input_error::input_error;
};

/// `text` in double quotes, on one line and cut after 40 characters: what an error shows of a user's value.
std::string in_quotes(std::string_view text);

}  // namespace coldgrease
