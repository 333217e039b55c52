// Whether two thickeners may meet: what published charts say, side by side and with their disagreement.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/source.hpp"
#include "coldgrease/base/words.hpp"

namespace coldgrease::inline v0 {

/// The three words of the charts, best first.
enum class mix_word { compatible, borderline, incompatible };
template <>
struct words_of<mix_word> {
  using enum mix_word;
  static constexpr std::string_view what = "word of a chart";
  static constexpr word_for<mix_word> table[]{
      {compatible, "compatible"}, {borderline, "borderline"}, {incompatible, "incompatible"}};
};

/// One published chart, or a review that counted many.
struct mixing_chart {
  std::string name{};
  std::string source{};
};

/// A thickener under the name of the table, and the other names that people write.
struct thickener_class {
  std::string name{};
  std::vector<std::string> also{};
};

/// What one chart says of a pair: one vote, or, for a review, the number of charts behind each word.
struct chart_word {
  std::size_t chart = 0;                 // index into the charts of the table
  std::array<int, 3> votes{};            // by mix_word
  std::optional<mix_word> only() const;  // the word, if every vote is for the same
};

/// A pair, stored once: first <= second, indices into the thickeners of the table.
struct thickener_pair {
  std::size_t first = 0;
  std::size_t second = 0;
  std::vector<chart_word> says{};
};

struct compatibility_table {
  std::vector<mixing_chart> charts{};
  std::vector<thickener_class> thickeners{};
  std::vector<thickener_pair> pairs{};
};

/// Reads a table. @throws file_error for a pair that stands twice, in either order, a word that is none of the three, a
/// name of two thickeners, and any name that the table does not explain
compatibility_table read_compatibility(const source& file);
/// The table in force (find_table).
compatibility_table compatibility_charts();

/// Index of the thickener a name stands for, as substance_names compares them.
std::optional<std::size_t> thickener_of(std::string_view name, const compatibility_table& table);

/// How far the charts speak with one voice of a pair.
enum class chart_agreement { unknown, agree, disagree };
template <>
struct words_of<chart_agreement> {
  using enum chart_agreement;
  static constexpr std::string_view what = "agreement of charts";
  static constexpr word_for<chart_agreement> table[]{
      {unknown, "unknown"}, {agree, "charts agree"}, {disagree, "charts disagree"}};
};

struct compatibility_answer {
  struct said {
    std::string chart{};
    std::string source{};
    std::array<int, 3> votes{};
  };
  std::string first{};  // as asked
  std::string second{};
  std::string first_class{};  // as the table calls it; empty for a name it does not know
  std::string second_class{};
  chart_agreement agreement = chart_agreement::unknown;
  std::optional<mix_word> word{};  // where the charts agree
  std::vector<said> charts{};      // those that speak of the pair, in the order of the table
  std::vector<std::string> notes{};
};

/// The answer is the same in either order. It is never a bare yes: base oil and additives count as well, and a test by
/// ASTM D6185 decides. A pair that no chart speaks of, and a thickener the table does not know, are unknown.
compatibility_answer compatibility(std::string_view first, std::string_view second, const compatibility_table& table);

}  // namespace coldgrease::inline v0
