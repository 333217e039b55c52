#include "line/schedule.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>

#include "base/csv.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

std::vector<line> read_lines(const source& file, std::vector<input_file>& read_from, const refusals& noted) {
  const source::text read = file.read(file_kind::schedule);
  read_from.push_back({file.name(), read.checksum});
  csv_rows rows(read.bytes, file.name());
  constexpr std::string_view expected =
      "point, length [m], bore [mm] or tube, outlet [bar], dose [cm3], in [s], main, rating [bar], material, stages";
  std::optional<std::size_t> point, run, bore, tube, outlet, dose, in, main, rating, material, stages;
  for (std::size_t c = 0; c < rows.header().size(); ++c) {
    const std::string name = rows.name_of(c);
    std::optional<std::size_t>* column = name == "point"      ? &point
                                         : name == "length"   ? &run
                                         : name == "bore"     ? &bore
                                         : name == "tube"     ? &tube
                                         : name == "outlet"   ? &outlet
                                         : name == "dose"     ? &dose
                                         : name == "in"       ? &in
                                         : name == "main"     ? &main
                                         : name == "rating"   ? &rating
                                         : name == "material" ? &material
                                         : name == "stages"   ? &stages
                                                              : nullptr;
    if (!column) throw file_error(rows.place(), "unknown column " + in_quotes(rows.header()[c]), expected);
    if (*column) throw file_error(rows.place(), "the column " + in_quotes(name) + " stands twice", expected);
    *column = c;
  }
  if (!point || !run || !(bore || tube) || !dose) throw file_error(rows.place(), "a column is missing", expected);

  const auto quantity = [&]<class Quantity>(std::size_t column, std::string_view field, sign allowed, Quantity*) {
    return quantity_of<Quantity>(rows, column, field, allowed);
  };
  std::vector<line> lines;
  std::vector<std::string_view> fields;
  while (rows.next(fields)) {
    if (fields[*point].empty()) throw file_error(rows.place(*point), "is empty", "the name of the point");
    if (lines.empty() || lines.back().point != fields[*point]) {
      if (std::ranges::any_of(lines, [&](const line& l) { return l.point == fields[*point]; }))
        throw file_error(rows.place(*point), "rows of " + in_quotes(fields[*point]) + " stand apart",
                         "the segments of a line one after the other");
      lines.push_back({.point = std::string(fields[*point])});
    }
    line& l = lines.back();
    segment s;
    s.length = quantity(*run, fields[*run], sign::positive, static_cast<length*>(nullptr));
    const bool by_tube = tube && !fields[*tube].empty();
    if (by_tube == (bore && !fields[*bore].empty())) throw file_error(rows.place(), "bore and tube", "one of them");
    if (by_tube) {
      read_at([&] { return rows.place(*tube); }, [&] { set_tube(s, fields[*tube], {}); });
    } else {
      s.bore = quantity(*bore, fields[*bore], sign::positive, static_cast<length*>(nullptr));
    }
    if (main) s.main = fields[*main];
    if (rating && !fields[*rating].empty())
      s.rating = quantity(*rating, fields[*rating], sign::positive, static_cast<pressure*>(nullptr));
    if (material && !fields[*material].empty())
      s.material =
          read_at([&] { return rows.place(*material); }, [&] { return parse_word<tube_material>(fields[*material], {}); });
    if (stages && !fields[*stages].empty()) {
      const auto number = to_number(fields[*stages]);
      if (!number || *number != std::floor(*number) || *number < 0.0 || *number > 100.0)
        throw file_error(rows.place(*stages), in_quotes(fields[*stages]), "a whole number, 0 to 100");
      l.stages = static_cast<int>(*number);
    }
    l.segments.push_back(s);
    if (outlet && !fields[*outlet].empty())
      l.outlet = quantity(*outlet, fields[*outlet], sign::not_negative, static_cast<pressure*>(nullptr));
    if (!fields[*dose].empty()) l.dose = quantity(*dose, fields[*dose], sign::positive, static_cast<volume*>(nullptr));
    if (in && !fields[*in].empty()) l.in = quantity(*in, fields[*in], sign::positive, static_cast<duration*>(nullptr));
  }
  return lines;
}

}  // namespace coldgrease::inline v0::detail
