// One route judged month by month, and the walk over a fleet's routes: shared by pick and plan.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/seasons.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"
#include "coldgrease/plan/pick.hpp"

namespace coldgrease::inline v0::detail {

inline constexpr double soft_penetration = 355;  // NLGI 0 and softer

/// A leg with its weather and what the road's height adds.
struct leg_climate {
  std::string station;
  const monthly_climate* climate;
  temperature_step shift;
  std::optional<double> hours{};  // a trip spends on it

  /// False where published design values stand for the weather.
  bool has_hours() const {
    const auto* year = std::get_if<typical_year>(&climate->series);
    return !year || !year->hours.empty();
  }
};

/// What does not depend on the weather: solved once for each grease and installation.
struct grease_limit {
  std::optional<temperature> coldest;  // of the line that gives out first
  exclusion excluded = exclusion::none;
};

/// Years are cut where it is warm, by the route's own months: a file need not say on which half of the earth it lies.
inline season_start start_of_year(const route_pick& r) {
  const int coldest = coldest_month(r).month;
  return coldest >= 4 && coldest <= 9 ? season_start::january : season_start::july;
}
/// Months in which a fill is pumped.
inline int months_between(int from_month, int to_month) { return (to_month - from_month + 12) % 12 + 1; }

class route_job {
 public:
  route_job(std::span<const installation> installations, std::span<const grease> stock, const policy& p,
            std::span<const published_rule> rules);
  route_pick route(std::string name, std::string region, std::span<const leg_climate> legs,
                   std::vector<std::size_t> used);
  /// Its installations, mains joined.
  const std::vector<installation>& installations() const { return installations_; }
  /// One grease at an air temperature: as in a month of this route.
  grease_month in_air(std::size_t g, temperature at, const route_pick& r) { return judge_grease(g, at, at, r); }
  /// Air temperature down to which a grease passes everywhere on a route; nothing if somewhere at none.
  std::optional<temperature> coldest_of(std::size_t g, const route_pick& r);
  /// What greases stand on, which data count and what they did, what would narrow the answer on a route most, and what
  /// is assumed of them.
  std::vector<std::string> evidence_of(std::span<const std::size_t> greases, const route_pick& r) const;
  static bool passes(const grease_month& g) { return g.verdict == verdict::flows && g.excluded == exclusion::none; }
  /// Penetration that stiffness is compared by; a grease of unknown class stands behind every other.
  static double softness(const grease& g) {
    return g.stiff_penetration() > 0.0 ? g.stiff_penetration() : most_known_penetration + 1.0;
  }
  /// True if grease a is to be preferred to b where both pass: stiffer, then cheaper, then by name.
  bool before(std::size_t a, std::size_t b) const;
  static bool is_soft(const grease& g) { return g.soft_penetration() >= soft_penetration; }
  /// In how many months a fill pumped in `length` months stands in the lines.
  static int months_judged(const route_pick& r, int length);

 private:
  const std::vector<grease_limit>& limits_of(std::size_t i);
  grease_limit limit(const installation& i, const grease& g) const;
  /// The worst line of a route's installations decides, or the worst inlet; and what a system, a point's maker or the
  /// owner excludes.
  grease_month judge_grease(std::size_t g, temperature at, temperature hot, const route_pick& r);
  /// What the rules of a point do to a grease, if that goes before what bars it already.
  void add_breach(const point_index& point, const grease& g, temperature coldest, temperature hot,
                  grease_month& into) const;
  month_pick judge_month(int month, std::span<const leg_climate> legs, const route_pick& r);
  exclusion barred_by_heat(const grease& g, temperature hot) const;
  /// The fill of grease g pumped in `length` months from `from`, if it passes until it is used up.
  std::optional<fill> try_fill(const route_pick& r, std::size_t g, int from, int length) const;
  /// A grease without a price stands behind every one that has it.
  static double price_of(const grease& g) { return g.known().price.value_or(INFINITY); }
  std::optional<fill> best_fill(const route_pick& r, int from, int length) const;
  /// Place of a penetration on the scale of classes, 0 for the stiffest pumped: the nearest middle of a class.
  static int class_of(const grease& g);
  /// Mean penetration over the year [0.1 mm], mean price and the names: what two splits are compared by.
  struct score {
    double penetration = 0.0;
    double price = 0.0;
    std::string names;
    auto operator<=>(const score&) const = default;
  };
  score score_of(std::span<const fill> fills) const;
  void choose(route_pick& r) const;
  static int months_pumped(const fill& f) { return months_between(f.from_month, f.to_month); }
  /// True if a month is one of the `length` months that begin with the fill's first.
  static bool within(const fill& f, int length, int month) { return (month - f.from_month + 12) % 12 < length; }
  /// Marks the grease each month's figures are shown for: the decision with the fewest fills, else the nearest.
  void mark_shown(route_pick& r) const;
  static std::size_t nearest(const month_pick& m);
  /// The warmest limit of the greases that may stand in the lines in a month: the one pumped, and the one before it
  /// until it is used up. Nothing where one of them has no limit.
  std::optional<temperature> limit_in(const route_pick& r, const month_pick& m) const;
  void add_time_below(route_pick& r, std::span<const leg_climate> legs) const;
  /// What is wrong or suspect with the lines, as a line check would warn.
  void add_warnings(route_pick& r) const;
  /// Points whose makers' rules no grease can serve together, and which to take off the system.
  void add_conflicts(route_pick& r) const;
  /// Why a month shows no n-year minimum.
  void add_gaps_of_record(route_pick& r, std::span<const leg_climate> legs) const;
  /// What the answer takes for granted: pressures at the points, and what the greases shown stand on.
  void add_assumptions(route_pick& r) const;
  void add_remedies(route_pick& r) const;
  /// Why no change of a line helps the nearest grease; nothing where one may.
  std::optional<std::string> beyond_lines(const grease_month& near) const;
  /// What would help each line that the nearest grease leaves dry in the month that none serves.
  void add_line_remedies(const month_pick& stuck, const grease_month& near, route_pick& r) const;
  /// True if a asks a lower stress at the wall of its supplier than b.
  static bool harder(const remedy& a, const remedy& b);
  std::vector<installation> installations_;  // mains joined
  std::span<const grease> stock_;
  policy policy_;
  std::span<const published_rule> rules_;
  std::vector<std::vector<grease_limit>> limits_;
  substance_names thickeners_;  // in force, where a rule speaks of thickeners
};

/// What a route's answer is handed to, with its weather at hand.
using take_route = std::function<void(const route&, route_pick&&, std::span<const leg_climate>)>;

/// Tells a listener, if there is one, of each step of a long answer.
class progress_steps {
 public:
  progress_steps(const progress& listener, std::size_t all) : listener_(listener), all_(all) {}
  void next() {
    ++done_;
    if (listener_.tell) listener_.tell(listener_.listener, done_, all_);
  }

 private:
  progress listener_;
  std::size_t done_ = 0, all_;
};

/// Judges every route of a fleet in order, a step each; each weather file is read once and kept only while a later leg
/// names it.
void for_each_route(const fleet& f, route_job& work, progress_steps& steps, const take_route& take);

}  // namespace coldgrease::inline v0::detail
