#include "report/layout.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::detail {

namespace {

std::size_t columns(std::string_view text) {
  std::size_t n = 0;
  for (const char c : text) n += (static_cast<unsigned char>(c) & 0xc0U) != 0x80U;
  return n;
}

/// Bytes of the first `width` characters.
std::size_t bytes_of(std::string_view text, std::size_t width) {
  std::size_t n = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool begins = (static_cast<unsigned char>(text[i]) & 0xc0U) != 0x80U;
    if (begins && n++ == width) return i;
  }
  return text.size();
}

/// A fixed number of decimals, for anything that can be measured on a vehicle; four digits for the rest.
std::string fixed(double v, int decimals) {
  return std::abs(v) < 1e9 ? fmt::format("{:.{}f}", v, decimals) : fmt::format("{:.4g}", v);
}

}  // namespace

std::string wrapped(std::string_view text, std::size_t indent) {
  std::string out;
  std::size_t at = 0;
  bool at_start = true;
  while (!text.empty()) {
    // A word that no line can hold is cut.
    const std::string_view word = text.substr(0, std::min(text.find(' '), bytes_of(text, page_width - indent)));
    const std::size_t wide = columns(word);
    if (!at_start && at + 1 + wide > page_width) {
      out += '\n';
      out.append(indent, ' ');
      at = indent;
      at_start = true;
    }
    if (!at_start) {
      out += ' ';
      ++at;
    }
    out += word;
    at += wide;
    at_start = false;
    text.remove_prefix(word.size());
    if (text.starts_with(' ')) {
      text.remove_prefix(1);
    } else if (!text.empty()) {
      at = page_width;
    }
  }
  return out;
}

std::string row(std::string_view label, std::string_view value) {
  constexpr std::size_t label_width = 13;
  // Blanks of the label column are kept: only the value is broken into words.
  std::string text = wrapped(std::string(label_width, '_') + " " + std::string(value), label_width + 1);
  return fitted(label, label_width) + text.substr(label_width) + "\n";
}

std::string bullets(std::string_view title, const std::vector<std::string>& sentences) {
  if (sentences.empty()) return {};
  std::string out = fmt::format("{}\n", title);
  for (const std::string& s : sentences) out += wrapped("- " + s, 2) + "\n";
  return out;
}

std::string fitted(std::string_view text, std::size_t width) {
  std::string out(text.substr(0, bytes_of(text, width)));
  out.append(width - columns(out), ' ');
  return out;
}

std::string rule(char c) { return std::string(page_width, c) + "\n"; }

std::string words(pressure p, unit_system units) {
  return units == unit_system::si ? fixed(in_bar(p), 0) + " bar" : fixed(in_psi(p), 0) + " psi";
}

std::string run_words(length l, unit_system units) {
  return units == unit_system::si ? fixed(in_metre(l), 1) + " m" : fixed(in_foot(l), 1) + " ft";
}

std::string bore_words(length l, unit_system units) {
  return units == unit_system::si ? fixed(in_millimetre(l), 2) + " mm" : fixed(in_inch(l), 3) + " in";
}

std::string words(volume_flow q, unit_system units) {
  const double cm3_min = in_cm3_per_min(q);
  return units == unit_system::si ? fixed(cm3_min, 2) + " cm3/min"
                                  : fixed(cm3_min * 1e-6 / factor::cubic_inch, 3) + " in3/min";
}

std::string words(volume v, unit_system units) {
  return units == unit_system::si ? fixed(in_cm3(v), 1) + " cm3" : fixed(in_m3(v) / factor::cubic_inch, 2) + " in3";
}

std::string number_words(double v) {
  const double size = std::abs(v);
  if (size < 1e3 || size >= 1e9) return fmt::format("{:.4g}", v);
  const double step = std::pow(10.0, std::floor(std::log10(size)) - 3.0);
  return fmt::format("{:.0f}", std::round(v / step) * step);
}

std::string_view month_name(int month) {
  static constexpr std::array<std::string_view, 12> names{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                          "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  return names[static_cast<std::size_t>(month - 1)];
}

std::string leak_caution(const grease& g, const std::vector<int>& hot_months) {
  std::vector<std::string> names;
  for (const int m : hot_months) names.emplace_back(month_name(m));
  return fmt::format("{} is soft, and {} or more is met in {}: look for leaks", g.name(), both_scales(hot_caution()),
                     joined(names));
}

std::string chance_words(double chance) { return fmt::format("{:.2f}", std::min(0.99, chance)); }

std::string class_words(const grease& g) { return g.nlgi().empty() ? "-" : g.nlgi(); }

std::string joined(const std::vector<std::string>& texts) {
  std::string out;
  for (const std::string& t : texts) out += (out.empty() ? "" : ", ") + t;
  return out;
}

}  // namespace coldgrease::detail
