// The page as a whole: its head, its order, and how it looks on a screen and on paper.
#include "coldgrease/report/html.hpp"

#include "base/format.hpp"
#include "report/page.hpp"
#include "report/picture.hpp"

namespace coldgrease::inline v0 {

namespace detail {

namespace {

/// Dark ink on white; weight and rules, not colour, tell things apart. Backgrounds are not needed on paper.
constexpr std::string_view look = R"(
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0 auto;padding:0 16px 40px;max-width:1040px;font:16px/1.45 system-ui,-apple-system,"Segoe UI",sans-serif;color:#1f1f1f;background:#fff;overflow-wrap:break-word}
h1{font-size:1.6em;line-height:1.2;margin:.8em 0 .2em}
h2{font-size:1.3em;margin:1.8em 0 .4em;padding-top:.3em;border-top:3px solid #1f1f1f}
h3{font-size:1.05em;margin:1.4em 0 .3em}
p,ul,ol,dl{margin:.4em 0;max-width:48em}
.lead{font-size:1.05em}
.small{font-size:.85em;color:#444}
.flags{border:3px solid #1f1f1f;padding:.5em .8em;margin:.8em 0;max-width:60em}
.flags h3,.flags h4{margin:.1em 0 .3em}
nav ul{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:.2em 1.6em}
nav b{font-weight:600;text-transform:capitalize}
a{color:#0b4f6c}
.scroll{overflow-x:auto;margin:.6em 0}
.scroll:focus{outline:3px solid #0b4f6c}
table{border-collapse:collapse;width:100%;font-size:.9em;font-variant-numeric:tabular-nums}
caption{text-align:left;font-weight:600;padding:.3em 0}
th,td{padding:.28em .6em .28em 0;text-align:left;vertical-align:top;border-bottom:1px solid #bbb}
thead th{border-bottom:2px solid #1f1f1f;vertical-align:bottom}
tbody th{font-weight:400}
.strong th,.strong td{font-weight:700}
.n{text-align:right}
.n+td:not(.n),.n+th:not(.n){padding-left:1em}
figure{margin:.8em 0}
figure svg{display:block;width:100%;min-width:540px;max-width:860px;height:auto}
.pair{display:flex;flex-wrap:wrap;gap:0 2em}
.pair>div{flex:1 1 340px;min-width:0}
.pair figure svg{min-width:0;max-width:520px}
svg.bar{width:122px;height:14px;display:block}
dt{font-weight:600;float:left;clear:left;width:11em;padding-right:.6em}
dd{margin:0 0 .25em 11em}
.sign{margin:2.2em 0 .6em;display:flex;flex-wrap:wrap;gap:2em}
.sign span{border-top:1px solid #1f1f1f;padding-top:.2em;min-width:16em}
footer{margin-top:2.5em;border-top:1px solid #1f1f1f;padding-top:.5em}
@media screen and (max-width:600px){
body{font-size:15px;padding:0 10px 30px}
dt{float:none;width:auto}
dd{margin-left:1em}
.stack thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.stack,.stack tbody,.stack tr,.stack caption{display:block}
.stack tr{border-bottom:1px solid #1f1f1f;padding:.4em 0}
.stack th,.stack td{display:flex;justify-content:space-between;gap:1em;border:0;padding:.1em 0;text-align:right}
.stack tbody th{font-weight:700;text-align:left}
.stack .n+td:not(.n){padding-left:0}
.stack td::before{content:attr(data-label);text-align:left}
.stack td:empty{display:none}
}
@media print{
body{font-size:9pt;line-height:1.3;max-width:none;padding:0}
h1{margin-top:0}
h2{margin:1em 0 .3em}
h3{margin:.9em 0 .2em}
nav{display:none}
p,ul,ol,dl{max-width:none;margin:.3em 0}
.sheet{break-before:page}
h2,h3,h4,caption,thead{break-after:avoid}
tr,dl,figure,.flags,.keep,.pair{break-inside:avoid}
.columns{columns:2;column-gap:6mm}
.columns h3{margin-top:0}
thead{display:table-header-group}
tbody tr:nth-child(2),tbody tr:last-child{break-before:avoid}
table,dl,.flags,.small,#basis ul{font-size:7.5pt}
tr:has(svg.bar) td.n,#change td.n,#card td.n{white-space:nowrap}
th,td{padding:.1em .5em .1em 0;line-height:1.25}
.flags{padding:.3em .6em;margin:.4em 0}
figure,.scroll{margin:.4em 0}
figure svg{min-width:0;max-width:130mm}
.pair>div{flex:1 1 75mm}
#decision figure svg{max-width:none}
#decision table,#order table,#decision dl{font-size:8pt}
.pair figure svg{max-width:82mm}
svg.bar{width:66px;height:8px}
dt{width:8em}
dd{margin-left:8em}
.sign{margin:1.6em 0 .3em}
.scroll{overflow:visible}
footer{margin-top:.6em;break-before:avoid}
a{color:inherit;text-decoration:none}
}
)";

/// A part of the page: its heading, who reads it, and what writes it.
struct part {
  std::string_view id;
  std::string_view title;
  std::optional<page_reader> reader;  // nothing: everybody
  void (*write)(page&);
};
using enum page_reader;
/// In the order of the page: decision and order are its first sheet.
constexpr part parts[]{{"decision", "Decision", {}, write_decision},
                       {"order", "Order", buyer, write_order},
                       {"purchase", "Purchase", buyer, write_purchase},
                       {"seasons", "Seasons", buyer, write_seasons},
                       {"change", "Changeovers", workshop, write_changeovers},
                       {"card", "At the vehicle", workshop, write_workshop},
                       {"lines", "Lines", engineer, write_lines},
                       {"greases", "Greases", engineer, write_evidence},
                       {"basis", "What it stands on", engineer, write_basis},
                       {"others", "Appendix: greases outside the plan", engineer, write_others},
                       {"cautions", "Cautions and files", {}, write_cautions}};

bool is_shown(const part& p, std::optional<page_reader> only) { return !p.reader || !only || *p.reader == *only; }

void write_guide(markup& out, std::optional<page_reader> only) {
  out.open("nav", {{"aria-label", "Who reads what"}}).open("ul");
  const auto group = [&](std::string_view who, std::optional<page_reader> reader) {
    out.open("li").element("b", who).text(": ");
    bool first = true;
    for (const part& p : parts) {
      if (p.reader != reader) continue;
      if (!first) out.text(", ");
      first = false;
      out.element("a", p.title, {{"href", "#" + std::string(p.id)}});
    }
    out.close();
  };
  group("everybody", {});
  for (const auto& reader : words_of<page_reader>::table) {
    if (!only || *only == reader.value) group(reader.text, reader.value);
  }
  out.close().close();
}

/// True if the first sheet can hold the decision: what follows begins a page of its own, else it goes on below.
bool fits_a_sheet(const dossier& d) {
  constexpr std::size_t most_rows = 14;
  std::size_t rows = d.plan.purchase.rows.size();
  for (const route_plan& r : d.plan.routes) rows += std::max<std::size_t>(1, r.pick.decided.fills.size());
  return rows <= most_rows && d.flags.size() <= 3;
}

/// Every printed page says what it belongs to, and its number.
std::string paper_rules(const dossier& d) {
  const std::string fleet =
      d.inputs.empty() ? std::string() : ", fleet CRC-32 " + checksum_words(d.inputs.front().checksum);
  return fmt::format(
      "@page{{margin:14mm;@bottom-left{{content:\"Winter greasing plan{}\";font:8pt system-ui,sans-serif;color:#444}}"
      "@bottom-right{{content:\"page \" counter(page) \" of \" counter(pages);font:8pt "
      "system-ui,sans-serif;color:#444}}}}\n",
      fleet);
}

}  // namespace

std::string page::weight(mass m) const {
  // As many decimals in both units, by the page's own.
  const auto value_in = [&](unit_system u) {
    return u == unit_system::si ? in_kilogram(m) : in_kilogram(m) / factor::pound;
  };
  const double own = value_in(units);
  const int decimals = own < 1.0 ? 3 : own < 1000.0 ? 1 : 0;
  const auto in = [&](unit_system u) {
    return fmt::format("{:.{}f} {}", value_in(u), decimals, u == unit_system::si ? "kg" : "lb");
  };
  return pair_of(in(units), in(other()));
}

std::string page::pair_of(std::string_view first, std::string_view second) {
  std::string out;
  const auto add = [&](std::string_view words) {
    for (const char c : words) {
      if (c == ' ') {
        out += "\u00a0";
      } else {
        out += c;
      }
    }
  };
  add(first);
  out += " (";
  add(second);
  return out + ")";
}

std::string page::step(temperature_step s) const {
  const std::string si = fmt::format("{:+.1f} K", in_kelvins(s)),
                    us = fmt::format("{:+.1f} \u00b0F", 1.8 * in_kelvins(s));
  return units == unit_system::si ? pair_of(si, us) : pair_of(us, si);
}

std::string page::degrees(temperature t) const {
  const std::string si = fmt::format("{:.1f} \u00b0C", t.in_celsius());
  const std::string us = fmt::format("{:.1f} \u00b0F", t.in_fahrenheit());
  return units == unit_system::si ? pair_of(si, us) : pair_of(us, si);
}

void page::cell(std::string_view tag, std::string_view words, markup::attributes a) {
  constexpr std::size_t most = 24;  // characters in a row
  out.open(tag, a);
  std::size_t begin = 0, run = 0;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if ((static_cast<unsigned char>(words[i]) & 0xc0U) == 0x80U) continue;
    if (words[i] == ' ') {
      run = 0;
    } else if (++run > most) {
      out.text(words.substr(begin, i - begin)).add("<wbr>");
      begin = i;
      run = 1;
    }
  }
  out.text(words.substr(begin)).close();
}

void page::paragraph(std::string_view words, std::string_view kind) {
  if (kind.empty()) {
    out.element("p", words);
  } else {
    out.element("p", words, {{"class", kind}});
  }
}

void page::bullets(std::span<const std::string> sentences) {
  if (sentences.empty()) return;
  out.open("ul");
  for (const std::string& s : sentences) out.element("li", s);
  out.close();
}

void page::figure(const std::string& svg, std::string_view name) {
  if (svg.empty()) return;
  out.open("figure", {{"class", "scroll"}, {"tabindex", "0"}, {"role", "group"}, {"aria-label", name}});
  out.add(svg).close();
}

page_table::page_table(page& p, std::string_view caption, std::initializer_list<column> columns) : p_(p) {
  p_.out.open("div", {{"class", "scroll"}, {"tabindex", "0"}, {"role", "group"}, {"aria-label", caption}});
  p_.out.open("table", {{"class", "stack"}});
  p_.cell("caption", caption);
  p_.out.open("thead").open("tr");
  for (const column& c : columns) {
    columns_.push_back(c);
    if (c.number) {
      p_.out.element("th", c.title, {{"scope", "col"}, {"class", "n"}});
    } else {
      p_.out.element("th", c.title, {{"scope", "col"}});
    }
  }
  p_.out.close().close().open("tbody");
}

void page_table::cells_of(std::initializer_list<std::string_view> cells) {
  std::size_t i = 0;
  for (const std::string_view cell : cells) {
    if (i == 0) {
      p_.cell("th", cell, {{"scope", "row"}});
    } else if (columns_[i].number) {
      p_.cell("td", cell, {{"class", "n"}, {"data-label", columns_[i].title}});
    } else {
      p_.cell("td", cell, {{"data-label", columns_[i].title}});
    }
    ++i;
  }
}

void page_table::row(std::initializer_list<std::string_view> cells, bool strong) { row_with(cells, {}, strong); }

void page_table::row_with(std::initializer_list<std::string_view> cells, const std::string& svg, bool strong) {
  if (strong) {
    p_.out.open("tr", {{"class", "strong"}});
  } else {
    p_.out.open("tr");
  }
  cells_of(cells);
  if (!svg.empty()) p_.out.open("td", {{"data-label", columns_[cells.size()].title}}).add(svg).close();
  p_.out.close();
}

}  // namespace detail

std::string to_html(const dossier& d, const fleet& f, std::span<const grease> stock, std::string_view made_by,
                    unit_system units, std::optional<page_reader> only, int jobs) {
  constexpr std::size_t bytes_of_head = 32'000, bytes_a_route = 12'000;  // of a page of usual routes
  detail::markup out(bytes_of_head + bytes_a_route * d.plan.routes.size());
  detail::page p{d, f, stock, units, jobs, out};
  const std::string title =
      only ? fmt::format("Winter greasing plan, for the {}", name_of(*only)) : "Winter greasing plan";
  out.add("<!DOCTYPE html>\n").open("html", {{"lang", "en"}}).open("head");
  // Nothing outside the page is asked for, and nothing in it runs, whatever a name should smuggle in.
  out.add(
      "<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
      "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n<meta name=\"viewport\" "
      "content=\"width=device-width, initial-scale=1\">\n");
  out.element("title", title);
  // A style sheet is no text: it is written as it stands.
  out.open("style").add(detail::look).add(detail::paper_rules(d)).close().close().open("body");
  out.open("header").element("h1", title);
  if (!f.about.empty()) out.element("p", f.about, {{"class", "lead"}});
  detail::write_guide(out, only);
  out.close().open("main");
  for (const detail::part& part : detail::parts) {
    if (!detail::is_shown(part, only)) continue;
    if (part.write == detail::write_purchase && detail::fits_a_sheet(d)) {
      out.open("section", {{"id", part.id}, {"class", "sheet"}});
    } else {
      out.open("section", {{"id", part.id}});
    }
    out.element("h2", part.title);
    part.write(p);
    out.close();
  }
  out.close();
  out.open("footer").element("p", fmt::format("Made by {}.", made_by), {{"class", "small"}}).close();
  out.close().close();
  return out.take();
}

std::string season_svg(const season_sheet& s, const route_plan& r, std::span<const grease> stock) {
  return detail::season_picture(s, r, stock, "season", true);
}
std::string limit_svg(const line_sheet& s, const installation& i, const grease& g) {
  return detail::limit_picture(s, i, g, "limit", true);
}
std::string flow_svg(const grease_sheet& s, const grease& g) { return detail::flow_picture(s, g, "flow", true); }
std::string belief_svg(const grease_sheet& s, const grease& g) { return detail::belief_picture(s, g, "belief", true); }

}  // namespace coldgrease::inline v0
