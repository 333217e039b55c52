// What is known of a grease: the data sheet, each datum with its source.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/money.hpp"
#include "coldgrease/base/source.hpp"
#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/units.hpp"
#include "coldgrease/grease/base_oil.hpp"
#include "coldgrease/grease/measurement.hpp"

namespace coldgrease::inline v0 {

/// A solid lubricant and its share of the mass [-].
struct solid {
  std::string kind{};
  double share = 0.0;
  friend bool operator==(const solid&, const solid&) = default;
};

/// A flow pressure (DIN 51805): what presses a strand of grease out of the test nozzle.
struct flow_pressure_point {
  temperature at = celsius(25);
  pressure needed{};     // [Pa], > 0
  bool at_most = false;  // a bound of the data sheet ("at most 1400 hPa"), no reading
  friend bool operator==(const flow_pressure_point&, const flow_pressure_point&) = default;
};

/// Where a datum of a record comes from; `datum` is its name in the file.
struct datum_source {
  std::string datum{};
  std::string source{};
  friend bool operator==(const datum_source&, const datum_source&) = default;
};

/// Every field may be missing but one: a class label or a worked penetration is needed for an estimate.
struct evidence {
  std::string name{};
  std::string nlgi{};                   // label as printed: "2", "1/2", "000/00"
  std::optional<double> penetration{};  // worked, 25 C [0.1 mm]; goes before the label
  std::string designation{};            // "KP2K-30", "ISO-L-XCDEB3": see designation.hpp
  std::string thickener{};
  std::optional<kinematic_viscosity> kv40{};
  std::optional<kinematic_viscosity> kv100{};
  std::optional<viscosity_point> kv{};  // at another temperature
  std::optional<double> vi{};
  std::optional<temperature> pour{};  // pour point of the base oil
  std::optional<oil_type> oil{};
  std::optional<coldgrease::density> density{};  // at 15 C
  std::optional<std::vector<solid>> solids{};    // all of them; an empty list says that there are none
  std::optional<temperature> dropping_point{};
  std::optional<double> oil_separation{};  // share of the mass [-]
  std::optional<mass_price> price{};
  std::optional<mass> pack{};                         // what one holds
  std::optional<money> pack_price{};                  // of a whole one, in the place of `price`
  std::optional<mass> in_store{};                     // at hand already
  std::optional<duration> delivery{};                 // from order to arrival
  std::vector<measured_point> points{};               // of the flow curve: capillary (ASTM D1092) and rheometer
  std::vector<flow_pressure_point> flow_pressures{};  // DIN 51805
  std::optional<mobility_reading> mobility{};
  std::string claim{};  // such as "pumpable to -40 C": kept, never used as proof
  std::vector<datum_source> sources{};
  friend bool operator==(const evidence&, const evidence&) = default;
};

/// All solids together, share of the mass [-]; nothing where the record does not state them.
inline std::optional<double> solids_of(const evidence& e) {
  if (!e.solids) return std::nullopt;
  double sum = 0.0;
  for (const solid& s : *e.solids) sum += s.share;
  return sum;
}

/// Reads a list of greases from JSON, or from a table (CSV): a row a grease, a column a key, the unit in its head.
/// @throws file_error naming file, JSON pointer or line and column, value and what is expected
std::vector<evidence> read_greases(const source& file);

}  // namespace coldgrease::inline v0
