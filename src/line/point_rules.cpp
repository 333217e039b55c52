#include "coldgrease/line/point_rules.hpp"

#include "base/format.hpp"

#include <algorithm>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/consistency.hpp"

namespace coldgrease::inline v0 {

namespace {

/// "a or b or c".
std::string listed(const std::vector<std::string>& names, std::string_view between) {
  return fmt::format("{}", fmt::join(names, fmt::format(" {} ", between)));
}

/// True if some temperature from coldest to warmest lies in the window.
bool in_window(const class_window& w, temperature coldest, temperature warmest) {
  return (!w.above || warmest >= *w.above) && (!w.below || coldest < *w.below);
}

/// A grease is allowed if its stiffer and its softer end each lie in a band of the window.
bool allowed_by(const class_window& w, const grease& g) {
  const auto within = [&](double penetration) {
    return std::ranges::any_of(w.nlgi, [&](const std::string& label) {
      const nlgi_label l = parse_nlgi(label, "nlgi");
      return penetration >= nlgi_classes[l.stiff].lower && penetration <= nlgi_classes[l.soft].upper;
    });
  };
  return within(g.stiff_penetration()) && within(g.soft_penetration());
}

void add_solids(const point_rules& rules, const evidence& known, std::vector<breach>& out) {
  if (rules.banned_solids.empty() && rules.required_solids.empty() && !rules.solids_max) return;
  if (!known.solids) {
    std::vector<std::string> asked;
    if (!rules.banned_solids.empty())
      asked.push_back(fmt::format("bans {}{}", listed(rules.banned_solids, "and"),
                                  std::ranges::any_of(rules.banned_solids, means_any) ? " solid" : ""));
    if (!rules.required_solids.empty()) asked.push_back("asks for " + listed(rules.required_solids, "and"));
    if (rules.solids_max) asked.push_back(fmt::format("allows {:g} % of solids", 100.0 * *rules.solids_max));
    out.push_back({breach_kind::solids_not_stated,
                   fmt::format("{}; not shown: the record does not state its solids", fmt::join(asked, ", "))});
    return;
  }
  for (const solid& s : *known.solids) {
    const auto bans = [&](const std::string& banned) {
      return means_any(banned) || solid_names().reach(banned, s.kind) != ban_reach::spared;
    };
    if (std::ranges::any_of(rules.banned_solids, bans))
      out.push_back({breach_kind::banned_solid, fmt::format("bans {} ({:g} %)", s.kind, 100.0 * s.share)});
  }
  for (const std::string& kind : rules.required_solids) {
    if (std::ranges::none_of(*known.solids, [&](const solid& s) { return solid_names().same(s.kind, kind); }))
      out.push_back({breach_kind::missing_solid, fmt::format("asks for {}", kind)});
  }
  const double sum = *solids_of(known);
  if (rules.solids_max && sum > *rules.solids_max)
    out.push_back({breach_kind::too_much_solid,
                   fmt::format("allows {:g} % of solids, {:g} % are in it", 100.0 * *rules.solids_max, 100.0 * sum)});
}

void add_thickener(const point_rules& rules, const std::string& thickener, const substance_names& names,
                   std::vector<breach>& out) {
  const auto& bans = rules.banned_thickeners;
  const auto& asks = rules.required_thickeners;
  if (names_nothing(thickener)) {
    if (!bans.empty())
      out.push_back({breach_kind::thickener_not_stated,
                     fmt::format("bans {} as thickener; not shown: the record names none", listed(bans, "and"))});
    if (!asks.empty())
      out.push_back({breach_kind::thickener_not_stated,
                     fmt::format("asks for {} as thickener; not shown: the record names none", listed(asks, "or"))});
    return;
  }
  const auto reached = [&](ban_reach how) {
    return std::ranges::find_if(bans, [&](const std::string& b) { return names.reach(b, thickener) == how; });
  };
  const auto covers = reached(ban_reach::covered), open = reached(ban_reach::open);
  if (covers != bans.end()) {
    out.push_back({breach_kind::banned_thickener,
                   names.same(*covers, thickener)
                       ? fmt::format("bans {} as thickener{}", *covers,
                                     *covers == thickener ? "" : ": the record says " + thickener)
                       : fmt::format("bans {} as thickener, which is taken to cover {}", *covers, thickener)});
  } else if (open != bans.end()) {
    out.push_back({breach_kind::thickener_not_stated,
                   fmt::format("bans {} as thickener; not shown: the record says {}, which may be {}", *open, thickener,
                               names_family(*open) || names_family(thickener) ? "of that kind" : "any kind of it")});
  }
  const auto is = [&](const std::string& asked) { return names.same(asked, thickener); };
  if (!asks.empty() && std::ranges::none_of(asks, is))
    out.push_back({breach_kind::missing_thickener,
                   fmt::format("asks for {} as thickener, the record says {}", listed(asks, "or"), thickener)});
}

void add_classes(const point_rules& rules, const grease& g, temperature coldest, temperature warmest,
                 std::vector<breach>& out) {
  const bool known = g.stiff_penetration() > 0.0;
  for (const class_window& w : rules.classes) {
    if (!in_window(w, coldest, warmest) || (known && allowed_by(w, g))) continue;
    out.push_back({known ? breach_kind::wrong_class : breach_kind::class_not_known,
                   fmt::format("asks for NLGI {} {}{}", listed(w.nlgi, "or"), span_words(w),
                               known ? "" : "; not shown: the class of this grease is not known")});
  }
}

}  // namespace

bool means_any(std::string_view name) { return detail::same_letters(name, "any"); }

std::vector<breach> breaches(const point_rules& rules, const grease& g, temperature at,
                             const substance_names& thickeners) {
  return breaches(rules, g, at, at, thickeners);
}

std::vector<breach> breaches(const point_rules& rules, const grease& g, temperature coldest, temperature warmest,
                             const substance_names& thickeners) {
  std::vector<breach> out;
  if (!rules.excluded.empty())
    out.push_back({breach_kind::excluded, fmt::format("is not to be on the system: {}", rules.excluded)});
  add_solids(rules, g.known(), out);
  if (!rules.banned_thickeners.empty() || !rules.required_thickeners.empty())
    add_thickener(rules, g.known().thickener, thickeners, out);
  add_classes(rules, g, coldest, warmest, out);
  std::stable_partition(out.begin(), out.end(), [](const breach& b) { return !is_not_shown(b.kind); });
  return out;
}

std::vector<class_window> silent_spans(const point_rules& rules, temperature coldest, temperature warmest) {
  std::vector<class_window> spans;
  if (rules.classes.empty()) return spans;
  // A span that no window covers begins at the cold end or where a window ends.
  std::vector<temperature> starts{coldest};
  for (const class_window& w : rules.classes) {
    if (w.below && *w.below > coldest && *w.below <= warmest) starts.push_back(*w.below);
  }
  std::ranges::sort(starts);
  for (const temperature t : starts) {
    if (std::ranges::any_of(rules.classes, [&](const class_window& w) { return in_window(w, t, t); })) continue;
    class_window span;
    for (const class_window& w : rules.classes) {
      if (w.below && *w.below <= t && (!span.above || *w.below > *span.above)) span.above = w.below;
      if (w.above && *w.above > t && (!span.below || *w.above < *span.below)) span.below = w.above;
    }
    if (std::ranges::find(spans, span) == spans.end()) spans.push_back(span);
  }
  return spans;
}

std::string span_words(const class_window& w) {
  if (w.above && w.below) return fmt::format("from {} to {}", both_scales(*w.above), both_scales(*w.below));
  if (w.above) return fmt::format("above {}", both_scales(*w.above));
  return w.below ? fmt::format("below {}", both_scales(*w.below)) : std::string("at any temperature");
}

}  // namespace coldgrease::inline v0
