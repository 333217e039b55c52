// The words of every enumeration that has some, down to the last stage that has one of its own.
#include "coldgrease/base/words.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "coldgrease/grease/known_by.hpp"
#include "coldgrease/line/limit_curve.hpp"
#include "coldgrease/report/html.hpp"
#include "coldgrease/report/text.hpp"
#include "report/words.hpp"

using namespace coldgrease;

namespace {

template <class... Enums>
struct enumerations {};

constexpr enumerations<season_start, date_grade, safer_record, series_kind, oil_type, oil_knowledge, solid_lubricant,
                       mix_word, chart_agreement, breach_kind, oil_step, exclusion, penetration_method, cone_scale,
                       designation_standard, rate_kind, dry_points, level_sign, fault, dose_fault, feed_kind, drawn_as,
                       system_type, tube_material, verdict, missing_datum, unit_system, page_reader, known_by>
    all;

/// Calls `look.template operator()<Enum>()` for each.
template <class... Enums, class Look>
void for_each(enumerations<Enums...>, Look look) {
  (look.template operator()<Enums>(), ...);
}

}  // namespace

TEST_CASE("words: law: what a value is called reads back to it") {
  for_each(all, []<worded Enum>() {
    for (const auto& word : words_of<Enum>::table) {
      CAPTURE(word.text);
      CHECK(name_of(word.value) == word.text);
      CHECK(parse_word<Enum>(word.text, "word") == word.value);
    }
  });
}

TEST_CASE("words: law: a table has every value from the first on, each with a word of its own") {
  for_each(all, []<worded Enum>() {
    std::vector<std::string_view> texts(word_list<Enum>.begin(), word_list<Enum>.end());
    CAPTURE(alternatives(texts));
    for (std::size_t i = 0; i < texts.size(); ++i) {
      CHECK(static_cast<std::size_t>(words_of<Enum>::table[i].value) == i);
      CHECK_FALSE(texts[i].empty());
    }
    CHECK(name_of(static_cast<Enum>(texts.size())).empty());
    std::ranges::sort(texts);
    CHECK(std::ranges::adjacent_find(texts) == texts.end());
  });
}

TEST_CASE("words: law: a word that is told apart as mistaken is none") {
  for (const mistaken_word& m : words_of<oil_type>::mistaken) {
    CHECK_FALSE(find_word<oil_type>(m.text));
    CHECK_THROWS_AS(parse_word<oil_type>(m.text, "--oil-type"), input_error);
  }
}

TEST_CASE("words: law: a chance below what is asked for never looks like it") {
  CHECK(detail::chance_beside(0.8457, 0.8) == "chance 0.85, 0.80 asked for");
  CHECK(detail::chance_beside(0.8, 0.8) == "chance 0.80, 0.80 asked for");
  CHECK(detail::chance_beside(0.7994, 0.8) == "chance 0.799, 0.80 asked for");
  CHECK(detail::chance_beside(0.79996, 0.8) == "chance 0.79996, 0.80 asked for");
  CHECK(detail::chance_beside(0.9999, 0.99) == "chance 0.99, 0.99 asked for");
}
