#include "coldgrease/report/text.hpp"

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bore_words;
using detail::bullets;
using detail::day_words;
using detail::grease_rows;
using detail::month_name;
using detail::number_words;
using detail::or_none;
using detail::row;
using detail::run_words;
using detail::words;
using detail::wrapped;

std::string to_text(const class_answer& answer) {
  std::string out;
  if (answer.penetration) out += row("penetration", fmt::format("{:g} x 0.1 mm", *answer.penetration));
  if (answer.nlgi) {
    out += row("NLGI class", *answer.nlgi);
  } else {
    out += row("NLGI class", "none");
  }
  if (!answer.note.empty()) out += row("note", answer.note);
  return out;
}

std::string to_text(const oil_answer& answer) {
  std::string out = row("KV40", fmt::format("{:.4g} mm2/s at 40.0 C (104.0 F)", in_mm2_per_s(answer.kv40)));
  out += row("KV100", fmt::format("{:.4g} mm2/s at 100.0 C (212.0 F)", in_mm2_per_s(answer.kv100)));
  out += row("VI", or_none(answer.vi, [](double v) { return fmt::format("{:.0f} (ASTM D2270)", v); }));
  out +=
      row("ISO grade", answer.iso_vg ? fmt::format("VG {}", *answer.iso_vg) : "none: between two grades of ISO 3448");
  if (!answer.at.empty())
    out += fmt::format("\n{:<20}{:>18}{:>18}\n", "temperature", "kinematic mm2/s", "dynamic Pa s");
  for (const auto& p : answer.at)
    out += fmt::format("{:<20}{:>18}{:>18}\n", both_scales(p.temperature), number_words(in_mm2_per_s(p.kinematic)),
                       number_words(in_pascal_second(p.dynamic)));
  return out + bullets("\nNotes", answer.notes);
}

std::string to_text(const curve_answer& answer, const grease& g) {
  std::string out = row("grease", g.name().empty() ? "as described" : g.name());
  out += row("at", both_scales(answer.temperature));
  out += row("stands on", answer.evidence);
  if (g.reference() != reference_curve::fitted)
    out += row("", g.was_measured() ? "measured data, the rest by engineering judgement"
                                    : "an estimate by engineering judgement, no measurement");
  out += detail::data_rows(g);
  if (answer.worth_most) out += row("worth most", words_of_worth(*answer.worth_most));
  if (!answer.curve) return out + bullets("\nNotes", answer.notes);
  const flow_curve& c = *answer.curve;
  out += row("flow curve", "stress = yield + K rate^n + c rate");
  out += row("yield", number_words(in_pascal(c.yield)) + " Pa");
  out += row("K", fmt::format("{} Pa s^n, n = {:g}", number_words(c.consistency), c.index));
  out += row("c", number_words(in_pascal_second(c.linear)) + " Pa s");
  out += row("spread", fmt::format("nine of ten such greases lie within a factor {:.2f} of this stress, up or down",
                                   *answer.spread_90));
  const bool nominal = answer.kind == rate_kind::nominal;
  out += fmt::format("\n{:>16}{:>16}{:>24}\n", nominal ? "nominal 1/s" : "true 1/s", "stress Pa",
                     "apparent viscosity Pa s");
  for (const auto& p : answer.points)
    out += fmt::format("{:>16}{:>16}{:>24}\n", number_words(in_per_second(p.rate)), number_words(in_pascal(p.stress)),
                       number_words(in_pascal_second(p.apparent)));
  out += wrapped(nominal ? "Nominal rate 32 Q/(pi D^3), as ASTM D1092 and the line formula use it."
                         : "True rate, as a rotational rheometer reports it.") +
         "\n";
  return out + bullets("\nNotes", answer.notes);
}

std::string to_text(const fit_answer& a) {
  std::string out;
  for (const std::string& warning : a.warnings) out += wrapped(fmt::format("WARNING: {}", warning), 9) + "\n";
  if (!a.warnings.empty()) out += "\n";
  out += row("flow curve", "stress = yield + K rate^n + c rate");
  const auto with_error = [](double value, std::string_view unit, std::optional<double> error) {
    return fmt::format("{}{}{}", number_words(value), unit,
                       error ? fmt::format(", standard error {:.3g}", *error) : std::string());
  };
  const bool shape = a.fitted.size() > 2;
  for (const fitted_curve& c : a.curves) {
    const curve_errors& e = c.standard_errors;
    out += fmt::format("\nAt {}\n", both_scales(c.temperature));
    out += row("yield", with_error(in_pascal(c.curve.yield), " Pa",
                                   e.yield ? std::optional(in_pascal(*e.yield)) : std::nullopt));
    out += row("K", with_error(c.curve.consistency, " Pa s^n", e.consistency) + (shape ? "" : ", not fitted"));
    out += row("n", with_error(c.curve.index, "", e.index) + (shape ? "" : ", not fitted"));
    out += row("c", with_error(in_pascal_second(c.curve.linear), " Pa s",
                               e.linear ? std::optional(in_pascal_second(*e.linear)) : std::nullopt));
    out += row("rates", fmt::format("{:.4g} to {:.4g} 1/s", in_per_second(c.rate_min), in_per_second(c.rate_max)));
    out += row("spread", fmt::format("factor {:.2f} up or down for nine of ten batches (judgement)", c.spread_90));
  }
  if (a.slopes) {
    const auto slope = [](std::optional<double> value, std::optional<double> error) {
      return or_none(value, [&](double v) {
        return fmt::format("{:.2f} % a K{}", v * 100.0,
                           error ? fmt::format(", standard error {:.2g} %", *error * 100.0) : std::string());
      });
    };
    out += "\nSlopes with temperature\n";
    out += row("yield, K", slope(a.slopes->yield, a.slopes->yield_error));
    out += row("c", slope(a.slopes->linear, a.slopes->linear_error));
  }
  out += fmt::format("\n{:<22}{:<10}{:>11}{:>12}{:>12}{:>11}\n", "temperature", "rate", "1/s", "measured Pa",
                     "fitted Pa", "residual %");
  for (const fitted_point& p : a.points)
    out += fmt::format("{:<22}{:<10}{:>11}{:>12}{:>12}{:>11}\n", both_scales(p.measured.at),
                       p.measured.kind == rate_kind::nominal ? "nominal" : "true",
                       number_words(in_per_second(p.measured.rate)), number_words(in_pascal(p.measured.stress)),
                       number_words(in_pascal(p.fitted)), fmt::format("{:+.1f}", p.residual * 100.0));
  out += "\n" +
         wrapped(
             "A measured curve holds for that batch of grease at that temperature. A line that runs below the "
             "measured rates widens the spread.") +
         "\n";
  return out + bullets("\nNotes", a.notes);
}

namespace {

std::string verdict_words(const line_answer& a) {
  if (a.verdict != verdict::not_shown)
    return fmt::format("{}: {}", name_of(a.verdict), detail::chance_beside(*a.chance, a.confidence));
  return fmt::format("not shown: {}", name_of(a.missing));
}

}  // namespace

std::string to_text(const line_answer& a, const line& l, const grease& g, unit_system units) {
  const auto press = [&](pressure p) { return words(p, units); };
  std::string out;
  const std::vector<std::string> warnings = detail::line_warnings(a, units);
  for (const std::string& warning : warnings) out += wrapped(fmt::format("WARNING: {}", warning), 9) + "\n";
  if (!warnings.empty()) out += "\n";
  out += row("line", l.point.empty() ? "as described" : l.point);
  for (const segment& s : l.segments)
    out += row("", fmt::format("{} of {} bore", run_words(s.length, units), bore_words(s.bore, units)));
  out += grease_rows(g);
  if (a.worth_most) out += row("worth most", words_of_worth(*a.worth_most));
  out += row("at", both_scales(a.temperature));
  out += row("VERDICT", verdict_words(a));
  if (!a.inlet_judged) out += row("inlet", "of the pump: not judged for a line alone");
  out += "\n";
  if (a.needed) {
    const std::string dividers =
        in_pascal(a.divider_loss) > 0.0 ? fmt::format(" + {} in dividers", press(a.divider_loss)) : std::string();
    out += row("needed", fmt::format("{} = {} at the point{} + {} to start after the rest", press(*a.needed),
                                     press(a.outlet), dividers, press(*a.start_loss)));
    out += row("running", fmt::format("{} lost in the line once it flows", press(*a.flow_loss)));
  }
  if (a.missing != missing_datum::grease && !a.needed) out += row("needed", "more than 1000 bar (14500 psi)");
  out += row("available", press(a.available));
  if (a.outlet_doubt) out += row("the point", detail::outlet_doubt_words(a, units));
  if (a.residual)
    out += row("after relief", fmt::format("{} stay in the supply at this confidence; meters recharge at {}",
                                           press(*a.residual), or_none(a.reset, press)));
  if (a.dose_share && *a.dose_share < 1.0)
    out += row("of the dose", fmt::format("{:.0f} % still arrive by the middle estimate", 100.0 * *a.dose_share));
  if (a.front_reach)
    out += row("front", fmt::format("the pressure reaches {} into such a line", run_words(*a.front_reach, units)));
  if (a.uptake)
    out += row("takes up", fmt::format("{} before the full flow stands at the point, {:.1f} s of it",
                                       words(*a.uptake, units), in_second(*a.delay)));
  if (a.wall_stress)
    out += row("at the wall", fmt::format("{} Pa at a nominal rate of {:.4g} 1/s",
                                          number_words(in_pascal(*a.wall_stress)), in_per_second(a.nominal_rate)));
  out += row("holds",
             fmt::format("{} of grease{}", words(a.line_volume, units),
                         a.residence ? fmt::format(", which take {:.0f} days to pass", in_days(*a.residence)) : ""));
  out += fmt::format("\nLimits at {}, confidence {:.2f}\n", both_scales(a.temperature), a.confidence);
  out += row("coldest", or_none(a.coldest, both_scales) +
                            (a.coldest_likely ? fmt::format(", an even chance at {}", both_scales(*a.coldest_likely))
                                              : std::string()));
  if (a.oil_bound) out += row("oil bound", both_scales(*a.oil_bound));
  out += row("longest", or_none(a.longest, [&](length v) { return run_words(v, units); }));
  out += row("smallest bore", or_none(a.smallest_bore, [&](length v) { return bore_words(v, units); }));
  out += row("largest flow", or_none(a.largest_flow, [&](volume_flow v) { return words(v, units); }));
  out += row("outlet up to", or_none(a.largest_outlet, press));
  if (a.ask_supplier) {
    out += "\n";
    out += wrapped(fmt::format(
               "Ask the supplier for: apparent viscosity (ASTM D1092) at most {} Pa s at {} and {:.3g} 1/s.",
               number_words(in_pascal_second(a.ask_supplier->apparent_max)), both_scales(a.ask_supplier->temperature),
               in_per_second(a.ask_supplier->rate))) +
           "\n";
  }
  return out + bullets("\nNotes", a.notes) + "\n" + cautions();
}

namespace {

std::string named(const std::string& station, const std::string& id) {
  return station.empty() ? "not named" : id.empty() ? station : fmt::format("{} ({})", station, id);
}

std::string percent_words(double share) { return fmt::format("{:g} %", share * 100.0); }

std::string season_words(const season_dates& s) {
  std::string out;
  if (s.first && s.last) {
    out += row("cold season", fmt::format("{} to {}", day_words(*s.first), day_words(*s.last)));
    out += row("", fmt::format("one season in {:.3g} begins earlier, one ends later", 1.0 / s.risk));
  }
  return out + row("seasons", fmt::format("{}, {} of them without so cold a day", s.seasons, s.without_event));
}

std::string published_words(const design_values& v) {
  std::string out = fmt::format("\nPublished: {}, {}\n", v.source, v.edition);
  if (v.heating_99_6) out += row("coldest 0.4 %", both_scales(*v.heating_99_6));
  if (v.heating_99) out += row("coldest 1 %", both_scales(*v.heating_99));
  if (v.mean_annual_minimum)
    out += row("annual min", fmt::format("{} in the mean, standard deviation {:.1f} K",
                                         both_scales(*v.mean_annual_minimum), in_kelvins(*v.deviation)));
  for (const int years : {5, 10, 20, 50}) {
    if (const auto t = return_minimum(v, years)) out += row(fmt::format("{} years", years), both_scales(*t));
  }
  return out;
}

}  // namespace

std::string to_text(const climate_answer& a) {
  std::string out = row("station", named(a.station, a.id));
  out += row(a.kind == series_kind::daily ? "days" : "hours",
             a.first ? fmt::format("{} from {} to {}", a.count, text_of(*a.first), text_of(*a.last))
                     : fmt::format("{} of a typical year", a.count));
  if (a.months.size() < 12)
    out += row("for a plan", fmt::format("no: it has days or hours of {} of the twelve months", a.months.size()));
  out += row("for dates", detail::for_dates_words(a));
  if (!a.unit.empty()) out += row("read in", a.unit);
  for (const dropped_rows& d : a.dropped) out += row("left out", fmt::format("{}: {}", d.count, d.reason));

  out += fmt::format("\n{:<16}{:<22}{}\n", "share colder", "hours", a.tmin_quantiles.empty() ? "" : "daily minima");
  for (std::size_t i = 0; i < a.quantiles.size(); ++i)
    out += fmt::format("{:<16}{:<22}{}\n", percent_words(a.quantiles[i].share), both_scales(a.quantiles[i].temperature),
                       a.tmin_quantiles.empty() ? "" : both_scales(a.tmin_quantiles[i].temperature));

  out += fmt::format("\n{:<8}{:<22}{:<22}{}\n", "month", "mean", "coldest 1 % of hours",
                     a.kind == series_kind::typical_year ? "lowest" : "record");
  for (const month_climate& m : a.months)
    out += fmt::format("{:<8}{:<22}{:<22}{}\n", month_name(m.month), both_scales(m.mean), both_scales(m.cold),
                       both_scales(m.record));

  if (!a.return_minima.empty()) out += "\nMinimum once in so many years (Gumbel, fitted by moments)\n";
  for (const return_row& r : a.return_minima) out += row(fmt::format("{} years", r.years), both_scales(r.temperature));
  if (!a.annual_minima.empty()) {
    auto coldest = a.annual_minima.front();
    for (const year_minimum& y : a.annual_minima) {
      if (y.minimum < coldest.minimum) coldest = y;
    }
    out += row("coldest year", fmt::format("{}: {}; {} annual minima", coldest.year, both_scales(coldest.minimum),
                                           a.annual_minima.size()));
  }
  if (a.published) out += published_words(*a.published);
  if (a.below) {
    const spell& s = a.below->longest;
    out += fmt::format("\nBelow {}\n", both_scales(s.temperature));
    out += row("hours a year", fmt::format("{:.1f}", a.below->hours_a_year));
    out += row("longest spell", s.hours == 0 ? "none" : fmt::format("{} h, {} to {}", s.hours, s.from, s.to));
    if (a.winters_with_a_day)
      out += row("winters", fmt::format("{} with more than a day below in a row", *a.winters_with_a_day));
  }
  if (a.seasons) out += season_words(*a.seasons);
  return out + bullets("\nNotes", a.notes);
}

std::string to_text(const freeze_normals& n) {
  std::string out = row("station", named(n.station, n.id));
  for (const dropped_rows& d : n.dropped) out += row("left out", fmt::format("{}: {}", d.count, d.reason));
  out += fmt::format("\n{:<22}{:<10}{:<14}{}\n", "freeze at or below", "event", "share of years", "date");
  for (const freeze_date& d : n.dates)
    out += fmt::format("{:<22}{:<10}{:<14}{}\n", both_scales(d.limit), d.first ? "first" : "last",
                       percent_words(d.share), day_words({d.month, d.day}));
  return out + "\n" +
         wrapped(
             "A first freeze comes on or before its date, a last one on or after it, in that share of years. "
             "Normals hold no extremes: no quantiles of hours and no minima.") +
         "\n";
}

std::string to_text(std::span<const table_answer> answers) {
  std::string out;
  for (const table_answer& t : answers) {
    if (!out.empty()) out += "\n";
    out += row("table", t.name);
    out += row("found", t.found_in);
    out += row("rows", fmt::format("{} (schema {})", t.rows, t.schema));
    out += row("about", t.about);
    out += row("source", t.source);
  }
  return out;
}

std::string to_text(std::span<const range> bounds) {
  std::string out = wrapped(
                        "What a number that is read may be. Outside of the first two it is refused, outside of the "
                        "second two it is said to be odd. All are judgement: common practice, no source but "
                        "where one is named.") +
                    "\n\n";
  constexpr std::size_t name = 29, unit = 7;
  out += detail::table_row(
      {{"measure", name}, {"unit", unit}, {fmt::format("{:>8} {:>8} {:>9} {:>9}", "least", "most", "usual", "to")}});
  for (const range& r : bounds) {
    out += detail::table_row(
        {{std::string(r.name), name},
         {std::string(r.unit), unit},
         {fmt::format("{:>8.4g} {:>8.6g} {:>9.4g} {:>9.6g}", r.least, r.most, r.usual_least, r.usual_most)}});
    out += wrapped(fmt::format("    {}", r.reason), 4) + "\n";
  }
  return out;
}

std::string cautions() {
  std::string out = "Cautions\n";
  for (const std::string_view s : detail::caution_list()) out += detail::wrapped(fmt::format("- {}", s), 2) + "\n";
  return out;
}

}  // namespace coldgrease::inline v0
