#include "coldgrease/grease/substances.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "coldgrease/grease/compatibility.hpp"

namespace coldgrease::inline v0 {

namespace {

/// True if `words` stand in a name, none of them cut.
bool holds_words(std::string_view name, std::string_view words) {
  return !words.empty() && (" " + std::string(name) + " ").find(" " + std::string(words) + " ") != std::string::npos;
}

/// A name with the subscript digits of its formula (U+2080 to U+2089) as plain ones.
std::string without_subscripts(std::string_view name) {
  constexpr std::string_view lead = "\xE2\x82";
  std::string out;
  for (std::size_t i = 0; i < name.size(); ++i) {
    const auto last = i + 2 < name.size() ? static_cast<unsigned char>(name[i + 2]) : 0U;
    if (name.substr(i, lead.size()) == lead && last >= 0x80U && last <= 0x89U) {
      out += static_cast<char>('0' + (last - 0x80U));
      i += 2;
    } else {
      out += name[i];
    }
  }
  return out;
}

}  // namespace

std::string detail::plain_name(std::string_view name) {
  std::string out;
  for (const char c : without_subscripts(name)) {
    if (const char plain = plain_letter(c)) {
      out += plain;
    } else if (!out.empty() && out.back() != ' ') {
      out += ' ';
    }
  }
  while (out.ends_with(' ')) out.pop_back();
  for (const std::string_view shared : {" grease", " thickener", " soap", " based"}) {
    if (out.ends_with(shared)) out.resize(out.size() - shared.size());
  }
  constexpr std::pair<std::string_view, std::string_view> spellings[]{{"aluminum", "aluminium"}, {"sulph", "sulf"}};
  for (const auto& spelling : spellings) {
    if (const auto at = out.find(spelling.first); at != std::string::npos)
      out.replace(at, spelling.first.size(), spelling.second);
  }
  return out;
}

bool names_nothing(std::string_view name) { return detail::plain_name(name).empty(); }

bool names_family(std::string_view name) {
  // What is left of "metal soap" or "complex grease" is a family as well.
  constexpr std::array<std::string_view, 7> families{"soap",     "grease",  "thickener", "metal",
                                                     "metallic", "complex", "mixed"};
  return std::ranges::find(families, detail::plain_name(name)) != families.end();
}

substance_names::substance_names(const std::vector<std::vector<std::string>>& spellings) {
  for (const std::vector<std::string>& names : spellings) {
    std::vector<std::string>& plain = spellings_.emplace_back();
    for (const std::string& name : names) plain.push_back(detail::plain_name(name));
  }
}

std::optional<std::size_t> substance_names::find(std::string_view name) const {
  const std::string wanted = detail::plain_name(name);
  const auto known = std::ranges::find_if(spellings_, [&](const std::vector<std::string>& names) {
    return std::ranges::any_of(names, [&](const std::string& n) { return detail::same_letters(n, wanted); });
  });
  return known == spellings_.end() ? std::nullopt : std::optional(static_cast<std::size_t>(known - spellings_.begin()));
}

bool substance_names::same(std::string_view a, std::string_view b) const {
  const auto of_a = find(a), of_b = find(b);
  return of_a || of_b ? of_a == of_b : detail::same_letters(detail::plain_name(a), detail::plain_name(b));
}

std::vector<std::string> substance_names::names_of(std::string_view name) const {
  if (const auto known = find(name)) return spellings_[*known];
  return {detail::plain_name(name)};
}

ban_reach substance_names::reach(std::string_view banned, std::string_view name) const {
  if (same(banned, name)) return ban_reach::covered;
  const auto unknown_family = [&](std::string_view n) { return names_family(n) && !find(n); };
  if (unknown_family(banned) || unknown_family(name)) return ban_reach::open;
  const std::vector<std::string> bans = names_of(banned);
  for (const std::string& own : names_of(name)) {
    if (std::ranges::any_of(bans, [&](const std::string& ban) { return holds_words(own, ban); }))
      return ban_reach::covered;
  }
  const std::string written = detail::plain_name(name);
  return std::ranges::any_of(bans, [&](const std::string& ban) { return holds_words(ban, written); })
             ? ban_reach::open
             : ban_reach::spared;
}

const substance_names& solid_names() {
  static const substance_names names = [] {
    using solids = words_of<solid_lubricant>;
    std::vector<std::vector<std::string>> spellings;
    for (const auto& word : solids::table) spellings.push_back({std::string(word.text)});
    for (const auto& word : solids::also) spellings[static_cast<std::size_t>(word.value)].emplace_back(word.text);
    return substance_names(spellings);
  }();
  return names;
}

substance_names thickener_names(const compatibility_table& table) {
  std::vector<std::vector<std::string>> spellings;
  for (const thickener_class& t : table.thickeners) {
    spellings.push_back({t.name});
    spellings.back().insert(spellings.back().end(), t.also.begin(), t.also.end());
  }
  return substance_names(spellings);
}

}  // namespace coldgrease::inline v0
