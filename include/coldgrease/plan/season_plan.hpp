// What a buyer signs: which grease from which date, how many kilograms, how sure, and the fewest kinds that do the job.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/climate/seasons.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/plan/pick.hpp"

namespace coldgrease::inline v0 {

/// One fill of a route's year.
struct planned_fill {
  int from_month = 1;  // pumped from the start of it
  int to_month = 12;   // to the end of it
  std::size_t grease = 0;
  double chance = 0.0;                 // the smallest over the months it stands in the lines
  temperature_step margin{};           // of its coldest pumpable temperature under the coldest of those months
  std::optional<day_of_year> start{};  // begin to pump it then: by the weather's dates and the yearly risk
  bool held_back = false;              // to its month: earlier the owner's limit for hot months bars the grease
  std::optional<temperature> limit{};  // the cold that date is about
  std::optional<mass> per_vehicle{};   // over the season; nothing where doses or intervals are not known
  std::vector<int> hot_months{};       // soft grease in months above 35 C: a caution
};

/// Another grease for the coldest month.
struct alternative {
  std::size_t grease = 0;
  double chance = 0.0;
  temperature_step margin{};  // negative: too cold for it
};

/// How far one assumption moves the margin of the grease of the coldest month.
struct sensitivity {
  std::string what{};        // "confidence 0.90 instead of 0.80"
  temperature_step moves{};  // of the margin
};

/// How often a trip over several legs meets grease too stiff to flow, in the season of the coldest month's fill.
struct trip_share {
  double of_time =
      0.0;             // sum of h_i p_i over sum of h_i; p_i the share of hours on leg i colder than the grease passes
  double least = 0.0;  // chance that a trip meets it, if the cold comes to all legs together: the largest p_i
  double most = 0.0;   // and if it never does: the sum of p_i, at most 1
};

struct route_plan {
  route_pick pick{};  // the month table it stands on
  int vehicles = 1;
  std::vector<planned_fill> fills{};      // by month of the year's cold season first; empty: no grease serves it
  std::optional<double> winter_chance{};  // mean over recorded winters of the chance at that winter's coldest 1 % hour
  int winters = 0;
  std::optional<trip_share> trip{};          // where every leg says how many hours it takes
  std::optional<double> cost{};              // a year and vehicle, where prices and costs are given
  std::vector<alternative> alternatives{};   // the two nearest
  std::vector<sensitivity> sensitivities{};  // what moves most first
  std::vector<std::string> evidence{};       // what its greases stand on, and what would narrow it
};

/// A line of the purchase.
struct purchase_row {
  std::size_t grease = 0;
  std::string region{};
  int from_month = 1;
  int to_month = 12;
  mass needed{};
  std::optional<double> packs{};    // whole ones, where the pack is known
  std::array<mass, 12> by_month{};  // of `needed`, by the days of each month
};

/// The best set of so many kinds.
struct kinds_row {
  int kinds = 1;
  std::vector<std::size_t> greases{};
  int served = 0;                          // routes with a grease in every month
  std::optional<double> cost{};            // a year, the whole fleet, where prices are given
  std::vector<std::size_t> unserved{};     // the other routes
  std::vector<std::size_t> lose_margin{};  // routes whose coldest month then has less margin than as planned
};

struct plan_answer {
  std::string about{};
  double confidence = usual_confidence;
  double risk = 0.1;     // yearly, of a change-over date
  bool by_cost = false;  // else by the fewest fills, then the stiffest
  std::vector<route_plan> routes{};
  std::vector<purchase_row> purchase{};
  std::vector<kinds_row> kinds{};  // from one up
  std::vector<std::string> notes{};
};

/// Plans every route of a fleet. A grease may be pumped in a month only if it passes until that month's is used up (as
/// pick). Of the sequences with at most `policy.seasons` fills the cheapest is taken where every grease has a price (kg
/// times price, a change-over its cost, and (1 - chance) times the cost of a starved winter), else the fewest fills,
/// then the stiffest: exact, by dynamic programming. Change-over dates: with the policy's yearly risk the cold that the
/// outgoing grease cannot stand comes before that date; counted back by the days the old fill lasts. In spring: the
/// last such cold of the incoming grease. Kinds: for every number of kinds the best set of all, exact for up to 16
/// greases.
/// @throws file_error for weather files, input_error
plan_answer plan(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules = {},
                 const progress& listener = {});

}  // namespace coldgrease::inline v0
