// The oil in the grease: viscosity against temperature (ASTM D341), viscosity index (D2270), ISO grades.
#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/units.hpp"
#include "coldgrease/base/words.hpp"

namespace coldgrease::inline v0 {

/// A measured viscosity and the temperature it holds at, such as "700 SUS at 100 F".
struct viscosity_point {
  kinematic_viscosity kv{};        // [m2/s]
  temperature at = celsius(40.0);  // [C]
  friend bool operator==(const viscosity_point&, const viscosity_point&) = default;
};

enum class oil_type { mineral, naphthenic, pao, ester, pag, silicone, vegetable };
template <>
struct words_of<oil_type> {
  using enum oil_type;
  static constexpr std::string_view what = "base-oil type known here";
  static constexpr word_for<oil_type> table[]{
      {mineral, "mineral"},   {naphthenic, "naphthenic"}, {pao, "pao"}, {ester, "ester"}, {pag, "pag"},
      {silicone, "silicone"}, {vegetable, "vegetable"}};
  // As data sheets write them; "synthetic hydrocarbon" is the word of DIN 51502 for HC.
  static constexpr word_for<oil_type> also[]{{mineral, "mineral oil"},
                                             {mineral, "paraffinic"},
                                             {mineral, "paraffinic mineral"},
                                             {naphthenic, "naphthenic mineral"},
                                             {naphthenic, "naphthenic oil"},
                                             {pao, "polyalphaolefin"},
                                             {pao, "polyalphaolefine"},
                                             {pao, "synthetic hydrocarbon"},
                                             {ester, "synthetic ester"},
                                             {ester, "polyol ester"},
                                             {ester, "diester"},
                                             {ester, "complex ester"},
                                             {pag, "polyalkylene glycol"},
                                             {pag, "polyglycol"},
                                             {silicone, "silicone oil"},
                                             {silicone, "polydimethylsiloxane"},
                                             {vegetable, "vegetable oil"},
                                             {vegetable, "natural ester"}};
  static constexpr mistaken_word mistaken[]{
      {"synthetic", "may be one of several", "pao, ester, pag or silicone, as the data sheet says"},
      {"biodegradable", "is a property", "ester (good in the cold) or vegetable (poor in it)"}};
};

namespace detail {

/// ASTM D341 with its low-viscosity term: log10 log10 Z = a - b log10 T, Z = v + 0.7 + exp(-1.47 - 1.84 v - 0.51 v^2).
/// v in mm2/s, T in kelvin. Source: ASTM D341 appendix (forms and inverse as read in the published pages).
struct walther {
  double a = 0.0;
  double b = 0.0;

  static double z_of(double v) noexcept { return v + 0.7 + std::exp(-1.47 - v * (1.84 + 0.51 * v)); }

  /// The standard's explicit inverse, then two Newton steps, so that v(Z(v)) = v to rounding and not to 5e-5.
  static double v_of(double z) noexcept {
    const double u = z - 0.7;
    double v = u - std::exp(-0.7487 + u * (-3.295 + u * (0.6119 - 0.3193 * u)));
    for (int step = 0; step < 2; ++step) {
      const double term = std::exp(-1.47 - v * (1.84 + 0.51 * v));
      v -= (v + 0.7 + term - z) / (1.0 - term * (1.84 + 1.02 * v));
    }
    return v;
  }

  static walther through(double v1, double t1_k, double v2, double t2_k) noexcept {
    const double w1 = std::log10(std::log10(z_of(v1)));
    const double w2 = std::log10(std::log10(z_of(v2)));
    const double b = (w1 - w2) / (std::log10(t2_k) - std::log10(t1_k));
    return {w1 + b * std::log10(t1_k), b};
  }

  double mm2_per_s_at(double t_k) const noexcept {
    // Near absolute zero the line leaves the range of a double: 1e100 mm2/s is as solid as infinity and stays a number.
    return v_of(std::pow(10.0, std::fmin(std::pow(10.0, a - b * std::log10(t_k)), 100.0)));
  }

  double kelvin_where(double v) const noexcept { return std::pow(10.0, (a - std::log10(std::log10(z_of(v)))) / b); }
};

/// Density at 15 C of an oil or grease whose record gives none [kg/m3]: common practice, no source.
inline constexpr double assumed_density15 = 900.0;

/// 0.65 kg/m3 less for each K over 15 C [kg/m3]; the fall holds for liquids, far above their boiling it ends at 1.
inline double density_at(double at_15, double t_c) noexcept { return std::fmax(at_15 - 0.65 * (t_c - 15.0), 1.0); }

/// ASTM D2270, appendix: L = a Y^2 + b Y + c and H = d Y^2 + e Y + f of the oils of VI 0 and VI 100 with the same
/// viscosity Y at 100 C [mm2/s], by ranges of Y. Within 0.096 % (L) and 0.113 % (H) of the standard's table.
struct vi_row {
  double from;
  double a, b, c, d, e, f;
};
inline constexpr std::array<vi_row, 16> vi_rows{{{2.0, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077},
                                                 {3.8, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183},
                                                 {4.4, 2.50000, -7.2143, 13.812, 0.82143, 1.5679, 0.119},
                                                 {5.0, 0.10100, 16.6350, -45.469, 0.04985, 9.1613, -18.557},
                                                 {6.4, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656},
                                                 {7.0, 0.01191, 21.4750, -72.870, 0.79762, -0.7321, 14.610},
                                                 {7.7, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240},
                                                 {9.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810},
                                                 {12.0, 0.76720, 10.7972, -38.180, 0.20073, 8.4658, -22.490},
                                                 {15.0, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930},
                                                 {18.0, 0.97256, 5.2500, -0.980, 0.24504, 7.4160, -16.730},
                                                 {22.0, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230},
                                                 {28.0, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750},
                                                 {40.0, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620},
                                                 {55.0, 0.85921, 11.1009, -83.190, 0.17130, 11.3680, -76.940},
                                                 {70.0, 0.83531, 14.6731, -216.246, 0.16841, 11.8493, -96.947}}};

struct vi_reference {
  double l = 0.0;
  double h = 0.0;
};

inline vi_reference vi_reference_at(double y) noexcept {
  const vi_row* row = &vi_rows.front();
  for (const vi_row& r : vi_rows) {
    if (y >= r.from) row = &r;
  }
  return {row->c + y * (row->b + y * row->a), row->f + y * (row->e + y * row->d)};
}

/// VI = 100 (L - U)/(L - H) up to 100; VI = 100 + (10^N - 1)/0.00715 with Y^N = H/U above. u, y in mm2/s, y >= 2.
inline double vi_of(double u, double y) noexcept {
  const auto [l, h] = vi_reference_at(y);
  if (u >= h) return 100.0 * (l - u) / (l - h);
  return 100.0 + (std::pow(10.0, std::log(h / u) / std::log(y)) - 1.0) / 0.00715;
}

/// The inverse in u: the viscosity at 40 C of an oil of this index and viscosity y at 100 C.
inline double kv40_of_vi(double y, double vi) noexcept {
  const auto [l, h] = vi_reference_at(y);
  if (vi <= 100.0) return l - vi * (l - h) / 100.0;
  return h / std::pow(y, std::log10((vi - 100.0) * 0.00715 + 1.0));
}

}  // namespace detail

/// Viscosity against temperature through two points. Range: where the oil is a homogeneous liquid; the standard sets
/// the cold end at the cloud point, so below it the line is an extrapolation.
class viscosity_line {
 public:
  /// @throws input_error unless both viscosities are above 0.2 mm2/s and the colder one is the larger
  viscosity_line(viscosity_point first, viscosity_point second);

  kinematic_viscosity at(temperature t) const { return mm2_per_s(line_.mm2_per_s_at(t.in_kelvin())); }
  temperature where(kinematic_viscosity v) const { return kelvin(line_.kelvin_where(in_mm2_per_s(v))); }
  const detail::walther& coefficients() const { return line_; }

 private:
  detail::walther line_;
};

/// Below this KV100 ASTM D2270 defines no viscosity index [mm2/s].
inline constexpr double least_kv100_of_index = 2.0;

/// Viscosity index by ASTM D2270 from the viscosities at 40 and 100 C, not rounded (the standard reports whole
/// numbers).
/// @return nothing where the standard defines none: KV100 below 2 mm2/s
std::optional<double> viscosity_index(kinematic_viscosity kv40, kinematic_viscosity kv100);

/// KV100 of an oil of known KV40 and index; the inverse of viscosity_index.
/// @throws input_error where that KV100 would be below 2 mm2/s
kinematic_viscosity kv100_from_vi(kinematic_viscosity kv40, double vi);

/// KV40 of an oil of known KV100 (2 mm2/s or more, else input_error) and index.
kinematic_viscosity kv40_from_vi(kinematic_viscosity kv100, double vi);

/// What is known of an oil's viscosity: any two of the four that fix a line.
struct oil_data {
  std::optional<kinematic_viscosity> kv40{};
  std::optional<kinematic_viscosity> kv100{};
  std::optional<viscosity_point> kv{};
  std::optional<double> vi{};
};

/// Viscosities at 40 and 100 C from two of {KV40, KV100, a viscosity elsewhere, VI}; viscosities go before the index.
/// @return nothing if fewer than two are known
/// @throws input_error for contradictions (the colder viscosity must be larger) and indices below the scale
std::optional<viscosity_line> line_through(const oil_data& known);

/// Index of an oil of which one viscosity is known: the middle that is assumed, and the band of nine in ten. From
/// memory, but for the middle of a naphthenic oil, 30, which follows from The Tribology Handbook table 2.5 (45 and 3.9
/// mPa s at 30 and 100 C), and that of a mineral one, 95, the default of this library.
struct index_range {
  double low = 80.0;
  double middle = 95.0;
  double high = 110.0;
};
/// @return nothing for pag and silicone, whose indices differ too much to assume one
std::optional<index_range> usual_index(oil_type type);
/// Its middle. @throws input_error where there is none
double assumed_index(oil_type type);
/// What was assumed, in a sentence: the viscosities of both ends of the band at -30 C. @param one  a single viscosity
std::string index_note(oil_data one, oil_type type);

/// True for oils without wax: they stop as glass. Vegetable oils set in the cold as waxy mineral ones do.
constexpr bool wax_free(oil_type type) {
  return type == oil_type::pao || type == oil_type::ester || type == oil_type::pag || type == oil_type::silicone ||
         type == oil_type::naphthenic;
}

/// Density at 15 C of an oil or grease whose record gives none: common practice, no source.
inline density assumed_density() { return kg_per_m3(detail::assumed_density15); }

/// What a pair of data says of an oil.
struct oil_answer {
  kinematic_viscosity kv40{};
  kinematic_viscosity kv100{};
  std::optional<double> vi{};  // whole, ties to even, as the standard reports it; nothing below KV100 2 mm2/s
  std::optional<int> iso_vg{};
  struct point {
    coldgrease::temperature temperature = celsius(40);
    kinematic_viscosity kinematic{};
    dynamic_viscosity dynamic{};
  };
  std::vector<point> at{};
  std::vector<std::string> notes{};
};

/// Viscosities, index, grade, and the viscosity at each temperature.
/// @param density_at_15  [kg/m3], falling 0.65 per K
/// @throws input_error as line_through; also if fewer than two data are given
oil_answer describe(const oil_data& known, std::span<const temperature> at, density density_at_15 = assumed_density());
/// The same of one viscosity and a type, whose usual index is assumed, and a note says so.
oil_answer describe(const oil_data& known, oil_type type, std::span<const temperature> at);

/// Density of an oil or grease at a temperature: 0.65 kg/m3 less for each K. Range: -60 to 150 C.
inline density density_at(density at_15, temperature t) {
  return kg_per_m3(detail::density_at(in_kg_per_m3(at_15), t.in_celsius()));
}

/// Reads "700 SUS at 100 F", "3126 mm2/s at 0 C": a viscosity and its temperature. @throws input_error
viscosity_point parse_viscosity_point(std::string_view text, std::string_view where);

/// Mid-points at 40 C [mm2/s] of the grades of ISO 3448, by grade number. Source: ISO 3448 / ASTM D2422.
struct iso_grade {
  int grade;
  double middle;
};
inline constexpr std::array<iso_grade, 20> iso_grades{
    {{2, 2.2},     {3, 3.2},     {5, 4.6},       {7, 6.8},       {10, 10.0},     {15, 15.0},    {22, 22.0},
     {32, 32.0},   {46, 46.0},   {68, 68.0},     {100, 100.0},   {150, 150.0},   {220, 220.0},  {320, 320.0},
     {460, 460.0}, {680, 680.0}, {1000, 1000.0}, {1500, 1500.0}, {2200, 2200.0}, {3200, 3200.0}}};

/// ISO viscosity grade of a viscosity at 40 C: within 10 % of a mid-point, ends included; between grades, nothing.
std::optional<int> iso_vg(kinematic_viscosity kv40);

}  // namespace coldgrease::inline v0
