// Sheets as one file that a spreadsheet opens.
#pragma once

#include <span>
#include <string>

#include "coldgrease/report/sheet.hpp"

namespace coldgrease::tools {

/// A workbook (Office Open XML, ISO/IEC 29500-1) as bytes, the same for the same sheets and day: heads in bold that
/// stay in sight, filters, numbers and days as such, and a last row of sums under the columns that have them, where
/// every cell above is known. @throws file_error if the temporary file that it is made in cannot be written
std::string workbook_of(std::span<const sheet> sheets, const date& made_on);

}  // namespace coldgrease::tools
