#include "coldgrease/plan/proof.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <set>

#include "climate/remarks.hpp"
#include "coldgrease/line/dosing.hpp"
#include "coldgrease/plan/pick.hpp"
#include "plan/route_remarks.hpp"
#include "plan/weather_shelf.hpp"

namespace coldgrease::inline v0 {

namespace {

/// Runs `work`; what it refuses is a problem of the file.
template <class Work>
void noting(std::vector<file_error>& problems, const std::string& file, Work work) {
  try {
    work();
  } catch (const file_error& refused) {
    problems.push_back(refused);
  } catch (const input_error& refused) {
    problems.push_back(at({.file = file}, refused));
  }
}

fleet_standing standing_of(const fleet& f) {
  fleet_standing s{.routes = f.routes.size(), .installations = f.installations.size(), .greases = f.greases.size()};
  for (const installation& i : f.installations) s.lines += i.lines.size();
  volume daily{};
  bool all_known = true;
  for (const route& r : f.routes) {
    const auto vehicles = static_cast<std::size_t>(r.vehicles);
    s.vehicles += vehicles;
    for (const std::size_t i : r.installations) {
      s.vehicle_lines += f.installations[i].lines.size() * vehicles;
      const auto own = daily_volume(f.installations[i]);
      all_known = all_known && own;
      if (own) daily += *own * static_cast<double>(r.vehicles);
    }
  }
  if (all_known) s.daily = daily;
  return s;
}

std::size_t days_of(const weather& w) {
  if (const auto* days = std::get_if<daily_series>(&w)) return days->days.size();
  if (const auto* hours = std::get_if<hourly_series>(&w)) return daily(*hours).days.size();
  if (const auto* year = std::get_if<typical_year>(&w)) return static_cast<std::size_t>(year->days);
  return 0;
}

/// Reads the weather of every leg, each file once: what is wrong with it, and what it lacks.
void proof_weather(const fleet& f, fleet_standing& s, fleet_proof& proof) {
  std::set<std::string> read, stations, places;
  for (const route& r : f.routes) {
    for (const leg& l : r.legs) {
      if (!read.insert(detail::key_of(l)).second) continue;
      noting(proof.problems, l.design.empty() ? l.weather.name() : proof.file, [&] {
        const weather w = detail::weather_of(l);
        if (std::holds_alternative<design_station>(w)) {
          places.insert(origin_of(w).station);
          return;
        }
        // What grease makes of the air is no weather of its own.
        if (!stations.insert(l.weather.identity() + "\n" + l.options.station).second) return;
        s.days_of_weather += days_of(w);
        if (const std::string said = detail::remarks_of(w); !said.empty())
          proof.assumed.push_back(
              fmt::format("{}: {}", detail::station_and_file(origin_of(w).station, l.weather), said));
      });
    }
  }
  s.stations = stations.size();
  s.published_places = places.size();
}

/// What is taken for granted of systems and greases: each sentence once, behind the names it holds for.
class assumptions {
 public:
  void add(const std::string& name, const std::vector<std::string>& sentences) {
    for (const std::string& s : sentences) {
      auto at = std::ranges::find(said_, s, &said::sentence);
      if (at == said_.end()) at = said_.insert(at, {s, {}});
      at->names.push_back(name);
    }
  }
  std::vector<std::string> sentences() const {
    std::vector<std::string> out;
    for (const said& s : said_) out.push_back(fmt::format("{}: {}", fmt::join(s.names, "; "), s.sentence));
    return out;
  }

 private:
  struct said {
    std::string sentence;
    std::vector<std::string> names;
  };
  std::vector<said> said_;
};

std::vector<std::string> assumed_of(const fleet& f, std::span<const grease> stock) {
  assumptions all;
  for (const installation& i : f.installations) all.add(i.name, assumptions_of(i));
  for (const grease& g : stock) all.add(g.name(), g.notes());
  return all.sentences();
}

void proof_answers(const fleet& f, const progress& listener, fleet_proof& proof) {
  const std::vector<grease> stock = stock_of(f);
  const pick_answer picked = pick(f, stock, {}, listener);
  proof.missing = picked.missing;
  const std::vector<std::string> assumed = assumed_of(f, stock);
  proof.assumed.insert(proof.assumed.begin(), assumed.begin(), assumed.end());
  std::vector<installation> systems = f.installations;
  for (installation& i : systems) join_mains(i);
  for (const route_pick& r : picked.routes) {
    for (const std::string& text : r.missing) proof.missing.push_back(r.route + ": " + text);
    const month_pick& coldest = coldest_month(r);
    const std::size_t g = coldest.greases[coldest.shown].grease;
    if (auto most = detail::worth_on(r, g, stock[g], systems, f.policy.confidence))
      proof.worth.push_back({r.route, stock[g].name(), std::move(*most)});
  }
}

}  // namespace

fleet_proof proof_of(const source& file, const std::optional<date>& today, const progress& listener) {
  fleet_proof proof{.file = file.name()};
  fleet_reading read = proofread_fleet(file);
  proof.problems = std::move(read.problems);
  if (!read.fleet) return proof;
  fleet& f = *read.fleet;
  for (route& r : f.routes)
    for (leg& l : r.legs) l.options.today = today;
  fleet_standing standing = standing_of(f);
  proof_weather(f, standing, proof);
  // Of a file that several legs name, with what grease makes of its air or without.
  std::set<std::string> told;
  std::erase_if(proof.problems, [&](const file_error& e) { return !told.insert(e.what()).second; });
  if (proof.problems.empty()) noting(proof.problems, proof.file, [&] { proof_answers(f, listener, proof); });
  if (!proof.problems.empty()) return {.file = std::move(proof.file), .problems = std::move(proof.problems)};
  proof.standing = standing;
  return proof;
}

}  // namespace coldgrease::inline v0
