#include "coldgrease/grease/compatibility.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <numeric>
#include <tuple>

#include "base/json_node.hpp"
#include "coldgrease/base/tables.hpp"
#include "coldgrease/grease/substances.hpp"

namespace coldgrease::inline v0 {

namespace {

std::size_t position(const detail::json_node& node, std::string_view text, const std::vector<std::string>& known) {
  const auto found = std::ranges::find(known, text);
  if (found == known.end()) {
    std::string names;
    for (const std::string& k : known) names += (names.empty() ? "" : ", ") + k;
    node.refuse(in_quotes(text) + " is not explained by this table", "one of " + names);
  }
  return static_cast<std::size_t>(found - known.begin());
}

std::array<int, 3> read_votes(const detail::json_node& node) {
  std::array<int, 3> votes{};
  const auto votes_for = [&](std::string_view text) -> int& {
    const auto word = node.at([&] { return parse_word<mix_word>(text, {}); });
    return votes[static_cast<std::size_t>(word)];
  };
  if (node.is_object()) {
    for (const auto& [word, count] : node.members()) {
      int& votes_of_word = votes_for(word);
      votes_of_word = count.whole_number(0, 1000);
    }
    if (std::accumulate(votes.begin(), votes.end(), 0) == 0) node.refuse("counts no chart", "a count above 0");
    return votes;
  }
  votes_for(node.text()) = 1;
  return votes;
}

std::string names_of(const compatibility_table& table) {
  std::string out;
  for (const thickener_class& t : table.thickeners) out += (out.empty() ? "" : ", ") + t.name;
  return out;
}

}  // namespace

std::optional<mix_word> chart_word::only() const {
  std::optional<mix_word> word;
  for (std::size_t i = 0; i < votes.size(); ++i) {
    if (votes[i] == 0) continue;
    if (word) return std::nullopt;
    word = static_cast<mix_word>(i);
  }
  return word;
}

compatibility_table read_compatibility(const source& file) {
  const detail::json_document document(file);
  const detail::json_node root = document.root();
  root.only({"schema", "about", "source", "charts", "thickeners", "rows"});
  root.need("schema").whole_number(1, 1);

  compatibility_table table;
  std::vector<std::string> charts, thickeners, spellings;
  for (const detail::json_node& node : root.need("charts").items()) {
    node.only({"chart", "source"});
    table.charts.push_back({node.need("chart").text(), node.need("source").text()});
    if (std::ranges::find(charts, table.charts.back().name) != charts.end())
      node.refuse("two charts are called " + in_quotes(table.charts.back().name), "distinct names");
    charts.push_back(table.charts.back().name);
  }
  for (const detail::json_node& node : root.need("thickeners").items()) {
    node.only({"name", "also"});
    thickener_class t{node.need("name").text(), {}};
    if (const auto also = node.find("also")) {
      for (const detail::json_node& other : also->items()) t.also.push_back(other.text());
    }
    std::vector<std::string> own{detail::plain_name(t.name)};
    for (const std::string& other : t.also) own.push_back(detail::plain_name(other));
    for (const std::string& spelling : own) {
      if (std::ranges::any_of(spellings, [&](const std::string& s) { return detail::same_letters(s, spelling); }))
        node.refuse(in_quotes(spelling) + " stands for two thickeners", "distinct names");
    }
    spellings.insert(spellings.end(), own.begin(), own.end());
    thickeners.push_back(t.name);
    table.thickeners.push_back(std::move(t));
  }
  for (const detail::json_node& node : root.need("rows").items()) {
    node.only({"pair", "says"});
    const auto pair = node.need("pair").items();
    if (pair.size() != 2) node.need("pair").refuse(fmt::format("names {} thickeners", pair.size()), "two");
    thickener_pair row;
    std::tie(row.first, row.second) =
        std::minmax({position(pair[0], pair[0].text(), thickeners), position(pair[1], pair[1].text(), thickeners)});
    for (const thickener_pair& earlier : table.pairs) {
      if (earlier.first == row.first && earlier.second == row.second)
        node.need("pair").refuse("stands twice", "each pair once, in either order");
    }
    for (const auto& [chart, said] : node.need("says").members())
      row.says.push_back({position(said, chart, charts), read_votes(said)});
    if (row.says.empty()) node.need("says").refuse("is empty", "one chart or more");
    std::ranges::sort(row.says, {}, &chart_word::chart);
    table.pairs.push_back(std::move(row));
  }
  return table;
}

compatibility_table compatibility_charts() { return read_compatibility(find_table("compatibility.json").file); }

std::optional<std::size_t> thickener_of(std::string_view name, const compatibility_table& table) {
  return thickener_names(table).find(name);
}

compatibility_answer compatibility(std::string_view first, std::string_view second, const compatibility_table& table) {
  compatibility_answer answer;
  answer.first = first;
  answer.second = second;
  const auto a = thickener_of(first, table), b = thickener_of(second, table);
  if (a) answer.first_class = table.thickeners[*a].name;
  if (b) answer.second_class = table.thickeners[*b].name;

  if (a && b) {
    const auto row = std::ranges::find_if(table.pairs, [&](const thickener_pair& p) {
      return p.first == std::min(*a, *b) && p.second == std::max(*a, *b);
    });
    if (row != table.pairs.end()) {
      answer.agreement = chart_agreement::agree;
      answer.word = row->says.front().only();
      for (const chart_word& w : row->says) {
        answer.charts.push_back({table.charts[w.chart].name, table.charts[w.chart].source, w.votes});
        if (!w.only() || w.only() != answer.word) answer.agreement = chart_agreement::disagree;
      }
      if (answer.agreement == chart_agreement::disagree) answer.word.reset();
    }
  }

  switch (answer.agreement) {
    case chart_agreement::agree:
      if (answer.charts.size() == 1) answer.notes.emplace_back("one chart only speaks of this pair");
      break;
    case chart_agreement::disagree:
      answer.notes.emplace_back("the charts contradict each other: take the pair as not compatible until it is tested");
      break;
    case chart_agreement::unknown:
      if (first.empty() || second.empty()) {
        answer.notes.emplace_back("a grease whose thickener is not known can be compared with none");
      } else if (a && b) {
        answer.notes.push_back(fmt::format("no chart of the table speaks of {} with {}",
                                           std::min(answer.first_class, answer.second_class),
                                           std::max(answer.first_class, answer.second_class)));
      } else {
        answer.notes.push_back("the table knows these thickeners: " + names_of(table));
      }
      break;
  }
  if (answer.agreement != chart_agreement::agree)
    answer.notes.emplace_back(
        "a review of 17 charts found 25 names of thickeners, only three of them in all 17 "
        "(machinerylubrication.com/Read/30727)");
  answer.notes.emplace_back(
      "a chart sees thickeners only: base oil and additives count as well, and a mixture mostly softens, sometimes "
      "hardens or lets go of its oil");
  answer.notes.emplace_back(
      "a test by ASTM D6185 decides: dropping point, worked penetration after 100,000 strokes, and its change in hot "
      "storage, of mixtures against the two greases alone");
  return answer;
}

}  // namespace coldgrease::inline v0
