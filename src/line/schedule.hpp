// A schedule of lines as CSV.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "base/refusals.hpp"
#include "coldgrease/base/source.hpp"
#include "coldgrease/line/line.hpp"

namespace coldgrease::inline v0::detail {

/// Lines of one installation as a schedule has them.
struct scheduled_lines {
  std::vector<line> lines{};
  input_file read{};
  std::vector<std::string> left_out{};  // what was, or was taken otherwise than it stands, with file and line
  std::map<std::string, place, std::less<>>
      owners{};  // names in its column `installation`, and where each first stands
};

/// One row a segment: point, length [..], bore [..] or tube, outlet [..], dose [..], in [..], main, rating [..],
/// material, stages. Rows of the same point follow each other from pump to point; what belongs to the line may stand in
/// the first of them only. Where a column `installation` stands, the rows of `installation` alone are taken.
/// @throws file_error
scheduled_lines read_lines(const source& file, const std::string& installation, const refusals& noted);

/// The names in the column `installation`, in the order of their rows, each row read; nothing where there is no such
/// column. @throws file_error
std::vector<std::string> installations_in(const source& file);

/// Refuses the rows of a schedule for several installations that belong to none of those which take their lines from
/// it: a name written otherwise must not vanish.
void refuse_orphans(const std::map<std::string, place, std::less<>>& owners,
                    const std::set<std::string, std::less<>>& installations, const refusals& noted);

}  // namespace coldgrease::inline v0::detail
