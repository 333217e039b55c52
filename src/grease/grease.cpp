#include "coldgrease/grease/grease.hpp"

#include "base/format.hpp"

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/consistency.hpp"

namespace coldgrease {

void validate(const flow_curve& f) {
  const auto not_negative = [](double v) { return std::isfinite(v) && v >= 0.0; };
  if (!not_negative(in_pascal(f.yield)))
    throw input_error("yield", fmt::format("{} Pa", in_pascal(f.yield)), "0 Pa or above");
  if (!not_negative(f.consistency))
    throw input_error("consistency", fmt::format("{} Pa s^n", f.consistency), "0 or above");
  if (!not_negative(in_pascal_second(f.linear)))
    throw input_error("linear", fmt::format("{} Pa s", in_pascal_second(f.linear)), "0 Pa s or above");
  if (!(f.index >= 0.1 && f.index <= 1.5)) throw input_error("index", fmt::format("{}", f.index), "0.1 to 1.5");
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
  return {p, geometric(low.ty25, high.ty25), low.a + w * (high.a - low.a), geometric(low.f25, high.f25)};
}

bool pumped(double penetration) {
  return penetration >= detail::least_known_penetration && penetration <= detail::most_known_penetration;
}

/// Index assumed where a sheet gives one viscosity and no index. Mineral 95 is the default of this library; naphthenic
/// 30 follows from The Tribology Handbook table 2.5 (45 and 3.9 mPa s at 30 and 100 C); pao and ester from memory.
double assumed_vi(oil_type type) {
  switch (type) {
    case oil_type::naphthenic: return 30.0;
    case oil_type::pao: return 140.0;
    case oil_type::ester: return 150.0;
    default: return 95.0;
  }
}

bool wax_free(oil_type type) {
  return type == oil_type::pao || type == oil_type::ester || type == oil_type::pag || type == oil_type::silicone ||
         type == oil_type::naphthenic;
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
    c.notes.push_back(
        "nothing is predicted outside penetrations 220 to 475: classes 4 to 6 are not pumped by these systems");
  }
  return c;
}

/// The oil's line, its bound and what was assumed about it.
struct oil_model {
  std::optional<viscosity_line> line;
  std::string words;
  std::vector<std::string> notes;
};

bool says_anything_of_the_oil(const evidence& e) { return e.kv40 || e.kv100 || e.kv || e.vi; }

oil_model oil_of(const evidence& known) {
  oil_data data{known.kv40, known.kv100, known.kv, known.vi};
  const oil_type type = known.oil.value_or(oil_type::mineral);
  oil_model oil;
  const int viscosities = int(data.kv40.has_value()) + int(data.kv100.has_value()) + int(data.kv.has_value());
  if (viscosities == 0) {
    constexpr double assumed_kv40 = 150.0;
    data.kv40 = mm2_per_s(assumed_kv40);
    oil.notes.push_back("no viscosity of the base oil is given: a KV40 of 150 mm2/s is assumed");
  }
  if (viscosities <= 1 && !data.vi) {
    data.vi = assumed_vi(type);
    oil.notes.push_back(fmt::format("a viscosity index of {:g} is assumed for a {} oil", *data.vi, name_of(type)));
  }
  if (!known.oil && !known.pour) oil.notes.push_back("the type of the base oil is not given: mineral is assumed");
  oil.line = line_through(data);
  if (data.kv40 && data.kv100 && data.vi) {
    if (const auto vi = viscosity_index(*data.kv40, *data.kv100); vi && std::abs(*vi - *data.vi) > 5.0)
      oil.notes.push_back(fmt::format(
          "the viscosities give an index of {:.0f}, the sheet says {:g}: the viscosities are used", *vi, *data.vi));
  }
  oil.words = fmt::format("oil KV40 {:.4g}, KV100 {:.3g} mm2/s", in_mm2_per_s(oil.line->at(celsius(40.0))),
                          in_mm2_per_s(oil.line->at(celsius(100.0))));
  return oil;
}

/// Puts the oil into the model: line, density, cold bound.
void add_oil(detail::grease_model& model, const evidence& known, const oil_model& oil,
             std::vector<std::string>& notes) {
  constexpr double glass = 100.0;  // [Pa s]: an oil thicker than this at its pour point is not stopped by wax
  constexpr double wax_margin = 3.0, extrapolation = 5.0;  // [K]
  model.has_oil = true;
  model.oil = oil.line->coefficients();
  if (known.density) model.density15 = in_kg_per_m3(*known.density);
  model.eta25 = model.eta(25.0);
  if (known.pour) {
    const double pour = known.pour->in_celsius();
    model.waxy = !wax_free(known.oil.value_or(oil_type::mineral)) && model.eta(pour) < glass;
    model.bound_c = model.waxy ? pour + wax_margin : pour;
    model.nothing_below_c = pour - extrapolation;
    if (model.waxy)
      notes.push_back(fmt::format("wax stops this oil: its bound is the pour point + 3 K, {}",
                                  both_scales(celsius(model.bound_c))));
  } else {
    // eta carries the density, so its 100 Pa s is found by two corrections of the kinematic value.
    double t = -40.0;
    for (int step = 0; step < 20; ++step)
      t = model.oil.kelvin_where(glass * 1e6 / detail::density_at(model.density15, t)) - 273.15;
    model.bound_c = t;
    notes.push_back(fmt::format("no pour point is given: the bound is where the oil reaches 100 Pa s, {}",
                                both_scales(celsius(t))));
  }
}

void fix_reference(detail::grease_model& model) {
  if (!model.has_oil) return;
  model.reference_eta = model.eta(model.reference_c);
  model.reference_factor = model.yield_factor(model.reference_c, model.reference_eta);
}

void append(std::vector<std::string>& to, const std::vector<std::string>& more) {
  to.insert(to.end(), more.begin(), more.end());
}

}  // namespace

grease estimate(const evidence& known) {
  if (!known.penetration && known.nlgi.empty())
    throw input_error(known.name.empty() ? "grease" : known.name, "neither an NLGI class nor a penetration is given",
                      "nlgi, penetration or measured parameters");
  const consistency c = consistency_of(known);
  const oil_model oil = oil_of(known);

  grease g;
  g.known_ = known;
  g.nlgi_ = c.nlgi;
  g.stiff_ = c.stiff;
  g.soft_ = c.soft;
  g.kind_ = c.kind;
  g.stands_on_ = c.words + "; " + oil.words;
  g.notes_ = c.notes;
  append(g.notes_, oil.notes);
  add_oil(g.model_, known, oil, g.notes_);

  const class_row row = row_at(c.stiff);
  g.model_.reference = {row.ty25, row.ty25 / std::sqrt(detail::knee_rate), 0.5, row.a * g.model_.eta(25.0)};
  g.model_.f0 = row.f25;
  fix_reference(g.model_);
  if (!known.claim.empty()) g.notes_.push_back("a claim is kept, it proves nothing: " + in_quotes(known.claim));
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
  g.model_.reference = detail::kernel(curve);
  g.model_.reference_c = at.in_celsius();
  g.model_.f0 = detail::measured_factor;
  g.model_.t0_c = at.in_celsius() - 10.0;
  g.notes_ = c.notes;
  if (c.kind != evidence_kind::none) g.model_.f0_most = row_at(c.stiff).f25;
  if (says_anything_of_the_oil(known)) {
    const oil_model oil = oil_of(known);
    g.stands_on_ += "; " + oil.words;
    append(g.notes_, oil.notes);
    add_oil(g.model_, known, oil, g.notes_);
  } else {
    g.notes_.push_back(known.pour ? "no viscosity of the oil: a pour point alone says nothing of other temperatures"
                                  : "no oil data: nothing is said of other temperatures");
  }
  fix_reference(g.model_);
  return g;
}

curve_answer describe(const grease& g, temperature at, std::span<const shear_rate> rates, rate_kind kind) {
  curve_answer answer{
      .temperature = at, .curve = g.at(at), .evidence = g.stands_on(), .kind = kind, .notes = g.notes()};
  for (const shear_rate& rate : rates) {
    if (!(in_per_second(rate) > 0.0)) throw input_error("rate", fmt::format("{} 1/s", in_per_second(rate)), "above 0");
  }
  if (!answer.curve) {
    answer.notes.push_back("nothing is known of this grease at " + both_scales(at));
    return answer;
  }
  answer.spread_90 = std::exp(detail::z90 * g.sigma(at));
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

}  // namespace coldgrease
