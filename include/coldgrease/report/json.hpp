// Answers as JSON for programs: SI numbers and degrees C, the unit in the key, null where no such value exists.
#pragma once

#include <span>
#include <string>

#include "coldgrease/base/ranges.hpp"
#include "coldgrease/base/tables.hpp"
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
#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/plan/pick.hpp"
#include "coldgrease/plan/plan.hpp"
#include "coldgrease/plan/proof.hpp"

namespace coldgrease::inline v0 {

/// @param f  the fleet whose readings were taken
std::string to_json(const learn_answer& answer, const fleet& f);

// Each returns one object on one line, without a newline; never NaN or infinity.
std::string to_json(const class_answer& answer);
std::string to_json(const designation& answer);
std::string to_json(const compatibility_answer& answer, const oil_change& oils = {});
std::string to_json(const oil_answer& answer);
std::string to_json(const curve_answer& answer);
std::string to_json(const fit_answer& answer);
std::string to_json(const line_answer& answer);
std::string to_json(const fleet_proof& proof);
/// @param installations  the fleet's
std::string to_json(const compare_answer& answer, std::span<const installation> installations);
std::string to_json(const climate_answer& answer);
std::string to_json(const freeze_normals& normals);
std::string to_json(const record_comparison& comparison);
std::string to_json(std::span<const design_values> rows);
std::string to_json(std::span<const table_answer> answers);
std::string to_json(std::span<const range> bounds);

/// @param i, g  what was checked
std::string to_json(const installation_answer& answer, const installation& i, const grease& g);

/// @param i, g  what was asked of
std::string to_json(const dose_answer& answer, const installation& i, const grease& g);

/// @param i, g  what it was asked of, nullptr where nothing was given
std::string to_json(const fault_answer& answer, const installation* i, const grease* g);

/// The buyer's plan. @param stock  the list that the answer's indices point into
std::string to_json(const plan_answer& answer, std::span<const installation> installations,
                    std::span<const grease> stock);

/// @param installations, stock  the lists that the answer's indices point into
/// @param jobs  as of pick()
std::string to_json(const pick_answer& answer, std::span<const installation> installations,
                    std::span<const grease> stock, int jobs = 1);

/// @param i, from, to  what the changeover was asked of
std::string to_json(const changeover_answer& answer, const installation& i, const grease& from, const grease& to);

/// Everything on the page of to_html. @param f, stock  what the dossier was made of
std::string to_json(const dossier& d, const fleet& f, std::span<const grease> stock);

}  // namespace coldgrease::inline v0
