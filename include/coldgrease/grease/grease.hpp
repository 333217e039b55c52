// A grease that can be evaluated at any temperature, made from what is known of it.
#pragma once

#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/grease/evidence.hpp"
#include "coldgrease/grease/flow_curve.hpp"

namespace coldgrease::inline v0 {

namespace detail {

/// Constants of the estimate by worked penetration (class mid-points). JUDGEMENT: fitted to one-sided published limits
/// (GOST 8773, 19791, 20421; GB/T 7324) and common practice; no row is a measurement of one grease.
struct class_row {
  double penetration;  // [0.1 mm]
  double ty25;         // yield stress at 25 C [Pa]
  double a;            // linear term over oil viscosity [-]
  double f25;          // 90 % factor at 25 C, from a label [-]
  double f25_worked;   // the same, from a worked penetration [-]
};
inline constexpr std::array<class_row, 6> class_rows{{{235.0, 850.0, 3.0, 1.8, 1.65},
                                                      {280.0, 500.0, 2.5, 1.8, 1.65},
                                                      {325.0, 300.0, 2.0, 1.8, 1.65},
                                                      {370.0, 160.0, 1.7, 2.2, 2.0},
                                                      {415.0, 35.0, 1.5, 3.5, 3.0},
                                                      {460.0, 10.0, 1.3, 3.5, 3.0}}};
inline constexpr double least_known_penetration = 220.0;
inline constexpr double most_known_penetration = 475.0;

/// JUDGEMENT, as class_rows: exponent of the oil's viscosity in the yield stress below 25 C, halving step above it [K],
/// rate at which K g^n equals the yield stress [1/s], doubling step of wax below its bound [K].
inline constexpr double cold_exponent = 0.36;
/// JUDGEMENT: below -40 C the exponent is at least 0.6: with 0.36 throughout, a light synthetic oil (12.6 mm2/s at 40
/// C) would give an NLGI 2 grease 359 Pa s at -54 C and 25 1/s, below the 500 to 3000 that FED-STD-791D method 7501
/// spans. It holds for every oil, not for light synthetic ones alone: stiffer, the safe side.
inline constexpr double deep_exponent = 0.6;
inline constexpr double deep_cold_c = -40.0;
inline constexpr double hot_halving = 30.0;
inline constexpr double knee_rate = 100.0;
inline constexpr double wax_doubling = 5.0;
/// JUDGEMENT: the yield stress doubles every 18 K, not faster than every 12 K: the slope's own share of the spread
/// [1/K].
inline constexpr double slope_spread = 0.6931471805599453 * (1.0 / 12.0 - 1.0 / 18.0);
/// Normal quantile of a 90 % interval.
inline constexpr double z90 = 1.645;
/// Pressure-viscosity coefficient of the base oil [1/Pa]. JUDGEMENT from 17.5 to 35 1/GPa published for mineral oils at
/// 30 C (Engineering Tribology table 2.3); the share of the soap's network is not known.
inline double pressure_coefficient(oil_type type) noexcept {
  switch (type) {
    case oil_type::pao:
    case oil_type::ester:
    case oil_type::pag:
    case oil_type::silicone: return 15e-9;
    default: return 25e-9;
  }
}
/// Nominal rate of 1 cm3/min in a bore of 4 mm [1/s], at which a spread without a line is stated.
inline constexpr double usual_rate = 2.65;

/// Everything a temperature needs, in SI and degrees C.
struct grease_model {
  curve reference{};  // at reference_c
  double reference_c = 25.0;
  bool has_oil = false;
  walther oil{};
  double density15 = assumed_density15;  // [kg/m3], falling 0.65 per K
  bool waxy = false;
  double bound_c = 0.0;     // coldest temperature the oil's data speak for
  double wax_from_c = 0.0;  // wax stiffens below it: the bound, or a measurement made in wax already
  double nothing_below_c = kelvin(0.0).in_celsius();
  double deep_from_c = deep_cold_c;       // deep_exponent holds below it: deep_cold_c, or the coldest measurement
  double yield_exponent = cold_exponent;  // of the oil's viscosity in the yield stress below 25 C
  double linear_exponent = 1.0;           // and in the linear term
  double f0 = 1.8;
  double t0_c = 25.0;
  double lowest_rate = 0.0;                                // of the measured points [1/s]; 0 if nothing was measured
  double slope = slope_spread;                             // the slope's own share of the spread [1/K]
  double f0_most = 1e9;                                    // the label's spread, never exceeded
  double alpha = pressure_coefficient(oil_type::mineral);  // of the oil [1/Pa]
  bool shows_yield = true;                                 // false where a fit leaves the yield stress open
  double held_over_yield = 1.0;                            // what may stay in a supply, over the yield stress
  double yield_error = 0.0;                                // relative standard error of a fitted yield stress
  double eta25 = 1.0;                                      // eta(25), kept because every evaluation needs it
  double eta_deep = 1.0;                                   // eta(deep_from_c)
  double reference_factor = 1.0;
  double reference_eta = 1.0;

  /// Oil viscosity [Pa s].
  double eta(double t_c) const noexcept {
    return oil.mm2_per_s_at(celsius(t_c).in_kelvin()) * 1e-6 * density_at(density15, t_c);
  }
  /// Yield stress over that at 25 C; `eta_t` is eta(t_c).
  double yield_factor(double t_c, double eta_t) const noexcept {
    double network = t_c < 25.0 ? std::pow(eta_t / eta25, yield_exponent) : std::exp2((25.0 - t_c) / hot_halving);
    if (t_c < deep_from_c && yield_exponent < deep_exponent)
      network *= std::pow(eta_t / eta_deep, deep_exponent - yield_exponent);
    return waxy && t_c < wax_from_c ? network * std::exp2((wax_from_c - t_c) / wax_doubling) : network;
  }
  bool knows(double t_c) const noexcept { return has_oil ? t_c >= nothing_below_c : t_c == reference_c; }

  /// ty and K follow the network, c follows the oil. Only where knows(t_c).
  curve at(double t_c) const noexcept {
    if (!has_oil) return reference;
    const double eta_t = eta(t_c);
    const double network = yield_factor(t_c, eta_t) / reference_factor;
    const double thinning = eta_t / reference_eta;
    const double oil_term = linear_exponent == 1.0 ? thinning : std::pow(thinning, linear_exponent);
    return {reference.ty * network, reference.k * network, reference.n, reference.c * oil_term};
  }
  /// Standard deviation of the logarithm of stress among greases that fit the description, at a nominal rate [1/s].
  double sigma(double t_c, double rate = std::numeric_limits<double>::infinity()) const noexcept {
    const double below = lowest_rate > rate ? rate_growth * std::log(lowest_rate / rate) : 0.0;
    const double most = std::hypot(std::log(f0_most), slope_spread * std::fmax(0.0, 25.0 - t_c));
    return std::fmin(std::hypot(std::log(f0) + below, slope * std::fmax(0.0, t0_c - t_c)), most) / z90;
  }
};

/// Share of the spread of ln(stress) that an oil in doubt adds: `stiffer` is what the stiffer end of nine in ten gives,
/// a stress or a pressure, `middle` what the middle does.
inline double oil_doubt(double stiffer, double middle) noexcept {
  return stiffer > 0.0 && middle > 0.0 ? std::abs(std::log(stiffer / middle)) / z90 : 0.0;
}

/// Phi(margin/spread), margin = ln(allowed/asked). What is not known (`doubt`) never makes a chance better: below an
/// even chance it is left out.
inline double chance_of(double margin, double spread, double doubt) noexcept {
  const double sigma = margin > 0.0 ? std::hypot(spread, doubt) : spread;
  return 0.5 * std::erfc(-margin / (sigma * 1.4142135623730951));
}

}  // namespace detail

/// What an answer stands on, in the order of trust. A later kind goes before an earlier one: a fitted flow curve before
/// one cold point, that before the ratio of two flow pressures, that before a worked penetration, that before the
/// label.
enum class evidence_kind { none, label, penetration, flow_pressures, cold_point, measured };

/// What is known of the viscosity of a base oil. Nothing missing is favourable: see grease::sigma.
enum class oil_knowledge {
  known,          // two viscosities, or one and its index
  index_unknown,  // one viscosity alone
  unknown         // none
};
template <>
struct words_of<oil_knowledge> {
  using enum oil_knowledge;
  static constexpr std::string_view what = "";
  static constexpr word_for<oil_knowledge> table[]{
      {known, "oil known"}, {index_unknown, "oil index not known"}, {unknown, "oil not known"}};
};

/// An immutable model of a grease: flow curve and spread against temperature. Made by estimate() or measured().
/// ty(T) = ty25 (eta(T)/eta(25 C))^p below 25 C, ty25 2^((25 C - T)/30 K) above; K = ty/sqrt(100 1/s), n = 1/2;
/// c = a eta(T)^q; eta = oil viscosity by ASTM D341 times density. Below the wax bound ty and K double every 5 K.
/// p = 0.36 (0.6 or more below -40 C) and q = 1 unless measured. All constants are judgement (detail::class_rows).
///
/// Where the oil is not known the curve is that of KV40 150 mm2/s, where its index is not that of the usual one; the
/// same grease on the stiffer end of what it may be, KV40 460 or the lowest usual index, is kept beside it. The spread
/// is widened by ln(stress of the one/stress of the other)/1.645, where that makes a chance worse. Safe to share
/// between threads.
class grease {
 public:
  const std::string& name() const { return known_.name; }
  const evidence& known() const { return known_; }
  /// The class to print: that of the penetration if one is given, else the label; empty if neither.
  const std::string& nlgi() const { return nlgi_; }
  /// Penetration the pumping model stands on (the stiffer end of a straddling label) [0.1 mm]; 0 if none.
  double stiff_penetration() const { return stiff_; }
  /// The softer end, for leakage; equal to the stiffer one but for straddling labels.
  double soft_penetration() const { return soft_; }
  evidence_kind kind() const { return kind_; }
  /// "worked penetration 280; oil KV40 150, KV100 14.7 mm2/s", for people.
  const std::string& stands_on() const { return stands_on_; }
  /// The one datum that would narrow the answer most, as a clause; empty if nothing is known at all.
  const std::string& wanted() const { return wanted_; }
  /// Assumptions and contradictions, a sentence each.
  const std::vector<std::string>& notes() const { return notes_; }

  /// Flow curve; nothing where nothing is known: colder than 5 K below the pour point, a class that is not pumped, or,
  /// for measured parameters without oil data, any temperature but theirs.
  std::optional<flow_curve> at(temperature t) const {
    if (!knows(t)) return std::nullopt;
    const detail::curve c = model_.at(t.in_celsius());
    return flow_curve{pascal(c.ty), c.k, c.n, pascal_second(c.c)};
  }
  bool knows(temperature t) const { return kind_ != evidence_kind::none && model_.knows(t.in_celsius()); }
  /// Standard deviation of ln(stress) at the rates of its measurement, if there is one, with what is not known of the
  /// oil at a nominal rate [-].
  double sigma(temperature t, shear_rate rate = per_second(detail::usual_rate)) const;
  oil_knowledge oil() const { return oil_; }
  /// The coldest temperature the oil's data speak for: wax, pour point or 100 Pa s; nothing without oil data.
  std::optional<temperature> oil_bound() const {
    return model_.has_oil ? std::optional(celsius(model_.bound_c)) : std::nullopt;
  }
  const detail::grease_model& kernel() const { return model_; }
  /// The same grease on the stiffer end of what its oil may be; null where the oil is known.
  const detail::grease_model* stiffer_oil() const { return oil_in_doubt_ ? &stiffer_oil_ : nullptr; }

 private:
  friend grease estimate(const evidence& known);
  friend grease measured(const flow_curve& curve, temperature at, const evidence& known);
  grease() = default;
  /// Wax and pour point are those of one oil.
  void take_bound_for_stiffer_oil() {
    stiffer_oil_.waxy = model_.waxy;
    stiffer_oil_.bound_c = model_.bound_c;
    stiffer_oil_.nothing_below_c = model_.nothing_below_c;
  }

  evidence known_;
  std::string nlgi_;
  double stiff_ = 0.0;
  double soft_ = 0.0;
  evidence_kind kind_ = evidence_kind::none;
  std::string stands_on_;
  std::string wanted_;
  std::vector<std::string> notes_;
  oil_knowledge oil_ = oil_knowledge::unknown;
  detail::grease_model model_;
  bool oil_in_doubt_ = false;
  detail::grease_model stiffer_oil_;
};

/// A grease from its description. Without oil data the middle is 150 mm2/s at 40 C, VI 95, mineral, and the answer says
/// 'oil not known'; of a pag or silicone oil whose viscosity or index is not known nothing is said.
/// Measured points are fitted where every temperature has two rates or more; else the coldest of them multiplies the
/// whole curve of the class by one factor. Two flow pressures set the slope of the yield stress by their ratio. Claims,
/// mobility figures and bounds of flow pressures are kept and said, never used.
/// Classes 4 to 6 give a grease of which nothing is known (these systems do not pump them) unless it was measured.
/// @throws input_error if neither class nor penetration nor a flow curve is given, or data contradict each other
grease estimate(const evidence& known);

/// A grease from flow-curve parameters measured at one temperature. With oil data it is carried to others by the same
/// slopes; without, it is known at that temperature only.
grease measured(const flow_curve& curve, temperature at, const evidence& known = {});

/// A flow curve at one temperature, with its evidence.
struct curve_answer {
  coldgrease::temperature temperature = celsius(25);
  std::optional<flow_curve> curve{};  // nothing where nothing is known
  std::string evidence{};
  std::string wanted{};               // the datum that would narrow it most
  std::optional<double> spread_90{};  // exp(1.645 sigma): nine of ten such greases lie within this factor
  coldgrease::rate_kind kind = rate_kind::nominal;
  struct point {
    shear_rate rate{};
    pressure stress{};
    dynamic_viscosity apparent{};
  };
  std::vector<point> points{};
  std::vector<std::string> notes{};
};

/// @param rates  [1/s], each above 0 @throws input_error
curve_answer describe(const grease& g, temperature at, std::span<const shear_rate> rates,
                      rate_kind kind = rate_kind::nominal);

}  // namespace coldgrease::inline v0
