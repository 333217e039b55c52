// Thickeners and solid lubricants by the names that people write: which two are one, and what a ban on one covers.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/words.hpp"

namespace coldgrease::inline v0 {

struct compatibility_table;

/// Solid lubricants that are known by several names. A record may name others, which are compared as they are written.
enum class solid_lubricant {
  molybdenum_disulfide,
  tungsten_disulfide,
  graphite,
  ptfe,
  boron_nitride,
  zinc_oxide,
  zinc_sulfide,
  calcium_carbonate,
  copper
};
/// Names: common practice, no source.
template <>
struct words_of<solid_lubricant> {
  using enum solid_lubricant;
  static constexpr std::string_view what = "solid lubricant known here";
  static constexpr word_for<solid_lubricant> table[]{{molybdenum_disulfide, "molybdenum disulfide"},
                                                     {tungsten_disulfide, "tungsten disulfide"},
                                                     {graphite, "graphite"},
                                                     {ptfe, "ptfe"},
                                                     {boron_nitride, "boron nitride"},
                                                     {zinc_oxide, "zinc oxide"},
                                                     {zinc_sulfide, "zinc sulfide"},
                                                     {calcium_carbonate, "calcium carbonate"},
                                                     {copper, "copper"}};
  static constexpr word_for<solid_lubricant> also[]{{molybdenum_disulfide, "MoS2"},
                                                    {molybdenum_disulfide, "moly"},
                                                    {molybdenum_disulfide, "moly disulfide"},
                                                    {molybdenum_disulfide, "molybdenum disulphide"},
                                                    {molybdenum_disulfide, "molybdenum sulfide"},
                                                    {tungsten_disulfide, "WS2"},
                                                    {tungsten_disulfide, "tungsten disulphide"},
                                                    {graphite, "graphit"},
                                                    {ptfe, "polytetrafluoroethylene"},
                                                    {ptfe, "polytetrafluorethylene"},
                                                    {boron_nitride, "hexagonal boron nitride"},
                                                    {boron_nitride, "hBN"},
                                                    {zinc_oxide, "ZnO"},
                                                    {zinc_sulfide, "zinc sulphide"},
                                                    {zinc_sulfide, "ZnS"},
                                                    {calcium_carbonate, "CaCO3"},
                                                    {copper, "Cu"}};
};

/// How a substance stands to a ban on another one.
enum class ban_reach {
  spared,   // another substance, or only not known to be the same
  covered,  // the banned one or a kind of it: a ban on lithium covers lithium complex
  open      // one name is that of a family which the other is of: lithium under a ban on lithium complex, or on "soap"
};

/// The names of one sort of substance. Two names are one where their letters and digits are the same, case and a last
/// word "grease", "based", "soap" or "thickener" aside, or where the list knows both for one substance; a name that the
/// list does not know is compared as it is written. Safe to share between threads.
class substance_names {
 public:
  /// @param spellings  every substance with all its names
  explicit substance_names(const std::vector<std::vector<std::string>>& spellings);

  /// Place of a substance in the list; nothing for a name that it does not know.
  std::optional<std::size_t> find(std::string_view name) const;
  /// True if two names are one substance: what a maker asks for is that substance alone, no kind of it.
  bool same(std::string_view a, std::string_view b) const;
  /// What a ban does to a substance. It errs to the safe side: it covers every substance of which some name holds, as
  /// whole words, some name of the banned one ("clay" covers "hectorite clay"), and leaves open whoever is called by a
  /// word that the banned one is a kind of.
  ban_reach reach(std::string_view banned, std::string_view name) const;

 private:
  std::vector<std::string> names_of(std::string_view name) const;
  std::vector<std::vector<std::string>> spellings_;  // plain
};

/// True if nothing but signs and blanks stands there, so that nothing is named.
bool names_nothing(std::string_view name);

/// True for a word that names a whole family and no substance: "soap", "grease". Common practice, no source.
bool names_family(std::string_view name);

/// The names of solid_lubricant.
const substance_names& solid_names();
/// The thickeners of a table under all their names.
substance_names thickener_names(const compatibility_table& table);

namespace detail {
/// A name as it is compared: small letters and digits, subscript ones as well, in words with a blank between, one
/// spelling of aluminium and of sulfur, without last words that all greases share.
std::string plain_name(std::string_view name);
}  // namespace detail

}  // namespace coldgrease::inline v0
