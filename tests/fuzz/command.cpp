// A request of a batch by its words, one a line. Words that name a file elsewhere, or write one, are left out: the
// readers have targets of their own.
#include "command.hpp"

#include <nlohmann/json.hpp>

#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  std::vector<std::string> words;
  std::string_view rest = bytes;
  while (!rest.empty()) {
    const std::string_view word = rest.substr(0, rest.find('\n'));
    rest.remove_prefix(std::min(rest.size(), word.size() + 1));
    if (word.starts_with("-o") || word.find('\0') != std::string_view::npos) return;
    words.emplace_back(word);
  }
  if (words.empty() || words[0] == "batch" || words[0] == "report" || words[0] == "chart") return;
  // A quantity holds a bar as well: "1/4 in".
  for (const std::string& word : words)
    if (word.starts_with('/') || word.find("..") != std::string::npos) return;

  const tools::result r = tools::run(words, tools::asked_by::batch);
  fuzz::must(r.exit >= 0 && r.exit <= 2, "the exit is 0, 1 or 2");
  if (r.exit == 0) {
    fuzz::must(nlohmann::json::accept(r.output), "the answer is JSON");
  } else {
    fuzz::must_be_a_plain_line(r.error);
  }
}
