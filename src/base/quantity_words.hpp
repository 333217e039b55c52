// What may stand where a quantity is due, for schemas, manual pages and the writer of files.
#pragma once

#include <string>
#include <string_view>

#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

struct quantity_words {
  std::string_view name;   // "length"
  std::string units;       // "mm, cm, m, in, ft"
  std::string_view usual;  // "mm"
};
/// Defined, as the two below, for temperature and every alias of units.hpp.
template <class Quantity>
quantity_words quantity_words_of();

/// A regular expression (ECMA 262) that every text matches which parse<Quantity> takes, and few others do.
template <class Quantity>
std::string pattern_of(sign allowed);

/// A quantity as a text that parse reads back bit for bit, the shortest over its units.
template <class Quantity>
std::string exact_text(Quantity quantity);

/// The number of a quantity in one of its units. @throws input_error if `unit` is none of this quantity
template <class Quantity>
double number_in(Quantity quantity, std::string_view unit);

/// A share as a percentage that reads back bit for bit: "3 %".
std::string share_text(double share);

}  // namespace coldgrease::inline v0::detail
