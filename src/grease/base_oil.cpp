#include "coldgrease/grease/base_oil.hpp"

#include "base/format.hpp"
#include "base/root.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/ranges.hpp"
#include "coldgrease/base/saybolt.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr double least_viscosity = 0.21 * (1.0 - 1e-12);  // [mm2/s], the floor of ASTM D341, itself included

}  // namespace

viscosity_line::viscosity_line(viscosity_point first, viscosity_point second) {
  if (second.at < first.at) std::swap(first, second);
  const double cold = in_mm2_per_s(first.kv);
  const double hot = in_mm2_per_s(second.kv);
  if (!(hot >= least_viscosity) || !(cold >= least_viscosity))
    throw input_error("viscosity", fmt::format("{} and {} mm2/s", cold, hot),
                      "0.21 mm2/s or more (range of ASTM D341)");
  if (!(first.at < second.at)) throw input_error("viscosity", "both points are at one temperature", "two temperatures");
  if (!(cold > hot))
    throw input_error("viscosity",
                      fmt::format("{:.4g} mm2/s at {:.4g} C and {:.4g} mm2/s at {:.4g} C", cold, first.at.in_celsius(),
                                  hot, second.at.in_celsius()),
                      "the colder oil to be the thicker");
  line_ = detail::walther::through(cold, first.at.in_kelvin(), hot, second.at.in_kelvin());
}

std::optional<double> viscosity_index(kinematic_viscosity kv40, kinematic_viscosity kv100) {
  if (in_mm2_per_s(kv100) < least_kv100_of_index) return std::nullopt;
  return detail::vi_of(in_mm2_per_s(kv40), in_mm2_per_s(kv100));
}

kinematic_viscosity kv100_from_vi(kinematic_viscosity kv40, double vi) {
  const double u = in_mm2_per_s(kv40);
  const auto excess = [&](double y) { return detail::vi_of(u, y) - vi; };
  if (!(u > least_kv100_of_index) || !(excess(least_kv100_of_index) <= 0.0))
    throw input_error("viscosity index",
                      fmt::format("{:.4g} with KV40 {:.4g} mm2/s asks for a KV100 below 2 mm2/s", vi, u),
                      "a pair on the scale of ASTM D2270");
  if (!(excess(u) >= 0.0))
    throw input_error("viscosity index",
                      fmt::format("{:.4g} with KV40 {:.4g} mm2/s asks for a KV100 above KV40", vi, u),
                      "an index that an oil can have");
  return mm2_per_s(detail::root_between(excess, least_kv100_of_index, u));
}

kinematic_viscosity kv40_from_vi(kinematic_viscosity kv100, double vi) {
  const double y = in_mm2_per_s(kv100);
  if (y < least_kv100_of_index)
    throw input_error("viscosity index", fmt::format("KV100 {:.4g} mm2/s", y),
                      "2 mm2/s or more: ASTM D2270 defines no index below");
  return mm2_per_s(detail::kv40_of_vi(y, vi));
}

std::optional<viscosity_line> line_through(const oil_data& known) {
  const auto at_40 = [](kinematic_viscosity v) { return viscosity_point{v, celsius(40.0)}; };
  const auto at_100 = [](kinematic_viscosity v) { return viscosity_point{v, celsius(100.0)}; };
  if (known.kv40 && known.kv100) return viscosity_line(at_40(*known.kv40), at_100(*known.kv100));
  if (known.kv && known.kv40) return viscosity_line(*known.kv, at_40(*known.kv40));
  if (known.kv && known.kv100) return viscosity_line(*known.kv, at_100(*known.kv100));
  if (!known.vi) return std::nullopt;
  if (known.kv40) return viscosity_line(at_40(*known.kv40), at_100(kv100_from_vi(*known.kv40, *known.vi)));
  if (known.kv100) return viscosity_line(at_40(kv40_from_vi(*known.kv100, *known.vi)), at_100(*known.kv100));
  if (!known.kv) return std::nullopt;

  // One viscosity elsewhere and an index: the member of the family of that index that passes through the point.
  const auto member = [&](double kv100) {
    return viscosity_line(at_40(kv40_from_vi(mm2_per_s(kv100), *known.vi)), at_100(mm2_per_s(kv100)));
  };
  const auto excess = [&](double ln_kv100) {
    return std::log(in_mm2_per_s(member(std::exp(ln_kv100)).at(known.kv->at)) / in_mm2_per_s(known.kv->kv));
  };
  const double low = std::log(least_kv100_of_index), high = std::log(2000.0);
  if (excess(low) > 0.0 || excess(high) < 0.0)
    throw input_error("viscosity", "no oil of this index passes through the point given",
                      "a pair on the scale of ASTM D2270");
  return member(std::exp(detail::root_between(excess, low, high)));
}

oil_answer describe(const oil_data& known, std::span<const temperature> at, density density_at_15) {
  constexpr double cold_end_of_the_chart = -34.0;  // [C], ASTM STP 47849S: the chart was drawn from -30 F up
  const auto line = line_through(known);
  if (!line) throw input_error("viscosity", "fewer than two data are given", "two of kv40, kv100, kv, vi");
  oil_answer answer;
  answer.kv40 = known.kv40.value_or(line->at(celsius(40.0)));
  answer.kv100 = known.kv100.value_or(line->at(celsius(100.0)));
  if (const auto vi = viscosity_index(answer.kv40, answer.kv100)) {
    answer.vi = std::nearbyint(*vi);
  } else {
    answer.notes.push_back("ASTM D2270 defines no viscosity index for a KV100 below 2 mm2/s");
  }
  answer.iso_vg = iso_vg(answer.kv40);
  for (const temperature t : at) {
    const kinematic_viscosity v = line->at(t);
    answer.at.push_back({t, v, pascal_second(in_mm2_per_s(v) * 1e-6 * in_kg_per_m3(density_at(density_at_15, t)))});
  }
  if (std::ranges::any_of(at, [&](temperature t) { return t.in_celsius() < cold_end_of_the_chart; }))
    answer.notes.push_back("below " + both_scales(celsius(cold_end_of_the_chart)) +
                           ", or below the oil's cloud point, the line of ASTM D341 is an extrapolation");
  return answer;
}

std::optional<index_range> usual_index(oil_type type) {
  switch (type) {
    case oil_type::mineral: return index_range{};
    case oil_type::naphthenic: return index_range{20.0, 30.0, 60.0};
    case oil_type::pao: return index_range{125.0, 137.5, 150.0};
    case oil_type::ester: return index_range{90.0, 125.0, 160.0};
    case oil_type::vegetable: return index_range{150.0, 185.0, 220.0};
    case oil_type::pag:
    case oil_type::silicone: break;
  }
  return std::nullopt;
}

double assumed_index(oil_type type) {
  if (const auto index = usual_index(type)) return index->middle;
  throw input_error("viscosity", fmt::format("one viscosity of a {} oil, whose index may be anything", name_of(type)),
                    "two of kv40, kv100, kv, vi");
}

std::string index_note(oil_data one, oil_type type) {
  const auto index = usual_index(type);
  if (!index) return {};
  constexpr temperature cold = celsius(-30.0);
  const auto at_end = [&](double vi) {
    one.vi = vi;
    return in_mm2_per_s(line_through(one)->at(cold));
  };
  const auto [thin, thick] = std::minmax({at_end(index->low), at_end(index->high)});
  return fmt::format(
      "a viscosity index of {:g} to {:g} is usual for a {} oil (from memory): {:.3g} to {:.3g} mm2/s at {}; {:g} is "
      "taken as the middle",
      index->low, index->high, name_of(type), thin, thick, both_scales(cold), index->middle);
}

oil_answer describe(const oil_data& known, oil_type type, std::span<const temperature> at) {
  oil_data completed = known;
  const int viscosities = int(known.kv40.has_value()) + int(known.kv100.has_value()) + int(known.kv.has_value());
  const bool alone = viscosities == 1 && !known.vi;
  if (alone) completed.vi = assumed_index(type);
  oil_answer answer = describe(completed, at);
  if (alone) answer.notes.insert(answer.notes.begin(), index_note(known, type));
  return answer;
}

viscosity_point parse_viscosity_point(std::string_view text, std::string_view where) {
  constexpr std::string_view expected = R"(a viscosity and its temperature such as "700 SUS at 100 F")";
  const auto cut = text.find(" at ");
  if (cut == std::string_view::npos) throw input_error(where, in_quotes(text) + " names no temperature", expected);
  const std::string_view amount = text.substr(0, cut);
  const auto at = parse<temperature>(text.substr(cut + 4), where, measure::grease_temperature);
  if (amount.ends_with("SUS")) {
    const double seconds = parse_number(amount.substr(0, amount.size() - 3), where);
    if (!(seconds >= saybolt_least))
      throw input_error(where, in_quotes(text) + " is below the scale of ASTM D2161", "32 SUS or more");
    constexpr double most = 4e6;  // nearly the most of measure::oil_viscosity
    if (seconds > most) throw input_error(where, in_quotes(text) + " is no viscosity of an oil", "32 to 4000000 SUS");
    return {from_saybolt(seconds, at), at};
  }
  return {parse<kinematic_viscosity>(amount, where, measure::oil_viscosity), at};
}

std::optional<int> iso_vg(kinematic_viscosity kv40) {
  const double v = in_mm2_per_s(kv40);
  for (const iso_grade& g : iso_grades) {
    // The limits are decimal numbers (41.4, 50.6): a relative slack keeps binary rounding from moving them.
    constexpr double slack = 1e-12;
    if (v >= 0.9 * g.middle * (1.0 - slack) && v <= 1.1 * g.middle * (1.0 + slack)) return g.grade;
  }
  return std::nullopt;
}

}  // namespace coldgrease::inline v0
