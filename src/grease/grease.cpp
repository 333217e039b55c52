#include "coldgrease/grease/grease.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <iterator>
#include <limits>
#include <numbers>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/ranges.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/grease/fit.hpp"
#include "grease/oil_model.hpp"
#include "grease/sheet_data.hpp"

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
  bool given = false;   // a class or a penetration that these systems pump
  bool worked = false;  // a penetration
  std::string words;
  std::vector<std::string> notes;
};

consistency consistency_of(const evidence& known) {
  consistency c;
  if (known.penetration) {
    const class_answer answer = classify(*known.penetration);
    c.stiff = c.soft = *known.penetration;
    c.given = c.worked = true;
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
    c.given = true;
    c.nlgi = known.nlgi.starts_with("NLGI") ? known.nlgi.substr(known.nlgi.find_first_not_of(' ', 4)) : known.nlgi;
    c.words = fmt::format("the label NLGI {}", c.nlgi);
    if (label.stiff != label.soft)
      c.notes.push_back(
          fmt::format("the label straddles two classes: NLGI {} is taken for pumping, NLGI {} for leakage",
                      nlgi_classes[label.stiff].label, nlgi_classes[label.soft].label));
  }
  if (c.given && !(pumped(c.stiff) && pumped(c.soft))) {
    c.given = false;
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

/// The points that a flow curve is fitted to, and those that stand alone: each is used once. A curve needs three rates
/// over a factor of ten at one temperature.
struct parted_points {
  std::vector<measured_point> fitted;
  std::vector<measured_point> alone;
};
parted_points part(const std::vector<measured_point>& points) {
  constexpr std::size_t least_rates = 3;
  constexpr double least_span = 10.0 * (1.0 - 1e-9);
  parted_points out;
  for (const measured_point& p : points) {
    std::vector<double> rates;
    for (const measured_point& other : points) {
      if (std::abs(in_kelvins(other.at - p.at)) < same_temperature) rates.push_back(in_per_second(other.rate));
    }
    std::ranges::sort(rates);
    rates.erase(std::unique(rates.begin(), rates.end()), rates.end());
    const bool curve = rates.size() >= least_rates && rates.back() >= least_span * rates.front();
    (curve ? out.fitted : out.alone).push_back(p);
  }
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
  for (const fitted_curve& c : fitted.curves) {
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
  keep_slope_down_to(model, fitted.curves.front().temperature.in_celsius());
  take_yield(coldest, model, notes);
  take_exponent(exponent_of(yields), 0.1, 1.0, "yield stress", model.yield_exponent, notes);
  take_exponent(exponent_of(linears), 0.3, 1.5, "linear term", model.linear_exponent, notes);
  if (std::ranges::find(fitted.fitted, "index") == fitted.fitted.end())
    notes.push_back("the measured rates do not tell the shape of the curve: K = yield/10 and n = 0.5 are kept");
  append(notes, fitted.warnings);
}

void say_what_is_odd(const evidence& known, std::vector<std::string>& notes) {
  const auto look = [&](const auto& value, measure m) {
    if (!value) return;
    if (auto text = oddness(*value, m)) notes.push_back(std::move(*text));
  };
  look(known.kv40, measure::oil_viscosity);
  look(known.kv100, measure::oil_viscosity);
  look(known.pour, measure::pour_point);
  look(known.density, measure::grease_density);
}

void say_what_is_kept(const evidence& known, std::vector<std::string>& notes) {
  if (!known.claim.empty()) notes.push_back("a claim is kept, it proves nothing: " + in_quotes(known.claim));
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
  parted_points points;
  std::optional<fit_answer> fitted;
};

/// The reference curve: a fit, or that of the class.
reference_curve set_reference(const readings& r, detail::grease_model& model, std::vector<std::string>& notes) {
  if (r.fitted) {
    take_fit(*r.fitted, model, notes);
    fix_reference(model);
    return reference_curve::fitted;
  }
  const class_row row = row_at(r.described.stiff);
  model.reference = {row.ty25, row.ty25 / std::sqrt(detail::knee_rate), 0.5, row.a * model.eta(25.0)};
  if (!r.described.given || !model.has_oil) return reference_curve::none;
  fix_reference(model);
  return reference_curve::of_class;
}

/// Variance of the level without the batch.
double level_variance(double factor90) {
  const double whole = std::log(factor90) / detail::z90;
  return whole * whole - detail::batch_spread * detail::batch_spread;
}

/// What a description says of the unknowns. JUDGEMENT, all of it. A grease of no class may lie anywhere.
detail::belief described_belief(const consistency& c, bool oil_in_doubt) {
  using detail::unknown;
  constexpr double no_class = 1000.0;
  const class_row row = row_at(c.stiff);
  detail::belief b;
  b.variance_of(unknown::level) = level_variance(!c.given ? no_class : c.worked ? row.f25_worked : row.f25);
  b.variance_of(unknown::slope) = detail::slope_spread * detail::slope_spread;
  b.variance_of(unknown::tilt) = detail::tilt_spread * detail::tilt_spread;
  b.variance_of(unknown::start) = detail::start_spread * detail::start_spread;
  b.variance_of(unknown::oil) = oil_in_doubt ? 1.0 : 0.0;
  return b;
}

/// Every datum of the sheet beside its description, against the reference.
std::vector<detail::sheet_datum> data_of(const readings& r, const detail::grease_kernel& reference,
                                         std::vector<std::string>& notes) {
  std::vector<detail::sheet_datum> data;
  if (r.fitted) data = detail::data_of(*r.fitted, reference);
  for (const measured_point& p : r.points.alone) data.push_back(detail::datum_of(p, reference));
  if (r.known.mobility && reference.middle.knows(r.known.mobility->at.in_celsius()))
    data.push_back(detail::datum_of(*r.known.mobility, reference));
  if (r.known.mobility && !reference.middle.knows(r.known.mobility->at.in_celsius()))
    notes.push_back("a mobility figure too far below the oil's pour point is left out");
  for (detail::sheet_datum& d : detail::data_of(r.known.flow_pressures, reference, notes)) data.push_back(std::move(d));
  return data;
}

/// Rates at which points were measured do not tell how much of their stress is yield: meters that wait for it must
/// recharge were it all.
double held_over_yield(const std::vector<measured_point>& alone, const detail::grease_model& model) {
  double least = std::numeric_limits<double>::infinity();
  for (const measured_point& p : alone) {
    const detail::curve f = model.at(p.at.in_celsius());
    const double rate = in_per_second(p.rate);
    const double stress = p.kind == rate_kind::nominal ? detail::wall_at_nominal(f, rate).stress : f.stress(rate);
    if (f.ty > 0.0) least = std::fmin(least, stress / f.ty);
  }
  return std::isfinite(least) ? std::fmax(least, 1.0) : 1.0;
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

std::optional<double> detail::variance_of_worked_penetration(const grease& g) {
  if (g.known().penetration || !(g.stiff_penetration() > 0.0)) return std::nullopt;
  const class_row row = row_at(g.stiff_penetration());
  return 1.0 / (1.0 / level_variance(row.f25_worked) - 1.0 / level_variance(row.f25));
}

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

  readings r{known, consistency_of(known), part(within_reach(known.points, model, g.notes_)), {}};
  r.fitted = fit_of(r.points.fitted);
  if (!r.fitted && !known.penetration && known.nlgi.empty())
    throw input_error(known.name.empty() ? "grease" : known.name, "neither an NLGI class nor a penetration is given",
                      "nlgi, penetration, or points of a flow curve");
  append(g.notes_, r.described.notes);
  append(g.notes_, designated.notes);
  append(g.notes_, oil.notes);
  g.reference_ = set_reference(r, model, g.notes_);
  std::vector<std::string> said_already;
  if (g.oil_in_doubt_) set_reference(r, g.stiffer_oil_, said_already);
  g.known_ = known;
  g.nlgi_ = r.described.nlgi;
  g.stiff_ = r.described.stiff;
  g.soft_ = r.described.soft;
  g.oil_ = oil.knowledge;
  g.stands_on_ = (r.fitted ? fmt::format("a flow curve fitted to {} points, the coldest at {}", r.fitted->points.size(),
                                         both_scales(r.fitted->curves.front().temperature))
                           : r.described.words) +
                 "; " + oil.words;
  g.belief_ = g.described_ = described_belief(r.described, g.oil_in_doubt_);
  if (g.has_model()) {
    std::vector<detail::sheet_datum> data = data_of(r, g.kernel(), g.notes_);
    g.belief_ = detail::taught_by(g.belief_, data);
    for (detail::sheet_datum& d : data) {
      if (!d.used.says.empty()) g.data_.push_back(std::move(d.used));
    }
    model.held_over_yield = held_over_yield(r.points.alone, model);
    g.stiffer_oil_.held_over_yield = held_over_yield(r.points.alone, g.stiffer_oil_);
    g.belief_.colder_looks_better = detail::colder_looks_better(g.kernel());
  }
  say_what_is_kept(known, g.notes_);
  say_what_is_odd(known, g.notes_);
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
  g.reference_ = reference_curve::fitted;
  g.stands_on_ = "parameters measured at " + both_scales(at);
  g.notes_ = c.notes;
  detail::grease_model& model = g.model_;
  model.reference = detail::kernel(curve);
  model.reference_c = at.in_celsius();
  model.alpha = detail::pressure_coefficient(known.oil.value_or(oil_type::mineral));
  model.shows_yield = in_pascal(curve.yield) > 0.0;
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
  g.belief_ = g.described_ = described_belief(c, g.oil_in_doubt_);
  g.belief_.variance_of(detail::unknown::tilt) = 0.0;
  g.belief_ = detail::after_seeing(g.belief_, detail::at_rate(at.in_celsius(), detail::usual_rate), 0.0);
  return g;
}

std::optional<flow_curve> grease::at(temperature t) const {
  if (!knows(t)) return std::nullopt;
  const double t_c = t.in_celsius();
  const detail::curve c = model_.at(t_c);
  const double shift =
      belief_.taught ? std::exp(belief_.shift(detail::wall_stress(kernel(), t_c, detail::usual_rate).of)) : 1.0;
  return flow_curve{pascal(shift * c.ty), shift * c.k, c.n, pascal_second(shift * c.c)};
}

double grease::sigma(temperature t, shear_rate rate) const {
  const double t_c = t.in_celsius(), nominal = in_per_second(rate);
  if (!oil_in_doubt_ || !model_.knows(t_c)) return belief_.sigma(detail::at_rate(t_c, nominal));
  return belief_.sigma(detail::wall_stress(kernel(), t_c, nominal).of);
}

bool grease::was_measured() const {
  return reference_ == reference_curve::fitted ||
         std::ranges::any_of(data_, [](const used_datum& d) { return d.kind != datum_kind::flow_pressures; });
}

grease grease::believed(const detail::belief& known, std::vector<used_datum> more, double over_yield) const {
  grease other = *this;
  other.belief_ = known;
  for (detail::grease_model* m : {&other.model_, &other.stiffer_oil_}) {
    // Stresses at a rate do not tell how much of them is yield; the least of them bounds it.
    if (over_yield > 1.0) m->held_over_yield = was_measured() ? std::fmin(m->held_over_yield, over_yield) : over_yield;
  }
  other.belief_.colder_looks_better = detail::colder_looks_better(other.kernel());
  std::ranges::move(more, std::back_inserter(other.data_));
  return other;
}

}  // namespace coldgrease::inline v0
