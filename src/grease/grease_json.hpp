// Grease records as a part of any JSON file.
#pragma once

#include "base/json_node.hpp"
#include "coldgrease/grease/evidence.hpp"

namespace coldgrease::inline v0::detail {

/// One record. Any datum may be {"value": ..., "source": ...}; "source" of the record holds for the others.
evidence read_grease(const json_node& record);
/// A list of records with distinct names.
std::vector<evidence> read_grease_list(const json_node& list);
/// A table: {"schema", "about", "source", "rows": [records]}, or a bare list.
std::vector<evidence> read_grease_table(const json_node& root);

}  // namespace coldgrease::inline v0::detail
