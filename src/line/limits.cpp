#include "coldgrease/line/limits.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/ranges.hpp"
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
  return std::exp(met_beside_root([&](double u) { return falling(std::exp(u)); }, low, high));
}

line_kernel scaled(line_kernel l, double bore_factor) {
  for (tube& s : l.tubes) s.bore *= bore_factor;
  return l;
}

}  // namespace

namespace {

demand demand_of(const median_pressure& asked, double allowed, const grease_kernel& g, double own_error = 0.0) {
  const double sigma = g.known.sigma(asked.of);
  return {.asked = asked.pressure,
          .allowed = allowed,
          .sigma = std::hypot(sigma, own_error),
          .least = std::hypot(g.known.sigma_without_oil(asked.of, sigma), own_error),
          .of = asked.of};
}

}  // namespace

demand flow_demand(const line_kernel& l, const grease_kernel& g, double t_c, double flow) {
  const double outlet = l.outlet_in(g, t_c);
  const double thick = thickening(g, l.available, outlet);
  return demand_of(loss(l, g, t_c, l.start, flow, thick), l.available - l.dividers - outlet, g);
}

demand vent_demand(const line_kernel& l, const grease_kernel& g, double t_c) {
  return demand_of(residual(l, g, t_c), l.reset, g, g.middle.yield_error);
}

median_pressure running_loss(const line_kernel& l, const grease_kernel& g, double t_c) {
  return loss(l, g, t_c, 1.0, l.flow, thickening(g, l.available, l.outlet_in(g, t_c)));
}

double ln_loss_per_kelvin(const line_kernel& l, const grease_kernel& g, double t_c) {
  constexpr double step = 0.5;  // [K]
  const auto ln_loss = [&](double t) { return std::log(running_loss(l, g, t).pressure); };
  return (ln_loss(t_c + step) - ln_loss(t_c)) / step;
}

double chance_of(const line_kernel& l, const grease_kernel& g, double t_c) {
  const auto doubt = [&](double t) {
    return -std::fmin(flow_demand(l, g, t, l.flow).chance(), vent_demand(l, g, t).chance());
  };
  return -most_from(g.known, t_c, doubt);
}

double flow_excess(const line_kernel& l, const grease_kernel& g, double t_c, double flow, double z) {
  return most_from(g.known, t_c, [&](double t) { return flow_demand(l, g, t, flow).excess(z); });
}
double vent_chance(const line_kernel& l, const grease_kernel& g, double t_c) {
  return -most_from(g.known, t_c, [&](double t) { return -vent_demand(l, g, t).chance(); });
}
double vent_excess(const line_kernel& l, const grease_kernel& g, double t_c, double z) {
  return most_from(g.known, t_c, [&](double t) { return vent_demand(l, g, t).excess(z); });
}

std::optional<double> own_loss(const line_kernel& l, const grease_kernel& g, double t_c, double start) {
  constexpr double most = 1e8;     // [Pa]
  constexpr double close = 1e-12;  // relative
  const double outlet = l.outlet_in(g, t_c), fixed = outlet + l.dividers;
  const auto lost_at = [&](double needed) {
    return loss(l, g, t_c, start, l.flow, thickening(g, needed, outlet)).pressure;
  };
  // fixed + loss(needed) - needed is convex and falls to its first root: secants from below never pass it.
  double below = fixed, miss_below = lost_at(below);  // what is lacking
  if (!(fixed + miss_below <= most)) return std::nullopt;
  double needed = fixed + miss_below;
  for (int step = 0; step < 60; ++step) {
    const double miss = fixed + lost_at(needed) - needed;
    if (!(std::abs(miss) > close * needed)) return needed - fixed;
    const double slope = (miss - miss_below) / (needed - below);
    if (!(slope < 0.0)) return std::nullopt;
    below = std::exchange(needed, needed - miss / slope);
    miss_below = miss;
    if (!(needed <= most)) return std::nullopt;
  }
  return needed - fixed;
}

std::optional<double> coldest_c(const line_kernel& l, const grease_kernel& g, double z) {
  if (!g.middle.has_oil) return std::nullopt;
  const double bound = g.middle.bound_c - std::fmin(l.coldest_offset(), 0.0);
  const auto excess = [&](double t_c) {
    return std::fmax(flow_demand(l, g, t_c, l.flow).excess(z), vent_demand(l, g, t_c).excess(z));
  };
  return coldest_root(excess, bound, warmest_search_c, g.known.taught);
}

std::optional<double> smallest_bore(const line_kernel& l, const grease_kernel& g, double t_c, double z) {
  const auto factor = first_below([&](double x) { return flow_excess(scaled(l, x), g, t_c, l.flow, z); });
  if (!factor) return std::nullopt;
  return narrowest(l) * *factor;
}

double largest_flow(const line_kernel& l, const grease_kernel& g, double t_c, double z) {
  const auto factor = first_below([&](double x) { return flow_excess(l, g, t_c, l.flow / x, z); });
  return factor ? l.flow / *factor : 0.0;
}

std::optional<double> largest_outlet(const line_kernel& l, const grease_kernel& g, double t_c, double z) {
  const auto excess = [&](double outlet) {
    line_kernel at = l;
    at.outlet = outlet;
    at.outlet_at_c.reset();
    return flow_excess(at, g, t_c, l.flow, z);
  };
  const double most = l.available - l.dividers;
  if (!(most > 0.0) || excess(0.0) > 0.0) return std::nullopt;
  return met_beside_root(excess, 0.0, most);
}

std::vector<std::string> odd_parts(const line& l) {
  std::vector<std::string> odd;
  const auto look = [&](const auto& value, measure m) {
    if (auto text = oddness(value, m); text && std::ranges::find(odd, *text) == odd.end())
      odd.push_back(std::move(*text));
  };
  for (const segment& s : l.segments) {
    look(s.length, measure::line_length);
    look(s.bore, measure::bore);
    look(s.offset, measure::warmer_than_air);
    if (s.wall) look(*s.wall, measure::tube_wall);
  }
  if (l.outlet) look(*l.outlet, measure::point_pressure);
  if (l.dose) look(*l.dose, measure::dose);
  if (l.in) look(*l.in, measure::dose_time);
  return odd;
}

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

std::vector<std::string> assumptions_of(const line& l) {
  std::vector<std::string> notes;
  if (!l.outlet)
    notes.push_back(fmt::format("pressure at a point not given: {} is assumed (common practice, no source)",
                                both_units(assumed_outlet())));
  if (std::ranges::any_of(l.segments, [](const segment& s) { return !s.wall; })) {
    notes.push_back("wall of a tube not given: what its line takes up is not said");
  } else if (std::ranges::any_of(l.segments, [](const segment& s) { return !s.material; })) {
    notes.push_back(
        fmt::format("material of a tube not given: {} is assumed, which swells most", name_of(assumed_material)));
  }
  return notes;
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

std::optional<length> front_reach(const line_kernel& l, const grease_kernel& g, double t_c) {
  double left = l.available - l.dividers - l.outlet_in(g, t_c), reach = 0.0;
  for (const tube& s : l.tubes) {
    const double gradient = 4.0 * l.start * yield_stress(g, t_c + s.offset_k).stress / s.bore;
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
  k.available = available;
  k.dividers = in_pascal(in_dividers(l, c));
  k.outlet = in_pascal(l.outlet.value_or(assumed_outlet()));
  if (l.outlet_at) k.outlet_at_c = l.outlet_at->in_celsius();
  if (single && c.reset) k.reset = in_pascal(*c.reset);
  k.start = start_factor(c.rest.value_or(overnight()));
  return k;
}

missing_datum missing_for(const conditions& c, const grease& g) {
  if (!g.has_model()) return missing_datum::grease;
  if (c.system != system_type::single_line) return missing_datum::none;
  if (!c.reset) return missing_datum::reset;
  return g.model().shows_yield ? missing_datum::none : missing_datum::yield;
}

bool knows(const line_kernel& l, const grease& g, double t_c) {
  for (const tube& s : l.tubes) {
    if (!g.knows(celsius(t_c + s.offset_k))) return false;
  }
  return true;
}

double longest(const line_kernel& l, const grease_kernel& g, double t_c, double z) {
  double total = 0.0;
  for (const tube& s : l.tubes) total += s.length;
  return total * std::exp(-std::fmax(flow_excess(l, g, t_c, l.flow, z), vent_excess(l, g, t_c, z)));
}

bool below_bound(const line_kernel& l, const grease_model& g, double t_c) {
  return g.has_oil && t_c + l.coldest_offset() < g.bound_c;
}

}  // namespace detail

double normal_quantile(double confidence) { return boost::math::quantile(boost::math::normal{}, confidence); }

std::optional<temperature> detail::coldest_passing(const line_kernel& k, const grease_kernel& kernel,
                                                   const conditions& c) {
  const auto t = coldest_c(k, kernel, normal_quantile(c.confidence));
  return t ? std::optional(celsius(*t)) : std::nullopt;
}

std::optional<temperature> coldest_passing(const line& l, const grease& g, const conditions& c) {
  if (detail::missing_for(c, g) != missing_datum::none) return std::nullopt;
  return detail::coldest_passing(detail::kernel(l, c), g.kernel(), c);
}

std::optional<length> longest_passing(const line& l, const grease& g, const conditions& c) {
  validate(l);
  validate(c);
  const detail::line_kernel k = detail::kernel(l, c);
  const double t_c = c.at->in_celsius();
  if (detail::missing_for(c, g) != missing_datum::none || !detail::knows(k, g, t_c)) return std::nullopt;
  const detail::grease_kernel model = g.kernel();
  if (!(detail::flow_demand(k, model, t_c, k.flow).allowed > 0.0)) return std::nullopt;
  const double longest = detail::longest(k, model, t_c, normal_quantile(c.confidence));
  if (!std::isfinite(longest)) throw input_error(l.point, "leaves the range of numbers", "a line of this world");
  return metre(longest);
}

}  // namespace coldgrease::inline v0
