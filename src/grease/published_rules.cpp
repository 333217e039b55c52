#include "coldgrease/grease/published_rules.hpp"

#include <algorithm>

#include "base/json_node.hpp"
#include "coldgrease/base/tables.hpp"
#include "coldgrease/grease/consistency.hpp"

namespace coldgrease::inline v0 {

std::vector<published_rule> read_published_rules(const source& file) {
  const detail::json_document document(file);
  std::vector<published_rule> rules;
  for (const detail::json_node& row : detail::table_rows(document.root())) {
    row.only({"rule", "source", "system", "steps"});
    published_rule rule{row.need("rule").text(), row.need("source").text(), {}, {}};
    if (const auto system = row.find("system")) rule.system = system->text();
    for (const detail::json_node& node : row.need("steps").items()) {
      node.only({"from", "to", "classes", "says"});
      rule_step step;
      if (const auto from = node.find("from")) step.from = from->quantity<temperature>(measure::air_temperature);
      if (const auto to = node.find("to")) step.to = to->quantity<temperature>(measure::air_temperature);
      if (step.from && step.to && !(*step.from < *step.to))
        node.refuse("\"from\" is not below \"to\"", "a range of temperature");
      for (const detail::json_node& label : node.need("classes").items()) {
        step.classes.push_back(label.text());
        label.at([&] { return parse_nlgi(step.classes.back(), {}); });
      }
      step.says = node.need("says").text();
      rule.steps.push_back(std::move(step));
    }
    rules.push_back(std::move(rule));
  }
  return rules;
}

std::vector<published_rule> published_rules() { return read_published_rules(find_table("published_rules.json").file); }

std::vector<rule_answer> rules_at(std::span<const published_rule> rules, temperature at, std::string_view system) {
  const temperature_step rounding = kelvins(1e-6);  // of 20 F in degrees Celsius
  std::vector<rule_answer> answers;
  for (std::size_t r = 0; r < rules.size(); ++r) {
    if (!rules[r].system.empty() && rules[r].system != system) continue;
    for (std::size_t s = 0; s < rules[r].steps.size(); ++s) {
      const rule_step& step = rules[r].steps[s];
      if ((!step.from || at >= *step.from - rounding) && (!step.to || at <= *step.to + rounding))
        answers.push_back({r, s});
    }
  }
  return answers;
}

}  // namespace coldgrease::inline v0
