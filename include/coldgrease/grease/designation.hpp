// What the code of a standard says of a grease: ISO 6743-9 ("ISO-L-XCDEB3") and DIN 51502 ("KP2K-30").
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/words.hpp"
#include "coldgrease/grease/base_oil.hpp"
#include "coldgrease/grease/evidence.hpp"

namespace coldgrease::inline v0 {

enum class designation_standard { iso_6743_9, din_51502 };
template <>
struct words_of<designation_standard> {
  using enum designation_standard;
  static constexpr std::string_view what = "standard of designations";
  static constexpr word_for<designation_standard> table[]{{iso_6743_9, "ISO 6743-9"}, {din_51502, "DIN 51502"}};
};

/// A code taken apart. Its claims are the maker's: they place a grease, they prove no flow through a line.
struct designation {
  std::string code{};  // in capitals, without blanks and prefix
  designation_standard standard = designation_standard::iso_6743_9;
  std::string nlgi{};                    // the class as written, for parse_nlgi
  std::optional<temperature> lowest{};   // nothing where a DIN code ends without it
  bool lowest_open = false;              // ISO "below -40 C": `lowest` is -40 C
  std::optional<temperature> highest{};  // the highest service temperature
  bool highest_open = false;             // "over 180 C": `highest` is 180 C
  std::string application{};             // DIN: what the first letter says; ISO: empty
  bool extreme_pressure = false;
  bool solids = false;                             // DIN F; an ISO code does not speak of solids
  std::string oil{};                               // kind of synthetic oil (DIN), in words; empty if none is marked
  std::optional<coldgrease::oil_type> oil_type{};  // the same, where it is one of those the library knows
  std::string water{};                             // water and environment, in words
  std::vector<std::string> notes{};
};

/// Reads a code; blanks do not count, small letters are read as capitals (no standard gives them a meaning of their
/// own), a prefix "ISO 6743-9", "ISO-L-", "L-" or "DIN 51502" may stand before it.
/// ISO: X, lowest, highest, environment and rust, EP, class. Source: ISO 6743-9 tables as reproduced.
/// DIN: K, G, OG or M; any of P, F and one synthetic oil (E FK HC PG PH SI X); class; letter of the highest
/// temperature and water; lowest temperature with its minus. Source: DIN 51502 as reproduced by makers; upper letters
/// M N P R S U and the list of lower temperatures from memory.
/// @throws input_error that says what is expected at the place where the code goes wrong or ends
designation parse_designation(std::string_view text, std::string_view where);

/// Evidence completed by its own designation, and what is to be said of it.
struct designated_evidence {
  evidence known{};
  std::vector<std::string> notes{};  // where class came from, and every contradiction between code and data
};

/// Takes the class from `designation` where neither `nlgi` nor `penetration` is given, and the oil type where none is
/// given and the code names one. A datum that is given stays; where the code contradicts it, a note says so.
/// Nothing changes without a designation, nor when it is called again. @throws input_error as parse_designation
designated_evidence with_designation(const evidence& known);

}  // namespace coldgrease::inline v0
