#include "coldgrease/grease/fit.hpp"

#include "base/format.hpp"

#include <array>

#include "coldgrease/base/quantity_text.hpp"
#include "grease/fit_solve.hpp"

namespace coldgrease::inline v0 {

namespace {

using namespace detail::fitting;

/// JUDGEMENT: how far rates must reach before they tell K and n from ty and c, and how near the line they must begin.
constexpr double shape_decades = 3.0;
constexpr double shape_reach = 3.0;
constexpr double usual_line_rate = 1.0;  // [1/s]
/// JUDGEMENT: a point further from the curve than this is worth a warning.
constexpr double large_residual = 0.20;

/// A straight line through ln(parameter) against temperature.
struct line_point {
  double celsius = 0.0, ln_value = 0.0, weight = 0.0;
  std::size_t parameter = 0;
  double slope = 0.0;  // d ln(value)/d parameter
};

struct line_fit {
  std::optional<double> slope{}, error{};
};

line_fit straight_line(std::span<const line_point> points, const covariance& errors, std::optional<double> s2) {
  if (points.size() < 2) return {};
  double sum = 0.0, mean_t = 0.0, mean_y = 0.0;
  for (const line_point& p : points) {
    sum += p.weight;
    mean_t += p.weight * p.celsius;
    mean_y += p.weight * p.ln_value;
  }
  mean_t /= sum;
  mean_y /= sum;
  double sxx = 0.0, sxy = 0.0, off = 0.0;
  for (const line_point& p : points) {
    sxx += p.weight * (p.celsius - mean_t) * (p.celsius - mean_t);
    sxy += p.weight * (p.celsius - mean_t) * (p.ln_value - mean_y);
  }
  line_fit answer{.slope = sxy / sxx};
  std::vector<covariance::part> parts;
  for (const line_point& p : points) {
    const double miss = p.ln_value - mean_y - *answer.slope * (p.celsius - mean_t);
    off += p.weight * miss * miss;
    parts.push_back({p.parameter, p.weight * (p.celsius - mean_t) / sxx * p.slope});
  }
  // More temperatures than a line needs show whether it is one; if not, their scatter is the error.
  if (points.size() > 2 && s2) s2 = std::max(*s2, off / static_cast<double>(points.size() - 2));
  if (const auto variance = errors.variance(parts); variance && s2) answer.error = std::sqrt(*variance * *s2);
  return answer;
}

// ---- in and out -----------------------------------------------------------------------------------------------------

void check(std::span<const measured_point> points, const fit_conditions& conditions) {
  const auto positive = [](double v) { return v > 0.0 && std::isfinite(v); };
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto refuse = [&](std::string_view what, double value, std::string_view unit, std::string_view expected) {
      throw input_error(fmt::format("point {}: {}", i + 1, what), fmt::format("{} {}", value, unit), expected);
    };
    const measured_point& p = points[i];
    const double t = p.at.in_celsius(), rate = in_per_second(p.rate), stress = in_pascal(p.stress);
    if (!std::isfinite(t) || p.at < kelvin(0.0)) refuse("temperature", t, "C", "a temperature above absolute zero");
    if (!positive(rate)) refuse("rate", rate, "1/s", "a finite value above 0");
    if (!positive(stress)) refuse("stress", stress, "Pa", "a finite value above 0");
  }
  if (conditions.line_rate && !positive(in_per_second(*conditions.line_rate)))
    throw input_error("line rate", fmt::format("{} 1/s", in_per_second(*conditions.line_rate)),
                      "a finite value above 0");
}

std::string count(std::size_t n, std::string_view what) { return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s"); }

/// Sorts by temperature, kind, rate and stress, so that the order given changes no digit.
data grouped(std::span<const measured_point> points) {
  data d;
  for (std::size_t i = 0; i < points.size(); ++i) d.order.push_back(i);
  const auto key = [&](std::size_t i) {
    const measured_point& p = points[i];
    return std::tuple(p.at.in_celsius(), in_per_second(p.rate), p.kind, in_pascal(p.stress));
  };
  std::ranges::stable_sort(d.order, {}, key);
  std::size_t first = 0;
  for (std::size_t i = 0; i < d.order.size(); i = first) {
    const auto t = [&](std::size_t k) { return points[d.order[k]].at.in_celsius(); };
    while (first < d.order.size() && (first == i || t(first) - t(first - 1) < same_temperature)) ++first;
    // Temperatures apart by less than the step above are one, but their rates are not in order yet.
    std::ranges::stable_sort(d.order.begin() + static_cast<std::ptrdiff_t>(i),
                             d.order.begin() + static_cast<std::ptrdiff_t>(first), {},
                             [&](std::size_t k) { return in_per_second(points[k].rate); });
    group g{.rate_min = std::numeric_limits<double>::infinity()};
    double above = 0.0, ln_stress = 0.0, ln_rate = 0.0;
    const double t0 = t(i), n = static_cast<double>(first - i);
    for (std::size_t k = i; k < first; ++k) {
      const measured_point& p = points[d.order[k]];
      const double rate = in_per_second(p.rate), stress = in_pascal(p.stress);
      d.samples.push_back({d.groups.size(), p.kind, rate, std::log(stress)});
      above += (t(k) - t0) / n;
      ln_stress += std::log(stress) / n;
      ln_rate += std::log(rate) / n;
      if (rate < g.rate_min) g.first_stress = stress;
      if (rate > g.rate_max) g.last_stress = stress;
      g.rate_min = std::min(g.rate_min, rate);
      g.rate_max = std::max(g.rate_max, rate);
    }
    g.celsius = t0 + above;
    g.stress = std::exp(ln_stress);
    g.viscosity = std::exp(ln_stress - ln_rate);
    g.two_rates = g.rate_max > g.rate_min;
    d.groups.push_back(g);
    const std::string where = "points at " + both_scales(celsius(g.celsius));
    if (first - i < 2) throw input_error(where, "1 point", "2 or more at every temperature");
    if (!g.two_rates)
      throw input_error(where, fmt::format("all at one rate, {} 1/s", g.rate_min),
                        "two rates or more, to tell yield stress and linear term apart");
  }
  return d;
}

/// Whether the points can tell K and n; says so in `notes` where they cannot.
bool tells_shape(const data& d, const fit_conditions& conditions, std::vector<std::string>& notes) {
  double low = std::numeric_limits<double>::infinity(), high = 0.0;
  for (const group& g : d.groups) {
    low = std::min(low, g.rate_min);
    high = std::max(high, g.rate_max);
  }
  const double line = conditions.line_rate ? in_per_second(*conditions.line_rate) : usual_line_rate;
  if (!conditions.line_rate)
    notes.push_back("no rate of a line is given: the rates of the points are judged against one of 1 1/s");
  constexpr double rounding = 1.0 + 1e-9;
  const double highest_start = shape_reach * line;
  const bool wide = high / low * rounding >= std::pow(10.0, shape_decades), slow = low <= highest_start * rounding;
  const std::size_t needed = 2 * d.groups.size() + 2;
  if (wide && slow && d.samples.size() >= needed) return true;
  std::string why;
  if (!wide || !slow) {
    why = fmt::format("the rates run from {:.4g} to {:.4g} 1/s, and three decades from {:.4g} 1/s or below are needed",
                      low, high, highest_start);
  } else {
    why = fmt::format("there are {}, and {} are needed", count(d.samples.size(), "point"), needed);
  }
  notes.push_back("K = yield/10 and n = 0.5, the shape of the estimates, are kept and not fitted: " + why);
  return false;
}

class named_parameter {
 public:
  named_parameter(std::string_view name, std::string_view unit) : name_(name), unit_(unit) {}

  /// What is wrong with a fitted value; empty if nothing.
  std::string fault(double value, std::optional<double> error, bool freedom) const {
    if (value == 0.0)
      return fmt::format("{} is driven to zero{}", name_,
                         error ? fmt::format(" (standard error {:.3g}{})", *error, unit_) : "");
    if (!freedom) return {};
    if (!error) return fmt::format("{}, {:.4g}{}, is not told from the others", name_, value, unit_);
    if (*error > value)
      return fmt::format("{} is not fixed: {:.4g}{}, standard error {:.3g}", name_, value, unit_, *error);
    return {};
  }

 private:
  std::string_view name_, unit_;
};

}  // namespace

fit_answer fit(std::span<const measured_point> points, const fit_conditions& conditions) {
  check(points, conditions);
  if (points.size() < 2) throw input_error("points", count(points.size(), "point"), "2 or more");
  const data d = grouped(points);
  fit_answer answer;
  const bool shape = tells_shape(d, conditions, answer.notes);
  answer.fitted = shape ? std::vector<std::string>{"yield", "consistency", "index", "linear"}
                        : std::vector<std::string>{"yield", "linear"};

  const model m(d, shape);
  const layout at = m.at();
  const solution best = best_fit(m);
  if (!std::isfinite(best.cost))
    throw input_error("points", "leave the range of numbers", "rates and stresses that grease has");
  const covariance errors(m, best.u);
  const std::size_t parameters = shape ? at.size() : at.knee_share();
  std::optional<double> s2;
  if (d.samples.size() > parameters) {
    s2 = best.cost / static_cast<double>(d.samples.size() - parameters);
  } else {
    answer.warnings.push_back(fmt::format(
        "there are as many parameters as points ({}): the curve goes through them, and nothing shows its error",
        parameters));
  }

  const rate_kind kind =
      std::ranges::all_of(points, [](const measured_point& p) { return p.kind == rate_kind::nominal; })
          ? rate_kind::nominal
          : rate_kind::true_rate;
  // Points that agree by chance show no smaller error than points have.
  const double point_spread = std::log(detail::point_factor) / detail::z90, least_s2 = point_spread * point_spread;

  using part = covariance::part;
  const auto error = [&](std::span<const part> parts) -> std::optional<double> {
    const auto variance = errors.variance(parts);
    return variance && s2 ? std::optional(std::sqrt(*variance * *s2)) : std::nullopt;
  };
  std::vector<line_point> strengths, linears;
  std::optional<double> index_error;
  for (std::size_t j = 0; j < d.groups.size(); ++j) {
    const group& g = d.groups[j];
    const values v = m.reported(best.u, j);
    const detail::curve f = v.curve();
    const bool bingham = shape && v.w == 0.0;
    fitted_curve c;
    c.temperature = celsius(g.celsius);
    c.curve = {pascal(f.ty), f.k, f.n, pascal_second(f.c)};
    c.rate_min = per_second(g.rate_min);
    c.rate_max = per_second(g.rate_max);
    c.spread_90 = fit_spread(c.rate_min, conditions.line_rate.value_or(c.rate_min), kind);
    const auto error_at = [&](double rate) {
      const auto variance = errors.variance_of_ln_stress(m, best.u, j, rate);
      // What the points do not tell is as open as another batch would be.
      return variance ? std::sqrt(*variance * std::max(s2.value_or(0.0), least_s2)) : detail::batch_spread;
    };
    c.usual_rate_error = error_at(detail::usual_rate);
    c.middle_rate_error = error_at(std::sqrt(g.rate_min * g.rate_max));

    const double per_share = std::pow(knee, -v.n);
    const auto ty_error = error(std::array<part, 2>{
        {{at.strength(j), v.yield_share * g.stress}, {at.knee_share(), shape && !f.yields_only() ? -v.s : 0.0}}});
    const auto c_error = error(std::array<part, 1>{{{at.linear(j), g.viscosity}}});
    if (ty_error) c.standard_errors.yield = pascal(*ty_error);
    if (c_error) c.standard_errors.linear = pascal_second(*c_error);
    if (shape) {
      c.standard_errors.consistency = error(std::array<part, 3>{{{at.strength(j), v.w * per_share * g.stress},
                                                                 {at.knee_share(), v.s * per_share},
                                                                 {at.index(), -f.k * std::log(knee)}}});
      if (!bingham) c.standard_errors.index = index_error = error(std::array<part, 1>{{{at.index(), 1.0}}});
    }
    const auto warn = [&](const std::string& fault) {
      if (!fault.empty()) answer.warnings.push_back(fmt::format("at {}: {}", both_scales(c.temperature), fault));
    };
    warn(named_parameter("yield", " Pa").fault(f.ty, ty_error, s2.has_value()));
    if (shape)
      warn(named_parameter("consistency", " Pa s^n").fault(f.k, c.standard_errors.consistency, s2.has_value()));
    warn(named_parameter("linear", " Pa s").fault(f.c, c_error, s2.has_value()));
    if (f.yields_only()) warn("the stress does not rise with the rate: neither K nor c is left of the curve");
    answer.curves.push_back(c);

    // The unscaled variance is the weight: it exists where no freedom is left as well.
    const auto line = [&](std::vector<line_point>& into, std::size_t parameter, double value, double scale) {
      const double slope = value > 0.0 ? scale / value : 0.0;
      const auto variance = errors.variance(std::array<part, 1>{{{parameter, slope}}});
      if (value > 0.0 && variance && *variance > 0.0)
        into.push_back({g.celsius, std::log(value), 1.0 / *variance, parameter, slope});
    };
    line(strengths, at.strength(j), v.s, g.stress);
    line(linears, at.linear(j), v.c, g.viscosity);
  }
  if (shape && std::ranges::any_of(answer.curves, [](const fitted_curve& c) { return c.curve.consistency > 0.0; })) {
    const double n = answer.curves.front().curve.index;
    if (std::min(n - least_index, most_index - n) < 1e-4) {
      answer.warnings.push_back(fmt::format("index is driven to the end of its range, {:.1f}", n));
    } else if (const std::string fault = named_parameter("index", "").fault(n, index_error, s2.has_value());
               !fault.empty()) {
      answer.warnings.push_back(fault);
    }
  } else if (shape) {
    answer.warnings.push_back("index is not known where consistency is zero");
  }
  if (d.groups.size() > 1) {
    const line_fit yield = straight_line(strengths, errors, s2), linear = straight_line(linears, errors, s2);
    answer.slopes = fit_slopes{yield.slope, linear.slope, yield.error, linear.error};
  }

  answer.points.resize(points.size());
  double largest = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const sample& p = d.samples[i];
    const flow_curve& f = answer.curves[p.group].curve;
    const pressure fitted = p.kind == rate_kind::nominal ? stress(f, nominal_rate{per_second(p.rate)})
                                                         : stress(f, true_rate{per_second(p.rate)});
    const measured_point& measured = points[d.order[i]];
    const double residual = in_pascal(measured.stress) / in_pascal(fitted) - 1.0;
    answer.points[d.order[i]] = {measured, fitted, residual};
    largest = std::max(largest, std::abs(residual));
    if (!std::isfinite(residual))
      throw input_error("points", "leave the range of numbers", "rates and stresses that grease has");
  }
  if (largest > large_residual)
    answer.warnings.push_back(fmt::format(
        "a point lies {:.0f} % off the curve: {}", largest * 100.0,
        shape ? "no curve of this family goes near all of them" : "its shape is kept and not fitted, see the notes"));
  return answer;
}

}  // namespace coldgrease::inline v0
