#include "plan/policy_json.hpp"

#include "grease/grease_json.hpp"

namespace coldgrease::inline v0::detail {

namespace {

// Ranges as validate(policy) has them.

struct confidence_range {
  static constexpr double least = least_confidence, most = most_confidence;
  static constexpr bool above = false;
  static constexpr std::string_view expected = "0.55 to 0.99";
};
struct month_share_range {
  static constexpr double least = 0.0, most = 0.1;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 0.1";
};
struct years_range {
  static constexpr double least = 2.0, most = 100.0;
  static constexpr bool above = false;
  static constexpr std::string_view expected = "2 to 100";
};
struct risk_range {
  static constexpr double least = 0.0, most = 0.5;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 0.5";
};
struct line_volumes_range {
  static constexpr double least = 1.0, most = 10.0;
  static constexpr bool above = false;
  static constexpr std::string_view expected = "1 to 10";
};

}  // namespace

const record_table<heat_limit>& heat_limit_table() {
  using r = heat_limit;
  static constexpr std::array keys{needed<r, &r::nlgi, nlgi_kind>("nlgi", "softest class"),
                                   needed<r, &r::above, quantity_kind<temperature, measure::air_temperature>>(
                                       "above", "on days whose hottest hours are above this")};
  static constexpr record_table<r> table{"heat_limit", "the owner's own limit for summer", keys};
  return table;
}

const record_table<plan_costs>& costs_table() {
  using r = plan_costs;
  static constexpr std::array keys{
      field<r, &r::changeover, money_kind>("changeover", "labour of one vehicle's change", "not stated"),
      field<r, &r::starved, money_kind>("starved", "of a winter in which a point of one vehicle runs dry",
                                        "not stated: no risk in money")};
  static constexpr record_table<r> table{"costs", "in the currency of the prices", keys};
  return table;
}

const record_table<policy>& policy_table() {
  using r = policy;
  static constexpr std::array keys{
      field<r, &r::confidence, number_kind<confidence_range>>("confidence", "chance of flow that is asked for", "0.8"),
      field<r, &r::share, number_kind<month_share_range>>(
          "share", "of the hours of 31 days that may be colder than their middle is judged at", "0.01"),
      field<r, &r::return_years, number_kind<years_range>>("return_years", "of the minimum shown beside it", "10"),
      field<r, &r::fills, whole_kind<1, 4>>("fills", "most fills a year", "2"),
      field<r, &r::prefer, word_kind<preference>>("prefer", "of all that passes", "stiffest"),
      field<r, &r::carry_over, quantity_kind<duration, measure::carry_over>>(
          "carry_over", "how long old grease lasts where it is not known", "90 days"),
      field<r, &r::line_volumes, number_kind<line_volumes_range>>(
          "line_volumes", "of a line that must pass before its old grease counts as used up", "1"),
      field<r, &r::at_change, word_kind<change_practice>>("at_change", "what is done with the old grease",
                                                          "emptied, and purged where that gives no answer"),
      field<r, &r::softest_in_heat, record_kind<heat_limit, &heat_limit_table>>(
          "softest_in_heat", "the owner's own limit for summer", "none"),
      field<r, &r::risk, number_kind<risk_range>>("risk", "yearly, that cold comes before a change-over date", "0.1"),
      field<r, &r::costs, record_kind<plan_costs, &costs_table>>("costs", "beside the grease", "none")};
  static constexpr record_table<r> table{"policy", "how careful to be, and how a year is cut", keys};
  return table;
}

}  // namespace coldgrease::inline v0::detail
