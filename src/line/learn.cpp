#include "coldgrease/line/learn.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <set>
#include <tuple>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"
#include "grease/belief_update.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

namespace {

using detail::belief;
using detail::joint_belief;
using detail::observation;
using detail::z90;

// JUDGEMENT, all but the start of the search.
constexpr double pinned_share = 0.95;     // of what the pump has, from which a gauge is no value
constexpr double soft_deviations = 2.0;   // beyond it a soft reading waits
constexpr double stiff_deviations = 3.0;  // and a stiff one, which is believed sooner
constexpr double soft_factor = 2.0;       // as one that alone moves the answer by more
constexpr double least_loss = 2e5;        // [Pa]: where to begin with a gauge near the outlet pressure
constexpr int batch_gap_days = 120;       // without a reading for so long the fill was another

/// Names that data share, each with a place among the shared unknowns.
class shared_names {
 public:
  /// The place of a name, which gets one where it has none.
  std::size_t place(const std::string& name, double deviation) {
    const auto [at, is_new] = places_.try_emplace(name, unknowns_.size());
    if (is_new) unknowns_.push_back({.deviation = deviation, .of_readings = true});
    return at->second;
  }
  const std::vector<detail::shared_unknown>& unknowns() const { return unknowns_; }

 private:
  std::map<std::string, std::size_t> places_;
  std::vector<detail::shared_unknown> unknowns_;
};

/// A reading as the kernels take it.
struct prepared {
  std::size_t reading = 0;
  std::size_t installation = 0;
  std::string vehicle;
  datum_kind says = datum_kind::gauge;
  bool pinned = false;
  std::size_t line = 0;
  detail::line_kernel kernel{};
  double t_c = 0.0;
  double pressure = 0.0;                                       // at the pump: shown, or what it has [Pa]
  double fixed = 0.0;                                          // of it: outlet and dividers [Pa]
  double per_kelvin = 0.0;                                     // d ln(loss)/dT
  std::size_t batch = 0, of_vehicle = 0, day = 0, outlet = 0;  // among the shared unknowns

  bool is_number() const { return says == datum_kind::gauge; }
  double left() const { return pressure - fixed; }  // for the line [Pa]
  bool known = false;                               // the grease, where it was read
  /// A gauge that shows no more than the point asks for tells nothing of the line.
  bool says_something() const { return known && left() > 0.0; }
};

/// What is lost in its line, by a belief's means, at the mean pressure of the reading.
detail::median_pressure loss_of(const prepared& p, const grease& g, const belief& known) {
  const detail::grease_kernel k{g.model(), g.stiffer_oil(), known};
  const double outlet = p.kernel.outlet_in(k, p.t_c);
  return detail::loss(p.kernel, k, p.t_c, p.kernel.start, p.kernel.flow, detail::thickening(k, p.pressure, outlet));
}

nominal_rate usual_nominal() { return {per_second(detail::usual_rate)}; }

/// The root of the chi-square a reading, where it is more than nine of ten sets of readings with their stated errors
/// would show: else readings that agree would widen the answer half of the time.
double widening_by(const joint_belief::misfit& m) {
  constexpr double by_chance = 0.9;
  if (m.readings == 0) return 1.0;
  const double n = static_cast<double>(m.readings);
  const double most = boost::math::quantile(boost::math::chi_squared{n}, by_chance);
  return m.chi_square > most ? std::sqrt(m.chi_square / n) : 1.0;
}

/// Means alone, for linearisation.
belief at_means(const belief& known) {
  belief b = known;
  b.taught = true;
  b.reach = belief{}.reach;
  return b;
}

enum class side { soft, stiff };

std::optional<std::size_t> line_of(const installation& i, const std::string& point) {
  const auto found = std::ranges::find(i.lines, point, &line::point);
  return found == i.lines.end() ? std::nullopt : std::optional(static_cast<std::size_t>(found - i.lines.begin()));
}

/// One grease and all its readings.
class lesson_maker {
 public:
  lesson_maker(const grease& g, std::span<const installation> joined, std::span<const reading> readings,
               std::vector<std::size_t> own)
      : grease_(g), joined_(joined), readings_(readings) {
    std::ranges::sort(own, [&](std::size_t a, std::size_t b) {
      const reading &r = readings_[a], &q = readings_[b];
      return std::tie(r.day, r.vehicle, r.installation, r.at, r.row, a) <
             std::tie(q.day, q.vehicle, q.installation, q.at, q.row, b);
    });
    name_batches(own);
    for (const std::size_t i : own) prepare(i);
  }

  grease_lesson lesson(std::size_t index, const learn_conditions& c);
  /// The grease with what its readings taught. To be called after lesson().
  grease taught(const grease_lesson& l) const;

 private:
  double least_over_yield() const;
  void name_batches(const std::vector<std::size_t>& sorted);
  void prepare(std::size_t i);
  std::size_t hardest_line(const installation& i, const conditions& c, double t_c) const;
  observation seen(const prepared& p, const belief& known, double ln_loss) const;
  /// Learns what `active` say: gauges first, linearised until the answer stands, then reached and not reached.
  joint_belief solve(const std::vector<std::size_t>& active);
  std::vector<std::size_t> waiting(const joint_belief& all, const std::vector<std::size_t>& active, side of,
                                   bool agreeing_count) const;
  /// Solves for the readings that count, those that wait left out.
  joint_belief settle(const learn_conditions& c, joint_belief::misfit& misfit);
  judged_reading judge(std::size_t p, const joint_belief& all) const;
  void add_batches(const joint_belief& all, grease_lesson& l) const;

  const grease& grease_;
  std::span<const installation> joined_;
  std::span<const reading> readings_;
  std::vector<std::string> batch_of_;  // of each reading, by its index
  shared_names shared_;
  std::vector<prepared> prepared_;
  std::vector<observation> data_;  // of the last solve, by place in its active list
  std::vector<std::size_t> active_;
  belief means_;  // the losses were linearised at
  belief next_;
  bool settled_ = true;  // the last solve came to rest
};

void lesson_maker::name_batches(const std::vector<std::size_t>& sorted) {
  batch_of_.assign(readings_.size(), {});
  int fill = 0;
  std::optional<int> last;
  for (const std::size_t i : sorted) {
    const reading& r = readings_[i];
    if (!r.batch.empty()) {
      batch_of_[i] = "named " + r.batch;
      continue;
    }
    const int day = day_number(r.day);
    if (last && day - *last > batch_gap_days) ++fill;
    last = day;
    batch_of_[i] = fmt::format("fill {}", fill);
  }
}

std::size_t lesson_maker::hardest_line(const installation& i, const conditions& c, double t_c) const {
  std::size_t hardest = 0;
  double most = -1.0;
  for (std::size_t l = 0; l < i.lines.size(); ++l) {
    const detail::line_kernel k = detail::kernel(i.lines[l], c);
    const auto lost = detail::own_loss(k, grease_.kernel(), t_c, k.start);
    const double needs = lost ? k.outlet + k.dividers + *lost : std::numeric_limits<double>::max();
    if (needs > most) {
      most = needs;
      hardest = l;
    }
  }
  return hardest;
}

void lesson_maker::prepare(std::size_t i) {
  const reading& r = readings_[i];
  const std::size_t place =
      static_cast<std::size_t>(std::ranges::find(joined_, r.installation, &installation::name) - joined_.begin());
  const installation& system = joined_[place];
  conditions c = conditions_of(system, r.at, usual_confidence);
  c.rest = r.rest.value_or(second(0));
  prepared p;
  p.reading = i;
  p.vehicle = r.vehicle;
  p.t_c = r.at.in_celsius();
  const bool known = [&] {
    for (const line& l : system.lines) {
      if (!detail::knows(detail::kernel(l, c), grease_, p.t_c)) return false;
    }
    return grease_.has_model();
  }();
  if (known) p.line = r.point.empty() ? hardest_line(system, c, p.t_c) : *line_of(system, r.point);
  const line& l = system.lines[p.line];
  p.kernel = detail::kernel(l, c);
  p.installation = place;
  const reading_errors errors;
  if (r.gauge && r.reached != false) {
    p.pinned = in_pascal(*r.gauge) >= pinned_share * p.kernel.available && r.reached != true;
    p.says = p.pinned ? datum_kind::not_reached : datum_kind::gauge;
  } else {
    p.says = r.reached == true ? datum_kind::reached : datum_kind::not_reached;
  }
  p.pressure = r.gauge ? in_pascal(*r.gauge) : p.kernel.available;
  const std::string outlet = fmt::format("{} {} {}", r.vehicle, r.installation, p.line);
  p.batch = shared_.place("batch " + batch_of_[i], detail::batch_spread);
  p.of_vehicle = shared_.place("vehicle " + r.vehicle, std::log(errors.vehicle) / z90);
  p.day = shared_.place("day " + text_of(r.day), in_kelvins(errors.thermometer) / z90);
  p.outlet =
      shared_.place("outlet " + outlet, in_pascal(l.outlet ? errors.stated_outlet : errors.assumed_outlet) / z90);
  if (known) {
    p.fixed = p.kernel.dividers + p.kernel.outlet_in(grease_.kernel(), p.t_c);
    p.per_kelvin = detail::ln_loss_per_kelvin(p.kernel, grease_.kernel(), p.t_c);
  }
  p.known = known;
  prepared_.push_back(std::move(p));
}

observation lesson_maker::seen(const prepared& p, const belief& known, double ln_loss) const {
  const detail::median_pressure lost = loss_of(p, grease_, known);
  // ln(loss) = at_means + of . (x - means): the sum that is observed is of . x.
  const double at_means = std::log(lost.pressure) - known.shift(lost.of);
  const double gauge_error = in_pascal(reading_errors{}.gauge) / z90;
  observation o{.of = lost.of, .reading = true};
  double scale = std::exp(ln_loss);
  if (p.is_number()) {
    o.value = (p.left() - scale) / scale + ln_loss - at_means;
  } else {
    scale = p.left();
    o.value = std::log(scale) - at_means;
    o.what = p.says == datum_kind::reached ? observation::says::less : observation::says::more;
  }
  o.error = gauge_error / scale;
  o.shares = {{p.batch, 1.0}, {p.of_vehicle, 1.0}, {p.day, p.per_kelvin}, {p.outlet, 1.0 / scale}};
  return o;
}

joint_belief lesson_maker::solve(const std::vector<std::size_t>& active) {
  settled_ = true;
  joint_belief joint(grease_.belief(), shared_.unknowns());
  belief known = at_means(grease_.belief());
  std::vector<double> ln_loss(active.size(), 0.0);
  for (std::size_t a = 0; a < active.size(); ++a)
    ln_loss[a] = std::log(std::fmax(prepared_[active[a]].left(), least_loss));
  constexpr int most_steps = 200;
  constexpr double rest = 1e-11, longest_step = 0.7;
  for (int step = 0; step < most_steps; ++step) {
    std::vector<observation> numbers;
    for (std::size_t a = 0; a < active.size(); ++a) {
      if (prepared_[active[a]].is_number()) numbers.push_back(seen(prepared_[active[a]], known, ln_loss[a]));
    }
    if (numbers.empty()) break;
    joint.learn(numbers);
    known = at_means(joint.next_batch());
    double moved = 0.0;
    for (std::size_t a = 0, n = 0; a < active.size(); ++a) {
      const prepared& p = prepared_[active[a]];
      if (!p.is_number()) continue;
      // Where this reading's loss stands now, its outlet's error aside.
      const observation& o = numbers[n++];
      double ln_now = std::log(loss_of(p, grease_, known).pressure);
      for (const detail::share_of& s : o.shares) {
        if (s.who != p.outlet) ln_now += s.by * joint.mean_of_shared(s.who);
      }
      const double change = std::clamp(ln_now - ln_loss[a], -longest_step, longest_step);
      ln_loss[a] += change;
      moved = std::fmax(moved, std::abs(change));
    }
    settled_ = moved < rest;
    if (settled_) break;
  }
  active_ = active;
  means_ = known;
  data_.clear();
  for (std::size_t a = 0; a < active.size(); ++a) data_.push_back(seen(prepared_[active[a]], known, ln_loss[a]));
  settled_ = joint.learn(data_) && settled_;
  return joint;
}

std::vector<std::size_t> lesson_maker::waiting(const joint_belief& all, const std::vector<std::size_t>& active, side of,
                                               bool agreeing_count) const {
  struct outlier {
    std::size_t at;
    double over;  // ln of the stress read over that expected
  };
  const double sign = of == side::soft ? -1.0 : 1.0;
  // A bound of the other side says nothing of this one.
  const observation::says other_side = of == side::soft ? observation::says::more : observation::says::less;
  std::vector<outlier> found;
  std::map<std::string, std::vector<std::size_t>> by_vehicle;
  for (std::size_t a = 0; a < active.size(); ++a) by_vehicle[prepared_[active[a]].vehicle].push_back(a);
  // A stiff reading that stands alone is no outlier: nobody else says better.
  if (of == side::stiff && by_vehicle.size() < 2) return {};
  for (const auto& [vehicle, own] : by_vehicle) {
    const joint_belief others = all.without_data(own);
    for (const std::size_t a : own) {
      const observation& o = data_[a];
      if (o.what == other_side) continue;
      const auto over_of = [&](const joint_belief::marginal& m) { return sign * (o.value - m.mean); };
      const auto is_far = [&](const joint_belief::marginal& m) {
        return over_of(m) >
               (of == side::soft ? soft_deviations : stiff_deviations) * std::sqrt(m.variance + o.error * o.error);
      };
      // By all other vehicles, by all other readings of its own, or soft enough to move the answer alone.
      const joint_belief::marginal expected = others.of(o);
      const bool moves = of == side::soft && others.move_by(o) < -std::log(soft_factor);
      if (is_far(expected) || is_far(all.without(a)) || moves) found.push_back({a, o.value - expected.mean});
    }
  }
  std::vector<std::size_t> wait;
  for (const outlier& s : found) {
    const bool agreed = agreeing_count && std::ranges::any_of(found, [&](const outlier& other) {
                          return prepared_[active[other.at]].vehicle != prepared_[active[s.at]].vehicle &&
                                 std::abs(other.over - s.over) < std::log(soft_factor);
                        });
    if (!agreed) wait.push_back(active[s.at]);
  }
  return wait;
}

joint_belief lesson_maker::settle(const learn_conditions& c, joint_belief::misfit& misfit) {
  std::vector<std::size_t> active;
  for (std::size_t p = 0; p < prepared_.size(); ++p) {
    if (prepared_[p].says_something()) active.push_back(p);
  }
  joint_belief all = solve(active);
  std::vector<std::size_t> stiff;
  for (const side of : {side::soft, side::stiff}) {
    if (c.outliers == outlier_rule::count) break;
    const auto wait = waiting(all, active, of, c.outliers == outlier_rule::wait || of == side::stiff);
    if (wait.empty()) continue;
    std::erase_if(active, [&](std::size_t p) { return std::ranges::find(wait, p) != wait.end(); });
    all = solve(active);
    if (of == side::stiff) stiff = wait;
  }
  misfit = all.misfit_of_readings();
  // What is stiffer than all else moves no median, but it is never as if it had not been read.
  for (const std::size_t p : stiff) {
    const observation o = seen(prepared_[p], means_, std::log(std::fmax(prepared_[p].left(), least_loss)));
    const joint_belief::marginal expected = all.of(o);
    misfit.chi_square += std::pow(o.value - expected.mean, 2) / (expected.variance + o.error * o.error);
    ++misfit.readings;
  }
  return all;
}

judged_reading lesson_maker::judge(std::size_t p, const joint_belief& all) const {
  const prepared& own = prepared_[p];
  judged_reading j{.installation = own.installation,
                   .reading = own.reading,
                   .says = own.says,
                   .pinned = own.pinned,
                   .line = own.line};
  if (!own.says_something()) {
    j.use = reading_use::says_nothing;
    return j;
  }
  const auto at = std::ranges::find(active_, p);
  const bool counts = at != active_.end();
  j.use = counts ? reading_use::counts : reading_use::waits;
  const auto place = static_cast<std::size_t>(at - active_.begin());
  const observation o = counts ? data_[place] : seen(own, means_, std::log(std::fmax(own.left(), least_loss)));
  const joint_belief::marginal expected = counts ? all.without(place) : all.of(o);
  // The sum is ln(loss) but for a constant.
  const double constant = std::log(loss_of(own, grease_, means_).pressure) - means_.shift(o.of);
  const double loss = std::exp(expected.mean + constant);
  j.expected = pascal(own.fixed + loss);
  if (own.left() > 0.0) {
    j.over_expected = own.left() / loss;
    j.over_reference = own.left() / loss_of(own, grease_, belief{}).pressure;
  }
  if (own.is_number()) j.error = o.error;
  if (own.is_number()) j.deviations = (o.value - expected.mean) / std::sqrt(expected.variance + o.error * o.error);
  const belief without = counts ? all.next_batch_without(place) : next_;
  j.spread_90_without = std::exp(z90 * without.sigma(o.of));
  j.spread_90 = std::exp(z90 * next_.sigma(o.of));
  return j;
}

grease_lesson lesson_maker::lesson(std::size_t index, const learn_conditions& c) {
  joint_belief::misfit misfit;
  const joint_belief all = settle(c, misfit);
  grease_lesson l{.grease = index, .widening = widening_by(misfit)};
  next_ = all.next_batch();
  next_.widening *= l.widening;
  for (std::size_t p = 0; p < prepared_.size(); ++p) l.readings.push_back(judge(p, all));
  // The coldest reading that counts; where none does, the coldest of all.
  std::optional<double> coldest;
  for (const std::size_t p : active_) coldest = std::fmin(coldest.value_or(prepared_[p].t_c), prepared_[p].t_c);
  l.at = celsius(coldest ? *coldest : std::ranges::min_element(prepared_, {}, &prepared::t_c)->t_c);
  next_.reach = grease_.belief().taught ? grease_.belief().reach : 0.0;
  if (!active_.empty()) next_.reach = std::fmax(next_.reach, detail::slope_from_c - l.at.in_celsius());
  const grease after = grease_.believed(next_, {}, least_over_yield());
  l.settled = settled_;
  l.spread_90_before = std::exp(z90 * grease_.sigma(l.at));
  l.spread_90 = std::exp(z90 * after.sigma(l.at));
  if (const auto before = grease_.at(l.at), now = after.at(l.at); before && now)
    l.over_before = in_pascal(stress(*now, usual_nominal())) / in_pascal(stress(*before, usual_nominal()));
  add_batches(all, l);
  std::set<std::size_t> places;
  for (const prepared& p : prepared_) places.insert(p.installation);
  for (const std::size_t i : places)
    l.places.push_back(
        {i, coldest_passing(joined_[i], grease_, c.confidence), coldest_passing(joined_[i], after, c.confidence)});
  return l;
}

void lesson_maker::add_batches(const joint_belief& all, grease_lesson& l) const {
  const detail::weights there = detail::at_rate(l.at.in_celsius(), detail::usual_rate);
  std::map<std::size_t, std::size_t> places;
  for (const prepared& p : prepared_) {
    const auto [at, is_new] = places.try_emplace(p.batch, l.batches.size());
    const reading& r = readings_[p.reading];
    if (is_new) {
      belief own = all.of_batch(p.batch);
      own.widening *= l.widening;
      l.batches.push_back({.name = r.batch,
                           .first = r.day,
                           .over_next = std::exp(all.mean_of_shared(p.batch)),
                           .spread_90 = std::exp(z90 * own.sigma(there)),
                           .belief = own});
    }
    read_batch& b = l.batches[at->second];
    b.last = r.day;
    ++b.readings;
  }
}

/// The least of the stresses that count over the yield stress there.
double lesson_maker::least_over_yield() const {
  const belief untaught{};
  const detail::grease_kernel k{grease_.model(), grease_.stiffer_oil(), untaught};
  double least = std::numeric_limits<double>::infinity();
  for (const std::size_t p : active_) {
    double yields = 0.0;
    for (const detail::tube& t : prepared_[p].kernel.tubes)
      yields += 4.0 * t.length / t.bore * detail::yield_stress(k, prepared_[p].t_c + t.offset_k).stress;
    if (yields > 0.0) least = std::fmin(least, loss_of(prepared_[p], grease_, untaught).pressure / yields);
  }
  return std::isfinite(least) ? least : 1.0;
}

grease lesson_maker::taught(const grease_lesson& l) const {
  if (active_.empty()) return grease_;
  std::set<std::string> vehicles;
  for (const std::size_t p : active_) vehicles.insert(prepared_[p].vehicle);
  const detail::weights there = detail::at_rate(l.at.in_celsius(), detail::usual_rate);
  const used_datum all{.kind = datum_kind::readings,
                       .says = fmt::format("({} on {} {}, the coldest at {})", active_.size(), vehicles.size(),
                                           vehicles.size() == 1 ? "vehicle" : "vehicles", both_scales(l.at)),
                       .at = l.at,
                       .over_reference = std::exp(next_.shift(there)),
                       .spread_90_without = l.spread_90_before,
                       .spread_90 = l.spread_90};
  return grease_.believed(next_, {all}, least_over_yield());
}

}  // namespace

learn_answer learn(std::span<const grease> stock, std::span<const installation> installations,
                   std::span<const reading> readings, const learn_conditions& c) {
  std::vector<installation> joined(installations.begin(), installations.end());
  for (installation& i : joined) join_mains(i);
  learn_answer answer{.confidence = c.confidence, .stock = {stock.begin(), stock.end()}};
  for (std::size_t g = 0; g < stock.size(); ++g) {
    std::vector<std::size_t> own;
    for (std::size_t r = 0; r < readings.size(); ++r) {
      const auto i = std::ranges::find(joined, readings[r].installation, &installation::name);
      const bool there = i != joined.end() && (readings[r].point.empty() || line_of(*i, readings[r].point));
      if (readings[r].grease == stock[g].name() && there) own.push_back(r);
    }
    if (own.empty()) continue;
    lesson_maker maker(stock[g], joined, readings, std::move(own));
    answer.lessons.push_back(maker.lesson(g, c));
    answer.stock[g] = maker.taught(answer.lessons.back());
  }
  return answer;
}

}  // namespace coldgrease::inline v0
