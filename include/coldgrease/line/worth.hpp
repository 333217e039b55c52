// Which datum would narrow the answer about a line or an installation most, readings of its own gauge among them.
#pragma once

#include <optional>
#include <span>

#include "coldgrease/grease/worth.hpp"
#include "coldgrease/line/installation.hpp"
#include "coldgrease/line/line.hpp"

namespace coldgrease::inline v0 {

/// The datum that narrows the chance of a line most at c.at, and what it would make of the coldest temperature.
/// @param mornings  temperatures at which somebody could read the gauge of a running pump; none: no gauge is there
/// @return nothing where nothing is known of the grease there, or nothing would narrow the answer
std::optional<worth> worth_most(const line& l, const grease& g, const conditions& c,
                                std::span<const temperature> mornings = {});
/// The same of the line that decides for an installation; of its inlet, without a gauge, where that decides.
std::optional<worth> worth_most(const installation& i, const grease& g, temperature at, double confidence,
                                std::span<const temperature> mornings = {});

}  // namespace coldgrease::inline v0
