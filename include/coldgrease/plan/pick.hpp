// The main job: which grease for which route and season, and why.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/climate/year_climate.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/grease/published_rules.hpp"
#include "coldgrease/line/installation.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/learn.hpp"
#include "coldgrease/plan/choice.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/plan/progress.hpp"

namespace coldgrease::inline v0 {

/// A line of an installation, as indices into the caller's lists. Small, as what holds it: a route's answer has
/// hundreds.
struct point_index {
  std::uint32_t installation = 0;
  std::uint32_t line = 0;
  constexpr point_index() = default;
  constexpr point_index(std::size_t i, std::size_t l)
      : installation(static_cast<std::uint32_t>(i)), line(static_cast<std::uint32_t>(l)) {}
};

/// Why a grease is not used although it may be pumped: a limit of the system, a rule of a point's maker, or the owner's
/// limit for hot months. The last three are no breach that is known: its record does not say enough to show that the
/// limit or the rule is kept.
enum class exclusion : unsigned char {
  none,
  stiffer_than_allowed,
  too_much_solid,
  too_soft_for_heat,
  point_rule,
  class_unknown,
  solids_not_stated,  // under a limit of the system
  rule_not_shown      // under a rule of a point's maker: which, the clause says
};
template <>
struct words_of<exclusion> {
  using enum exclusion;
  static constexpr std::string_view what = "exclusion";
  static constexpr word_for<exclusion> table[]{{none, "none"},
                                               {stiffer_than_allowed, "stiffer than allowed"},
                                               {too_much_solid, "too much solid"},
                                               {too_soft_for_heat, "too soft for heat"},
                                               {point_rule, "point rule"},
                                               {class_unknown, "class unknown"},
                                               {solids_not_stated, "solids not stated"},
                                               {rule_not_shown, "rule not shown"}};
};
/// True where the record does not say enough: to state more in it may help.
constexpr bool is_not_shown(exclusion e) { return e >= exclusion::class_unknown; }
/// True if one reason is to be told rather than another: any before none, what is known before what is not shown.
constexpr bool goes_before(exclusion a, exclusion b) {
  const auto rank = [](exclusion e) { return e == exclusion::none ? 2 : is_not_shown(e) ? 1 : 0; };
  return rank(a) < rank(b);
}

/// That of a limit of a system.
exclusion exclusion_of(cap_breach breach);
/// That of a rule of a point.
exclusion exclusion_of(breach_kind kind);

/// Why pick would not use a grease that was checked in one installation, whatever its verdict.
struct barring {
  exclusion by = exclusion::none;
  std::optional<std::size_t> line{};  // whose rule it is; nothing: a limit of the system
};
/// What is known goes before what is not shown, a limit of the system before a rule of a point. The owner's limit for
/// hot months is no matter of one check. @param i, g, a  what was checked, and the answer
barring barring_of(const installation& i, const grease& g, const installation_answer& a);

/// One grease in one month of a route: the worst line decides.
struct grease_month {
  std::uint32_t grease = 0;  // index into the stock
  coldgrease::verdict verdict = verdict::not_shown;
  missing_datum missing = missing_datum::none;  // why it is not shown
  exclusion excluded = exclusion::none;
  bool below_oil_bound = false;
  std::optional<double> chance{};
  std::optional<temperature> coldest{};  // air temperature down to which every line passes
  std::optional<pressure> needed{};      // at the worst line
  std::optional<pressure> stays{};       // there, after relief, where it is the recharge of meters that decides
  pressure available{};                  // there
  point_index worst{};
  std::optional<std::uint32_t> unfed{};  // the installation whose inlet is worse than every line
  point_index excluded_by{};             // the point whose rule excludes it, or is not shown to be kept
  std::string broken_rule{};             // and which, as a clause
};

/// A month as a view of its pentads: what is shown is of its coldest one, and no month passes that holds a failing one.
struct month_pick {
  int month = 1;
  temperature design = celsius(0);  // what its coldest pentad is judged at, on the coldest leg
  temperature hot = celsius(0);     // its hottest pentad, on the hottest leg; no more than `design`: unknown
  std::optional<temperature> return_minimum{};  // of the coldest leg
  std::string governing_station{};
  std::size_t shown = 0;              // index into `greases`: the one pumped on its coldest days, or the nearest
  std::vector<std::size_t> pumped{};  // all that are pumped in it, by date
  bool picked = false;
  std::optional<double> hours_below{};         // a year, colder than a grease that may stand in the lines passes
  std::optional<int> longest_spell{};          // [h] on record, of the same
  std::vector<grease_month> greases{};         // in the order of the stock
  std::vector<rule_answer> published_rules{};  // into the rules of the answer
};

/// The smallest change that lets one line pass in the month where nothing does. Never more pressure. Where the oil of
/// the nearest grease is not good for that cold, one remedy stands for the route: a colder oil, and the hardest demand.
struct remedy {
  int month = 1;
  temperature at = celsius(0);
  std::size_t grease = 0;  // the nearest one
  point_index point{};
  std::optional<coldgrease::length> bore{};    // of the narrowest segment, all scaled alike
  std::optional<coldgrease::length> length{};  // of the whole line
  std::optional<pressure> outlet{};
  std::optional<supplier_question> ask_supplier{};
  bool colder_oil = false;  // no change of a line helps: the month is below the bound of the oil
};

struct route_pick {
  std::string route{};
  std::string region{};
  std::vector<std::size_t> installations{};
  int vehicles = 1;
  choice decided{};
  std::optional<choice> otherwise{};  // by the other preference; nothing where prices are missing for it
  std::optional<choice> if_purged{};  // what purging the lines would give, where it is not done and would be better
  bool by_design_values = false;      // published values stand for some of its weather: no seasons, no summer
  std::array<month_pick, 12> months{};
  std::vector<std::string> unserved{};  // why no grease serves every day, what to state first
  std::vector<remedy> would_help{};
  std::vector<std::string> missing{};  // what nobody stated and the answer hangs on
  std::vector<std::string> warnings{};
  std::vector<std::string> notes{};     // what is assumed or wants saying
  std::vector<std::string> evidence{};  // what the greases shown stand on, and what would narrow it
};

/// The month whose design temperature is the lowest.
inline const month_pick& coldest_month(const route_pick& r) {
  const month_pick* coldest = r.months.data();
  for (const month_pick& m : r.months) {
    if (m.design < coldest->design) coldest = &m;
  }
  return *coldest;
}

/// The fills of a tow in one month: it is as good as the weakest of them. They meet the same cold, and may hold the
/// same grease, so that the smallest chance counts and never a product.
struct tow_month {
  std::optional<double> chance{};  // the smallest; nothing if that of one fill is not known
  bool served = false;             // every fill has a grease that is picked
  std::size_t weakest = 0;         // index into the routes of the answer: not served goes before a small chance
};

/// A tow over the year. A pool is judged on the coldest of all its roads, which errs to the safe side on this one.
struct tow_pick {
  std::string tow{};
  std::vector<std::size_t> routes{};  // indices into the routes of the answer
  bool served = false;                // in every month
  std::array<tow_month, 12> months{};
};

struct pick_answer {
  std::string about{};  // what the fleet file says of itself
  double confidence = usual_confidence;
  double share = 0.01;         // of the hours of 31 days colder than what their middle is judged at
  double return_years = 10.0;  // of the minimum shown beside it
  double risk = 0.1;           // yearly, of a change-over date
  preference prefer = preference::stiffest;
  std::optional<change_practice> at_change{};  // asked for
  std::string currency{};                      // of its money; empty where there is none
  std::vector<std::string> missing{};          // what nobody stated and shapes the answers, for the first lines
  std::vector<published_rule> rules{};         // asked
  std::vector<route_pick> routes{};
  std::vector<tow_pick> tows{};
};

/// Picks for one station and its installations: a program needs no file and no fleet.
/// A day is judged at the coldest share of the hours of the 31 days around it (its pentad's), a grease from the day it
/// is pumped until it is used up. Preference: policy::prefer. @param vehicles  for whole packs and labour
/// @throws input_error for empty lists or numbers out of range
pick_answer pick(const year_climate& year, std::span<const installation> installations, std::span<const grease> stock,
                 const policy& p = {}, std::span<const published_rule> rules = {}, int vehicles = 1);

/// Picks for every route of a fleet; each weather file is read once. The coldest leg governs; a road above its station
/// is 6.5 K/km colder, a road below it never warmer. `stock` are the fleet's greases in their order.
/// What a file's reader left out or assumed stands in the notes of the first route that names the file.
/// @param jobs  threads to work on, 0: one a core; the answer is the same, an opener must be safe to share
/// @throws file_error for weather files, input_error
pick_answer pick(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules = {},
                 const progress& listener = {}, int jobs = 1);

/// What a fleet's tows come to, from the picks of its routes in their order.
std::vector<tow_pick> judge_tows(const fleet& f, std::span<const route_pick> routes);

/// The fleet's greases as models, in their order, with what its readings of running systems taught of them.
std::vector<grease> stock_of(const fleet& f);
/// What a fleet's readings of running systems say of its greases, at its confidence.
learn_answer lessons_of(const fleet& f, outlier_rule outliers = outlier_rule::wait);

}  // namespace coldgrease::inline v0
