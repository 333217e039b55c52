// The whole year of a fleet as a workbook, whichever command is asked for it.
#pragma once

#include "coldgrease/grease/compatibility.hpp"
#include "coldgrease/grease/published_rules.hpp"
#include "coldgrease/plan/dossier.hpp"
#include "command.hpp"
#include "fleet_answer.hpp"
#include "today.hpp"
#include "workbook.hpp"

namespace coldgrease::tools {

inline std::string workbook_of(const arguments& given, const dossier& d, const fleet& f,
                               std::span<const grease> stock) {
  return workbook_of(sheets_of(d, f, stock, given.units, today()), today());
}
inline std::string workbook_of_fleet(const arguments& given, const fleet& f, std::span<const grease> stock,
                                     const progress& listener) {
  return workbook_of(given, dossier_of(f, stock, published_rules(), compatibility_charts(), listener, jobs_of(given)),
                     f, stock);
}

}  // namespace coldgrease::tools
