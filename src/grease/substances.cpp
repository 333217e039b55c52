#include "coldgrease/grease/substances.hpp"

#include <algorithm>
#include <utility>

#include "coldgrease/grease/compatibility.hpp"

namespace coldgrease::inline v0 {

namespace {

/// True if `words` stand in a name, none of them cut.
bool holds_words(std::string_view name, std::string_view words) {
  return !words.empty() && (" " + std::string(name) + " ").find(" " + std::string(words) + " ") != std::string::npos;
}

}  // namespace

std::string detail::plain_name(std::string_view name) {
  std::string out;
  for (const char c : name) {
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
