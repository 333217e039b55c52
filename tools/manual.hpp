// Manual pages in man(7) roff, from the words that --help shows.
#pragma once

#include <span>
#include <string>

#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/report/guide.hpp"
#include "command.hpp"

namespace coldgrease::tools {

/// coldgrease-NAME.1
std::string manual_page(const command& c);
/// coldgrease.1: what all commands share, and the list of them.
std::string manual_overview(std::span<const command> commands);
/// coldgrease-fleet.5: the records of a fleet file and their keys.
std::string manual_of_fleet(std::span<const record_words> records);

/// coldgrease-weather.7: the weather guide.
std::string manual_of_weather(std::span<const guide_section> guide);

}  // namespace coldgrease::tools
