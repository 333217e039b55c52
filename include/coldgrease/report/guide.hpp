// How to come by a weather file: which station, which years, which archive. `coldgrease climate --guide` and the manual
// page coldgrease-weather(7) are both made of these words.
#pragma once

#include <span>
#include <string>
#include <vector>

namespace coldgrease::inline v0 {

struct guide_entry {
  std::string term{};
  std::string text{};
};

struct guide_section {
  std::string title{};
  std::vector<std::string> paragraphs{};
  std::vector<guide_entry> entries{};  // below them
};

/// The weather guide. What no source is named for in it is common practice; what is from memory says so.
std::vector<guide_section> weather_guide();

std::string to_text(std::span<const guide_section> guide);
std::string to_json(std::span<const guide_section> guide);

}  // namespace coldgrease::inline v0
