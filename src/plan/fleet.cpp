#include "coldgrease/plan/fleet.hpp"

#include "base/format.hpp"

#include "coldgrease/grease/consistency.hpp"

namespace coldgrease::inline v0 {

void validate(const policy& p) {
  constexpr double most_money = 1e9;  // sums of a fleet stay numbers
  check_confidence(p.confidence, "confidence");
  if (!(p.share > 0.0 && p.share <= 0.1))
    throw input_error("share", fmt::format("{}", p.share), "above 0 and at most 0.1");
  if (!(p.return_years >= 2.0 && p.return_years <= 100.0))
    throw input_error("return_years", fmt::format("{}", p.return_years), "2 to 100");
  if (p.seasons < 1 || p.seasons > 4) throw input_error("seasons", fmt::format("{}", p.seasons), "1 to 4");
  if (!(p.risk > 0.0 && p.risk <= 0.5)) throw input_error("risk", fmt::format("{}", p.risk), "above 0 and at most 0.5");
  for (const double cost : {p.costs.changeover, p.costs.starved}) {
    if (!(cost >= 0.0 && cost <= most_money)) throw input_error("costs", fmt::format("{}", cost), "0 to 1e9");
  }
  if (!(in_days(p.carry_over) > 0.0)) throw input_error("carry_over", "is not above 0", "a time");
  if (p.softest_in_heat) parse_nlgi(p.softest_in_heat->nlgi, "softest_in_heat");
}

}  // namespace coldgrease::inline v0
