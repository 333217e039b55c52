// What the command says of a failure that is no refused input.
#include "../../tools/command.hpp"

#include <doctest/doctest.h>

#include <new>
#include <stdexcept>

using coldgrease::tools::words_of_failure;

TEST_CASE("case: memory that runs out and a mistake of the program are told in words of our own, on one line") {
  const std::string memory = words_of_failure(std::make_exception_ptr(std::bad_alloc()));
  CHECK(memory == "coldgrease: there is not enough memory for this; nothing was answered");
  const std::string mistake =
      words_of_failure(std::make_exception_ptr(std::domain_error("boost::math::thing<double>")));
  CHECK(mistake.find("boost") == std::string::npos);
  CHECK(mistake.starts_with("coldgrease: a mistake of the program itself"));
  CHECK(mistake.find('\n') == std::string::npos);
}
