// What a buyer signs: which grease from which date, how many kilograms, how sure, and the fewest kinds that do the job.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/plan/pick.hpp"

namespace coldgrease::inline v0 {

/// Another grease for the coldest days.
struct alternative {
  std::size_t grease = 0;
  double chance = 0.0;
  temperature_step margin{};  // negative: too cold for it
};

/// How far one assumption moves the margin of the grease of the coldest days.
struct sensitivity {
  std::string what{};        // "confidence 0.90 instead of 0.80"
  temperature_step moves{};  // of the margin
};

/// How often a trip over several legs meets grease too stiff to flow, on the days of the fill of the coldest days.
struct trip_share {
  double of_time =
      0.0;             // sum of h_i p_i over sum of h_i; p_i the share of hours on leg i colder than the grease passes
  double least = 0.0;  // chance that a trip meets it, if the cold comes to all legs together: the largest p_i
  double most = 0.0;   // and if it never does: the sum of p_i, at most 1
};

/// What if the grease that is in the lines stays: a plan of its own.
struct kept_plan {
  std::vector<kept_grease> greases{};         // what is in the route's installations
  bool passes = false;                        // on all days of the year
  std::optional<double> chance{};             // the smallest, on the coldest days; nothing: not known
  by_month<std::optional<double>> starved{};  // hours a year colder than it passes
  std::optional<double> hours{};              // their sum
  std::vector<season> too_cold{};             // when it is too cold for it
  std::vector<season> barred{};               // when a rule of a point, a system or the owner excludes it
  std::optional<day_of_year> change_by{};     // begin with the plan's grease then, so that the last of it is used up in
                                              // time; nothing: at once
  std::optional<std::size_t> into{};          // that grease, where it does not pass and the plan has one
  std::optional<mass> at_change{};            // of it, which one vehicle takes at that change beside what it pumps
  std::optional<double> labour{};             // of that change, all vehicles
};

struct route_plan {
  route_pick pick{};                      // the decision, and the month table as a view of it
  std::optional<double> winter_chance{};  // mean over recorded winters of the chance at that winter's coldest 1 % hour
  int winters = 0;
  std::optional<trip_share> trip{};          // where every leg says how many hours it takes
  std::vector<alternative> alternatives{};   // the two nearest
  std::vector<sensitivity> sensitivities{};  // what moves most first
  std::optional<kept_plan> keep{};
  std::vector<std::string> evidence{};  // what its greases stand on, and what would narrow it
};

/// A line of the purchase: a grease for a region, all vehicles and fills of it.
struct purchase_row {
  std::size_t grease = 0;
  std::string region{};
  std::optional<mass> pumped{};      // nothing where some vehicle's doses or intervals are not known
  std::optional<mass> at_changes{};  // that fill reservoirs and lines
  std::optional<mass> in_store{};    // taken from there
  std::optional<mass> to_buy{};      // whole packs where the pack is known
  std::optional<double> packs{};
  std::optional<double> money{};
  std::optional<day_of_year> needed_by{};  // its first fill begins
  std::optional<day_of_year> order_by{};   // `delivery` earlier
  by_month<mass> pumped_in{};              // of `pumped`, by the days of each month
  std::vector<std::string> unknown_of{};   // routes whose kilograms are not known
};

/// What is to be paid for a year.
struct invoice {
  std::vector<purchase_row> rows{};
  std::vector<std::string> without{};  // routes that no grease serves: nothing here is of them
  std::optional<double> grease{};      // of all rows; nothing where one has none
  std::optional<double> labour{};      // of all changes
  std::optional<double> alone{};  // grease of the routes, each buying for itself: what pooling saves is the difference
  std::optional<double> risk{};   // beside it
  std::optional<mass> drained{};  // old grease emptied and purged: to be disposed of
};

/// The best set of so many kinds.
struct kinds_row {
  int kinds = 1;
  std::vector<std::size_t> greases{};
  int served = 0;                                    // routes with a grease on every day
  std::optional<double> money{};                     // a year, the whole fleet, routes alone; where prices are given
  int hot_days = 0;                                  // with a hot caution, summed over the routes served
  std::vector<std::size_t> unserved{};               // the other routes
  std::vector<std::size_t> lose_margin{};            // routes whose coldest days then have less margin than as planned
  std::vector<std::vector<std::size_t>> as_cheap{};  // other sets of as many that serve as much within 2 % of the money
};

struct plan_answer {
  std::string about{};
  double confidence = usual_confidence;
  double risk = 0.1;  // yearly, of a change-over date
  preference prefer = preference::stiffest;
  std::optional<change_practice> at_change{};  // asked for
  std::string currency{};
  std::vector<std::string> missing{};   // what nobody stated and shapes the answers, for the first lines
  std::vector<published_rule> rules{};  // asked
  std::vector<route_plan> routes{};
  invoice purchase{};
  std::vector<kinds_row> kinds{};  // from one up
  std::vector<std::string> notes{};
};

/// Plans every route of a fleet: the decision of pick(), then what a buyer signs. Kinds: for every number of them the
/// best set of all by the same preference, exact for up to 16 greases.
/// @param jobs  as of pick()
/// @throws file_error for weather files, input_error
plan_answer plan(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules = {},
                 const progress& listener = {}, int jobs = 1);

}  // namespace coldgrease::inline v0
