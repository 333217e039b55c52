// What a description says of the base oil: its line, what is in doubt about it, and how cold it may get.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "coldgrease/grease/grease.hpp"

namespace coldgrease::inline v0::detail {

/// The oil's line, the stiffer end of what it may be, and what was assumed about it.
struct oil_model {
  std::optional<viscosity_line> line;     // nothing where none can be assumed
  std::optional<viscosity_line> stiffer;  // nothing where the oil is known
  oil_knowledge knowledge = oil_knowledge::known;
  std::string words;
  std::vector<std::string> notes;
};

inline bool says_anything_of_the_oil(const evidence& e) { return e.kv40 || e.kv100 || e.kv || e.vi; }
oil_model oil_of(const evidence& known);
/// Gives a model its oil and density.
void set_oil(grease_model& model, const evidence& known, const viscosity_line& line);
/// The cold bound of an oil: by its pour point, else where it reaches 100 Pa s, at the stiffer end of what it may be.
void set_bound(grease_model& model, const grease_model* stiffer, const evidence& known, const oil_model& oil,
               std::vector<std::string>& notes);

}  // namespace coldgrease::inline v0::detail
