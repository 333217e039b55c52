#include "report/layout.hpp"

#include "base/format.hpp"

#include <array>
#include <cmath>

namespace coldgrease::detail {

namespace {

std::size_t columns(std::string_view text) {
  std::size_t n = 0;
  for (const char c : text) n += (static_cast<unsigned char>(c) & 0xc0U) != 0x80U;
  return n;
}

}  // namespace

std::string wrapped(std::string_view text, std::size_t indent) {
  std::string out;
  std::size_t at = 0;
  bool at_start = true;
  while (!text.empty()) {
    const auto end = text.find(' ');
    const std::string_view word = text.substr(0, end);
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
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
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
  std::string out;
  std::size_t n = 0;
  for (const char c : text) {
    const bool begins = (static_cast<unsigned char>(c) & 0xc0U) != 0x80U;
    if (begins && n == width) break;
    n += begins;
    out += c;
  }
  out.append(width - n, ' ');
  return out;
}

std::string rule(char c) { return std::string(page_width, c) + "\n"; }

std::string words(pressure p, unit_system units) {
  return units == unit_system::si ? fmt::format("{:.0f} bar", in_bar(p)) : fmt::format("{:.0f} psi", in_psi(p));
}

std::string run_words(length l, unit_system units) {
  return units == unit_system::si ? fmt::format("{:.1f} m", in_metre(l)) : fmt::format("{:.1f} ft", in_foot(l));
}

std::string bore_words(length l, unit_system units) {
  return units == unit_system::si ? fmt::format("{:.2f} mm", in_millimetre(l)) : fmt::format("{:.3f} in", in_inch(l));
}

std::string words(volume_flow q, unit_system units) {
  return units == unit_system::si ? fmt::format("{:.2f} cm3/min", in_cm3_per_min(q))
                                  : fmt::format("{:.3f} in3/min", in_cm3_per_min(q) * 1e-6 / factor::cubic_inch);
}

std::string words(volume v, unit_system units) {
  return units == unit_system::si ? fmt::format("{:.1f} cm3", in_cm3(v))
                                  : fmt::format("{:.2f} in3", in_m3(v) / factor::cubic_inch);
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

}  // namespace coldgrease::detail
