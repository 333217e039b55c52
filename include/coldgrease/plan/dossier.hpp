// Everything that is put on paper about a fleet's year: the plan, and for each of its decisions what stands behind it.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "coldgrease/base/date.hpp"
#include "coldgrease/base/tables.hpp"
#include "coldgrease/climate/seasons.hpp"
#include "coldgrease/climate/year_band.hpp"
#include "coldgrease/grease/compatibility.hpp"
#include "coldgrease/grease/curve.hpp"
#include "coldgrease/line/belief_chart.hpp"
#include "coldgrease/line/doses.hpp"
#include "coldgrease/line/faults.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limit_curve.hpp"
#include "coldgrease/plan/changeover.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/plan/plan.hpp"

namespace coldgrease::inline v0 {

/// A thing that must be seen to before anything else is read.
struct red_flag {
  std::string where{};  // route or installation
  std::string what{};
};

/// A station's weather, and how far it goes.
struct weather_sheet {
  std::string station{};
  std::string file{};           // empty for published design values
  std::optional<date> first{};  // of its days or hours; nothing of a typical year and of design values
  std::optional<date> last{};
  friend bool operator==(const weather_sheet&, const weather_sheet&) = default;
};

/// A route's year against its greases.
struct season_sheet {
  std::string station{};            // of the leg with the coldest month
  temperature_step shift{};         // of the road's height above it, 0 or below
  std::optional<year_band> band{};  // there, at the road's height; nothing without days on record
  season_start starts = season_start::july;
  /// What one fill stands, from a day on until the next one's.
  struct step {
    day_of_year from{};
    std::size_t grease = 0;
    std::optional<temperature> coldest{};  // air temperature down to which it passes everywhere on the route
  };
  duration carry_over{};          // how long the old fill stays in the lines after a change
  std::vector<step> steps{};      // by date from 1 January; of one fill, that alone
  std::optional<step> nearest{};  // where no grease serves the year: the one nearest to it in the coldest month
};

/// What a technician at a vehicle can read at one temperature.
struct workshop_row {
  coldgrease::temperature temperature = celsius(0);
  std::optional<expected_gauge> gauge{};             // at the line that starves first
  coldgrease::verdict verdict = verdict::not_shown;  // of the worst line and the inlet
};

/// One installation with one grease that is pumped through it, at the coldest it is pumped in; where no grease serves a
/// route, with the nearest.
struct line_sheet {
  std::size_t installation = 0;
  std::size_t grease = 0;
  temperature at = celsius(0);
  std::string route{};   // where that is
  bool planned = false;  // there; else the nearest grease where none serves
  installation_answer check{};
  limit_chart limits{};
  std::vector<workshop_row> card{};    // warm to cold
  fault_answer when_dry{};             // a point is dry, nothing else was looked at
  std::optional<dose_answer> doses{};  // where elements and settings of the timer are named
};

/// What is known of a grease.
struct grease_sheet {
  std::size_t grease = 0;
  bool planned = false;
  std::vector<curve_answer>
      curves{};  // at three temperatures, warm to cold; those of its measurements where it has any
  std::optional<belief_chart> belief{};    // before and after its data; nothing without any
  std::vector<judged_reading> readings{};  // of running systems, by date, vehicle and row
  std::optional<worth> worth_most{};       // of its weakest line in the plan; else of its coldest curve
};

/// A changeover that the plan asks for.
struct changeover_sheet {
  std::size_t installation = 0;
  std::size_t from = 0;
  std::size_t to = 0;
  std::vector<std::size_t> routes{};
  changeover_answer answer{};
};

struct dossier {
  plan_answer plan{};
  std::vector<red_flag> flags{};         // first
  std::vector<weather_sheet> weather{};  // each once, what ended first before the others
  std::vector<season_sheet> seasons{};   // by route
  std::vector<line_sheet> lines{};       // by installation, then by grease
  std::vector<grease_sheet> greases{};   // those of the plan first
  std::vector<changeover_sheet> changeovers{};
  std::vector<input_file> inputs{};
  std::vector<table_answer> tables{};  // data in force
};

/// Plans a fleet and gathers what stands behind the plan.
/// @param stock  that of stock_of(f): with what the readings of the fleet taught
/// @param charts  what is published about thickeners (compatibility_charts())
/// @param jobs  as of pick()
/// @throws file_error for weather files, input_error
/// Test: tests/plan/dossier.cpp
dossier dossier_of(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                   const compatibility_table& charts, const progress& listener = {}, int jobs = 1);

}  // namespace coldgrease::inline v0
