#include "plan/supply.hpp"

#include <algorithm>
#include <cmath>

#include "coldgrease/line/dosing.hpp"

namespace coldgrease::inline v0::detail {

take take_of(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g) {
  const double density = f.stock[g].model().density15;
  take t{.daily = 0.0, .reservoirs = 0.0};
  for (const std::size_t i : installations) {
    const installation& system = f.systems[i];
    const auto daily = daily_volume(system);
    const auto reservoir = reservoir_of(system, kg_per_m3(density));
    t.daily = t.daily && daily ? std::optional(*t.daily + in_m3(*daily) * density) : std::nullopt;
    t.reservoirs =
        t.reservoirs && reservoir ? std::optional(*t.reservoirs + in_m3(*reservoir) * density) : std::nullopt;
    t.purge += in_m3(volume_of(system)) * density * f.policy.line_volumes;
  }
  return t;
}

std::optional<double> packs_of(const evidence& e, double kg) {
  if (!e.pack) return std::nullopt;
  return std::ceil(std::max(0.0, kg / in_kilogram(*e.pack) - 1e-9));
}

std::optional<double> cost_of(const evidence& e, double kg) {
  const auto packs = packs_of(e, kg);
  if (e.pack_price && packs) return *packs * e.pack_price->amount;
  if (!e.price) return std::nullopt;
  return e.price->per_kg * (packs ? *packs * in_kilogram(*e.pack) : kg);
}

}  // namespace coldgrease::inline v0::detail
