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
      if (const auto from = node.find("from")) step.from = from->quantity<temperature>();
      if (const auto to = node.find("to")) step.to = to->quantity<temperature>();
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
  std::vector<rule_answer> answers;
  for (const published_rule& rule : rules) {
    if (!rule.system.empty() && rule.system != system) continue;
    const auto holds = [&](const rule_step& s) { return (!s.from || at >= *s.from) && (!s.to || at < *s.to); };
    const auto step = std::ranges::find_if(rule.steps, holds);
    if (step != rule.steps.end()) answers.push_back({rule.name, step->says, rule.source, step->classes});
  }
  return answers;
}

}  // namespace coldgrease::inline v0
