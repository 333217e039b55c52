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

}  // namespace reading
