// Offered greases side by side, route by route, each as if it alone were pumped the year round.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/grease/compatibility.hpp"
#include "coldgrease/plan/plan.hpp"

namespace coldgrease::inline v0 {

/// How an offer would mix with a grease that is in the lines, or that the plan pumps.
struct mixing_with {
  std::size_t grease = 0;  // index into compare_answer::stock
  bool kept = false;       // it is in the lines now; else the plan pumps it
  compatibility_answer charts{};
};

/// One offer on one route.
struct offer_on_route {
  std::size_t grease = 0;                // index into compare_answer::stock
  bool passes = false;                   // on all days of the year
  std::vector<season> too_cold{};        // when it is too cold for it; also where nothing is known of it
  std::vector<season> barred{};          // when a rule of a point, a system or the owner excludes it
  grease_month coldest_days{};           // on the coldest pentad: chance, verdict, the line that decides, what bars it
  std::optional<temperature> coldest{};  // air in which it passes everywhere on the route
  std::optional<temperature_step> margin{};  // of the coldest pentad over that
  std::optional<mass> needed{};              // a year, all vehicles; nothing where doses or intervals are not known
  std::optional<double> money{};             // of that, in whole packs
  std::vector<std::size_t> told_equal{};     // other offers of which nobody can say which passes in the colder air
  std::vector<mixing_with> mixing{};
  std::optional<supplier_question> ask{};  // on the coldest pentad, for the line that decides
};

struct compared_route {
  route_pick pick{};                 // what is decided of the fleet's own stock
  temperature coldest = celsius(0);  // what its coldest pentad is judged at
  day_of_year coldest_on{};          // the middle of that pentad
  std::vector<offer_on_route> offers{};
};

/// What to put to a supplier about one offer.
struct offer_question {
  std::size_t grease = 0;
  std::vector<std::string> not_stated{};  // data that its record leaves out
  std::vector<std::size_t> hardest{};     // up to three routes, that of the least margin on its coldest days first
};

struct compare_answer {
  std::string about{};
  double confidence = usual_confidence;
  std::string currency{};
  std::vector<std::string> missing{};
  std::vector<published_rule> rules{};  // asked
  std::vector<grease> stock{};          // the fleet's, then the offers that are not of it
  std::vector<compared_route> routes{};
  std::vector<offer_question> questions{};
};

/// Two offers are told equal where the chance that the one's coldest temperature lies below the other's is 0.2 to 0.8.
inline constexpr double least_telling = 0.2;

/// Compares offers. The decision beside them is that of plan(), from the fleet's own stock.
/// @param stock  the fleet's, of stock_of(f)   @param own  offered greases of it, as indices
/// @param offers  other greases, whose names are none of the stock
/// @param jobs  as of pick()
/// @throws input_error for no offer, a name that stands twice, or two currencies; file_error for weather
/// Test: tests/plan/compare.cpp
compare_answer compare(const fleet& f, std::span<const grease> stock, std::span<const std::size_t> own,
                       std::span<const evidence> offers, std::span<const published_rule> rules,
                       const compatibility_table& charts, const progress& listener = {}, int jobs = 1);

}  // namespace coldgrease::inline v0
