// Answers as text for people: 80 columns, both temperature scales. A report computes nothing.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "coldgrease/base/ranges.hpp"
#include "coldgrease/base/tables.hpp"
#include "coldgrease/base/unit_system.hpp"
#include "coldgrease/climate/describe.hpp"
#include "coldgrease/climate/normals.hpp"
#include "coldgrease/climate/two_records.hpp"
#include "coldgrease/grease/base_oil.hpp"
#include "coldgrease/grease/compatibility.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/curve.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/grease/fit.hpp"
#include "coldgrease/line/doses.hpp"
#include "coldgrease/line/faults.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/learn.hpp"
#include "coldgrease/line/line.hpp"
#include "coldgrease/plan/changeover.hpp"
#include "coldgrease/plan/compare.hpp"
#include "coldgrease/plan/pick.hpp"
#include "coldgrease/plan/plan.hpp"
#include "coldgrease/plan/proof.hpp"

namespace coldgrease::inline v0 {

/// @param f  the fleet whose readings were taken
std::string to_text(const learn_answer& answer, const fleet& f, unit_system units = unit_system::si);

std::string to_text(const class_answer& answer);
std::string to_text(const designation& answer);
/// Two thickeners, and the oils of their greases where they are known.
std::string to_text(const compatibility_answer& answer, const oil_change& oils = {});
std::string to_text(const oil_answer& answer);
std::string to_text(const curve_answer& answer, const grease& g);
std::string to_text(const fit_answer& answer);
std::string to_text(const line_answer& answer, const line& l, const grease& g, unit_system units = unit_system::si);
std::string to_text(const climate_answer& answer);
std::string to_text(const freeze_normals& normals);
std::string to_text(const record_comparison& comparison);
/// Stations with their values, by source and edition.
std::string to_text(std::span<const design_values> rows);
std::string to_text(std::span<const table_answer> answers);
/// What is refused and what is odd, measure by measure.
std::string to_text(std::span<const range> bounds);

/// Every line of an installation, worst first, and what its pump and reservoir do. @param i, g  what was checked
std::string to_text(const installation_answer& answer, const installation& i, const grease& g,
                    unit_system units = unit_system::si);

/// Elements and settings of the timer, the best first. @param i, g  what was asked of
std::string to_text(const dose_answer& answer, const installation& i, const grease& g,
                    unit_system units = unit_system::si);

/// The buyer's sheet. @param installations, stock  the lists that the answer's indices point into
std::string to_text(const plan_answer& answer, std::span<const installation> installations,
                    std::span<const grease> stock, unit_system units = unit_system::si);

/// @param installations, stock  the lists that the answer's indices point into
/// @param jobs  as of pick()
std::string to_text(const pick_answer& answer, std::span<const installation> installations,
                    std::span<const grease> stock, unit_system units = unit_system::si, int jobs = 1);

/// What is wrong with a fleet file, or what it lacks and how it stands.
std::string to_text(const fleet_proof& proof, unit_system units = unit_system::si);

/// Offers side by side. @param installations  the fleet's
std::string to_text(const compare_answer& answer, std::span<const installation> installations,
                    unit_system units = unit_system::si);

/// Causes of a dry point in the order to look, with a check each; without an installation, and with one.
std::string to_text(const fault_answer& answer);
std::string to_text(const fault_answer& answer, const symptoms& seen, const installation& i, const grease& g,
                    unit_system units = unit_system::si);
/// The check that tells a cause from the others (in a system of a type, where known).
std::string_view check_of(fault f, std::optional<system_type> type);

/// The sheet for the workshop. @param i, from, to  what the changeover was asked of
std::string to_text(const changeover_answer& answer, const installation& i, const grease& from, const grease& to,
                    unit_system units = unit_system::si);

/// Why a grease passes or not in a month, in a sentence.
std::string reason(const grease_month& g, std::span<const installation> installations, std::span<const grease> stock,
                   unit_system units = unit_system::si);
/// What would help one installation: what it is about ("north reefer, at -31 C with No. 0"), and a sentence for each of
/// its lines.
struct advice {
  std::string about{};
  std::vector<std::string> ways{};
};
/// What would help, grouped by installation in the order of the remedies.
std::vector<advice> advice_on(std::span<const remedy> remedies, std::span<const installation> installations,
                              std::span<const grease> stock, unit_system units = unit_system::si);

/// The cautions that end every report.
std::string cautions();

}  // namespace coldgrease::inline v0
