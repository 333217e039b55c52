#include "coldgrease/grease/consistency.hpp"

#include "base/format.hpp"

#include <algorithm>

#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0 {

namespace {

std::optional<std::size_t> class_index(std::string_view label) {
  for (std::size_t i = 0; i < nlgi_classes.size(); ++i) {
    if (nlgi_classes[i].label == label) return i;
  }
  return std::nullopt;
}

std::pair<std::string, std::string> neighbours(std::size_t soft, std::size_t stiff) {
  return {std::string{nlgi_classes[soft].label}, std::string{nlgi_classes[stiff].label}};
}

std::string_view name(penetration_method method) {
  switch (method) {
    case penetration_method::unworked: return "an unworked penetration";
    case penetration_method::prolonged: return "a prolonged worked penetration";
    case penetration_method::block: return "a block penetration";
    case penetration_method::worked: break;
  }
  return "a worked penetration";
}

}  // namespace

class_answer classify(double reading, penetration_method method, cone_scale scale) {
  const double p = full_scale(reading, scale);
  if (!(reading > 0.0) || !(p <= largest_penetration))
    throw input_error("penetration", fmt::format("{} x 0.1 mm", reading),
                      fmt::format("above 0 and at most {:g} (range of ISO 2137)", largest_penetration));

  class_answer answer;
  answer.penetration = p;
  if (method != penetration_method::worked) {
    answer.note = fmt::format("{} assigns no class: ASTM D217 classes worked penetrations only", name(method));
    return answer;
  }
  if (scale != cone_scale::full) {
    answer.note = "converted to full scale by the equation of ASTM D1403, quoted from memory";
    constexpr double least = 175.0, most = 385.0;
    if (p < least || p > most) {
      answer.note += "; the small cones serve 175 to 385 only, so no class";
      return answer;
    }
  }
  const auto note = [&](const std::string& text) {
    if (!answer.note.empty()) answer.note += "; ";
    answer.note += text;
  };
  for (std::size_t i = 0; i < nlgi_classes.size(); ++i) {
    const nlgi_class& c = nlgi_classes[i];
    if (p >= c.lower && p <= c.upper) {
      answer.nlgi = std::string{c.label};
      return answer;
    }
    if (i > 0 && p > c.upper && p < nlgi_classes[i - 1].lower) {
      answer.between = neighbours(i - 1, i);
      note(fmt::format("between {} and {}, no class", nlgi_classes[i - 1].label, c.label));
      return answer;
    }
  }
  note("outside the classes, 85 to 475");
  return answer;
}

nlgi_label parse_nlgi(std::string_view text, std::string_view where) {
  constexpr std::string_view expected = "an NLGI class 000 to 6, or a label such as 1/2, 1.5 or 000/00";
  std::string_view label = text;
  if (label.starts_with("NLGI")) label.remove_prefix(4);
  while (label.starts_with(' ')) label.remove_prefix(1);
  while (label.ends_with(' ')) label.remove_suffix(1);

  if (const auto one = class_index(label)) return {*one, *one, false};
  if (label.size() == 3 && label.ends_with(".5")) {
    if (const auto soft = class_index(label.substr(0, 1)); soft && *soft + 1 < nlgi_classes.size())
      return {*soft, *soft + 1, true};
  }
  if (const auto cut = label.find_first_of("/-"); cut != std::string_view::npos) {
    const auto first = class_index(label.substr(0, cut));
    const auto second = class_index(label.substr(cut + 1));
    if (first && second) {
      const auto [soft, stiff] = std::minmax(*first, *second);
      if (stiff - soft == 1) return {soft, stiff, false};
      throw input_error(where, in_quotes(text) + " joins classes that are no neighbours", expected);
    }
  }
  throw input_error(where, in_quotes(text) + " is no NLGI label", expected);
}

class_answer classify_label(std::string_view text, std::string_view where) {
  const nlgi_label label = parse_nlgi(text, where);
  const nlgi_class& soft = nlgi_classes[label.soft];
  const nlgi_class& stiff = nlgi_classes[label.stiff];
  class_answer answer;
  if (label.soft == label.stiff) {
    answer.nlgi = std::string{soft.label};
    answer.note = fmt::format("worked penetration {} to {}", soft.lower, soft.upper);
    return answer;
  }
  answer.between = neighbours(label.soft, label.stiff);
  answer.note = label.half_grade
                    ? fmt::format("a half grade is trade usage, no standard defines it: between {} and {}, no class",
                                  soft.label, stiff.label)
                    : fmt::format("straddles {} and {}: {} to {} until the worked penetration is known", soft.label,
                                  stiff.label, stiff.lower, soft.upper);
  return answer;
}

}  // namespace coldgrease::inline v0
