// How a decision is said: alike in pick, plan, compare and on the page.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "coldgrease/plan/plan.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0::detail {

/// What nobody stated, for the first lines; empty where nothing is missing.
std::string missing_words(std::span<const std::string> missing);
/// "8 Sep to 29 Mar", "all year".
std::string days_words(const season& s);
/// "2 Dec to 11 Mar and 5 Apr to 9 Apr".
std::string spans_words(std::span<const season> spans);
/// When a fill is pumped; marked where nothing is known of summer.
std::string pumped_words(const fill& f, const route_pick& r);
/// What that mark says; empty where no route is so.
std::string design_footnote(bool any);
/// Rows of a text: that no grease serves every day, and why; empty where one does.
std::string unserved_rows(const route_pick& r);
/// "12.00 EUR less", "the same money".
std::string more_money_words(double more, const std::string& currency, std::string_view than = {});
/// "1234.50 EUR".
std::string money_words(double amount, const std::string& currency);
/// "stiffest: fewest days with a hot caution, fewest fills, the stiffest grease, ...".
std::string_view preference_words(preference p);
/// "Synthetic 00, NLGI 00, 8 Sep to 29 Mar: chance 0.99, margin +6.2 K (+11.1 F)".
std::string fill_words(const fill& f, std::span<const grease> stock);
/// What its first day stands on; empty for a grease of the whole year. @param risk  yearly
std::string basis_words(const fill& f, double risk);
/// What would help where nothing passes, grouped by installation; empty without. Rows of a text.
std::string help_words(std::span<const remedy> remedies, std::span<const installation> installations,
                       std::span<const grease> stock, unit_system units);
/// A soft grease on hot days: look for leaks; empty without.
std::string leak_caution(const fill& f, std::span<const grease> stock);
/// What is done at each change, why, and what it costs; empty where nothing changes.
std::string practice_words(const route_pick& r, bool asked_for, const std::string& currency);
/// What purging the lines at each change would give, where that is better; empty without.
std::string if_purged_words(const route_pick& r, std::span<const grease> stock, const std::string& currency);
/// The other preference's answer in one line: what it would save, what it would give up.
std::string otherwise_words(const route_pick& r, preference p, std::span<const grease> stock,
                            const std::string& currency);
/// The money of a route's year, row by row, that add up; empty where it is not known.
std::string year_money_words(const choice& c, const std::string& currency);

/// Rows of a text: what if that grease stays in.
std::string keep_rows(const kept_plan& k, const route_pick& r, std::span<const installation> installations,
                      std::span<const grease> stock, const std::string& currency);
/// The same as sentences.
std::vector<std::string> keep_sentences(const kept_plan& k, const route_pick& r,
                                        std::span<const installation> installations, std::span<const grease> stock,
                                        const std::string& currency);

}  // namespace coldgrease::inline v0::detail
