#include "coldgrease/line/installation_check.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/compatibility.hpp"
#include "coldgrease/line/limits.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

namespace {

void warn(const installation& i, const grease& g, const installation_answer& a, std::vector<std::string>& warnings) {
  warnings = warnings_of(i);
  switch (breach_of_caps(i, g)) {
    case cap_breach::stiffer:
      warnings.push_back(fmt::format("NLGI {} is stiffer than the maker allows, {}", g.nlgi(), i.stiffest));
      break;
    case cap_breach::class_unknown:
      warnings.push_back(fmt::format(
          "the maker allows nothing stiffer than NLGI {}, the class of this grease is not known", i.stiffest));
      break;
    case cap_breach::too_much_solid:
      warnings.push_back(fmt::format("{:g} % of solids, the maker allows {:g} %", 100.0 * *solids_of(g.known()),
                                     100.0 * *i.solids_max));
      break;
    case cap_breach::solids_not_stated:
      warnings.push_back(fmt::format(
          "not shown: the maker allows {:g} % of solids, the record of this grease does not state its solids",
          100.0 * *i.solids_max));
      break;
    case cap_breach::none: break;
  }
  if (a.feed.coldest && a.feed.temperature < *a.feed.coldest)
    warnings.push_back(fmt::format("the pump is not fed this cold: {} feeds this grease down to {} (judgement)",
                                   name_of(a.feed_by.kind), both_scales(*a.feed.coldest)));
  if (i.interval && a.shortest_pause && *i.interval < *a.shortest_pause)
    warnings.push_back(fmt::format("a cycle every {:.0f} min is shorter than the {:.1f} min that one takes",
                                   in_second(*i.interval) / 60.0, in_second(*a.shortest_pause) / 60.0));
}

/// What every line says is said once.
template <class Texts>
void move_common(std::vector<point_answer>& points, Texts line_answer::*texts, std::vector<std::string>& common) {
  if (points.empty()) return;
  for (const std::string& text : points.front().check.*texts) {
    const bool everywhere = std::ranges::all_of(points, [&](const point_answer& p) {
      return std::ranges::find(p.check.*texts, text) != (p.check.*texts).end();
    });
    if (everywhere && std::ranges::find(common, text) == common.end()) common.push_back(text);
  }
  for (point_answer& p : points)
    std::erase_if(p.check.*texts, [&](const std::string& t) { return std::ranges::find(common, t) != common.end(); });
}

/// What each way to feed the pump would give.
std::vector<feed_choice> choices(const installation& i, const grease& g, temperature at, double confidence) {
  std::vector<feed_choice> all;
  for (const auto& word : words_of<feed_kind>::table) {
    inlet by = feed_of(i);
    by.kind = word.value;
    const inlet_answer fed = feeding(by, g, at, confidence);
    all.push_back({word.value, fed.chance, fed.verdict});
  }
  return all;
}

/// Sentences, each with the points that it holds for.
class noted_points {
 public:
  void add(std::string text, const std::string& point) {
    auto at = std::ranges::find(found_, text, &noted::first);
    if (at == found_.end()) at = found_.insert(at, {std::move(text), {}});
    if (std::ranges::find(at->second, point) == at->second.end()) at->second.push_back(point);
  }
  std::vector<std::string> sentences() const {
    std::vector<std::string> out;
    for (const noted& n : found_) out.push_back(fmt::format("{}: {}", fmt::join(n.second, ", "), n.first));
    return out;
  }

 private:
  using noted = std::pair<std::string, std::vector<std::string>>;
  std::vector<noted> found_;
};

bool speaks_of_thickeners(const line& l) {
  return !l.rules.banned_thickeners.empty() || !l.rules.required_thickeners.empty();
}

/// True for lines of one tube each that are the same but for its length.
bool are_alike(const detail::line_kernel& a, const detail::line_kernel& b) {
  if (a.tubes.size() != 1 || b.tubes.size() != 1) return false;
  detail::line_kernel as_long = a;
  as_long.tubes.front().length = b.tubes.front().length;
  return as_long == b;
}

std::vector<detail::alike_lines> alike_in(std::span<const detail::line_kernel> lines) {
  std::vector<detail::alike_lines> kinds;
  std::vector<std::size_t> kind_of;
  for (std::size_t l = 0; l < lines.size(); ++l) {
    const auto own =
        std::ranges::find_if(kinds, [&](const detail::alike_lines& k) { return are_alike(lines[k.first], lines[l]); });
    kind_of.push_back(static_cast<std::size_t>(own - kinds.begin()));
    if (own == kinds.end()) {
      kinds.push_back({l, l});
    } else if (lines[l].tubes.front().length > lines[own->longest].tubes.front().length) {
      own->longest = l;
    }
  }
  std::vector<detail::alike_lines> alike;
  for (const std::size_t k : kind_of) alike.push_back(kinds[k]);
  return alike;
}

}  // namespace

detail::system_kernel detail::kernel(const installation& i, double confidence) {
  system_kernel s{.given = conditions_of(i, celsius(0), confidence), .feed = feed_of(i)};
  s.lines.reserve(i.lines.size());
  for (const line& l : i.lines) s.lines.push_back(kernel(l, s.given));
  s.alike = alike_in(s.lines);
  return s;
}

installation_outcome detail::outcome_of(const installation& i, const system_kernel& s, const grease& g,
                                        const grease_kernel& kernel, temperature at) {
  installation_outcome worst{.chance = 1.0, .verdict = verdict::flows};
  std::optional<judged_part> decider;
  // True if this part of the installation decides so far.
  const auto take = [&](std::optional<double> chance, verdict v, bool below) {
    worst.below_oil_bound = worst.below_oil_bound || below;
    worst.chance = worst.chance && chance ? std::optional(std::min(*worst.chance, *chance)) : std::nullopt;
    if (!decides({v, chance}, decider)) return false;
    decider = {v, chance};
    worst.verdict = v;
    return true;
  };
  std::vector<std::optional<outcome>> found(i.lines.size());
  const auto outcome_at = [&](std::size_t l) -> const outcome& {
    if (!found[l]) found[l] = outcome_of(i.lines[l], s.lines[l], g, kernel, s.given, at);
    return *found[l];
  };
  // Of lines that differ in length alone the longest has the least chance. Where that is 0 or all but 1, or another is
  // all but as long, rounding may make their chances equal, and they are looked at as well; where it is 1 they are. The
  // first of equals decides.
  const auto is_behind_another = [&](std::size_t l) {
    constexpr double all_but_1 = 1.0 - 1e-12, all_but_as_long = 1.0 - 1e-5;
    const auto [first, longest] = s.alike[l];
    const auto& least = outcome_at(longest).chance;
    if (!least) return false;
    if (*least == 1.0) return l != first;
    const auto run = [&](std::size_t k) { return s.lines[k].tubes.front().length; };
    return *least > 0.0 && *least < all_but_1 && run(l) < all_but_as_long * run(longest);
  };
  for (std::size_t l = 0; l < i.lines.size(); ++l) {
    if (is_behind_another(l)) continue;
    const outcome& o = outcome_at(l);
    if (!take(o.chance, o.verdict, o.below_oil_bound)) continue;
    worst.line = l;
    worst.available = o.available;
    worst.stays = o.stays;
    worst.missing = o.missing;
  }
  const inlet_answer fed = fed_now(s.feed, g, kernel, at, s.given.confidence);
  if (take(fed.chance, fed.verdict, fed.below_oil_bound)) {
    worst.line.reset();
    worst.stays.reset();
    worst.missing = fed.chance ? missing_datum::none : missing_datum::grease;
  }
  return worst;
}

installation_outcome outcome_of(const installation& i, const grease& g, temperature at, double confidence) {
  detail::recent_answers recent;
  return detail::outcome_of(i, detail::kernel(i, confidence), g, g.kernel(&recent), at);
}

std::optional<temperature> detail::coldest_passing(const system_kernel& s, const grease& g) {
  if (missing_for(s.given, g) != missing_datum::none) return std::nullopt;
  std::optional<temperature> warmest = coldest_air(s.feed, feeding(s.feed, g, celsius(0), s.given.confidence));
  recent_answers recent;
  const grease_kernel own = g.kernel(&recent);
  for (std::size_t l = 0; l < s.lines.size(); ++l) {
    // Of lines that differ in length alone the longest has the warmest limit, but for rounding where two are as long.
    if (s.alike[l].longest != l) continue;
    const auto limit = coldest_passing(s.lines[l], own, s.given);
    if (!limit || !warmest) return std::nullopt;
    warmest = std::max(*warmest, *limit);
  }
  return warmest;
}

std::optional<temperature> coldest_passing(const installation& i, const grease& g, double confidence) {
  // Kernels ask for flows, which nobody needs where there is no answer.
  if (detail::missing_for(conditions_of(i, celsius(0), confidence), g) != missing_datum::none) return std::nullopt;
  return detail::coldest_passing(detail::kernel(i, confidence), g);
}

substance_names thickeners_for(std::span<const installation> all) {
  const bool any = std::ranges::any_of(
      all, [](const installation& i) { return std::ranges::any_of(i.lines, speaks_of_thickeners); });
  return any ? thickener_names(compatibility_charts()) : substance_names({});
}

std::vector<std::string> rule_notes(const installation& i, std::span<const grease> stock, temperature coldest,
                                    temperature warmest, const substance_names& thickeners) {
  noted_points notes;
  const auto literal = [](std::string_view what, std::string_view name) {
    return fmt::format("{} {} is known by no list of names: it is compared as it is written, letter by letter", what,
                       in_quotes(name));
  };
  for (const line& l : i.lines) {
    const point_rules& r = l.rules;
    for (const auto* names : {&r.banned_solids, &r.required_solids}) {
      for (const std::string& name : *names) {
        if (!means_any(name) && !solid_names().find(name)) notes.add(literal("the solid", name), l.point);
      }
    }
    for (const auto* names : {&r.banned_thickeners, &r.required_thickeners}) {
      for (const std::string& name : *names) {
        if (!thickeners.find(name) && !names_family(name)) notes.add(literal("the thickener", name), l.point);
      }
    }
    for (const grease& g : stock) {
      const evidence& known = g.known();
      const std::string whose = known.name.empty() ? "of the grease," : "of " + known.name + ",";
      if (speaks_of_thickeners(l) && !names_nothing(known.thickener) && !thickeners.find(known.thickener) &&
          !names_family(known.thickener))
        notes.add(literal("the thickener " + whose, known.thickener), l.point);
      const bool by_name = !r.required_solids.empty() ||
                           std::ranges::any_of(r.banned_solids, [](const std::string& s) { return !means_any(s); });
      for (const solid& s : known.solids.value_or(std::vector<solid>{})) {
        if (by_name && !solid_names().find(s.kind)) notes.add(literal("the solid " + whose, s.kind), l.point);
      }
    }
    for (const class_window& span : silent_spans(r, coldest, warmest))
      notes.add(fmt::format("the maker's classes end: no rule of its maker speaks {}", span_words(span)), l.point);
  }
  return notes.sentences();
}

namespace {

/// Worst first: by verdict, then by chance, then by the cold it stands, then by how much of what is available is
/// needed.
bool worse(const point_answer& x, const point_answer& y) {
  const judged_part of_x{x.check.verdict, x.check.chance}, of_y{y.check.verdict, y.check.chance};
  if (decides(of_x, of_y) || decides(of_y, of_x)) return decides(of_x, of_y);
  if (x.check.coldest != y.check.coldest)
    return !x.check.coldest || (y.check.coldest && *x.check.coldest > *y.check.coldest);
  const auto part = [](const line_answer& l) {
    return in_pascal(l.needed.value_or(pascal(0))) / in_pascal(l.available);
  };
  return part(x.check) > part(y.check);
}

/// Every line, worst first; among lines of one chance the one that decides leads.
std::vector<point_answer> points_of(const installation& i, const grease& g, const conditions& c,
                                    const substance_names& thickeners, const installation_outcome& outcome) {
  std::vector<point_answer> points;
  for (std::size_t l = 0; l < i.lines.size(); ++l) {
    point_answer p{.line = l, .check = check(i.lines[l], g, c)};
    p.check.inlet_judged = true;
    if (i.lines[l].bearing) p.film_need = film_need(*i.lines[l].bearing, hours_in_service(duty_of(i)));
    p.breaches = breaches(i.lines[l].rules, g, *c.at, thickeners);
    // The installation names them first of all, with the lines they hold for.
    for (const std::string& text : detail::rating_warnings(i.lines[l], c.available)) std::erase(p.check.warnings, text);
    for (const std::string& text : detail::odd_parts(i.lines[l])) std::erase(p.check.warnings, text);
    points.push_back(std::move(p));
  }
  std::ranges::stable_sort(points, worse);
  if (outcome.line && outcome.chance) {
    const auto deciding = std::ranges::find(points, *outcome.line, &point_answer::line);
    std::rotate(points.begin(), deciding, deciding + 1);
  }
  return points;
}

/// Cycles, volumes and times: what the reservoir shows and how long it lasts.
void add_supply(const installation& i, const grease& g, installation_answer& a) {
  const density heavy = kg_per_m3(g.model().density15);
  a.cycles_a_day = cycles_a_day(i);
  a.daily = daily_volume(i);
  a.reservoir = reservoir_time(i, heavy);
  a.holds = reservoir_of(i, heavy);
  if (a.holds) a.reservoir_mass = *a.holds * heavy;
  a.level = level_in_a_week(i, a.points.front().line, heavy);
  a.shortest_pause = shortest_pause(i, g, a.temperature, a.confidence);
}

/// What is taken for granted, what holds for all lines, and of what no rule speaks.
void add_notes(const installation& i, const grease& g, const substance_names& thickeners, installation_answer& a) {
  a.notes = assumptions_of(i);
  move_common(a.points, &line_answer::notes, a.notes);
  for (std::string& note : rule_notes(i, {&g, 1}, a.temperature, a.temperature, thickeners))
    a.notes.push_back(std::move(note));
  if (i.reservoir_mass && !i.reservoir && !g.known().density)
    a.notes.push_back(
        fmt::format("the reservoir is given by mass, the density of the grease is not: {:g} kg/m3 is assumed; a denser "
                    "grease lasts fewer days",
                    g.model().density15));
  const bool counts_days =
      a.cycles_a_day || std::ranges::any_of(a.points, [](const point_answer& p) { return p.check.asked.has_value(); });
  if (!counts_days) return;
  if (auto assumed = assumed_duty_note(i.hours_per_day, i.days_per_week)) a.notes.push_back(std::move(*assumed));
}

}  // namespace

installation_answer check(const installation& given, const grease& g, temperature at, double confidence) {
  installation i = given;
  join_mains(i);
  if (i.lines.empty()) throw input_error(i.name, "has no lines", "one or more");
  const conditions c = conditions_of(i, at, confidence);
  const substance_names thickeners = thickeners_for({&i, 1});
  installation_answer a{.temperature = at, .confidence = confidence, .available = c.available};
  a.outcome = outcome_of(i, g, at, confidence);
  a.points = points_of(i, g, c, thickeners, a.outcome);
  a.needed = a.points.front().check.needed;
  a.coldest = coldest_passing(i, g, confidence);
  a.worth_most = a.outcome.line ? a.points.front().check.worth_most : worth_most(g, at);
  a.feed_by = feed_of(i);
  a.feed = feeding(a.feed_by, g, at, confidence);
  if (!i.feed) a.feed_choices = choices(i, g, at, confidence);
  add_supply(i, g, a);
  warn(i, g, a, a.warnings);
  move_common(a.points, &line_answer::warnings, a.warnings);
  add_notes(i, g, thickeners, a);
  return a;
}

rule_conflicts conflicts_of(const installation& i, std::span<const grease> stock, temperature at,
                            const substance_names& thickeners) {
  rule_conflicts found;
  for (std::size_t a = 0; a < i.lines.size(); ++a) {
    for (std::size_t b = 0; b < i.lines.size(); ++b) {
      const point_rules& asks = i.lines[a].rules;
      const point_rules& bans = i.lines[b].rules;
      for (const std::string& what : asks.required_solids) {
        const auto forbids = [&](const std::string& banned) {
          return means_any(banned) || solid_names().reach(banned, what) != ban_reach::spared;
        };
        if (std::ranges::any_of(bans.banned_solids, forbids)) found.contradictions.push_back({a, b, what});
      }
    }
  }
  for (std::size_t g = 0; g < stock.size(); ++g) {
    std::vector<std::size_t> against;
    for (std::size_t l = 0; l < i.lines.size(); ++l) {
      if (!breaches(i.lines[l].rules, stock[g], at, thickeners).empty()) against.push_back(l);
    }
    if (found.grease && against.size() >= found.take_off.size()) continue;
    found.grease = g;
    found.take_off = std::move(against);
  }
  return found;
}

}  // namespace coldgrease::inline v0
