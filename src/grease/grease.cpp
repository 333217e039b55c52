#include "coldgrease/grease/grease.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <iterator>
#include <limits>
#include <numbers>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/grease/fit.hpp"
#include "grease/oil_model.hpp"

namespace coldgrease::inline v0 {

void validate(const flow_curve& f) {
  const auto not_negative = [](double v) { return std::isfinite(v) && v >= 0.0; };
  if (!not_negative(in_pascal(f.yield)))
    throw input_error("yield", fmt::format("{} Pa", in_pascal(f.yield)), "0 Pa or above");
  if (!not_negative(f.consistency))
    throw input_error("consistency", fmt::format("{} Pa s^n", f.consistency), "0 or above");
  if (!not_negative(in_pascal_second(f.linear)))
    throw input_error("linear", fmt::format("{} Pa s", in_pascal_second(f.linear)), "0 Pa s or above");
  if (!(f.index >= least_index && f.index <= most_index))
    throw input_error("index", fmt::format("{}", f.index), fmt::format("{} to {}", least_index, most_index));
  if (!(f.consistency > 0.0) && !(in_pascal_second(f.linear) > 0.0))
    throw input_error("consistency", "consistency and linear term are both 0", "one of them above 0");
}

namespace {

using detail::class_row;
using detail::class_rows;

/// Row at a penetration: ln ty25, a and ln f25 linear between class mid-points, constant beyond the outer ones.
class_row row_at(double penetration) {
  const double p = std::clamp(penetration, class_rows.front().penetration, class_rows.back().penetration);
  std::size_t i = 1;
  while (i + 1 < class_rows.size() && p > class_rows[i].penetration) ++i;
  const class_row& low = class_rows[i - 1];
  const class_row& high = class_rows[i];
  const double w = (p - low.penetration) / (high.penetration - low.penetration);
  const auto geometric = [w](double a, double b) { return a * std::pow(b / a, w); };
  return {p, geometric(low.ty25, high.ty25), low.a + w * (high.a - low.a), geometric(low.f25, high.f25),
          geometric(low.f25_worked, high.f25_worked)};
}

bool pumped(double penetration) {
  return penetration >= detail::least_known_penetration && penetration <= detail::most_known_penetration;
}

struct consistency {
  std::string nlgi;
  double stiff = 0.0;
  double soft = 0.0;
  evidence_kind kind = evidence_kind::none;
  std::string words;
  std::vector<std::string> notes;
};

consistency consistency_of(const evidence& known) {
  consistency c;
  if (known.penetration) {
    const class_answer answer = classify(*known.penetration);
    c.stiff = c.soft = *known.penetration;
    c.kind = evidence_kind::penetration;
    c.words = fmt::format("worked penetration {:g}", *known.penetration);
    if (answer.nlgi) {
      c.nlgi = *answer.nlgi;
    } else if (answer.between) {
      c.nlgi = answer.between->first + "-" + answer.between->second;
    }
    if (!known.nlgi.empty()) {
      const nlgi_label label = parse_nlgi(known.nlgi, "nlgi");
      if (c.stiff < nlgi_classes[label.stiff].lower || c.stiff > nlgi_classes[label.soft].upper)
        c.notes.push_back(fmt::format("the label says NLGI {}, the penetration {:g} says {}: the penetration is used",
                                      known.nlgi, c.stiff, c.nlgi.empty() ? "no class" : "NLGI " + c.nlgi));
    }
  } else if (!known.nlgi.empty()) {
    const nlgi_label label = parse_nlgi(known.nlgi, "nlgi");
    c.stiff = nlgi_classes[label.stiff].middle();
    c.soft = nlgi_classes[label.soft].middle();
    c.kind = evidence_kind::label;
    c.nlgi = known.nlgi.starts_with("NLGI") ? known.nlgi.substr(known.nlgi.find_first_not_of(' ', 4)) : known.nlgi;
    c.words = fmt::format("the label NLGI {}", c.nlgi);
    if (label.stiff != label.soft)
      c.notes.push_back(
          fmt::format("the label straddles two classes: NLGI {} is taken for pumping, NLGI {} for leakage",
                      nlgi_classes[label.stiff].label, nlgi_classes[label.soft].label));
  }
  if (c.kind != evidence_kind::none && !(pumped(c.stiff) && pumped(c.soft))) {
    c.kind = evidence_kind::none;
    c.notes.push_back(fmt::format(
        "nothing is predicted outside penetrations {:g} to {:g}: classes 4 to 6 are not pumped by these systems",
        detail::least_known_penetration, detail::most_known_penetration));
  }
  return c;
}

void fix_reference(detail::grease_model& model) {
  if (!model.has_oil) return;
  // What was measured in wax is never made softer by taking the wax out again.
  model.wax_from_c = std::fmin(model.bound_c, model.reference_c);
  model.reference_eta = model.eta(model.reference_c);
  model.reference_factor = model.yield_factor(model.reference_c, model.reference_eta);
}

/// The steeper law of the deep cold begins below the coldest measurement, so that it never makes softer what was
/// measured.
void keep_slope_down_to(detail::grease_model& model, double t_c) {
  if (!model.has_oil) return;
  model.deep_from_c = std::fmin(model.deep_from_c, t_c);
  model.eta_deep = model.eta(model.deep_from_c);
}

void append(std::vector<std::string>& to, const std::vector<std::string>& more) {
  to.insert(to.end(), more.begin(), more.end());
}

}  // namespace

namespace {

/// The points that the model speaks of; nothing is said of a grease far below the pour point of its oil.
std::vector<measured_point> within_reach(const std::vector<measured_point>& points, const detail::grease_model& model,
                                         std::vector<std::string>& notes) {
  std::vector<measured_point> out;
  std::ranges::copy_if(points, std::back_inserter(out),
                       [&](const measured_point& p) { return p.at.in_celsius() >= model.nothing_below_c; });
  if (out.size() < points.size())
    notes.push_back(
        fmt::format("measured points too far below the oil's pour point, left out: {}", points.size() - out.size()));
  return out;
}

/// The points at temperatures with two rates or more: those that a flow curve can be fitted to.
std::vector<measured_point> fittable(const std::vector<measured_point>& points) {
  std::vector<measured_point> out;
  std::ranges::copy_if(points, std::back_inserter(out), [&](const measured_point& p) {
    return std::ranges::any_of(points, [&](const measured_point& other) {
      return std::abs(in_kelvins(other.at - p.at)) < same_temperature && other.rate != p.rate;
    });
  });
  return out;
}

/// Exponent of y against x by least squares, for two points or more; nothing where they do not differ.
std::optional<double> exponent_of(const std::vector<std::pair<double, double>>& ln_x_y) {
  double mean_x = 0.0, mean_y = 0.0;
  for (const auto& [x, y] : ln_x_y) {
    mean_x += x / static_cast<double>(ln_x_y.size());
    mean_y += y / static_cast<double>(ln_x_y.size());
  }
  double xx = 0.0, xy = 0.0;
  for (const auto& [x, y] : ln_x_y) {
    xx += (x - mean_x) * (x - mean_x);
    xy += (x - mean_x) * (y - mean_y);
  }
  return ln_x_y.size() > 1 && xx > 0.0 ? std::optional(xy / xx) : std::nullopt;
}

/// A measured exponent within what greases can have: a slope out of scatter must not turn the physics round.
void take_exponent(std::optional<double> found, double least, double most, std::string_view what, double& exponent,
                   std::vector<std::string>& notes) {
  if (!found) return;
  exponent = std::clamp(*found, least, most);
  if (exponent != *found)
    notes.push_back(
        fmt::format("the measured slope of the {} ({:.2f} of the oil's) is beyond what greases show: {:.2f} "
                    "is used",
                    what, *found, exponent));
}

/// How well a fit knows the yield stress that meters must overcome to recharge.
void take_yield(const fitted_curve& c, detail::grease_model& model, std::vector<std::string>& notes) {
  const auto& error = c.standard_errors.yield;
  model.shows_yield = error && *error < c.curve.yield;
  if (model.shows_yield) {
    model.yield_error = in_pascal(*error) / in_pascal(c.curve.yield);
  } else {
    notes.push_back("the points leave the yield stress open: no recharge of meters can be shown by it");
  }
}

/// The coldest curve of a fit that is free of wax stands, the others set its slopes against the oil's viscosity.
void take_fit(const fit_answer& fitted, detail::grease_model& model, std::vector<std::string>& notes) {
  std::vector<std::pair<double, double>> yields, linears;
  double lowest = std::numeric_limits<double>::infinity();
  for (const fitted_curve& c : fitted.curves) {
    lowest = std::fmin(lowest, in_per_second(c.rate_min));
    const double t_c = c.temperature.in_celsius();
    // Above 25 C and in wax the yield stress follows other laws.
    if (!model.has_oil || t_c > 25.0 || (model.waxy && t_c < model.bound_c)) continue;
    const double ln_eta = std::log(model.eta(t_c));
    if (in_pascal(c.curve.yield) > 0.0) yields.emplace_back(ln_eta, std::log(in_pascal(c.curve.yield)));
    if (in_pascal_second(c.curve.linear) > 0.0)
      linears.emplace_back(ln_eta, std::log(in_pascal_second(c.curve.linear)));
  }
  // The coldest curve free of wax stands for warmer air; one in wax only where there is no other.
  const auto free_of_wax = std::ranges::find_if(
      fitted.curves, [&](const fitted_curve& c) { return !model.waxy || c.temperature.in_celsius() >= model.bound_c; });
  const fitted_curve& coldest = free_of_wax == fitted.curves.end() ? fitted.curves.back() : *free_of_wax;
  model.reference = detail::kernel(coldest.curve);
  model.reference_c = coldest.temperature.in_celsius();
  model.f0 = detail::measured_factor;
  model.t0_c = model.reference_c - 10.0;
  model.lowest_rate = lowest;
  keep_slope_down_to(model, fitted.curves.front().temperature.in_celsius());
  take_yield(coldest, model, notes);
  take_exponent(exponent_of(yields), 0.1, 1.0, "yield stress", model.yield_exponent, notes);
  take_exponent(exponent_of(linears), 0.3, 1.5, "linear term", model.linear_exponent, notes);
  if (std::ranges::find(fitted.fitted, "index") == fitted.fitted.end())
    notes.push_back("the measured rates do not tell the shape of the curve: K = yield/10 and n = 0.5 are kept");
  append(notes, fitted.warnings);
}

/// The ratio of the two readings farthest apart sets the slope of the yield stress.
bool take_flow_pressures(const evidence& known, detail::grease_model& model, std::vector<std::string>& notes) {
  const flow_pressure_point* cold = nullptr;
  const flow_pressure_point* warm = nullptr;
  for (const flow_pressure_point& p : known.flow_pressures) {
    if (p.at_most) {
      notes.push_back(
          fmt::format("a flow pressure of at most {:.0f} hPa at {} speaks of a short nozzle, not of metres of "
                      "line: it is kept, not used",
                      in_pascal(p.needed) / 100.0, both_scales(p.at)));
      continue;
    }
    if (!cold || p.at < cold->at) cold = &p;
    if (!warm || p.at > warm->at) warm = &p;
  }
  if (!cold) return false;
  const double cold_c = cold->at.in_celsius(), warm_c = warm->at.in_celsius();
  if (!(warm_c - cold_c >= 5.0) || cold_c >= 25.0) {
    notes.push_back("one flow pressure gives no slope: readings at two temperatures, one of them cold, would");
    return false;
  }
  const double hot = std::max(0.0, warm_c - 25.0) / detail::hot_halving * std::numbers::ln2;
  const double drop = std::log(in_pascal(cold->needed) / in_pascal(warm->needed)) - hot;
  keep_slope_down_to(model, cold_c);
  take_exponent(drop / std::log(model.eta(cold_c) / model.eta(std::min(warm_c, 25.0))), 0.1, 1.0, "flow pressure",
                model.yield_exponent, notes);
  model.slope = 0.5 * detail::slope_spread;
  return true;
}

/// One factor on the whole curve of the class brings it through the coldest point.
std::optional<measured_point> take_cold_point(const std::vector<measured_point>& points, detail::grease_model& model,
                                              std::vector<std::string>& notes) {
  if (points.empty()) return std::nullopt;
  const measured_point& p = *std::ranges::min_element(points, {}, &measured_point::at);
  keep_slope_down_to(model, p.at.in_celsius());
  const detail::curve f = model.at(p.at.in_celsius());
  const double rate = in_per_second(p.rate);
  const double expected = p.kind == rate_kind::nominal ? detail::wall_at_nominal(f, rate).stress : f.stress(rate);
  const double factor = in_pascal(p.stress) / expected;
  model.reference.ty *= factor;
  model.reference.k *= factor;
  model.reference.c *= factor;
  model.f0 = detail::measured_factor;
  model.t0_c = p.at.in_celsius() - 10.0;
  model.lowest_rate = rate;
  // One rate does not tell how much of its stress is yield: meters that wait for it must recharge were it all.
  if (factor * f.ty > 0.0) model.held_over_yield = in_pascal(p.stress) / (factor * f.ty);
  if (factor > 3.0 || factor < 1.0 / 3.0)
    notes.push_back(fmt::format("the measured point is {:.2g} times what its class suggests: check its unit", factor));
  return p;
}

std::string point_words(const measured_point& p) {
  return fmt::format("{} at {} and {:.3g} 1/s ({})", text_of(p.stress, "Pa"), both_scales(p.at), in_per_second(p.rate),
                     p.kind == rate_kind::nominal ? "capillary" : "rheometer");
}

/// What the maker of a data sheet should be asked next.
std::string wanted_of(const evidence& known, const detail::oil_model& oil, evidence_kind kind,
                      const detail::grease_model& model) {
  if (oil.knowledge == oil_knowledge::unknown) return "the viscosity of the base oil at 40 and 100 C: it is not known";
  switch (kind) {
    case evidence_kind::none: return {};
    case evidence_kind::measured: {
      const auto least = std::ranges::min_element(known.points, {}, [](const measured_point& p) { return p.rate; });
      if (least != known.points.end() && in_per_second(least->rate) > 3.0)
        return "a point at a rate of the line, 1 to 15 1/s: the curve is continued below the measured ones";
      const auto coldest = std::ranges::min_element(known.points, {}, &measured_point::at);
      if (coldest != known.points.end() && coldest->at <= celsius(-30.0)) return "a test of the batch in hand";
      return "a point at the coldest temperature of the route";
    }
    case evidence_kind::cold_point: return "a second rate at the same temperature: it would give the curve its shape";
    default: break;
  }
  if (oil.knowledge == oil_knowledge::index_unknown)
    return "the second viscosity of the oil, KV40 or KV100: its index is not known";
  constexpr temperature cold = celsius(-20.0);
  return fmt::format(
      "apparent viscosity (ASTM D1092) at the coldest temperature and 1 to 15 1/s: the 90 % factor at {} "
      "would come from {:.2g} to {:g}",
      both_scales(cold), std::exp(detail::z90 * model.sigma(cold.in_celsius())), detail::measured_factor);
}

void say_what_is_kept(const evidence& known, std::vector<std::string>& notes) {
  if (!known.claim.empty()) notes.push_back("a claim is kept, it proves nothing: " + in_quotes(known.claim));
  if (!known.mobility.empty())
    notes.push_back("a mobility figure ranks greases at its temperature, it is no pressure: " +
                    in_quotes(known.mobility));
  const bool natural = known.oil == oil_type::ester || known.oil == oil_type::vegetable;
  if (!natural && known.claim.find("iodegrad") != std::string::npos)
    notes.push_back("biodegradable: ask whether the oil is an ester, good in the cold, or vegetable, poor in it");
}

}  // namespace

namespace {

/// What makes a model of a description: the same for every oil that it may have.
struct readings {
  const evidence& known;
  consistency described;
  std::vector<measured_point> reached;
  std::size_t fit_points = 0;
  std::optional<fit_answer> fitted;
};

/// What a model stands on.
struct standing {
  evidence_kind kind = evidence_kind::none;
  std::string words;
};

standing stand_on_fit(const readings& r, detail::grease_model& model, std::vector<std::string>& notes) {
  take_fit(*r.fitted, model, notes);
  if (r.fit_points < r.reached.size())
    notes.push_back(
        fmt::format("points alone at their temperature, left out of the fit: {}", r.reached.size() - r.fit_points));
  if (r.described.kind != evidence_kind::none) model.f0_most = row_at(r.described.stiff).f25;
  fix_reference(model);
  return {evidence_kind::measured,
          fmt::format("a flow curve fitted to {} points, the coldest at {}", r.fitted->points.size(),
                      both_scales(r.fitted->curves.front().temperature))};
}

/// The curve of the class, and what single readings make of it.
standing stand_on_class(const readings& r, detail::grease_model& model, std::vector<std::string>& notes) {
  const consistency& c = r.described;
  standing on{c.kind, c.words};
  if (!model.has_oil) on.kind = evidence_kind::none;
  const class_row row = row_at(c.stiff);
  model.reference = {row.ty25, row.ty25 / std::sqrt(detail::knee_rate), 0.5, row.a * model.eta(25.0)};
  model.f0 = c.kind == evidence_kind::penetration ? row.f25_worked : row.f25;
  model.f0_most = row.f25;
  if (on.kind == evidence_kind::none) return on;
  if (take_flow_pressures(r.known, model, notes)) {
    on.kind = evidence_kind::flow_pressures;
    on.words += ", its slope from two flow pressures";
  }
  fix_reference(model);
  if (const auto point = take_cold_point(r.reached, model, notes)) {
    on.kind = evidence_kind::cold_point;
    on.words = fmt::format("one point, {}; its shape from {}", point_words(*point), on.words);
  }
  return on;
}

standing stand_on(const readings& r, detail::grease_model& model, std::vector<std::string>& notes) {
  return r.fitted ? stand_on_fit(r, model, notes) : stand_on_class(r, model, notes);
}

/// The points that a flow curve can be fitted to, fitted; nothing where a mere yield stress fits them best, which is no
/// curve that flows at a rate.
std::optional<fit_answer> fit_of(const std::vector<measured_point>& points) {
  if (points.empty()) return std::nullopt;
  fit_answer fitted = fit(points);
  if (std::ranges::any_of(fitted.curves, [](const fitted_curve& f) { return detail::kernel(f.curve).yields_only(); }))
    return std::nullopt;
  return fitted;
}

}  // namespace

grease estimate(const evidence& given) {
  designated_evidence designated = with_designation(given);
  const evidence& known = designated.known;
  const detail::oil_model oil = detail::oil_of(known);
  grease g;
  detail::grease_model& model = g.model_;
  model.alpha = detail::pressure_coefficient(known.oil.value_or(oil_type::mineral));
  if (oil.line) detail::set_oil(model, known, *oil.line);
  g.stiffer_oil_ = model;
  g.oil_in_doubt_ = oil.stiffer.has_value();
  if (oil.stiffer) detail::set_oil(g.stiffer_oil_, known, *oil.stiffer);
  if (oil.line) detail::set_bound(model, g.stiffer_oil(), known, oil, g.notes_);
  g.take_bound_for_stiffer_oil();

  readings r{known, consistency_of(known), within_reach(known.points, model, g.notes_), 0, {}};
  const auto points = fittable(r.reached);
  r.fit_points = points.size();
  r.fitted = fit_of(points);
  if (!r.fitted && !known.penetration && known.nlgi.empty())
    throw input_error(known.name.empty() ? "grease" : known.name, "neither an NLGI class nor a penetration is given",
                      "nlgi, penetration, or points of a flow curve");
  append(g.notes_, r.described.notes);
  append(g.notes_, designated.notes);
  append(g.notes_, oil.notes);
  const standing on = stand_on(r, model, g.notes_);
  std::vector<std::string> said_already;
  if (g.oil_in_doubt_) stand_on(r, g.stiffer_oil_, said_already);
  g.known_ = known;
  g.nlgi_ = r.described.nlgi;
  g.stiff_ = r.described.stiff;
  g.soft_ = r.described.soft;
  g.kind_ = on.kind;
  g.oil_ = oil.knowledge;
  g.stands_on_ = on.words + "; " + oil.words;
  g.wanted_ = wanted_of(known, oil, g.kind_, model);
  say_what_is_kept(known, g.notes_);
  return g;
}

grease measured(const flow_curve& curve, temperature at, const evidence& known) {
  validate(curve);
  const consistency c = consistency_of(known);
  grease g;
  g.known_ = known;
  g.nlgi_ = c.nlgi;
  g.stiff_ = c.stiff;
  g.soft_ = c.soft;
  g.kind_ = evidence_kind::measured;
  g.stands_on_ = "parameters measured at " + both_scales(at);
  g.notes_ = c.notes;
  detail::grease_model& model = g.model_;
  model.reference = detail::kernel(curve);
  model.reference_c = at.in_celsius();
  model.f0 = detail::measured_factor;
  model.t0_c = at.in_celsius() - 10.0;
  model.alpha = detail::pressure_coefficient(known.oil.value_or(oil_type::mineral));
  model.shows_yield = in_pascal(curve.yield) > 0.0;
  if (c.kind != evidence_kind::none) model.f0_most = row_at(c.stiff).f25;
  g.stiffer_oil_ = model;
  if (detail::says_anything_of_the_oil(known)) {
    const detail::oil_model oil = detail::oil_of(known);
    g.oil_ = oil.knowledge;
    g.stands_on_ += "; " + oil.words;
    append(g.notes_, oil.notes);
    if (oil.line) detail::set_oil(model, known, *oil.line);
    g.oil_in_doubt_ = oil.stiffer.has_value();
    if (oil.stiffer) detail::set_oil(g.stiffer_oil_, known, *oil.stiffer);
    if (oil.line) detail::set_bound(model, g.stiffer_oil(), known, oil, g.notes_);
  } else {
    g.notes_.push_back(known.pour ? "no viscosity of the oil: a pour point alone says nothing of other temperatures"
                                  : "no oil data: nothing is said of other temperatures");
  }
  g.take_bound_for_stiffer_oil();
  for (detail::grease_model* m : {&model, &g.stiffer_oil_}) {
    keep_slope_down_to(*m, at.in_celsius());
    fix_reference(*m);
  }
  g.wanted_ = "a point at the coldest temperature of the route";
  return g;
}

double grease::sigma(temperature t, shear_rate rate) const {
  const double t_c = t.in_celsius(), nominal = in_per_second(rate);
  const double own = model_.sigma(t_c);
  if (!oil_in_doubt_ || !model_.knows(t_c)) return own;
  const auto stress = [&](const detail::grease_model& m) { return detail::wall_at_nominal(m.at(t_c), nominal).stress; };
  return std::hypot(own, detail::oil_doubt(stress(stiffer_oil_), stress(model_)));
}

curve_answer describe(const grease& g, temperature at, std::span<const shear_rate> rates, rate_kind kind) {
  curve_answer answer{.temperature = at,
                      .curve = g.at(at),
                      .evidence = g.stands_on(),
                      .wanted = g.wanted(),
                      .kind = kind,
                      .notes = g.notes()};
  for (const shear_rate& rate : rates) {
    if (!(in_per_second(rate) > 0.0)) throw input_error("rate", fmt::format("{} 1/s", in_per_second(rate)), "above 0");
  }
  if (!answer.curve) {
    answer.notes.push_back("nothing is known of this grease at " + both_scales(at));
    return answer;
  }
  double widest = rates.empty() ? g.sigma(at) : 0.0;
  for (const shear_rate& rate : rates) widest = std::max(widest, g.sigma(at, rate));
  answer.spread_90 = std::exp(detail::z90 * widest);
  for (const shear_rate& rate : rates) {
    const pressure tau =
        kind == rate_kind::nominal ? stress(*answer.curve, nominal_rate{rate}) : stress(*answer.curve, true_rate{rate});
    const dynamic_viscosity apparent = pascal_second(in_pascal(tau) / in_per_second(rate));
    if (!std::isfinite(in_pascal(tau)) || !std::isfinite(in_pascal_second(apparent)))
      throw input_error("rate", fmt::format("at {} 1/s the stress leaves the range of numbers", in_per_second(rate)),
                        "a rate that grease is sheared at");
    answer.points.push_back({rate, tau, apparent});
  }
  if (const auto bound = g.oil_bound(); bound && at < *bound)
    answer.notes.push_back("colder than the oil's bound, " + both_scales(*bound) + ": at best doubtful");
  return answer;
}

}  // namespace coldgrease::inline v0
