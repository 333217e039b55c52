// A grease that can be evaluated at any temperature, made from what is known of it.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/grease/belief.hpp"
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
};

/// The median of a stress, and what it hangs on.
struct median_stress {
  double stress = 0.0;  // [Pa]
  weights of{};
};

/// The last few values that were made, each by what it was made of.
template <class Key, class Value, std::size_t room>
class last_made {
 public:
  template <class Make>
  const Value& get(const Key& key, Make make) noexcept {
    for (std::size_t i = 0; i < used_; ++i) {
      if (made_[i].key == key) return made_[i].value;
    }
    one& own = made_[next_];
    own = {key, make()};
    next_ = (next_ + 1) % room;
    used_ = std::max(used_, next_ == 0 ? room : next_);
    return own.value;
  }

 private:
  struct one {
    Key key{};
    Value value{};
  };
  std::array<one, room> made_{};
  std::size_t used_ = 0, next_ = 0;
};

/// What a grease was just asked for. Lines of one bore and dose ask for the same stress, and a search for the same
/// curve again: a question about many lines keeps them. They are those that would be solved anew, to the last bit.
struct recent_answers {
  struct model_at {
    const grease_model* model = nullptr;
    double t_c = 0.0;
    friend bool operator==(const model_at&, const model_at&) = default;
  };
  struct wall_at {
    double t_c = 0.0, nominal = 0.0, start = 1.0, thick = 1.0;
    friend bool operator==(const wall_at&, const wall_at&) = default;
  };
  last_made<model_at, curve, 4> curves{};
  last_made<wall_at, median_stress, 16> stresses{};
};

/// A grease as kernels take it: its model, the one on the stiffer end of its oil where that is in doubt, and what is
/// believed of both.
struct grease_kernel {
  const grease_model& middle;
  const grease_model* stiffer;
  const belief& known;
  recent_answers* recent = nullptr;  // of a question about many lines

  curve at(const grease_model& m, double t_c) const noexcept {
    return recent ? recent->curves.get({&m, t_c}, [&] { return m.at(t_c); }) : m.at(t_c);
  }
};

/// Share of one deviation of the oil in a stress: `stiffer` is what the stiffer end of nine in ten gives, `middle` what
/// the middle does.
inline double oil_share(double stiffer, double middle) noexcept {
  return stiffer > 0.0 && middle > 0.0 ? std::log(stiffer / middle) / z90 : 0.0;
}

/// The stress at the wall of a tube at a nominal rate [1/s], > 0; `start` multiplies the yield stress, `thick` the
/// linear term.
inline median_stress wall_stress(const grease_kernel& g, double t_c, double nominal, double start = 1.0,
                                 double thick = 1.0) noexcept {
  const auto curve_of = [&](const grease_model& m) {
    curve f = g.at(m, t_c);
    f.ty *= start;
    f.c *= thick;
    return f;
  };
  const auto solve = [&] {
    const curve f = curve_of(g.middle);
    const wall w = wall_at_nominal(f, nominal);
    median_stress m{w.stress, at_rate(t_c, nominal)};
    if (start > 1.0) m.of[unknown::start] = yield_elasticity(f, w.rate);
    if (g.stiffer) m.of[unknown::oil] = oil_share(wall_at_nominal(curve_of(*g.stiffer), nominal).stress, w.stress);
    if (g.known.taught) m.stress *= std::exp(g.known.shift(m.of));
    return m;
  };
  return g.recent ? g.recent->stresses.get({t_c, nominal, start, thick}, solve) : solve();
}

/// The yield stress. It has no rate, so what data say of the slope against the rate is left out; where they were made
/// at rates, held_over_yield stands for it.
inline median_stress yield_stress(const grease_kernel& g, double t_c) noexcept {
  median_stress m{g.at(g.middle, t_c).ty, at_rate(t_c, usual_rate)};
  if (g.stiffer) m.of[unknown::oil] = oil_share(g.at(*g.stiffer, t_c).ty, m.stress);
  if (g.known.taught) m.stress *= std::exp(g.known.shift(m.of));
  return m;
}

}  // namespace detail

/// The curve that the belief is about.
enum class reference_curve { none, of_class, fitted };

/// What a datum is.
enum class datum_kind {
  apparent_viscosity,
  rheometer,
  mobility,
  flow_pressures,
  fit,
  readings,  // of running systems, all of them: a gauge, a point reached or not
  gauge,
  reached,
  not_reached
};
template <>
struct words_of<datum_kind> {
  using enum datum_kind;
  static constexpr std::string_view what = "";
  static constexpr word_for<datum_kind> table[]{{apparent_viscosity, "apparent viscosity"},
                                                {rheometer, "rheometer"},
                                                {mobility, "mobility"},
                                                {flow_pressures, "flow pressures"},
                                                {fit, "fitted curve"},
                                                {readings, "readings"},
                                                {gauge, "gauge"},
                                                {reached, "reached"},
                                                {not_reached, "not reached"}};
};

/// A datum that the belief took in, and what it did there: at its own temperature and rate.
struct used_datum {
  datum_kind kind = datum_kind::apparent_viscosity;
  std::string says{};  // "197 Pa s at -20 C and 10 1/s"
  temperature at = celsius(25);
  double over_reference = 1.0;     // measured over the stress of the reference, or its slope's ratio
  double error = 0.0;              // its own, a deviation of ln(stress), what it shares with other data left out
  double spread_90_without = 1.0;  // 90 % factor of a new batch with all other data
  double spread_90 = 1.0;          // and with it as well
};

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
  reference_curve reference() const { return reference_; }
  /// True if anything is known of it at some temperature.
  bool has_model() const { return reference_ != reference_curve::none; }
  /// Data beside the description, each with what it did; empty where there are none.
  const std::vector<used_datum>& data() const { return data_; }
  /// True if some stress or pressure of it was measured.
  bool was_measured() const;
  /// "worked penetration 280; oil KV40 150, KV100 14.7 mm2/s", for people.
  const std::string& stands_on() const { return stands_on_; }
  /// Assumptions and contradictions, a sentence each.
  const std::vector<std::string>& notes() const { return notes_; }

  /// Median flow curve at the usual rate of lines, 2.65 1/s; nothing where nothing is known: colder than 5 K below the
  /// pour point, a class that is not pumped, or, for measured parameters without oil data, any temperature but theirs.
  std::optional<flow_curve> at(temperature t) const;
  bool knows(temperature t) const { return has_model() && model_.knows(t.in_celsius()); }
  /// Standard deviation of ln(stress) of a batch not read, at a nominal rate, running [-].
  double sigma(temperature t, shear_rate rate = per_second(detail::usual_rate)) const;
  oil_knowledge oil() const { return oil_; }
  /// The coldest temperature the oil's data speak for: wax, pour point or 100 Pa s; nothing without oil data.
  std::optional<temperature> oil_bound() const {
    return model_.has_oil ? std::optional(celsius(model_.bound_c)) : std::nullopt;
  }
  const detail::grease_model& model() const { return model_; }
  /// The same grease on the stiffer end of what its oil may be; null where the oil is known.
  const detail::grease_model* stiffer_oil() const { return oil_in_doubt_ ? &stiffer_oil_ : nullptr; }
  const detail::belief& belief() const { return belief_; }
  /// What the description alone says, before any datum: belief() where there are none.
  const detail::belief& described_belief() const { return described_; }
  /// For kernels; lives as long as the grease. @param recent  kept for a question about many lines, by one thread
  detail::grease_kernel kernel(detail::recent_answers* recent = nullptr) const {
    return {model_, stiffer_oil(), belief_, recent};
  }
  /// The same grease with another belief, and the data that made it. For answers that learn more of it.
  /// @param over_yield  of stresses that were measured over the yield stress, the least
  grease believed(const detail::belief& known, std::vector<used_datum> more = {}, double over_yield = 1.0) const;

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
  reference_curve reference_ = reference_curve::none;
  std::string stands_on_;
  std::vector<used_datum> data_;
  std::vector<std::string> notes_;
  oil_knowledge oil_ = oil_knowledge::unknown;
  detail::grease_model model_;
  bool oil_in_doubt_ = false;
  detail::grease_model stiffer_oil_;
  detail::belief described_;
  detail::belief belief_;
};

/// A grease from its description. Without oil data the middle is 150 mm2/s at 40 C, VI 95, mineral, and the answer says
/// 'oil not known'; of a pag or silicone oil whose viscosity or index is not known nothing is said.
/// Measured points are fitted where one temperature has three rates or more over a factor of ten, and the fit is then
/// the reference; all other data, points, mobility figures and the ratios of flow pressures, are observations of the
/// belief about it, in any order. Claims and bounds of flow pressures are kept and said, never used. Classes 4 to 6
/// give a grease of which nothing is known (these systems do not pump them) unless it was measured.
/// @throws input_error if neither class nor penetration nor a flow curve is given, or data contradict each other
grease estimate(const evidence& known);

/// A grease from flow-curve parameters measured at one temperature. With oil data it is carried to others by the same
/// slopes; without, it is known at that temperature only.
grease measured(const flow_curve& curve, temperature at, const evidence& known = {});

}  // namespace coldgrease::inline v0
