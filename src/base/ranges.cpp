#include "coldgrease/base/ranges.hpp"

#include "base/format.hpp"
#include "base/quantity_words.hpp"

namespace coldgrease::inline v0 {

namespace {

/// Whether a number lies between two, but for the rounding of its unit.
bool within(double v, double least, double most) {
  constexpr double rounding = 1e-9;
  return v >= least - rounding * std::abs(least) && v <= most + rounding * std::abs(most);
}

}  // namespace

static_assert([] {
  for (std::size_t i = 0; i < measure_ranges.size(); ++i) {
    const range& r = measure_ranges[i];
    if (static_cast<std::size_t>(r.of) != i || !(r.least <= r.usual_least && r.usual_least < r.usual_most) ||
        !(r.usual_most <= r.most))
      return false;
  }
  return true;
}());

std::string range_text(measure m) {
  const range& r = range_of(m);
  return fmt::format("{:.10g} to {:.10g} {}", r.least, r.most, r.unit);
}

template <class Quantity>
Quantity parse(std::string_view text, std::string_view where, measure m) {
  const auto quantity = parse<Quantity>(text, where, sign_of(m));
  const range& r = range_of(m);
  if (!within(detail::number_in(quantity, r.unit), r.least, r.most))
    throw input_error(where, fmt::format("{} is no {}", in_quotes(text), r.name), range_text(m));
  return quantity;
}

template <class Quantity>
std::optional<std::string> oddness(Quantity quantity, measure m) {
  const range& r = range_of(m);
  const double v = detail::number_in(quantity, r.unit);
  if (within(v, r.usual_least, r.usual_most)) return std::nullopt;
  return fmt::format("{:.4g} {} is an odd {}, usual are {:.6g} to {:.6g} {}", v, r.unit, r.name, r.usual_least,
                     r.usual_most, r.unit);
}

#define COLDGREASE_RANGE(Q)                                         \
  template Q parse<Q>(std::string_view, std::string_view, measure); \
  template std::optional<std::string> oddness<Q>(Q, measure);
COLDGREASE_RANGE(temperature)
COLDGREASE_RANGE(temperature_step)
COLDGREASE_RANGE(length)
COLDGREASE_RANGE(volume)
COLDGREASE_RANGE(duration)
COLDGREASE_RANGE(mass)
COLDGREASE_RANGE(pressure)
COLDGREASE_RANGE(volume_flow)
COLDGREASE_RANGE(shear_rate)
COLDGREASE_RANGE(dynamic_viscosity)
COLDGREASE_RANGE(kinematic_viscosity)
COLDGREASE_RANGE(density)
#undef COLDGREASE_RANGE

}  // namespace coldgrease::inline v0
