// A schedule of lines as CSV.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "base/refusals.hpp"
#include "coldgrease/base/source.hpp"
#include "coldgrease/line/line.hpp"

namespace coldgrease::inline v0::detail {

/// One row a segment: point, length [..], bore [..] or tube, outlet [..], dose [..], in [..], main, rating [..],
/// material, stages. Rows of the same point follow each other from pump to point; what belongs to the line may stand in
/// the first of them only. Where a column `installation` stands, the rows of `installation` alone are taken. The file
/// that was read is added to `read_from`. @throws file_error
std::vector<line> read_lines(const source& file, const std::string& installation, std::vector<input_file>& read_from,
                             const refusals& noted);

/// Refuses each row of a schedule for several installations that belongs to none of those which take their lines from
/// it: a name written otherwise must not vanish. Nothing to refuse where no column names an installation.
void refuse_orphans(const source& file, const std::set<std::string, std::less<>>& installations, const refusals& noted);

}  // namespace coldgrease::inline v0::detail
