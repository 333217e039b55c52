// The data of a sheet beside its description, as observations of the belief about the grease.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/grease/fit.hpp"
#include "coldgrease/grease/grease.hpp"
#include "grease/belief_update.hpp"

namespace coldgrease::inline v0::detail {

/// What the data of one sheet share: its batch, a laboratory for each method, and what a nozzle makes of a stress.
enum class sheet_share : std::size_t { batch, capillary, rheometer, nozzle };
/// Their deviations, in this order.
std::span<const shared_unknown> sheet_shares();

struct sheet_datum {
  observation seen{};
  used_datum used{};  // says nothing where another datum says it as well
};

/// A point of a capillary or a rheometer as the belief takes it.
observation observation_of(const measured_point& p, const grease_kernel& reference);
/// The same with its words.
sheet_datum datum_of(const measured_point& p, const grease_kernel& reference);
/// A mobility figure, as a point of its capillary.
sheet_datum datum_of(const mobility_reading& m, const grease_kernel& reference);
/// Flow pressures: only their ratios count. Empty where there are no two that tell a slope; says so in `notes`.
std::vector<sheet_datum> data_of(std::span<const flow_pressure_point> points, const grease_kernel& reference,
                                 std::vector<std::string>& notes);
/// A fit whose curves are the reference: no deviation from it at the usual and the middle rate of each temperature.
std::vector<sheet_datum> data_of(const fit_answer& fitted, const grease_kernel& reference);

/// Whether what is believed of a stress, at some usual rate, start and confidence, falls anywhere towards the cold.
bool colder_looks_better(const grease_kernel& g);

/// Belief after the data of a sheet; completes what each of them did.
belief taught_by(const belief& prior, std::vector<sheet_datum>& data);

/// Variance with which a worked penetration would tell the level of a grease of a label; nothing where it is known.
std::optional<double> variance_of_worked_penetration(const grease& g);

/// What one point that a supplier measures would make of a belief.
belief after_point(const belief& prior, const measured_point& p, const grease_kernel& reference);

}  // namespace coldgrease::inline v0::detail
