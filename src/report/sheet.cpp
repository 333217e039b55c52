#include "coldgrease/report/sheet.hpp"

#include "base/csv.hpp"
#include "base/format.hpp"

#include "coldgrease/grease/known_by.hpp"
#include "coldgrease/report/calendar.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

namespace {

/// The cells of quantities, and the units that stand in the heads over them.
class cells {
 public:
  explicit cells(unit_system units) : us_(units == unit_system::us) {}

  std::string degrees() const { return us_ ? "F" : "C"; }
  std::string steps() const { return us_ ? "F" : "K"; }
  std::string pressures() const { return us_ ? "psi" : "bar"; }
  std::string masses() const { return us_ ? "lb" : "kg"; }
  std::string lengths() const { return us_ ? "ft" : "m"; }
  std::string bores() const { return us_ ? "in" : "mm"; }
  std::string doses() const { return us_ ? "in3" : "cm3"; }

  double of(temperature t) const { return us_ ? t.in_fahrenheit() : t.in_celsius(); }
  double of(temperature_step s) const { return in_kelvins(s) * (us_ ? 1.8 : 1.0); }
  double of(pressure p) const { return us_ ? in_psi(p) : in_bar(p); }
  double of(mass m) const { return in_kilogram(m) / (us_ ? factor::pound : 1.0); }
  double of(length l) const { return us_ ? in_foot(l) : in_metre(l); }
  double bore(length l) const { return us_ ? in_inch(l) : in_millimetre(l); }
  double of(volume v) const { return us_ ? in_m3(v) / factor::cubic_inch : in_cm3(v); }
  template <class Quantity>
  sheet_cell of(const std::optional<Quantity>& q) const {
    return q ? sheet_cell(of(*q)) : sheet_cell();
  }
  sheet_cell bore(const std::optional<length>& l) const { return l ? sheet_cell(bore(*l)) : sheet_cell(); }

 private:
  bool us_;
};

sheet_cell number(const std::optional<double>& v) { return v ? sheet_cell(*v) : sheet_cell(); }
template <class Integer>
sheet_cell count(Integer n) {
  return static_cast<double>(n);
}
sheet_cell yes_or_no(bool b) { return std::string(b ? "yes" : "no"); }
sheet_cell day(const std::optional<day_of_year>& d, const date& today) {
  return d ? sheet_cell(next_date(*d, today)) : sheet_cell();
}
sheet_cell days_of(const std::optional<duration>& d) { return d ? sheet_cell(in_days(*d)) : sheet_cell(); }
template <class Enum>
sheet_cell word(Enum e) {
  return std::string(name_of(e));
}

std::string text_of(double v) { return fmt::format("{:.10g}", v); }

/// What a spreadsheet would run gets an apostrophe.
std::string csv_text(std::string_view text) {
  const bool would_run = !text.empty() && std::string_view("=+-@").find(text.front()) != std::string_view::npos;
  return detail::csv_field((would_run ? "'" : "") + std::string(text));
}

std::string csv_cell(const sheet_cell& cell) {
  struct writer {
    std::string operator()(std::monostate) const { return {}; }
    std::string operator()(const std::string& text) const { return csv_text(text); }
    std::string operator()(double v) const { return text_of(v); }
    std::string operator()(const date& d) const { return coldgrease::text_of(d); }
  };
  return std::visit(writer{}, cell);
}

/// What every sheet of lines has: the answer of one of them, behind its name.
std::vector<sheet_column> line_columns(const cells& c) {
  return {{"point"},
          {"verdict"},
          {"chance"},
          {"at", c.degrees()},
          {"passes down to", c.degrees()},
          {"needed", c.pressures()},
          {"available", c.pressures()},
          {"outlet", c.pressures()},
          {"flow loss", c.pressures()},
          {"start loss", c.pressures()},
          {"longest", c.lengths()},
          {"smallest bore", c.bores()},
          {"dose", c.doses()},
          {"a day", c.doses()},
          {"asked for a day", c.doses()},
          {"stays in the line", "days"},
          {"missing"},
          {"warnings"}};
}
std::vector<sheet_cell> line_cells(const std::string& point, const line_answer& a, const cells& c, unit_system units) {
  return {point,
          word(a.verdict),
          number(a.chance),
          c.of(a.temperature),
          c.of(a.coldest),
          c.of(a.needed),
          c.of(a.available),
          c.of(a.outlet),
          c.of(a.flow_loss),
          c.of(a.start_loss),
          c.of(a.longest),
          c.bore(a.smallest_bore),
          c.of(a.dose),
          c.of(a.daily),
          c.of(a.asked),
          days_of(a.residence),
          a.missing == missing_datum::none ? sheet_cell() : word(a.missing),
          detail::joined(detail::line_warnings(a, units))};
}

std::string names_of(std::span<const std::size_t> greases, std::span<const grease> stock) {
  std::vector<std::string> names;
  for (const std::size_t g : greases) names.push_back(stock[g].name());
  return detail::joined(names);
}

std::vector<sheet_cell> fill_cells(const route_pick& r, const fill* f, std::span<const grease> stock, const cells& c,
                                   const date& today) {
  std::vector<sheet_cell> row{r.route, r.region, count(r.vehicles)};
  if (!f) {
    row.insert(row.end(), {std::string("no grease serves every day"), {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}});
    row.emplace_back(detail::joined(r.unserved));
    return row;
  }
  const bool whole_year = f->days.whole_year();
  const date from = next_date(f->days.from(), today);
  row.insert(row.end(), {stock[f->grease].name(),
                         stock[f->grease].nlgi(),
                         whole_year ? sheet_cell() : sheet_cell(from),
                         whole_year ? sheet_cell() : sheet_cell(next_date(f->days.to(), from)),
                         count(f->days.days),
                         f->chance,
                         c.of(f->coldest),
                         c.of(f->margin),
                         count(f->hot_days),
                         c.of(f->pumped),
                         c.of(f->at_change),
                         word(f->basis),
                         {}});
  return row;
}

/// What nobody stated and the answer for a route hangs on.
std::string not_stated(std::vector<std::string> missing, const route_pick& r) {
  missing.insert(missing.end(), r.missing.begin(), r.missing.end());
  return detail::joined(missing);
}

/// Texts about one thing, a row each.
void add_texts(sheet& s, const std::string& about, const std::string& kind, const std::vector<std::string>& texts) {
  for (const std::string& text : texts) s.rows.push_back({about, kind, text});
}

}  // namespace

std::string to_csv(const sheet& s) {
  std::string out;
  for (const sheet_column& c : s.columns) out += (&c == s.columns.data() ? "" : ",") + csv_text(c.head());
  out += '\n';
  for (const std::vector<sheet_cell>& row : s.rows) {
    for (const sheet_cell& cell : row) out += (&cell == row.data() ? "" : ",") + csv_cell(cell);
    out += '\n';
  }
  return out;
}

sheet sheet_of(const pick_answer& answer, std::span<const installation> installations, std::span<const grease> stock,
               unit_system units) {
  const cells c(units);
  sheet s{"months",
          {{"route"},
           {"region"},
           {"vehicles"},
           {"month"},
           {"grease"},
           {"picked"},
           {"chance"},
           {"judged at", c.degrees()},
           {"passes down to", c.degrees()},
           {"colder", "h a year"},
           {"point that governs"},
           {"installation"},
           {"station"},
           {"why not"},
           {"not stated"}},
          {}};
  for (const route_pick& r : answer.routes) {
    for (const month_pick& m : r.months) {
      const grease_month& g = m.greases[m.shown];
      const installation& i = installations[g.worst.installation];
      s.rows.push_back({r.route, r.region, count(r.vehicles), count(m.month),
                        m.picked ? names_of(m.pumped, stock) : "nearest: " + stock[g.grease].name(),
                        yes_or_no(m.picked), number(g.chance), c.of(m.design), c.of(g.coldest), number(m.hours_below),
                        i.lines[g.worst.line].point, i.name, m.governing_station,
                        m.picked ? std::string() : reason(g, installations, stock, units),
                        not_stated(answer.missing, r)});
    }
  }
  return s;
}

sheet sheet_of(const plan_answer& answer, std::span<const installation>, std::span<const grease> stock,
               unit_system units, const date& today) {
  const cells c(units);
  sheet s{"decision",
          {{"route"},
           {"region"},
           {"vehicles"},
           {"grease"},
           {"nlgi"},
           {"from"},
           {"to"},
           {"days"},
           {"chance"},
           {"coldest judged at", c.degrees()},
           {"margin", c.steps()},
           {"hot days"},
           {"pumped a vehicle", c.masses()},
           {"at the change a vehicle", c.masses()},
           {"date stands on"},
           {"why none"},
           {"not stated"}},
          {}};
  for (const route_plan& r : answer.routes) {
    std::vector<const fill*> fills;
    for (const fill& f : r.pick.decided.fills) fills.push_back(&f);
    if (fills.empty()) fills.push_back(nullptr);
    for (const fill* f : fills) {
      s.rows.push_back(fill_cells(r.pick, f, stock, c, today));
      s.rows.back().emplace_back(not_stated(answer.missing, r.pick));
    }
  }
  return s;
}

sheet order_sheet(const plan_answer& answer, std::span<const grease> stock, unit_system units, const date& today) {
  const cells c(units);
  sheet s{"order",
          {{"grease"},
           {"region"},
           {"order by"},
           {"needed by"},
           {"to buy", c.masses(), true},
           {"packs", {}, true},
           {"money", answer.currency, true},
           {"pumped", c.masses(), true},
           {"at changes", c.masses(), true},
           {"in store", c.masses()}},
          {}};
  for (int month = 1; month <= 12; ++month)
    s.columns.push_back({std::string(detail::month_name(month)), c.masses(), true});
  s.columns.push_back({"not known for"});
  for (const purchase_row& p : answer.purchase.rows) {
    std::vector<sheet_cell> row{
        stock[p.grease].name(), p.region,        day(p.order_by, today), day(p.needed_by, today), c.of(p.to_buy),
        number(p.packs),        number(p.money), c.of(p.pumped),         c.of(p.at_changes),      c.of(p.in_store)};
    for (const mass& m : p.pumped_in) row.emplace_back(c.of(m));
    row.emplace_back(detail::joined(p.unknown_of));
    s.rows.push_back(std::move(row));
  }
  return s;
}

sheet sheet_of(const line_answer& answer, unit_system units) {
  const cells c(units);
  return {"line", line_columns(c), {line_cells("line", answer, c, units)}};
}

sheet sheet_of(const installation_answer& answer, const installation& i, const grease& g, unit_system units) {
  const cells c(units);
  sheet s{"lines", line_columns(c), {}};
  s.columns.insert(s.columns.begin(), {{"installation"}, {"grease"}});
  s.columns.push_back({"rules not kept"});
  for (const point_answer& p : answer.points) {
    std::vector<sheet_cell> row = line_cells(i.lines[p.line].point, p.check, c, units);
    row.insert(row.begin(), {i.name, g.name()});
    std::vector<std::string> breaches;
    for (const breach& b : p.breaches) breaches.push_back(b.words);
    row.emplace_back(detail::joined(breaches));
    s.rows.push_back(std::move(row));
  }
  // The inlet of the pump decides as a line does.
  std::vector<sheet_cell> inlet(s.columns.size());
  inlet[0] = i.name;
  inlet[1] = g.name();
  inlet[2] = std::string("inlet of the pump, ") + std::string(name_of(answer.feed_by.kind));
  inlet[3] = word(answer.feed.verdict);
  inlet[4] = number(answer.feed.chance);
  inlet[5] = c.of(answer.feed.temperature);
  inlet[6] = c.of(answer.feed.coldest);
  s.rows.push_back(std::move(inlet));
  return s;
}

sheet sheet_of(const dose_answer& answer, const installation& i, const grease& g, unit_system units) {
  const cells c(units);
  sheet s{"doses", line_columns(c), {}};
  s.columns.insert(s.columns.begin(), {{"grease"}, {"rank"}, {"pause", "min"}, {"element", c.doses()}, {"served"}});
  for (const dose_setting& setting : answer.settings) {
    for (const point_dose& p : setting.points) {
      std::vector<sheet_cell> row = line_cells(i.lines[p.line].point, p.check, c, units);
      row.insert(row.begin(), {g.name(), count(&setting - answer.settings.data() + 1),
                               in_second(setting.interval) / 60.0, c.of(p.element), yes_or_no(p.served)});
      s.rows.push_back(std::move(row));
    }
  }
  return s;
}

sheet sheet_of(const compare_answer& answer, std::span<const installation> installations, unit_system units) {
  const cells c(units);
  sheet s{"offers",
          {{"route"},
           {"region"},
           {"vehicles"},
           {"offer"},
           {"passes the year"},
           {"chance"},
           {"judged at", c.degrees()},
           {"passes down to", c.degrees()},
           {"margin", c.steps()},
           {"point that governs"},
           {"installation"},
           {"a year", c.masses()},
           {"money", answer.currency},
           {"why not"},
           {"not stated"}},
          {}};
  for (const compared_route& r : answer.routes) {
    for (const offer_on_route& o : r.offers) {
      const point_index& worst = o.coldest_days.worst;
      const installation& i = installations[worst.installation];
      s.rows.push_back({r.pick.route, r.pick.region, count(r.pick.vehicles), answer.stock[o.grease].name(),
                        yes_or_no(o.passes), number(o.coldest_days.chance), c.of(r.coldest), c.of(o.coldest),
                        c.of(o.margin), i.lines[worst.line].point, i.name, c.of(o.needed), number(o.money),
                        o.passes ? std::string() : reason(o.coldest_days, installations, answer.stock, units),
                        not_stated(answer.missing, r.pick)});
    }
  }
  return s;
}

sheet sheet_of(const climate_answer& answer, unit_system units) {
  const cells c(units);
  sheet s{"months",
          {{"station"},
           {"month"},
           {"mean", c.degrees()},
           {"coldest 1 % of hours", c.degrees()},
           {"hottest 1 % of hours", c.degrees()},
           {"lowest", c.degrees()},
           {"minimum once in 10 years", c.degrees()}},
          {}};
  for (const month_climate& m : answer.months)
    s.rows.push_back({answer.station, count(m.month), c.of(m.mean), c.of(m.cold), c.of(m.hot), c.of(m.record),
                      c.of(m.return_minimum)});
  return s;
}

std::vector<sheet> sheets_of(const dossier& d, const fleet& f, std::span<const grease> stock, unit_system units,
                             const date& today) {
  std::vector<sheet> all{sheet_of(d.plan, f.installations, stock, units, today),
                         order_sheet(d.plan, stock, units, today)};

  sheet calendar{"calendar", {{"day"}, {"what"}, {"how sure"}}, {}};
  for (const plan_event& e : events_of(d.plan, f.installations, stock, today))
    calendar.rows.push_back({e.day, e.what, e.more});
  all.push_back(std::move(calendar));

  sheet lines{"lines", {}, {}};
  for (const line_sheet& l : d.lines) {
    sheet one = sheet_of(l.check, f.installations[l.installation], stock[l.grease], units);
    if (lines.columns.empty()) {
      lines.columns = std::move(one.columns);
      lines.columns.insert(lines.columns.begin(), {{"route"}, {"in the plan"}});
    }
    for (std::vector<sheet_cell>& row : one.rows) {
      row.insert(row.begin(), {l.route, yes_or_no(l.planned)});
      lines.rows.push_back(std::move(row));
    }
  }
  all.push_back(std::move(lines));

  sheet evidence{"evidence",
                 {{"grease"}, {"nlgi"}, {"in the plan"}, {"known by"}, {"oil"}, {"stands on"}, {"what is said of it"}},
                 {}};
  for (const grease_sheet& g : d.greases) {
    const grease& own = stock[g.grease];
    evidence.rows.push_back({own.name(), own.nlgi(), yes_or_no(g.planned), word(how_known(own)), word(own.oil()),
                             own.stands_on(), detail::joined(own.notes())});
  }
  all.push_back(std::move(evidence));

  sheet assumptions{"assumptions", {{"about"}, {"kind"}, {"text"}}, {}};
  assumptions.rows.push_back({std::string("fleet"), std::string("about"), d.plan.about});
  add_texts(assumptions, "fleet", "missing", d.plan.missing);
  for (const red_flag& flag : d.flags) add_texts(assumptions, flag.where, "first", {flag.what});
  for (const route_plan& r : d.plan.routes) {
    add_texts(assumptions, r.pick.route, "missing", r.pick.missing);
    add_texts(assumptions, r.pick.route, "warning", r.pick.warnings);
    add_texts(assumptions, r.pick.route, "note", r.pick.notes);
    add_texts(assumptions, r.pick.route, "evidence", r.evidence);
  }
  add_texts(assumptions, "fleet", "note", d.plan.notes);
  for (const input_file& file : d.inputs)
    assumptions.rows.push_back({file.path, std::string("checksum (CRC-32)"), detail::checksum_words(file.checksum)});
  for (const std::string_view caution : detail::caution_list())
    assumptions.rows.push_back({std::string("all"), std::string("caution"), std::string(caution)});
  all.push_back(std::move(assumptions));
  return all;
}

}  // namespace coldgrease::inline v0
