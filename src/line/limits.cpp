#include "coldgrease/line/limits.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

namespace detail {

namespace {

/// Smallest x in (0, inf) with falling(x) <= 0, by decades from 1: the function falls with x. Nothing if there is none
/// within the decades, or if the function is not finite on the way.
template <class Function>
std::optional<double> first_below(Function falling) {
  double low = 0.0, high = 0.0;  // ln x
  const double step = std::log(10.0);
  constexpr int decades = 12;
  if (falling(1.0) > 0.0) {
    for (int i = 0; i < decades && falling(std::exp(high)) > 0.0; ++i) low = std::exchange(high, high + step);
    if (falling(std::exp(high)) > 0.0) return std::nullopt;
  } else {
    for (int i = 0; i < decades && falling(std::exp(low)) <= 0.0; ++i) high = std::exchange(low, low - step);
    if (falling(std::exp(low)) <= 0.0) return std::nullopt;
  }
  if (!(low < high) || !std::isfinite(falling(std::exp(low))) || !std::isfinite(falling(std::exp(high))))
    return std::nullopt;
  return std::exp(root_between([&](double u) { return falling(std::exp(u)); }, low, high));
}

line_kernel scaled(line_kernel l, double bore_factor) {
  for (tube& s : l.tubes) s.bore *= bore_factor;
  return l;
}

double coldest_offset(const line_kernel& l) {
  double coldest = l.tubes.front().offset_k;
  for (const tube& s : l.tubes) coldest = std::fmin(coldest, s.offset_k);
  return coldest;
}

}  // namespace

std::optional<double> coldest_c(const line_kernel& l, const grease_model& g, double z) {
  if (!g.has_oil || !(l.allowed > 0.0)) return std::nullopt;
  const double bound = g.bound_c - std::fmin(coldest_offset(l), 0.0);
  const auto excess = [&](double t_c) {
    const double flows = std::log(loss(l, g, t_c, l.start, l.flow) / l.allowed);
    const double vents = std::log(residual(l, g, t_c) / l.reset);  // -inf where nothing must vent
    return std::fmax(flows, vents) + z * sigma_of(l, g, t_c);
  };
  return coldest_root(excess, bound, warmest_search_c);
}

std::optional<double> smallest_bore(const line_kernel& l, const grease_model& g, double t_c, double allowed) {
  const auto factor =
      first_below([&](double x) { return std::log(loss(scaled(l, x), g, t_c, l.start, l.flow) / allowed); });
  if (!factor) return std::nullopt;
  return narrowest(l) * *factor;
}

double largest_flow(const line_kernel& l, const grease_model& g, double t_c, double allowed) {
  if (loss(l, g, t_c, l.start, 0.0) >= allowed) return 0.0;
  const auto factor = first_below([&](double x) { return std::log(loss(l, g, t_c, l.start, l.flow / x) / allowed); });
  return factor ? l.flow / *factor : 0.0;
}

double supplier_factor(double z) { return std::exp(z * std::log(measured_factor) / z90); }

std::vector<std::string> rating_warnings(const line& l, pressure available) {
  std::vector<std::string> warnings;
  for (const segment& s : l.segments) {
    if (!s.rating || !(*s.rating < available)) continue;
    std::string text = fmt::format("a part rated {} stands below the {} of the pump: the rating limits the line",
                                   both_units(*s.rating), both_units(available));
    if (std::ranges::find(warnings, text) == warnings.end()) warnings.push_back(std::move(text));
  }
  return warnings;
}

pressure in_dividers(const line& l, const conditions& c) {
  if (c.system != system_type::progressive) return pascal(0);
  return static_cast<double>(l.stages) * c.divider_loss.value_or(pascal(0));
}

double narrowest(const line_kernel& l) {
  double bore = l.tubes.front().bore;
  for (const tube& s : l.tubes) bore = std::fmin(bore, s.bore);
  return bore;
}

double chance_of(const line_kernel& l, const grease_model& g, double t_c, double lost) {
  const double sigma = sigma_of(l, g, t_c);
  return std::fmin(chance(l.allowed, lost, sigma), chance(l.reset, residual(l, g, t_c), sigma));
}

std::optional<length> front_reach(const line_kernel& l, const grease_model& g, double t_c) {
  double left = l.allowed, reach = 0.0;
  for (const tube& s : l.tubes) {
    const double gradient = 4.0 * l.start * g.at(t_c + s.offset_k).ty / s.bore;
    const bool last = &s == &l.tubes.back();
    if (gradient * s.length >= left || last) {
      if (!(gradient > 0.0)) return std::nullopt;
      return metre(reach + left / gradient);
    }
    left -= gradient * s.length;
    reach += s.length;
  }
  return std::nullopt;
}

line_kernel kernel(const line& l, const conditions& c) {
  line_kernel k;
  double available = in_pascal(c.available);
  k.tubes.reserve(l.segments.size());
  const bool single = c.system == system_type::single_line;
  const bool has_main = std::ranges::any_of(l.segments, [](const segment& s) { return !s.main.empty(); });
  for (const segment& s : l.segments) {
    // Behind its meter a line need not vent; where no main is named, the meter is taken to stand at the point.
    k.tubes.push_back({in_metre(s.length), in_metre(s.bore), in_kelvins(s.offset), s.flow_ratio,
                       single && (!has_main || !s.main.empty())});
    if (s.rating) available = std::fmin(available, in_pascal(*s.rating));
  }
  k.flow = in_m3_per_s(flow_of(l));
  k.allowed = available - in_pascal(l.outlet.value_or(assumed_outlet()) + in_dividers(l, c));
  if (single && c.reset) k.reset = in_pascal(*c.reset);
  k.start = start_factor(c.rest);
  return k;
}

bool knows(const line_kernel& l, const grease& g, double t_c) {
  for (const tube& s : l.tubes) {
    if (!g.knows(celsius(t_c + s.offset_k))) return false;
  }
  return true;
}

double sigma_of(const line_kernel& l, const grease_model& g, double t_c) {
  double slowest = std::numeric_limits<double>::infinity();
  for (const tube& s : l.tubes) slowest = std::fmin(slowest, nominal_rate_of(l.flow * s.flow_ratio, s.bore));
  return g.sigma(t_c + coldest_offset(l), slowest);
}

bool below_bound(const line_kernel& l, const grease_model& g, double t_c) {
  return g.has_oil && t_c + coldest_offset(l) < g.bound_c;
}

}  // namespace detail

double normal_quantile(double confidence) { return boost::math::quantile(boost::math::normal{}, confidence); }

std::optional<temperature> coldest_passing(const line& l, const grease& g, const conditions& c) {
  const bool reset_missing = c.system == system_type::single_line && !c.reset;
  if (g.kind() == evidence_kind::none || reset_missing) return std::nullopt;
  const auto t = detail::coldest_c(detail::kernel(l, c), g.kernel(), normal_quantile(c.confidence));
  return t ? std::optional(celsius(*t)) : std::nullopt;
}

}  // namespace coldgrease::inline v0
