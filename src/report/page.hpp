// The parts of the page, one file for each kind: what is decided, the purchase, the workshop, the lines and greases,
// and what all of it stands on.
#pragma once

#include <initializer_list>
#include <span>
#include <string>
#include <string_view>

#include "coldgrease/report/html.hpp"
#include "report/markup.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0::detail {

/// What a section is written from, and where to.
struct page {
  const dossier& d;
  const fleet& f;
  std::span<const grease> stock;
  unit_system units;
  int jobs;  // threads that write where a section has parts enough
  markup& out;

  std::string grease_name(std::size_t g) const { return name_with_oil(stock[g]); }
  const installation& system(std::size_t i) const { return f.installations[i]; }

  /// A quantity in both systems, the page's own first: "85 bar (1233 psi)".
  template <class Quantity>
  std::string both(Quantity q) const {
    return pair_of(words(q, units), words(q, other()));
  }
  std::string dose(volume v) const { return pair_of(dose_words(v, units), dose_words(v, other())); }
  std::string run(length l) const { return pair_of(run_words(l, units), run_words(l, other())); }
  std::string weight(mass m) const;
  std::string degrees(temperature t) const;
  std::string step(temperature_step s) const;

  /// "a (b)", broken nowhere but between the two.
  static std::string pair_of(std::string_view first, std::string_view second);
  unit_system other() const { return units == unit_system::si ? unit_system::us : unit_system::si; }

  /// What is written between them stands side by side where there is room.
  void begin_pair() { out.open("div", {{"class", "pair"}}).open("div"); }
  void next_of_pair() { out.close().open("div"); }
  void end_pair() { out.close().close(); }
  /// A cell or a caption; a name without blanks may be broken there, else it would make its table wider than paper.
  void cell(std::string_view tag, std::string_view words, markup::attributes a = {});
  void paragraph(std::string_view words, std::string_view kind = {});
  void bullets(std::span<const std::string> sentences);
  /// A finished picture; on a narrow screen it is moved in its frame, not the page.
  void figure(const std::string& svg, std::string_view name);
};

/// A table that says what it is; columns that hold numbers are set to the right.
class page_table {
 public:
  struct column {
    std::string_view title;
    bool number = false;
  };
  page_table(page& p, std::string_view caption, std::initializer_list<column> columns);
  ~page_table() { p_.out.close().close().close(); }
  page_table(const page_table&) = delete;
  page_table& operator=(const page_table&) = delete;

  /// A row; the first cell names it. `strong` marks it.
  void row(std::initializer_list<std::string_view> cells, bool strong = false);
  /// The same with a finished picture in the last cell.
  void row_with(std::initializer_list<std::string_view> cells, const std::string& svg, bool strong);

 private:
  void cells_of(std::initializer_list<std::string_view> cells);

  page& p_;
  std::vector<column> columns_;
};

// The parts of the page: their headings and order stand in html.cpp.
void write_decision(page& p);
void write_order(page& p);
void write_purchase(page& p);
void write_seasons(page& p);
void write_changeovers(page& p);
void write_workshop(page& p);
void write_lines(page& p);
void write_evidence(page& p);
void write_basis(page& p);
void write_others(page& p);
void write_cautions(page& p);

}  // namespace coldgrease::inline v0::detail
