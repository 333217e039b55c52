// Freeze dates of NOAA's 1991-2020 climate normals. Normals are means: they hold no extremes and are no weather.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0 {

/// "The first such freeze comes on or before this day in `share` of the years", or the last on or after it.
struct freeze_date {
  temperature limit = celsius(0);
  bool first = true;   // else the last of spring
  double share = 0.5;  // of years
  int month = 1;
  int day = 1;
};

struct freeze_normals {
  std::string station{};  // series_origin
  std::string id{};
  std::vector<freeze_date> dates{};  // by limit, then first and last, then share
  std::vector<dropped_rows> dropped{};
};

/// Reads columns ANN-TMIN-PRBFST-TttFPpp and ANN-TMIN-PRBLST-TttFPpp (tt degrees F, pp per cent) with MM/DD below them,
/// and leaves out values whose meas_flag column says M, V, Y or Z. `station`: as weather_options has it.
/// @throws file_error for a file without such columns
freeze_normals read_normals(const source& file, std::string_view station = {});

}  // namespace coldgrease::inline v0
