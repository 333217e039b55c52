#include "grease/oil_model.hpp"

#include "base/format.hpp"

#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// The middle of an oil of which no viscosity is known, and its stiffer end of nine in ten [mm2/s]. JUDGEMENT: the oils
/// of greases that such systems pump run from 46 to 460 mm2/s.
constexpr double unknown_kv40 = 150.0, unknown_kv40_most = 460.0;

int viscosities_of(const oil_data& data) {
  return int(data.kv40.has_value()) + int(data.kv100.has_value()) + int(data.kv.has_value());
}

/// An oil of which two data are known.
void take_known_oil(const oil_data& data, oil_model& oil) {
  oil.line = line_through(data);
  if (data.kv40 && data.kv100 && data.vi) {
    if (const auto vi = viscosity_index(*data.kv40, *data.kv100); vi && std::abs(*vi - *data.vi) > 5.0)
      oil.notes.push_back(fmt::format(
          "the viscosities give an index of {:.0f}, the sheet says {:g}: the viscosities are used", *vi, *data.vi));
  }
  oil.words = fmt::format("oil KV40 {:.4g}, KV100 {:.3g} mm2/s", in_mm2_per_s(oil.line->at(celsius(40.0))),
                          in_mm2_per_s(oil.line->at(celsius(100.0))));
}

/// One viscosity, or none, and what is usual for the rest.
void take_doubtful_oil(oil_data data, oil_type type, oil_model& oil) {
  const auto index = usual_index(type);
  const bool none = viscosities_of(data) == 0;
  oil.knowledge = none ? oil_knowledge::unknown : oil_knowledge::index_unknown;
  oil.words = std::string(name_of(oil.knowledge));
  if (!index) {
    oil.notes.push_back(fmt::format("{}, and the index of a {} oil may be anything: nothing is said of it",
                                    name_of(oil.knowledge), name_of(type)));
    return;
  }
  oil_data stiffer = data;
  if (none) {
    if (!data.vi) data.vi = stiffer.vi = index->middle;
    data.kv40 = mm2_per_s(unknown_kv40);
    stiffer.kv40 = mm2_per_s(unknown_kv40_most);
    oil.notes.push_back(fmt::format(
        "oil not known: the middle is KV40 {:g} mm2/s of index {:g}; KV40 {:g} mm2/s, its stiffer end, is in "
        "the spread and in the cold bound (judgement)",
        unknown_kv40, *data.vi, unknown_kv40_most));
  } else {
    oil.notes.push_back(
        fmt::format("{}: {}, the rest is in the spread", name_of(oil.knowledge), index_note(data, type)));
    oil.words = fmt::format("{} ({} alone)", oil.words, data.kv40 ? "KV40" : data.kv100 ? "KV100" : "one viscosity");
    data.vi = index->middle;
    stiffer.vi = index->low;
  }
  oil.line = line_through(data);
  oil.stiffer = line_through(stiffer);
}

/// Where an oil reaches 100 Pa s [C].
double glass_c(const grease_model& model) {
  constexpr double glass = 100.0;  // [Pa s]
  // eta carries the density, so its 100 Pa s is found by corrections of the kinematic value.
  double t = -40.0;
  for (int step = 0; step < 20; ++step)
    t = kelvin(model.oil.kelvin_where(glass * 1e6 / density_at(model.density15, t))).in_celsius();
  return t;
}

/// The coldest bound that an oil of unknown viscosity can have, whatever its type [C]: a mineral oil of its stiffer end
/// where it reaches 100 Pa s.
double unknown_bound_c(const grease_model& model) {
  grease_model stiff = model;
  stiff.oil = line_through({.kv40 = mm2_per_s(unknown_kv40_most), .vi = usual_index(oil_type::mineral)->middle})
                  ->coefficients();
  return glass_c(stiff);
}

}  // namespace

oil_model oil_of(const evidence& known) {
  const oil_data data{known.kv40, known.kv100, known.kv, known.vi};
  oil_model oil;
  const int viscosities = viscosities_of(data);
  if (viscosities + int(data.vi.has_value()) >= 2 && viscosities > 0) {
    take_known_oil(data, oil);
  } else {
    take_doubtful_oil(data, known.oil.value_or(oil_type::mineral), oil);
  }
  if (!known.oil && !known.pour) oil.notes.push_back("the type of the base oil is not given: mineral is assumed");
  return oil;
}

void set_oil(grease_model& model, const evidence& known, const viscosity_line& line) {
  model.has_oil = true;
  model.oil = line.coefficients();
  if (known.density) model.density15 = in_kg_per_m3(*known.density);
  model.eta25 = model.eta(25.0);
  model.eta_deep = model.eta(model.deep_from_c);
}

void set_bound(grease_model& model, const grease_model* stiffer, const evidence& known, const oil_model& oil,
               std::vector<std::string>& notes) {
  constexpr double glass = 100.0;  // [Pa s]: an oil thicker than this at its pour point is not stopped by wax
  constexpr double wax_margin = 3.0, extrapolation = 5.0;  // [K]
  if (known.pour) {
    const double pour = known.pour->in_celsius();
    model.waxy = !wax_free(known.oil.value_or(oil_type::mineral)) && model.eta(pour) < glass;
    model.bound_c = model.waxy ? pour + wax_margin : pour;
    model.nothing_below_c = pour - extrapolation;
    if (model.waxy)
      notes.push_back(fmt::format("wax stops this oil: its bound is the pour point + 3 K, {}",
                                  both_scales(celsius(model.bound_c))));
  } else {
    model.bound_c = glass_c(stiffer ? *stiffer : model);
    notes.push_back(fmt::format("no pour point is given: the bound is where the oil{} reaches 100 Pa s, {}",
                                stiffer ? ", at the stiffer end of what it may be," : "",
                                both_scales(celsius(model.bound_c))));
  }
  if (oil.knowledge != oil_knowledge::unknown || model.bound_c >= unknown_bound_c(model)) return;
  model.bound_c = unknown_bound_c(model);
  notes.push_back(
      fmt::format("oil not known: nothing is shown to flow below {}, the bound of a mineral oil of {:g} mm2/s",
                  both_scales(celsius(model.bound_c)), unknown_kv40_most));
}

}  // namespace coldgrease::inline v0::detail
