// Answers as text for people: 80 columns, both temperature scales. A report computes nothing.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "coldgrease/base/tables.hpp"
#include "coldgrease/climate/monthly.hpp"
#include "coldgrease/grease/base_oil.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/fit.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/line/line.hpp"
#include "coldgrease/plan/pick.hpp"

namespace coldgrease {

/// Units of pressure, length and volume in a text; temperatures are always in both scales.
enum class unit_system { si, us };

std::string to_text(const class_answer& answer);
std::string to_text(const oil_answer& answer);
std::string to_text(const curve_answer& answer, const grease& g);
std::string to_text(const fit_answer& answer);
std::string to_text(const line_answer& answer, const line& l, const grease& g, double confidence,
                    unit_system units = unit_system::si);
std::string to_text(const climate_answer& answer);
std::string to_text(std::span<const table_answer> answers);

/// @param installations, stock  the lists that the answer's indices point into
std::string to_text(const pick_answer& answer, std::span<const installation> installations,
                    std::span<const grease> stock, unit_system units = unit_system::si);

/// Why a grease passes or not in a month, in a sentence.
std::string reason(const grease_month& g, std::span<const installation> installations, std::span<const grease> stock,
                   unit_system units = unit_system::si);
/// What would help, in a sentence.
std::string advice(const remedy& r, std::span<const installation> installations, std::span<const grease> stock,
                   unit_system units = unit_system::si);

/// The cautions that end every report.
std::string cautions();

}  // namespace coldgrease
