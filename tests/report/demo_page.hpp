// The page of the demo fleet, or of one made from it.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/report/html.hpp"
#include "element.hpp"

namespace reading {

struct reported {
  coldgrease::fleet f{};
  std::vector<coldgrease::grease> stock{};
  coldgrease::dossier d{};

  std::string html() const { return to_html(d, f, stock, "coldgrease under test"); }
  element page() const { return read_page(html()); }
};

inline coldgrease::fleet demo_fleet() { return coldgrease::read_fleet(COLDGREASE_TABLES_SOURCE "/demo/fleet.json"); }

inline reported report_of(coldgrease::fleet f) {
  reported r{.f = std::move(f)};
  r.stock = stock_of(r.f);
  r.d = dossier_of(r.f, r.stock, coldgrease::published_rules(), coldgrease::compatibility_charts());
  return r;
}

/// The demo fleet with its invented readings, and three that do not fit: one far too soft, one at all the pump has, and
/// one that says nothing, so far below the pour point.
inline coldgrease::fleet fleet_with_odd_readings() {
  coldgrease::fleet f = demo_fleet();
  take_readings(f, COLDGREASE_TABLES_SOURCE "/demo/readings.csv");
  const auto add = [&](const char* vehicle, double t_c, double gauge_bar) {
    coldgrease::reading odd = f.taken.front();
    odd.vehicle = vehicle;
    odd.at = coldgrease::celsius(t_c);
    odd.gauge = coldgrease::bar(gauge_bar);
    odd.row = f.taken.back().row + 1;
    f.taken.push_back(odd);
  };
  add("T-90", -10.0, 22.0);
  add("T-91", -11.0, 279.0);
  add("T-92", -62.0, 200.0);
  return f;
}

}  // namespace reading
