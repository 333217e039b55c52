#include "coldgrease/line/point_rules.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cctype>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/consistency.hpp"

namespace coldgrease::inline v0 {

namespace {

std::string plain(std::string_view name) {
  std::string out;
  for (const char c : name) {
    if (std::isalnum(static_cast<unsigned char>(c)) != 0)
      out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  for (const std::string_view molybdenum : {"mos2", "moly", "molybdenumdisulphide"}) {
    if (out == molybdenum) return "molybdenumdisulfide";
  }
  if (out.starts_with("aluminum")) out.insert(6, "i");
  return out;
}

bool holds(const std::vector<std::string>& names, std::string_view name) {
  return std::ranges::any_of(names, [&](const std::string& n) { return same_substance(n, name); });
}

std::string joined(const std::vector<std::string>& names) {
  std::string out;
  for (const std::string& n : names) out += fmt::format("{}{}", out.empty() ? "" : " or ", n);
  return out;
}

/// True if some temperature from coldest to warmest lies in the window.
bool in_window(const class_window& w, temperature coldest, temperature warmest) {
  return (!w.above || warmest >= *w.above) && (!w.below || coldest < *w.below);
}

std::string range_words(const class_window& w) {
  if (w.above && w.below) return fmt::format("from {} to {}", both_scales(*w.above), both_scales(*w.below));
  if (w.above) return fmt::format("above {}", both_scales(*w.above));
  return w.below ? fmt::format("below {}", both_scales(*w.below)) : std::string("at any temperature");
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

}  // namespace

bool same_substance(std::string_view a, std::string_view b) { return plain(a) == plain(b); }

std::vector<std::string> breaches(const point_rules& rules, const grease& g, temperature at) {
  return breaches(rules, g, at, at);
}

std::vector<std::string> breaches(const point_rules& rules, const grease& g, temperature coldest, temperature warmest) {
  std::vector<std::string> out;
  if (!rules.excluded.empty()) out.push_back(fmt::format("is not to be on the system: {}", rules.excluded));
  const double solids = solids_of(g.known());
  for (const solid& s : g.known().solids) {
    if (holds(rules.banned_solids, s.kind) || holds(rules.banned_solids, "any"))
      out.push_back(fmt::format("bans {} ({:g} %)", s.kind, 100.0 * s.share));
  }
  for (const std::string& kind : rules.required_solids) {
    if (std::ranges::none_of(g.known().solids, [&](const solid& s) { return same_substance(s.kind, kind); }))
      out.push_back(fmt::format("asks for {}", kind));
  }
  if (rules.solids_max && solids > *rules.solids_max)
    out.push_back(fmt::format("allows {:g} % of solids, {:g} % are in it", 100.0 * *rules.solids_max, 100.0 * solids));
  const std::string& thickener = g.known().thickener;
  if (!thickener.empty() && holds(rules.banned_thickeners, thickener))
    out.push_back(fmt::format("bans {} as thickener", thickener));
  if (!rules.required_thickeners.empty() && !holds(rules.required_thickeners, thickener))
    out.push_back(fmt::format("asks for {} as thickener{}", joined(rules.required_thickeners),
                              thickener.empty() ? ", the record names none" : ""));
  for (const class_window& w : rules.classes) {
    if (in_window(w, coldest, warmest) && !allowed_by(w, g))
      out.push_back(fmt::format("asks for NLGI {} {}", joined(w.nlgi), range_words(w)));
  }
  return out;
}

}  // namespace coldgrease::inline v0
