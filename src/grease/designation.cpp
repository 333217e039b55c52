#include "coldgrease/grease/designation.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/consistency.hpp"

namespace coldgrease::inline v0 {

namespace {

/// A letter of a table, what it stands for in degrees C, and whether that was not read in a source.
struct temperature_letter {
  char letter;
  double celsius;
  bool open = false;  // below, or over, that temperature
  bool from_memory = false;
};

// ISO 6743-9.
constexpr std::array<temperature_letter, 5> iso_lowest{
    {{'A', 0.0}, {'B', -20.0}, {'C', -30.0}, {'D', -40.0}, {'E', -40.0, true}}};
constexpr std::array<temperature_letter, 7> iso_highest{
    {{'A', 60.0}, {'B', 90.0}, {'C', 120.0}, {'D', 140.0}, {'E', 160.0}, {'F', 180.0}, {'G', 180.0, true}}};
constexpr std::array<std::string_view, 3> iso_environment{"dry", "humid", "water washing"};
constexpr std::array<std::string_view, 3> iso_rust{
    "no rust protection asked for", "rust protection with distilled water", "rust protection with salt water"};

// DIN 51502, the letter after the class. Of each pair the first has the better rating in water.
constexpr std::array<temperature_letter, 14> din_highest{{{'C', 60.0},
                                                          {'D', 60.0},
                                                          {'E', 80.0},
                                                          {'F', 80.0},
                                                          {'G', 100.0},
                                                          {'H', 100.0},
                                                          {'K', 120.0},
                                                          {'M', 120.0, false, true},
                                                          {'N', 140.0, false, true},
                                                          {'P', 160.0, false, true},
                                                          {'R', 180.0, false, true},
                                                          {'S', 200.0, false, true},
                                                          {'T', 220.0},
                                                          {'U', 220.0, true, true}}};

struct named_code {
  std::string_view code;
  std::string_view words;
  std::optional<oil_type> oil{};
};
constexpr std::array<named_code, 4> din_application{{{"K", "rolling and plain bearings, sliding surfaces"},
                                                     {"OG", "open gears"},
                                                     {"G", "enclosed gears"},
                                                     {"M", "plain bearings and seals with lower demands"}}};
// What FK, PH and X stand for is from memory.
constexpr std::array<named_code, 7> din_oil{{{"FK", "fluorinated oil (from memory)"},
                                             {"HC", "synthetic hydrocarbon", oil_type::pao},
                                             {"PG", "polyglycol", oil_type::pag},
                                             {"PH", "phosphoric ester (from memory)"},
                                             {"SI", "silicone", oil_type::silicone},
                                             {"E", "ester", oil_type::ester},
                                             {"X", "another synthetic oil (from memory)"}}};

template <std::size_t N>
std::string letters_of(const std::array<temperature_letter, N>& table) {
  std::string out;
  for (const temperature_letter& row : table) out += (out.empty() ? "" : " ") + std::string(1, row.letter);
  return out;
}

/// A code from left to right; every refusal names the place it was read up to and what is expected there.
class reader {
 public:
  reader(std::string_view text, std::string_view where) : text_(text), where_(where) {
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (text[i] == ' ') continue;
      // Data sheets print the minus as a dash.
      if (text.substr(i, 3) == "\xe2\x80\x93" || text.substr(i, 3) == "\xe2\x88\x92") {
        code_ += '-';
        i += 2;
        continue;
      }
      const char c = text[i];
      code_ += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    }
  }

  bool skip(std::string_view word) {
    if (!rest().starts_with(word)) return false;
    at_ += word.size();
    return true;
  }
  /// Drops what was read so far: a prefix is no part of the code.
  void begin() {
    code_.erase(0, at_);
    at_ = 0;
  }
  std::string_view rest() const { return std::string_view(code_).substr(at_); }
  const std::string& code() const { return code_; }
  void advance(std::size_t n) { at_ += n; }

  [[noreturn]] void refuse(const std::string& expected) const {
    const std::string before = at_ == 0 ? std::string() : " after " + in_quotes(code_.substr(0, at_));
    std::size_t bytes = 1;  // of one character, UTF-8
    while (bytes < rest().size() && (static_cast<unsigned char>(rest()[bytes]) & 0xc0U) == 0x80U) ++bytes;
    const std::string here = in_quotes(rest().substr(0, bytes));
    std::string problem = at_ == 0 ? " begins with " + here : " has " + here + before;
    if (rest().empty()) problem = " ends" + before;
    if (code_.empty()) problem = " is no designation";
    throw input_error(where_, in_quotes(text_) + problem, expected);
  }

  template <std::size_t N>
  const temperature_letter& letter(const std::array<temperature_letter, N>& table, std::string_view what) {
    const auto found = rest().empty() ? table.end() : std::ranges::find(table, rest()[0], &temperature_letter::letter);
    if (found == table.end()) refuse(fmt::format("the letter of the {}: {}", what, letters_of(table)));
    ++at_;
    return *found;
  }

  /// The class: digits, two neighbours joined by a stroke, or by a dash that no temperature follows.
  std::string nlgi(std::string_view example) {
    const std::string_view r = rest();
    const auto digits = [&](std::size_t from) {
      std::size_t end = from;
      while (end < r.size() && r[end] >= '0' && r[end] <= '9') ++end;
      return end;
    };
    std::size_t end = digits(0);
    if (end == 0) refuse(fmt::format("the NLGI class 000 to 6, as in {}", example));
    if (end < r.size() && (r[end] == '/' || r[end] == '-')) {
      const std::size_t second = digits(end + 1);
      const bool joins = r[end] == '/' || (second > end + 1 && second < r.size());
      if (joins) end = second;
    }
    const std::string label(r.substr(0, end));
    try {
      parse_nlgi(label, where_);
    } catch (const input_error&) {
      throw input_error(where_, fmt::format("{} has the class {}", in_quotes(text_), in_quotes(label)),
                        "an NLGI class 000 to 6, or two neighbours such as 00/000");
    }
    at_ += end;
    return label;
  }

  void end(std::string_view after) {
    if (!rest().empty()) refuse(fmt::format("nothing more after {}", after));
  }

 private:
  std::string_view text_;
  std::string_view where_;
  std::string code_{};
  std::size_t at_ = 0;
};

std::string place_words(double t_c, bool open, std::string_view open_word) {
  const std::string t = both_scales(celsius(t_c));
  return open ? fmt::format("{} {}", open_word, t) : t;
}

constexpr std::string_view of_no_line =
    "the code says nothing of metres of line: whether a point is reached is another question";

designation read_iso(reader& r) {
  designation d;
  d.standard = designation_standard::iso_6743_9;
  if (!r.skip("X")) r.refuse("X, which stands for grease, as in XCDEB3");
  const temperature_letter& low = r.letter(iso_lowest, "lowest temperature");
  const temperature_letter& high = r.letter(iso_highest, "highest temperature");
  d.lowest = celsius(low.celsius);
  d.lowest_open = low.open;
  d.highest = celsius(high.celsius);
  d.highest_open = high.open;

  const char environment = r.rest().empty() ? ' ' : r.rest()[0];
  if (environment < 'A' || environment > 'I') r.refuse("the letter of environment and rust: A to I");
  const auto cell = static_cast<std::size_t>(environment - 'A');
  d.water = fmt::format("{}, {}", iso_environment[cell / 3], iso_rust[cell % 3]);
  r.advance(1);

  if (r.skip("B")) {
    d.extreme_pressure = true;
  } else if (!r.skip("A")) {
    r.refuse("A (no EP) or B (EP)");
  }
  d.nlgi = r.nlgi("XCDEB3");
  r.end("the class");

  const auto other = std::ranges::find(iso_highest, low.letter, &temperature_letter::letter);
  d.notes.push_back(fmt::format("one letter means two things by its place: {} as first symbol is {}, as second {}",
                                low.letter, place_words(low.celsius, low.open, "below"),
                                place_words(other->celsius, other->open, "over")));
  if (const auto first = std::ranges::find(iso_lowest, high.letter, &temperature_letter::letter);
      high.letter != low.letter && first != iso_lowest.end())
    d.notes.push_back(fmt::format("{} as second symbol is {}, as first {}", high.letter,
                                  place_words(high.celsius, high.open, "over"),
                                  place_words(first->celsius, first->open, "below")));
  d.notes.emplace_back(of_no_line);
  return d;
}

/// Splits the letters between application and class into P, F and the kinds of oil, each at most once; the longest
/// reading that uses them all ("PHC" is P and HC, "PPH" is P and PH).
bool split_additives(std::string_view letters, designation& d) {
  if (letters.empty()) return true;
  const auto with = [&](std::string_view code, auto set) {
    if (!letters.starts_with(code)) return false;
    designation next = d;
    if (!set(next) || !split_additives(letters.substr(code.size()), next)) return false;
    d = std::move(next);
    return true;
  };
  for (const named_code& o : din_oil) {
    const bool reads = with(o.code, [&](designation& next) {
      if (!next.oil.empty()) return false;
      next.oil = o.words;
      next.oil_type = o.oil;
      return true;
    });
    if (reads) return true;
  }
  return with("P", [](designation& next) { return !std::exchange(next.extreme_pressure, true); }) ||
         with("F", [](designation& next) { return !std::exchange(next.solids, true); });
}

/// "-30" after the upper letter. @return nothing if the code ends before it
std::optional<temperature> read_din_lowest(reader& r, designation& d) {
  if (r.rest().empty()) return std::nullopt;
  constexpr std::string_view expected = "the lowest temperature in C, -10 -20 -30 -40 -50 or -60";
  if (!r.skip("-")) r.refuse(std::string(expected));
  const std::string_view digits = r.rest().substr(0, 2);
  const auto number = to_number(digits);
  if (digits.size() < 2 || !number || !(*number >= 10.0 && *number <= 70.0)) r.refuse(std::string(expected));
  r.advance(2);
  if (*number > 60.0 || static_cast<int>(*number) % 10 != 0)
    d.notes.push_back(fmt::format("{} is no step of the standard (tens from -10 to -60, from memory): read as written",
                                  both_scales(celsius(-*number))));
  return celsius(-*number);
}

/// The letters of a DIN code that would mean something else on the other side of the class.
void note_two_meanings(designation& d, std::string_view before, const temperature_letter& after) {
  const auto upper = [](char letter) {
    const auto found = std::ranges::find(din_highest, letter, &temperature_letter::letter);
    return place_words(found->celsius, found->open, "over") + (found->from_memory ? " (from memory)" : "");
  };
  const auto note = [&](char letter, std::string_view first) {
    const bool stands_before = before.find(letter) != std::string_view::npos;
    if (!stands_before && after.letter != letter) return;
    d.notes.push_back(
        fmt::format("{} means two things: before the class {}, after it up to {}", letter, first, upper(letter)));
  };
  note('K', "rolling and plain bearings");
  note('M', "plain bearings of lower demands");
  note('G', "gears");
  note('P', "EP additives");
  note('F', "solid lubricant");
  note('E', "ester oil");
}

designation read_din(reader& r) {
  designation d;
  d.standard = designation_standard::din_51502;
  const auto application =
      std::ranges::find_if(din_application, [&](const named_code& a) { return r.rest().starts_with(a.code); });
  if (application == din_application.end())
    r.refuse("a code of ISO 6743-9, which begins with X, or of DIN 51502, which begins with K, G, OG or M");
  d.application = application->words;
  r.advance(application->code.size());

  const std::size_t letters = std::min(r.rest().find_first_of("0123456789-/"), r.rest().size());
  const std::string_view additives = r.rest().substr(0, letters);
  if (!split_additives(additives, d)) {
    // The longest part that can be read shows the first letter that cannot.
    std::size_t good = letters;
    designation trial;
    while (!split_additives(additives.substr(0, good), trial)) --good;
    r.advance(good);
    r.refuse("P, F, one oil of E FK HC PG PH SI X, or the NLGI class");
  }
  std::string marks;  // single letters of the code before the class, those of a two-letter oil left out
  marks += application->code == "OG" ? "G" : application->code;
  if (d.extreme_pressure) marks += 'P';
  if (d.solids) marks += 'F';
  if (d.oil == "ester") marks += 'E';
  r.advance(letters);

  d.nlgi = r.nlgi("KP2K-30");
  const temperature_letter& high = r.letter(din_highest, "highest temperature and of water");
  d.highest = celsius(high.celsius);
  d.highest_open = high.open;
  const std::string_view memory = high.from_memory ? " (from memory)" : "";
  if (high.celsius > 120.0) {
    d.water = "by agreement (from memory)";
  } else if (std::string_view("CEGK").find(high.letter) != std::string_view::npos) {
    d.water = "rating 0-40 or 1-40 by DIN 51807-1, the better of the two";
  } else {
    d.water = fmt::format("rating 2-40 or 3-40 by DIN 51807-1, the lesser of the two{}", memory);
  }
  if (high.from_memory)
    d.notes.push_back(fmt::format("what the letter {} stands for is quoted from memory", high.letter));
  d.lowest = read_din_lowest(r, d);
  r.end("the lowest temperature");

  note_two_meanings(d, marks, high);
  if (d.lowest) {
    d.notes.emplace_back(
        "the lowest temperature of DIN is one at which the grease can be pressed through a short "
        "nozzle with 1400 hPa (from memory)");
  } else {
    d.notes.emplace_back("the code ends without a lowest temperature, such as -30: it claims nothing for the cold");
  }
  d.notes.emplace_back(of_no_line);
  return d;
}

bool overlap(const nlgi_label& a, const nlgi_label& b) { return a.soft <= b.stiff && b.soft <= a.stiff; }

}  // namespace

designation parse_designation(std::string_view text, std::string_view where) {
  reader r(text, where);
  const bool named_iso = r.skip("ISO6743-9");
  const bool named_din = !named_iso && r.skip("DIN51502");
  if (named_iso || named_din) r.skip(":");
  if (!named_din && (r.skip("ISO-L-") || r.skip("L-"))) {
    r.begin();
    if (!r.rest().starts_with('X')) r.refuse("X, which stands for grease, as in XCDEB3");
  }
  r.begin();
  designation d = named_iso || (!named_din && r.rest().starts_with('X')) ? read_iso(r) : read_din(r);
  d.code = r.code();
  return d;
}

designated_evidence with_designation(const evidence& known) {
  designated_evidence out{known, {}};
  if (known.designation.empty()) return out;
  const designation d = parse_designation(known.designation, "designation");
  const nlgi_label coded = parse_nlgi(d.nlgi, "designation");
  evidence& e = out.known;
  if (e.penetration) {
    const int lower = nlgi_classes[coded.stiff].lower, upper = nlgi_classes[coded.soft].upper;
    if (*e.penetration < lower || *e.penetration > upper)
      out.notes.push_back(
          fmt::format("the designation {} says NLGI {}, which is a penetration of {} to {}; {:g} is "
                      "given and used",
                      d.code, d.nlgi, lower, upper, *e.penetration));
  } else if (!e.nlgi.empty()) {
    if (!overlap(coded, parse_nlgi(e.nlgi, "nlgi")))
      out.notes.push_back(
          fmt::format("the designation {} says NLGI {}, the label says {}: the label is used", d.code, d.nlgi, e.nlgi));
  } else {
    e.nlgi = d.nlgi;
    e.sources.push_back({"nlgi", "designation " + d.code});
    out.notes.push_back(fmt::format("NLGI {} is taken from the designation {}", d.nlgi, d.code));
  }
  if (d.oil_type && !e.oil) {
    e.oil = d.oil_type;
    e.sources.push_back({"oil_type", "designation " + d.code});
    out.notes.push_back(fmt::format("the oil is taken as {} from the designation {}", name_of(*d.oil_type), d.code));
  } else if (d.oil_type && *d.oil_type != *e.oil) {
    out.notes.push_back(fmt::format("the designation {} says {} oil, the record says {}: the record is used", d.code,
                                    name_of(*d.oil_type), name_of(*e.oil)));
  }
  if (d.solids && (!e.solids || e.solids->empty())) {
    out.notes.push_back(fmt::format("the designation {} says that the grease holds solid lubricant, the record {}",
                                    d.code, e.solids ? "says none: taken as not stated" : "does not state it"));
    e.solids.reset();
  }
  return out;
}

}  // namespace coldgrease::inline v0
