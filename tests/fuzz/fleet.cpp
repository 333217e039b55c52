// A fleet with the files that it names, all in one text: below a line "=== lines.csv" stands that file, first the
// fleet.
#include "coldgrease/plan/fleet.hpp"

#include <map>

#include "fuzz.hpp"

using namespace coldgrease;

namespace {

struct files_of_text : opener {
  std::map<std::string, std::string> files;

  explicit files_of_text(std::string_view text) {
    constexpr std::string_view mark = "\n=== ";
    std::string name = "fleet.json";
    while (true) {
      const std::size_t end = text.find(mark);
      files[name] = text.substr(0, end);
      if (end == std::string_view::npos) return;
      text.remove_prefix(end + mark.size());
      name = text.substr(0, text.find('\n'));
      text.remove_prefix(std::min(text.size(), name.size() + 1));
    }
  }
  std::optional<std::string> open(const std::string& name) const override {
    const auto found = files.find(name);
    return found == files.end() ? std::nullopt : std::optional(found->second);
  }
};

}  // namespace

void take(const std::string& bytes) {
  const files_of_text names(bytes);
  const source file = source::from(names, "fleet.json");
  std::string first;
  try {
    // What is read can be written, and is read again; only weather at hand has no key, and no file holds that.
    const std::string written = write_fleet(read_fleet(file));
    files_of_text again = names;
    again.files["fleet.json"] = written;
    fuzz::must(write_fleet(read_fleet(source::from(again, "fleet.json"))) == written, "a fleet comes back as it was");
  } catch (const input_error& refused) {
    first = refused.what();
    fuzz::must_be_a_plain_line(first);
  }
  const fleet_reading proof = proofread_fleet(file);
  for (const file_error& e : proof.problems) fuzz::must_be_a_plain_line(e.what());
  fuzz::must(first.empty() ? proof.problems.empty() : !proof.problems.empty() && first == proof.problems.front().what(),
             "the first refusal is the one that is thrown");
}
