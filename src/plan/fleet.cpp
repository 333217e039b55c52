#include "coldgrease/plan/fleet.hpp"

#include "base/format.hpp"

#include "coldgrease/grease/consistency.hpp"

namespace coldgrease::inline v0 {

void validate(const policy& p) {
  check_confidence(p.confidence, "confidence");
  if (!(p.share > 0.0 && p.share <= 0.1))
    throw input_error("share", fmt::format("{}", p.share), "above 0 and at most 0.1");
  if (!(p.return_years >= 2.0 && p.return_years <= 100.0))
    throw input_error("return_years", fmt::format("{}", p.return_years), "2 to 100");
  if (p.fills < 1 || p.fills > 4) throw input_error("fills", fmt::format("{}", p.fills), "1 to 4");
  if (!(p.risk > 0.0 && p.risk <= 0.5)) throw input_error("risk", fmt::format("{}", p.risk), "above 0 and at most 0.5");
  if (!(p.line_volumes >= 1.0 && p.line_volumes <= 10.0))
    throw input_error("line_volumes", fmt::format("{}", p.line_volumes), "1 to 10");
  if (!(in_days(p.carry_over) > 0.0)) throw input_error("carry_over", "is not above 0", "a time");
  if (p.softest_in_heat) parse_nlgi(p.softest_in_heat->nlgi, "softest_in_heat");
}

std::string currency_of(std::span<const evidence> greases, const policy& p) {
  std::string all, first;
  const auto take = [&](const std::string& currency, const std::string& of) {
    if (all.empty()) {
      all = currency;
      first = of;
    } else if (currency != all) {
      throw input_error(of, "is in " + currency, fmt::format("{}, as {}", all, first));
    }
  };
  for (const evidence& e : greases) {
    if (e.price) take(e.price->currency, "the price of " + e.name);
    if (e.pack_price) take(e.pack_price->currency, "the price of a pack of " + e.name);
  }
  if (p.costs.changeover) take(p.costs.changeover->currency, "the cost of a change-over");
  if (p.costs.starved) take(p.costs.starved->currency, "the cost of a starved winter");
  return all;
}

void need_prices(std::span<const evidence> greases, const policy& p) {
  constexpr std::string_view expected = "a price of every grease and costs.changeover, or \"stiffest\"";
  for (const evidence& e : greases) {
    if (!e.price && !e.pack_price)
      throw input_error("prefer", "\"cheapest\", and " + e.name + " has no price", expected);
  }
  if (!p.costs.changeover) throw input_error("prefer", "\"cheapest\", and no change-over has a cost", expected);
}

}  // namespace coldgrease::inline v0
