#include "coldgrease/report/calendar.hpp"

#include <zlib.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "base/format.hpp"
#include "base/whole.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

namespace {

/// What RFC 5545 has escaped in a text.
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\n') {
      out += "\\n";
      continue;
    }
    if (c == '\\' || c == ';' || c == ',') out += '\\';
    out += c;
  }
  return out;
}

/// A line of the file: of 75 bytes at most, what is longer goes on behind a blank, and no character is cut.
std::string content_line(std::string_view text) {
  constexpr std::size_t longest = 75;
  std::string out;
  std::size_t room = longest;
  while (text.size() > room) {
    std::size_t cut = room;
    while (cut > 1 && (static_cast<unsigned char>(text[cut]) & 0xc0U) == 0x80U) --cut;
    out += std::string(text.substr(0, cut)) + "\r\n ";
    text.remove_prefix(cut);
    room = longest - 1;
  }
  return out + std::string(text) + "\r\n";
}

std::string digits(const date& d) { return fmt::format("{:04}{:02}{:02}", d.year, d.month, d.day); }

/// An event's name for the program that takes it: the same in the next file of the same plan.
std::string identity(const plan_event& e) {
  const std::string text = digits(e.day) + e.what;
  return fmt::format("{}-{:08x}@coldgrease", digits(e.day),
                     ::crc32_z(0, reinterpret_cast<const Bytef*>(text.data()), text.size()));
}

std::string text_of(const plan_event& e, const date& today) {
  return content_line("BEGIN:VEVENT") + content_line("UID:" + identity(e)) +
         content_line("DTSTAMP:" + digits(today) + "T000000Z") + content_line("DTSTART;VALUE=DATE:" + digits(e.day)) +
         content_line("SUMMARY:" + escaped(e.what)) + content_line("DESCRIPTION:" + escaped(e.more)) +
         content_line("TRANSP:TRANSPARENT") + content_line("END:VEVENT");
}

class event_list {
 public:
  event_list(std::span<const installation> installations, std::span<const grease> stock, const date& today)
      : installations_(installations), stock_(stock), today_(today) {}

  void add(const route_plan& r) {
    const std::vector<fill>& fills = r.pick.decided.fills;
    for (const fill& f : fills) {
      const std::string& name = stock_[f.grease].name();
      if (fills.size() > 1)
        events_.push_back({next_date(f.days.from(), today_), fmt::format("Change to {}: {}", name, r.pick.route),
                           fmt::format("{}; pumped until {}. At a change: {}.", chance_of(f),
                                       detail::day_words(f.days.to()), name_of(r.pick.decided.practice))});
      add_refills(r, f);
    }
  }

  void add(const purchase_row& p) {
    const std::string& name = stock_[p.grease].name();
    const std::string amount = p.to_buy ? detail::mass_words(*p.to_buy) : "kilograms not known";
    const std::string of_region = p.region.empty() ? "" : " for " + p.region;
    if (p.order_by) {
      events_.push_back({next_date(*p.order_by, today_), fmt::format("Order {}{}", name, of_region),
                         fmt::format("{}; the last day, by the delivery time that is stated.", amount)});
    } else if (p.needed_by) {
      events_.push_back({next_date(*p.needed_by, today_), fmt::format("{} needed{}", name, of_region),
                         fmt::format("{}; no delivery time is stated, so no day to order by is known.", amount)});
    }
  }

  std::vector<plan_event> by_date() && {
    std::ranges::stable_sort(events_, {}, &plan_event::day);
    return std::move(events_);
  }

 private:
  static std::string chance_of(const fill& f) { return fmt::format("chance {:.2f} on its coldest days", f.chance); }

  /// A reservoir is full at the change; whole days are counted down, so that none runs empty.
  void add_refills(const route_plan& r, const fill& f) {
    for (const std::size_t i : r.pick.installations) {
      const auto lasts = reservoir_time(installations_[i], kg_per_m3(stock_[f.grease].model().density15));
      const int step = lasts ? detail::whole_down(in_days(*lasts), 0, days_a_year) : 0;
      if (step < 1) continue;
      for (int n = step; n < f.days.days; n += step)
        events_.push_back({next_date(day_at(f.days.first + n), today_),
                           fmt::format("Refill {}: {}", installations_[i].name, r.pick.route),
                           fmt::format("With {}. A full reservoir lasts {} days by its doses; look at the level.",
                                       stock_[f.grease].name(), step)});
    }
  }

  std::span<const installation> installations_;
  std::span<const grease> stock_;
  date today_;
  std::vector<plan_event> events_;
};

}  // namespace

date next_date(const day_of_year& d, const date& today) {
  const date this_year{today.year, d.month, d.day};
  return this_year < today ? date{today.year + 1, d.month, d.day} : this_year;
}

std::vector<plan_event> events_of(const plan_answer& plan, std::span<const installation> installations,
                                  std::span<const grease> stock, const date& today) {
  event_list events(installations, stock, today);
  for (const route_plan& r : plan.routes) events.add(r);
  for (const purchase_row& p : plan.purchase.rows) events.add(p);
  return std::move(events).by_date();
}

std::string to_calendar(const plan_answer& plan, std::span<const installation> installations,
                        std::span<const grease> stock, const date& today) {
  std::string out = content_line("BEGIN:VCALENDAR") + content_line("VERSION:2.0") +
                    content_line("PRODID:-//coldgrease//plan//EN") + content_line("NAME:coldgrease plan");
  std::string about = plan.about;
  for (const std::string& missing : plan.missing) about += (about.empty() ? "" : "\n") + ("Not stated: " + missing);
  about += (about.empty() ? "" : "\n") +
           std::string("The documents of the makers, local rules and a qualified person come first.");
  out += content_line("DESCRIPTION:" + escaped(about));
  for (const plan_event& e : events_of(plan, installations, stock, today)) out += text_of(e, today);
  return out + content_line("END:VCALENDAR");
}

}  // namespace coldgrease::inline v0
