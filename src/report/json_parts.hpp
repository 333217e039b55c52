// What the JSON of every stage is made of: SI numbers, null for what does not exist.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/format.hpp"
#include "base/parallel.hpp"
#include "coldgrease/report/json.hpp"

namespace coldgrease::inline v0::detail {

using json = nlohmann::ordered_json;

/// One object on one line; a name that is no UTF-8 is written with replacement characters, not refused.
inline std::string line_of(const json& j) { return j.dump(-1, ' ', false, json::error_handler_t::replace); }

/// Null for what does not exist, the number in the unit of the key for what does.
template <class Value, class Read>
json maybe(const std::optional<Value>& value, Read read) {
  return value ? json(read(*value)) : json(nullptr);
}

inline double deg_c(temperature t) { return t.in_celsius(); }
inline double plain(double v) { return v; }
/// Without the last digits that the factor of a unit leaves: 100 mm2/s as stated, not 99.99999999999999.
inline double stated_mm2_per_s(kinematic_viscosity v) {
  const double exact = in_mm2_per_s(v), scale = std::pow(10.0, 11.0 - std::floor(std::log10(exact)));
  return std::round(exact * scale) / scale;
}
inline std::string text_of_date(const date& d) { return text_of(d); }

/// Of an object. What stands in braces is const, and would be copied with all that is in it.
struct member {
  const char* key;
  mutable json value;
};
inline json object(std::initializer_list<member> members) {
  json j = json::object();
  for (const member& m : members) j[m.key] = std::move(m.value);
  return j;
}

template <class Range, class Write>
json list(const Range& range, Write write) {
  json j = json::array();
  for (const auto& element : range) j.push_back(write(element));
  return j;
}

/// The text of an object, written member by member and its long lists element by element: the tree of a whole fleet
/// would take many times the room of its text.
class object_text {
 public:
  void add(std::string_view key, const json& value) { add_text(key, line_of(value)); }
  /// @param value  written as JSON already
  void add_text(std::string_view key, std::string_view value) {
    name(key);
    text_ += value;
  }
  /// @param jobs  threads that write; 0: one a core
  template <class Element, class Write>
  void add_list(std::string_view key, const std::vector<Element>& elements, Write write, int jobs = 1) {
    name(key);
    text_ += '[';
    write_in_order(
        elements.size(), jobs, [&](std::size_t i) { return line_of(write(elements[i])); },
        [&](std::string_view element) {
          if (text_.back() != '[') text_ += ',';
          text_ += element;
        });
    text_ += ']';
  }
  std::string finish() { return std::move(text_) + '}'; }

 private:
  void name(std::string_view key) {
    if (text_.size() > 1) text_ += ',';
    text_ += line_of(json(key)) + ':';
  }
  std::string text_ = "{";
};

/// "09-12".
inline json day_json(const day_of_year& d) { return fmt::format("{:02}-{:02}", d.month, d.day); }

inline json exclusion_json(exclusion by) { return by == exclusion::none ? json(nullptr) : json(name_of(by)); }

inline json text_or_null(const std::string& text) { return text.empty() ? json(nullptr) : json(text); }

/// What to_json has written, as a part of something larger.
inline json part_of(const std::string& written) { return json::parse(written); }

/// The plan. @param stock  the list that the answer's indices point into
/// A fill, and a route's year, alike in every answer.
json fill_json(const fill& f, std::span<const grease> stock);
json choice_json(const choice& c, std::span<const grease> stock);
std::string plan_text(const plan_answer& a, std::span<const installation> installations, std::span<const grease> stock);
/// A reading beside what is believed without it. @param f  whose reading it is
json judged_json(const judged_reading& j, const fleet& f);

inline json compatibility_json(const compatibility_answer& a) {
  const auto said = [](const compatibility_answer::said& s) {
    json votes = json::object();
    for (std::size_t w = 0; w < s.votes.size(); ++w) votes[std::string(name_of(static_cast<mix_word>(w)))] = s.votes[w];
    return object({{"chart", s.chart}, {"votes", votes}, {"source", s.source}});
  };
  return object({{"old", text_or_null(a.first)},
                 {"new", text_or_null(a.second)},
                 {"old_class", text_or_null(a.first_class)},
                 {"new_class", text_or_null(a.second_class)},
                 {"agreement", name_of(a.agreement)},
                 {"word", maybe(a.word, [](mix_word w) { return name_of(w); })},
                 {"charts", list(a.charts, said)},
                 {"notes", a.notes}});
}

/// Data beside a description, each with what it did.
inline json data_json(const std::vector<used_datum>& data) {
  return list(data, [](const used_datum& d) {
    return object({{"datum", name_of(d.kind)},
                   {"says", d.says},
                   {"temperature_C", deg_c(d.at)},
                   {"over_reference", d.over_reference},
                   {"spread_90_without", d.spread_90_without},
                   {"spread_90", d.spread_90}});
  });
}

/// What would narrow an answer most.
inline json worth_json(const std::optional<worth>& w) {
  return maybe(w, [](const worth& found) {
    return object({{"datum", name_of(found.datum)},
                   {"temperature_C", maybe(found.at, deg_c)},
                   {"rate_1_s", maybe(found.rate, in_per_second)},
                   {"spread_90_without", found.spread_90_without},
                   {"spread_90", found.spread_90},
                   {"coldest_without_C", maybe(found.coldest_without, deg_c)},
                   {"coldest_C", maybe(found.coldest, deg_c)}});
  });
}

/// The oils before and after a change of grease.
inline json oils_json(const oil_change& c) {
  const auto pair = [](const oil_pair& p) {
    return object({{"temperature_C", deg_c(p.temperature)},
                   {"before_mm2_s", maybe(p.from, stated_mm2_per_s)},
                   {"after_mm2_s", maybe(p.to, stated_mm2_per_s)},
                   {"ratio", maybe(p.ratio, plain)}});
  };
  return object({{"step", name_of(c.step)}, {"warm", pair(c.warm)}, {"cold", pair(c.cold)}});
}

}  // namespace coldgrease::inline v0::detail
