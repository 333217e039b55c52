#include "coldgrease/line/line.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/ranges.hpp"
#include "coldgrease/line/dosing.hpp"
#include "coldgrease/line/uptake.hpp"
#include "coldgrease/line/worth.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

void set_tube(segment& s, std::string_view text, std::string_view where) {
  constexpr std::string_view expected = R"(outside diameter x wall, such as "6 mm x 1 mm")";
  const auto cut = text.find('x');
  if (cut == std::string_view::npos) throw input_error(where, in_quotes(text) + " is no tube size", expected);
  const auto outside = parse<length>(text.substr(0, cut), where, measure::outside_diameter);
  const auto wall = parse<length>(text.substr(cut + 1), where, measure::tube_wall);
  s.bore = outside - 2.0 * wall;
  if (!(in_metre(s.bore) > 0.0)) throw input_error(where, in_quotes(text) + " leaves no bore", expected);
  s.wall = wall;
  s.bore_from_tube = true;
}

bool is_common_outside_diameter(length bore) {
  static constexpr std::array sizes{
      4e-3, 6e-3, 8e-3, 10e-3, 12e-3, factor::inch / 8, factor::inch * 3 / 16, factor::inch / 4};
  return std::ranges::any_of(sizes, [&](double d) { return std::abs(in_metre(bore) - d) < 1e-9; });
}

duration parse_rest(std::string_view text, std::string_view where) {
  return text == "none" ? second(0) : parse<duration>(text, where, measure::rest);
}

double start_factor(duration rest) {
  const double hours = in_hour(rest);
  if (!(hours > 0.0)) return 1.0;
  if (hours < 1.0) return 1.1;
  return hours <= 24.0 ? 1.25 : 1.5;
}

volume volume_of(const segment& s) {
  return cubic_metre(std::numbers::pi / 4.0 * in_metre(s.bore) * in_metre(s.bore) * in_metre(s.length));
}

volume volume_of(const line& l) {
  double sum = 0.0;
  for (const segment& s : l.segments) sum += in_m3(volume_of(s));
  return cubic_metre(sum);
}

std::optional<std::string> assumed_duty_note(std::optional<double> hours_per_day, std::optional<double> days_per_week) {
  std::string assumed;
  if (!hours_per_day) assumed = fmt::format("{:g} h a day", assumed_hours_per_day);
  if (!days_per_week)
    assumed += fmt::format("{}{:g} days a week", assumed.empty() ? "" : " and ", assumed_days_per_week);
  if (assumed.empty()) return std::nullopt;
  return assumed + " in service are assumed (common practice, no source)";
}

std::optional<volume> daily_volume(const line& l, std::optional<double> cycles_a_day) {
  if (!l.dose || !cycles_a_day) return std::nullopt;
  return cubic_metre(in_m3(*l.dose) * *cycles_a_day);
}

std::optional<duration> residence_of(const line& l, std::optional<double> cycles_a_day) {
  const auto daily = daily_volume(l, cycles_a_day);
  if (!daily) return std::nullopt;
  double sum = 0.0;
  for (const segment& s : l.segments) sum += in_m3(volume_of(s)) / (in_m3(*daily) * s.dose_ratio);
  return days(sum);
}

volume_flow flow_of(const line& l) {
  if (l.flow) return *l.flow;
  const auto& time = l.cycle ? l.cycle : l.in;
  if (!l.dose || !time)
    throw input_error(l.point, "no flow is given", "a flow, or a dose and the time it is delivered in");
  return m3_per_s(in_m3(*l.dose) / in_second(*time));
}

namespace {

void above_zero(double value, std::string_view where, std::string_view unit) {
  if (!(value > 0.0) || !std::isfinite(value)) throw input_error(where, fmt::format("{} {}", value, unit), "above 0");
}

std::string field(const line& l, std::string_view name) {
  return l.point.empty() ? std::string(name) : fmt::format("{}: {}", l.point, name);
}

}  // namespace

void check_confidence(double value, std::string_view where, std::string_view shown) {
  if (value >= least_confidence && value <= most_confidence) return;
  throw input_error(where, shown.empty() ? fmt::format("{}", value) : std::string(shown),
                    fmt::format("{} to {}", least_confidence, most_confidence));
}

namespace {

void validate_needs(const line& l) {
  if (l.movements) above_zero(*l.movements, field(l, "movements"), "a day");
  if (!l.needs) return;
  above_zero(in_m3(l.needs->volume), field(l, "needs"), "m3");
  if (!l.needs->movements) return;
  above_zero(*l.needs->movements, field(l, "needs"), "movements");
  if (!l.movements)
    throw input_error(field(l, "movements"), "is missing, and needs counts them", "movements on a day in service");
}

}  // namespace

void validate(const line& l) {
  if (l.segments.empty()) throw input_error(field(l, "segments"), "none is given", "one or more");
  for (const segment& s : l.segments) {
    above_zero(in_metre(s.length), field(l, "length"), "m");
    above_zero(in_metre(s.bore), field(l, "bore"), "m");
    if (s.rating) above_zero(in_pascal(*s.rating), field(l, "rating"), "Pa");
    if (s.wall) above_zero(in_metre(*s.wall), field(l, "wall"), "m");
    above_zero(s.flow_ratio, field(l, "flow ratio"), "");
    above_zero(s.dose_ratio, field(l, "dose ratio"), "");
    if (!std::isfinite(in_kelvins(s.offset))) throw input_error(field(l, "offset"), "is not finite", "a step in K");
  }
  if (l.outlet && !(in_pascal(*l.outlet) >= 0.0 && std::isfinite(in_pascal(*l.outlet))))
    throw input_error(field(l, "outlet"), fmt::format("{} Pa", in_pascal(*l.outlet)), "0 Pa or above");
  if (l.outlet_at && !(l.outlet_at->in_kelvin() >= 0.0 && std::isfinite(l.outlet_at->in_kelvin())))
    throw input_error(field(l, "outlet_at"), fmt::format("{} C", l.outlet_at->in_celsius()),
                      "a temperature above absolute zero");
  if (l.stages < 0) throw input_error(field(l, "stages"), fmt::format("{}", l.stages), "0 or more dividers");
  if (l.dose) above_zero(in_m3(*l.dose), field(l, "dose"), "m3");
  validate_needs(l);
  if (l.in) above_zero(in_second(*l.in), field(l, "in"), "s");
  above_zero(in_m3_per_s(flow_of(l)), field(l, "flow"), "m3/s");
}

void validate(const conditions& c) {
  if (!c.at) throw input_error("at", "no temperature is given", "a temperature");
  if (!(c.at->in_kelvin() >= 0.0 && std::isfinite(c.at->in_kelvin())))
    throw input_error("at", fmt::format("{} C", c.at->in_celsius()), "a temperature above absolute zero");
  above_zero(in_pascal(c.available), "available", "Pa");
  check_confidence(c.confidence, "confidence");
  if (c.rest && !(in_second(*c.rest) >= 0.0)) throw input_error("rest", "is below 0", "0 or above");
  if (c.interval) check_interval(*c.interval, "interval");
  if (c.reset) above_zero(in_pascal(*c.reset), "reset", "Pa");
  if (c.divider_loss && !(in_pascal(*c.divider_loss) >= 0.0))
    throw input_error("divider loss", fmt::format("{} Pa", in_pascal(*c.divider_loss)), "0 Pa or above");
  if (c.hours_per_day && !(*c.hours_per_day > 0.0 && *c.hours_per_day <= 24.0))
    throw input_error("hours per day", fmt::format("{}", *c.hours_per_day), "above 0 and at most 24");
  if (c.days_per_week && !(*c.days_per_week > 0.0 && *c.days_per_week <= days_a_week))
    throw input_error("days per week", fmt::format("{}", *c.days_per_week), "above 0 and at most 7");
}

void check_interval(duration interval, std::string_view where) {
  if (!(in_second(interval) >= 1.0 && in_days(interval) <= 366.0))
    throw input_error(where, fmt::format("{:g} s", in_second(interval)), "1 s to 366 days");
}

verdict judge(std::optional<double> chance, double confidence, bool below_bound) {
  if (!chance) return verdict::not_shown;
  if (meets(*chance, confidence)) return below_bound ? verdict::doubtful : verdict::flows;
  return meets(1.0 - *chance, confidence) ? verdict::stalls : verdict::doubtful;
}

bool meets(double chance, double confidence) noexcept {
  constexpr double rounding = 1e-12;
  return chance >= confidence - rounding;
}

namespace {

/// Median stress at the wall of a segment, its linear term thickened.
double wall_stress_of(const detail::line_kernel& k, const detail::tube& s, const detail::grease_kernel& g, double t_c,
                      double thick) {
  return detail::wall_stress(g, t_c + s.offset_k, detail::nominal_rate_of(k.flow * s.flow_ratio, s.bore), 1.0, thick)
      .stress;
}

/// The segment that carries the largest wall stress where the verdict turns; without a model the narrowest.
const detail::tube& tightest(const detail::line_kernel& k, const detail::grease_kernel* g, double t_c) {
  if (!g) return *std::ranges::min_element(k.tubes, {}, &detail::tube::bore);
  const double thick = detail::thickening(*g, k.available, k.outlet_in(*g, t_c));
  return *std::ranges::max_element(k.tubes, {},
                                   [&](const detail::tube& s) { return wall_stress_of(k, s, *g, t_c, thick); });
}

/// What a bore would be if its size were an outside diameter: wall 0.75 mm up to 4 mm, 1 mm above (from memory).
double bore_if_outside(double size) { return size - 2.0 * (size < 4.1e-3 ? 0.75e-3 : 1e-3); }

void warn(const line& l, const conditions& c, const line_answer& answer, std::vector<std::string>& warnings) {
  warnings = detail::rating_warnings(l, c.available);
  for (std::string& odd : detail::odd_parts(l)) warnings.push_back(std::move(odd));
  if (c.system == system_type::progressive && l.stages > 0 && !c.divider_loss)
    warnings.push_back("what a divider stage takes is not given: it is left out, and the line needs more than shown");
  if (c.system == system_type::single_line && !c.reset)
    warnings.push_back("not shown: reset pressure missing: nobody can say whether the meters recharge");
  if (answer.missing == missing_datum::yield)
    warnings.push_back(
        "not shown: the points leave the yield stress open, so nobody can say whether the meters recharge");
  if (answer.outlet + answer.divider_loss >= answer.available)
    warnings.push_back("the point asks for as much pressure as there is: nothing is left for the line");
}

/// Says how the answer would change if a bore that is a common outside diameter were one.
void warn_of_outside_diameter(const detail::line_kernel& k, const line& l, const detail::grease_kernel* g, double t_c,
                              std::vector<std::string>& warnings) {
  detail::line_kernel other = k;
  const segment* suspect = nullptr;
  for (std::size_t i = 0; i < l.segments.size(); ++i) {
    if (l.segments[i].bore_from_tube || !is_common_outside_diameter(l.segments[i].bore)) continue;
    other.tubes[i].bore = bore_if_outside(k.tubes[i].bore);
    if (!suspect) suspect = &l.segments[i];
  }
  if (!suspect) return;
  const double size = in_metre(suspect->bore), bore = bore_if_outside(size);
  std::string text = fmt::format(
      "a bore of {:.4g} mm is a common outside diameter; as {:.4g} mm x {:g} mm tube (wall from memory) its bore is "
      "{:.4g} mm",
      size * 1e3, size * 1e3, (size - bore) * 500.0, bore * 1e3);
  if (g) {
    const auto lost = detail::own_loss(other, *g, t_c, k.start);
    text += lost ? fmt::format(" and the line needs {}", both_units(pascal(k.dividers + k.outlet_in(*g, t_c) + *lost)))
                 : " and the line needs more than 1000 bar (14500 psi)";
  }
  warnings.push_back(std::move(text));
}

/// What the point gets and asks for, and how long that takes.
void tell_doses(const line& l, const conditions& c, line_answer& answer) {
  answer.dose = l.dose;
  if (!c.hours_per_day) return;
  const duty in_service{*c.hours_per_day, c.days_per_week.value_or(assumed_days_per_week)};
  const auto cycles = c.interval ? std::optional(cycles_a_day(*c.interval, in_service)) : std::nullopt;
  answer.residence = residence_of(l, cycles);
  answer.daily = daily_volume(l, cycles);
  answer.asked = asked_of(l, in_service);
  answer.dose_faults = dose_faults_of(answer);
}

/// What is assumed or missing.
void note(const line& l, const grease& g, const conditions& c, const line_answer& answer,
          std::vector<std::string>& notes) {
  constexpr temperature first_wax = celsius(-9.0);  // paraffinic oils of The Tribology Handbook table 2.5 pour there
  for (std::string& assumed : detail::assumptions_of(l)) notes.push_back(std::move(assumed));
  if (!c.rest) notes.emplace_back(detail::rest_assumed);
  if (l.outlet_at && !g.knows(*l.outlet_at))
    notes.push_back("nothing is known of this grease where the outlet pressure was found: it is taken as it stands");
  if (const oil_type type = g.known().oil.value_or(oil_type::mineral);
      !g.known().pour && !wax_free(type) && *c.at < first_wax)
    notes.push_back(fmt::format("no pour point is given, and {} oils pour at {} to {}: wax may stop this one here",
                                name_of(type), both_scales(first_wax), both_scales(celsius(-30.0))));
  if (answer.missing == missing_datum::grease) {
    notes.push_back("not shown: " + std::string(name_of(missing_datum::grease)));
    if (!answer.ask_supplier)
      notes.push_back("no figure for a tender: nothing is known of this class and oil here that it could stand on");
  }
  if (c.interval && !answer.residence)
    notes.push_back(fmt::format("how long grease stays in the line is not said: {} missing",
                                l.dose ? "the hours a day are" : "the dose is"));
  if (answer.residence) {
    if (auto assumed = assumed_duty_note(c.hours_per_day, c.days_per_week)) notes.push_back(std::move(*assumed));
  }
}

}  // namespace

namespace {

/// Numbers that no grease system has may leave the range of a double on the way; their answer would not be one.
void require_finite(double v, const line& l) {
  if (!std::isfinite(v))
    throw input_error(field(l, "line"), "its pressure, flow or volume leaves the range of numbers",
                      "lengths, bores, flows and pressures of a grease system");
}

void require_finite(const line_answer& a, const line& l) {
  const auto refuse_unless = [&](double v) { require_finite(v, l); };
  for (const auto& p : {a.wall_stress, a.flow_loss, a.start_loss, a.needed}) {
    if (p) refuse_unless(in_pascal(*p));
  }
  refuse_unless(in_per_second(a.nominal_rate));
  refuse_unless(in_m3(a.line_volume));
  refuse_unless(in_pascal(a.residual.value_or(pascal(0))));
  refuse_unless(in_metre(a.front_reach.value_or(metre(0))));
  refuse_unless(in_m3(a.uptake.value_or(cubic_metre(0))));
  refuse_unless(in_second(a.residence.value_or(second(0))));
  refuse_unless(in_m3(a.daily.value_or(cubic_metre(0))));
  refuse_unless(in_m3(a.asked.value_or(cubic_metre(0))));
  refuse_unless(a.chance.value_or(0.0));
  refuse_unless(in_metre(a.longest.value_or(metre(0))));
  refuse_unless(in_metre(a.smallest_bore.value_or(metre(0))));
  refuse_unless(in_m3_per_s(a.largest_flow.value_or(m3_per_s(0))));
  if (a.ask_supplier) refuse_unless(in_pascal_second(a.ask_supplier->apparent_max));
}

}  // namespace

outcome detail::outcome_of(const line& l, const line_kernel& k, const grease& g, const grease_kernel& kernel,
                           const conditions& c, temperature at) {
  const double t_c = at.in_celsius();
  outcome o{.available = pascal(k.available), .missing = missing_for(c, g)};
  if (!knows(k, g, t_c)) o.missing = missing_datum::grease;
  if (o.missing == missing_datum::grease) return o;
  o.below_oil_bound = below_bound(k, g.model(), t_c);
  if (o.missing != missing_datum::none) return o;
  const demand flow = flow_demand(k, kernel, t_c, k.flow);
  const demand vent = vent_demand(k, kernel, t_c);
  require_finite(flow.asked, l);
  const double flows = flow.chance(), vents = vent.chance();
  o.chance = kernel.known.colder_looks_better ? chance_of(k, kernel, t_c) : std::fmin(flows, vents);
  if (vents < flows) o.stays = pascal(vent.asked);
  o.verdict = judge(o.chance, c.confidence, o.below_oil_bound);
  return o;
}

outcome outcome_of(const line& l, const grease& g, const conditions& c) {
  return detail::outcome_of(l, detail::kernel(l, c), g, g.kernel(), c, *c.at);
}

bool recharges(const line& l, const grease& g, const conditions& c) {
  const detail::line_kernel k = detail::kernel(l, c);
  const double t_c = c.at->in_celsius();
  return detail::missing_for(c, g) == missing_datum::none && detail::knows(k, g, t_c) &&
         meets(detail::vent_chance(k, g.kernel(), t_c), c.confidence);
}

std::optional<pressure> detail::needed_pressure(const line_kernel& k, const grease& g, const grease_kernel& kernel,
                                                temperature at) {
  const double t_c = at.in_celsius();
  if (!knows(k, g, t_c)) return std::nullopt;
  const auto lost = own_loss(k, kernel, t_c, k.start);
  return lost ? std::optional(pascal(k.dividers + k.outlet_in(kernel, t_c) + *lost)) : std::nullopt;
}

std::optional<pressure> needed_pressure(const line& l, const grease& g, const conditions& c) {
  return detail::needed_pressure(detail::kernel(l, c), g, g.kernel(), *c.at);
}

namespace {

/// What the answer would be if the outlet pressure had been found in the warm.
std::optional<outlet_found_warm> outlet_doubt_of(const line& l, const detail::line_kernel& k, const grease& g,
                                                 double t_c, double confidence, bool below_bound) {
  outlet_found_warm warm;
  if (l.outlet_at || t_c >= warm.at.in_celsius() || !g.knows(warm.at)) return std::nullopt;
  detail::line_kernel found_warm = k;
  found_warm.outlet_at_c = warm.at.in_celsius();
  warm.outlet = pascal(found_warm.outlet_in(g.kernel(), t_c));
  warm.chance = detail::chance_of(found_warm, g.kernel(), t_c);
  warm.verdict = judge(warm.chance, confidence, below_bound);
  return warm;
}

/// Limits at the temperature of the answer.
void add_limits(const detail::line_kernel& k, const grease& g, double t_c, double z, line_answer& answer) {
  const detail::grease_kernel model = g.kernel();
  answer.longest = metre(detail::longest(k, model, t_c, z));
  const double vent = detail::vent_excess(k, model, t_c, z);  // bounds bore and flow as well
  if (const auto bore = detail::smallest_bore(k, model, t_c, z))
    answer.smallest_bore = metre(std::fmax(*bore, detail::narrowest(k) * std::exp(vent)));
  answer.largest_flow = m3_per_s(vent <= 0.0 ? detail::largest_flow(k, model, t_c, z) : 0.0);
  if (vent <= 0.0) {
    if (const auto outlet = detail::largest_outlet(k, model, t_c, z)) answer.largest_outlet = pascal(*outlet);
  }
}

/// What is lost in the line at this temperature, and what the chance is.
void add_flow(const line& l, const detail::line_kernel& k, const detail::tube& tight, const grease& g,
              const conditions& c, double z, line_answer& answer) {
  const detail::grease_kernel model = g.kernel();
  const double t_c = c.at->in_celsius();
  const detail::demand flow = detail::flow_demand(k, g.kernel(), t_c, k.flow);
  require_finite(flow.asked, l);
  answer.spread_90 = std::exp(detail::z90 * flow.sigma);
  const auto starting = detail::own_loss(k, model, t_c, k.start), running = detail::own_loss(k, model, t_c, 1.0);
  if (starting && running) {
    const double thick =
        detail::thickening(model, k.dividers + in_pascal(answer.outlet) + *running, in_pascal(answer.outlet));
    answer.wall_stress = pascal(wall_stress_of(k, tight, model, t_c, thick));
    answer.flow_loss = pascal(*running);
    answer.start_loss = pascal(*starting);
    answer.needed = answer.outlet + answer.divider_loss + *answer.start_loss;
  }
  const detail::demand vent = detail::vent_demand(k, g.kernel(), t_c);
  if (c.system == system_type::single_line && answer.missing != missing_datum::yield)
    answer.residual = pascal(vent.asked * std::exp(z * vent.sigma));
  const bool cold = detail::below_bound(k, model.middle, t_c);
  if (cold)
    answer.warnings.push_back("colder than the oil's bound, " + both_scales(*answer.oil_bound) + ": at best doubtful");
  const bool something_left = flow.allowed > 0.0;
  if (answer.missing == missing_datum::none) {
    answer.chance = detail::chance_of(k, g.kernel(), t_c);
    if (constexpr double told = 1e-3; *answer.chance < std::fmin(flow.chance(), vent.chance()) - told)
      answer.notes.emplace_back(
          "what was measured makes colder air look better than warmer: the worst chance from here on counts");
    answer.verdict = judge(answer.chance, c.confidence, cold);
    answer.outlet_doubt = outlet_doubt_of(l, k, g, t_c, c.confidence, cold);
    if (something_left) add_limits(k, g, t_c, z, answer);
  }
  if (something_left) {
    answer.dose_share = std::fmin(1.0, detail::largest_flow(k, g.kernel(), t_c, 0.0) / k.flow);
    answer.front_reach = detail::front_reach(k, model, t_c);
  }
  answer.uptake = uptake_of(l, g, c);
  if (answer.uptake) answer.delay = second(in_m3(*answer.uptake) / k.flow);
  answer.dose_faults = dose_faults_of(answer);
}

}  // namespace

line_answer check(const line& l, const grease& g, const conditions& c) {
  validate(l);
  validate(c);
  const detail::line_kernel k = detail::kernel(l, c);
  const detail::grease_kernel model = g.kernel();
  const double t_c = c.at->in_celsius();
  const double z = normal_quantile(c.confidence);
  const bool known = detail::knows(k, g, t_c);

  line_answer answer;
  answer.temperature = *c.at;
  answer.confidence = c.confidence;
  answer.missing = known ? detail::missing_for(c, g) : missing_datum::grease;
  answer.outlet = pascal(known ? k.outlet_in(model, t_c) : k.outlet);
  answer.divider_loss = detail::in_dividers(l, c);
  answer.available = pascal(k.available);
  answer.reset = c.reset;
  const detail::tube& tight = tightest(k, known ? &model : nullptr, t_c);
  answer.nominal_rate = per_second(detail::nominal_rate_of(k.flow * tight.flow_ratio, tight.bore));
  warn(l, c, answer, answer.warnings);
  warn_of_outside_diameter(k, l, known ? &model : nullptr, t_c, answer.warnings);

  answer.line_volume = volume_of(l);
  tell_doses(l, c, answer);
  if (k.available > k.dividers + in_pascal(answer.outlet) && answer.missing != missing_datum::reset)
    answer.ask_supplier = detail::question_of(k, g, t_c, z, tight);
  answer.oil_bound = !g.has_model() ? std::nullopt : g.oil_bound();
  answer.notes = g.notes();
  note(l, g, c, answer, answer.notes);
  if (known) add_flow(l, k, tight, g, c, z, answer);
  if (detail::missing_for(c, g) == missing_datum::none) {
    if (const auto t = detail::coldest_c(k, g.kernel(), z)) answer.coldest = celsius(*t);
    if (const auto t = detail::coldest_c(k, g.kernel(), 0.0)) answer.coldest_likely = celsius(*t);
    answer.worth_most = worth_most(l, g, c);
  }
  require_finite(answer, l);
  return answer;
}

}  // namespace coldgrease::inline v0
