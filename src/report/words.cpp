#include "report/words.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "coldgrease/base/date.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/layout.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// A fixed number of decimals, for anything that can be measured on a vehicle; four digits for the rest.
std::string fixed(double v, int decimals) {
  return std::abs(v) < 1e9 ? fmt::format("{:.{}f}", v, decimals) : fmt::format("{:.4g}", v);
}

}  // namespace

std::string words(pressure p, unit_system units) {
  return units == unit_system::si ? fixed(in_bar(p), 0) + " bar" : fixed(in_psi(p), 0) + " psi";
}

std::string run_words(length l, unit_system units) {
  const double run = units == unit_system::si ? in_metre(l) : in_foot(l);
  return fixed(run, run < 1000.0 ? 1 : 0) + (units == unit_system::si ? " m" : " ft");
}

std::string bore_words(length l, unit_system units) {
  return units == unit_system::si ? fixed(in_millimetre(l), 2) + " mm" : fixed(in_inch(l), 3) + " in";
}

std::string words(volume_flow q, unit_system units) {
  const double cm3_min = in_cm3_per_min(q);
  return units == unit_system::si ? fixed(cm3_min, 2) + " cm3/min"
                                  : fixed(cm3_min * 1e-6 / factor::cubic_inch, 3) + " in3/min";
}

std::string words(volume v, unit_system units) {
  return units == unit_system::si ? fixed(in_cm3(v), 1) + " cm3" : fixed(in_m3(v) / factor::cubic_inch, 2) + " in3";
}

std::string dose_words(volume v, unit_system units) {
  const double shown = units == unit_system::si ? in_cm3(v) : in_m3(v) / factor::cubic_inch;
  return (shown < 1e3 ? fmt::format("{:.3g}", shown) : fixed(shown, 0)) + (units == unit_system::si ? " cm3" : " in3");
}

std::string outlet_doubt_words(const line_answer& a, unit_system units) {
  const outlet_found_warm& w = *a.outlet_doubt;
  return fmt::format("if its {} were found at {} it would be {} here: chance {}, {}", words(a.outlet, units),
                     both_scales(w.at), words(w.outlet, units), chance_words(w.chance), name_of(w.verdict));
}

std::optional<double> least_share(const dose_setting& s) {
  double least = 1.0;
  for (const point_dose& p : s.points) {
    if (!p.check.dose_share) return std::nullopt;
    least = std::min(least, *p.check.dose_share);
  }
  return least;
}

std::string pause_words(duration d) {
  if (in_second(d) < 60.0) return fmt::format("{:.3g} s", in_second(d));
  return in_hour(d) < 1.0 - 1e-9 ? fmt::format("{:.3g} min", in_second(d) / 60.0) : fmt::format("{:.3g} h", in_hour(d));
}

namespace {

/// The numbers behind a fault: "0.15 cm3 a day, 0.91 cm3 asked for".
std::string fault_numbers(dose_fault f, const line_answer& a, unit_system units) {
  switch (f) {
    case dose_fault::too_little:
    case dose_fault::too_much:
      return fmt::format("{} a day, {} asked for", dose_words(*a.daily, units), dose_words(*a.asked, units));
    case dose_fault::stays_long: return fmt::format("{:.0f} days", in_days(*a.residence));
    case dose_fault::taken_up:
      return fmt::format("takes up {}, dose {}", dose_words(*a.uptake, units), dose_words(*a.dose, units));
  }
  return {};
}

}  // namespace

std::vector<std::string> line_warnings(const line_answer& a, unit_system units) {
  std::vector<std::string> all = a.warnings;
  for (const dose_fault f : a.dose_faults) all.push_back(fmt::format("{}: {}", name_of(f), fault_numbers(f, a, units)));
  return all;
}

std::vector<std::string> dose_warnings(std::span<const point_answer> points, const installation& i, unit_system units) {
  std::vector<std::string> out;
  for (const auto& [fault, name] : words_of<dose_fault>::table) {
    std::vector<std::string> named;
    for (const point_answer& p : points) {
      if (std::ranges::find(p.check.dose_faults, fault) != p.check.dose_faults.end())
        named.push_back(fmt::format("{} ({})", i.lines[p.line].point, fault_numbers(fault, p.check, units)));
    }
    if (!named.empty()) out.push_back(fmt::format("{}: {}", name, joined(named)));
  }
  return out;
}

std::string number_words(double v) {
  const double size = std::abs(v);
  if (size < 1e3 || size >= 1e9) return fmt::format("{:.4g}", v);
  const double step = std::pow(10.0, std::floor(std::log10(size)) - 3.0);
  return fmt::format("{:.0f}", std::round(v / step) * step);
}

std::string_view month_name(int month) { return name_of_month(month).substr(0, 3); }

std::string chance_words(double chance) { return fmt::format("{:.2f}", std::min(0.99, chance)); }

std::string chance_beside(double chance, double asked) {
  constexpr int most_digits = 15;
  std::string shown = chance_words(chance);
  for (int digits = 2; chance < asked && shown == fmt::format("{:.{}f}", asked, digits) && digits < most_digits;)
    shown = fmt::format("{:.{}f}", chance, ++digits);
  return fmt::format("chance {}, {:.2f} asked for", shown, asked);
}

std::string class_words(const grease& g) { return g.nlgi().empty() ? "-" : g.nlgi(); }

std::string grease_rows(const grease& g) {
  return row("grease", fmt::format("{}{}", g.name().empty() ? "as described" : g.name(),
                                   g.nlgi().empty() ? std::string() : fmt::format(", NLGI {}", g.nlgi()))) +
         row("stands on", g.stands_on()) + data_rows(g);
}

std::string data_rows(const grease& g) {
  constexpr std::size_t most = 6;
  std::string out;
  for (std::size_t i = 0; i < std::min(g.data().size(), most); ++i)
    out += row(i == 0 ? "data" : "", words_of_datum(g.data()[i]));
  if (g.data().size() > most) out += row("", fmt::format("and {} more", g.data().size() - most));
  return out;
}

std::string name_with_oil(const grease& g) {
  if (g.oil() == oil_knowledge::known || !g.stiffer_oil()) return g.name();
  return fmt::format("{} ({})", g.name(), name_of(g.oil()));
}

std::string oils_in_doubt(std::span<const grease> stock) {
  std::vector<std::string> names;
  for (const grease& g : stock) {
    if (g.oil() != oil_knowledge::known && g.stiffer_oil()) names.push_back(name_with_oil(g));
  }
  if (names.empty()) return {};
  return fmt::format("{}: judged with the spread of all oils that it may be, which makes no chance better",
                     joined(names));
}

std::string joined(const std::vector<std::string>& texts) {
  std::string out;
  for (const std::string& t : texts) out += (out.empty() ? "" : ", ") + t;
  return out;
}

std::string whole_degrees(temperature t) {
  return fmt::format("{:.0f} \u00b0C ({:.0f} \u00b0F)", t.in_celsius(), t.in_fahrenheit());
}

std::string day_words(const day_of_year& d) { return fmt::format("{} {}", d.day, month_name(d.month)); }

std::string step_words(temperature_step s) {
  return fmt::format("{:+.1f} K ({:+.1f} F)", in_kelvins(s), 1.8 * in_kelvins(s));
}

std::string mass_words(mass m) {
  if (in_kilogram(m) >= 1000.0)
    return fmt::format("{:.0f} kg ({:.0f} lb)", in_kilogram(m), in_kilogram(m) / factor::pound);
  return fmt::format("{:.1f} kg ({:.1f} lb)", in_kilogram(m), in_kilogram(m) / factor::pound);
}

std::string duration_words(duration d) {
  const double s = in_second(d);
  if (s < 100.0) return fmt::format("{:.0f} s", s);
  return s < 100.0 * 60.0 ? fmt::format("{:.0f} min", s / 60.0) : fmt::format("{:.0f} h", s / 3600.0);
}

std::string votes_words(const compatibility_answer::said& s) {
  std::string out;
  int charts = 0;
  for (const int votes : s.votes) charts += votes;
  for (std::size_t w = 0; w < s.votes.size(); ++w) {
    if (s.votes[w] == 0) continue;
    const std::string_view word = name_of(static_cast<mix_word>(w));
    out += (out.empty() ? "" : ", ") + (charts == 1 ? std::string(word) : fmt::format("{} {}", s.votes[w], word));
  }
  return out;
}

std::string oil_words(const oil_pair& p) {
  const auto one = [](std::optional<kinematic_viscosity> v, bool below_pour, bool beyond) {
    if (v) return number_words(in_mm2_per_s(*v)) + " mm2/s";
    if (beyond) return fmt::format("above {:g} mm2/s", in_mm2_per_s(stiffest_compared()));
    return std::string(below_pour ? "below its pour point" : "not known");
  };
  return fmt::format("at {}: {} before, {} after{}", both_scales(p.temperature),
                     one(p.from, p.from_below_pour, p.from_beyond), one(p.to, p.to_below_pour, p.to_beyond),
                     p.ratio ? fmt::format(", {} times", number_words(*p.ratio)) : std::string(": not compared"));
}

std::string step_words(const oil_change& c) {
  switch (c.step) {
    case oil_step::heavier:
      return fmt::format("the new oil is {:.2g} times heavier (KV40): stiffer in the cold than its class tells",
                         *c.warm.ratio);
    case oil_step::lighter:
      return fmt::format(
          "the new oil is {:.2g} times lighter (KV40): softer in the cold than its class tells, and a "
          "thinner film in the heat",
          1.0 / *c.warm.ratio);
    case oil_step::alike: return fmt::format("alike: KV40 within a factor of {:g}", oil_step_ratio);
    case oil_step::unknown: break;
  }
  return "not compared: KV40 is not known of both";
}

std::string coldest_words(const changeover_answer& a) {
  const auto one = [](std::optional<temperature> t) {
    return t ? "down to " + both_scales(*t) : std::string("not shown at all");
  };
  if (!a.coldest_before && !a.coldest_after) return "not shown with either grease";
  return fmt::format("{} before, {} after", one(a.coldest_before), one(a.coldest_after));
}

std::string thickener_words(const std::string& asked, const std::string& known) {
  if (asked.empty()) return "thickener not known";
  if (known.empty()) return asked + " (no thickener of the table)";
  return known == asked ? asked : fmt::format("{} ({})", asked, known);
}

std::string mixing_words(const compatibility_answer& a) {
  const std::size_t n = a.charts.size();
  if (a.agreement == chart_agreement::unknown) return "unknown: test by ASTM D6185";
  if (a.agreement == chart_agreement::disagree) return "the charts disagree: test by ASTM D6185";
  return fmt::format("{} {}: {}; a test by ASTM D6185 decides", n, n == 1 ? "chart says" : "charts agree",
                     name_of(*a.word));
}

std::string checksum_words(std::optional<std::uint32_t> sum) { return sum ? fmt::format("{:08x}", *sum) : "-"; }

std::string share_words(double share) {
  return share < 0.005 ? std::string("below 1 %") : fmt::format("{:.0f} %", 100.0 * share);
}

std::span<const std::string_view> caution_list() {
  static constexpr std::array<std::string_view, 4> list{
      "Grease under pressure goes through skin: treat any injection as a surgical emergency, however small it looks.",
      "Let stored pressure off before a line is opened; never clear a blocked line by more pressure.",
      "Wheel ends and sealed joints are not points of such a system.",
      "The flow of a grease known by its class and oil is engineering judgement, fitted to published one-sided limits: "
      "an estimate, no test of the grease in hand. The documents of the vehicle's, the parts' and the pump's makers, "
      "local rules and a qualified person come first."};
  return list;
}

std::string at_walls_words(const changeover_answer& a) {
  std::vector<std::string> left;
  for (const old_at_walls& w : a.at_walls)
    left.push_back(
        fmt::format("{:.0f} % after {:g} volume{}", 100.0 * w.share, w.volumes, w.volumes == 1.0 ? "" : "s"));
  return fmt::format("of the old grease in that line there stay {}, at {} by the new one's flow curve", joined(left),
                     both_scales(a.pumped_at));
}

}  // namespace coldgrease::inline v0::detail
