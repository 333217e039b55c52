#include "coldgrease/base/money.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <optional>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr double most_amount = 1e9;  // sums of a fleet stay numbers
constexpr std::string_view expected_amount = "an amount and its currency, 45 EUR, 0 to 1e9";
constexpr std::string_view expected_price = "a price with currency and mass, 4.63 EUR/kg or 2.10 USD/lb, 0 to 1e9";

bool is_currency(std::string_view text) {
  return text.size() == 3 && std::ranges::all_of(text, [](char c) { return c >= 'A' && c <= 'Z'; });
}

/// "4.63 EUR/kg" as 4.63, "EUR" and "kg", which is empty where no slash is; nothing for what is none of that kind.
struct parts {
  double amount = 0.0;
  std::string_view currency{};
  std::string_view by{};
};
std::optional<parts> parts_of(std::string_view text) {
  constexpr std::size_t letters = 3;
  const auto trim = [](std::string_view t) {
    const auto first = t.find_first_not_of(" \t"), last = t.find_last_not_of(" \t");
    return first == std::string_view::npos ? std::string_view() : t.substr(first, last - first + 1);
  };
  const std::size_t slash = std::min(text.find('/'), text.size());
  const std::string_view before = trim(text.substr(0, slash));
  if (before.size() <= letters) return std::nullopt;
  const std::string_view currency = before.substr(before.size() - letters);
  const auto amount = to_number(trim(before.substr(0, before.size() - letters)));
  if (!is_currency(currency) || !amount || !(*amount >= 0.0 && *amount <= most_amount)) return std::nullopt;
  const std::string_view by = slash < text.size() ? trim(text.substr(slash + 1)) : std::string_view();
  if (slash < text.size() && by.empty()) return std::nullopt;
  return parts{*amount, currency, by};
}

}  // namespace

money parse_money(std::string_view text, std::string_view where) {
  const auto p = parts_of(text);
  if (!p || !p->by.empty()) throw input_error(where, in_quotes(text), expected_amount);
  return {p->amount, std::string(p->currency)};
}

mass_price parse_mass_price(std::string_view text, std::string_view where) {
  const auto p = parts_of(text);
  if (!p || (p->by != "kg" && p->by != "lb")) throw input_error(where, in_quotes(text), expected_price);
  return {p->by == "lb" ? p->amount / factor::pound : p->amount, std::string(p->currency)};
}

std::string text_of(const money& m) { return fmt::format("{} {}", m.amount, m.currency); }

std::string text_of(const mass_price& p) { return fmt::format("{} {}/kg", p.per_kg, p.currency); }

}  // namespace coldgrease::inline v0
