// A picture with two axes, as SVG: it carries its own words for screen readers, real text, and dashes and marks beside
// its colours, so that it survives a printer without them.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "report/markup.hpp"
#include "report/scale.hpp"

namespace coldgrease::inline v0::detail {

/// What a picture is called, in the page and by a screen reader.
struct picture_words {
  std::string id{};     // of its elements, one of its own on a page
  std::string title{};  // what it shows
  std::string says{};   // what a reader takes from it
  bool alone = false;   // in a file of its own: names its kind
};

struct place {
  double x = 0.0;  // [px]
  double y = 0.0;
};

/// How a line looks: it is told from others by its dashes, not by its colour.
struct stroke {
  std::string_view colour{};
  double width = 1.5;
  std::string_view dashes{};
};

/// Where words may stand: the foot of their first row. @param anchor  start, middle or end
struct spot {
  place at{};
  std::string_view anchor = "middle";
};

struct axis_tick {
  double at = 0.0;  // [px]
  std::string label{};
};

inline constexpr std::string_view ink = "#1f1f1f";
inline constexpr double row_high = 14.0;  // [px] of one row of words to the next
inline constexpr std::string_view grid_grey = "#d4d4d4";
/// Dashes and marks that tell up to four lines apart.
inline constexpr std::string_view dashes_of(std::size_t i) {
  constexpr std::string_view known[]{"", "8 4", "2 3", "10 3 2 3"};
  return known[i % std::size(known)];
}

class plot {
 public:
  /// @param x, y  scales in pixels of the picture: their ends are its frame
  plot(const picture_words& words, double width, double height, scale x, scale y);

  scale x, y;

  void left_axis(std::span<const axis_tick> ticks, std::string_view unit, bool grid = true);
  void right_axis(std::span<const axis_tick> ticks, std::string_view unit);
  /// @param row  0 just below the frame, 1 below that
  void bottom_axis(std::span<const axis_tick> ticks, std::string_view unit, int row = 0, bool grid = true);
  /// The area between two lines from left to right.
  void area(std::span<const place> upper, std::span<const place> lower, std::string_view colour);
  /// Cut at the frame.
  void line(std::span<const place> points, const stroke& s);
  void segment(place a, place b, const stroke& s);
  /// Behind everything: words may stand on it.
  void grid_line(place a, place b);
  /// A rectangle with an edge. @param broken  its edge
  void bar(place a, place b, std::string_view fill, bool broken);
  /// Mark `i` of four shapes. @param filled  else its outline
  void mark(place at, std::size_t i, std::string_view colour, bool filled = true);
  /// A bar with an arrow: what is meant lies beyond it. @param above  else below @param sure  else broken
  void bound(place at, bool above, std::string_view colour, bool sure = true);
  /// Words on a white edge. @param anchor  start, middle or end
  void label(place at, std::string_view words, std::string_view anchor = "start", std::string_view colour = ink);

  /// Words in the middle of a bar, without an edge.
  void words(place at, std::string_view in_bar);
  /// Rows of words within the frame, at the first of `spots` where they cover no line, mark or other words drawn
  /// before; nothing is drawn where there is none. @return where they stand
  std::optional<spot> label_clear(std::span<const spot> spots, std::span<const std::string> rows,
                                  std::string_view colour = ink);

  /// True if a line between two places covers no mark and no words put by label_clear.
  bool is_free(place a, place b) const;

  /// A piece of a line beside its words, below or beside the frame. @param at  the left end of the words' foot
  void key(place at, const stroke& s, std::string_view words);

  /// The picture, taken out.
  std::string take();

 private:
  struct rectangle {
    double left = 0.0, top = 0.0, right = 0.0, bottom = 0.0;
  };
  static rectangle box_of(const spot& s, double wide, std::size_t rows);
  bool is_clear(const rectangle& b) const;

  markup svg_;
  std::string clip_;
  std::vector<std::vector<place>> lines_{};  // what words must not cover
  std::vector<rectangle> taken_{};
};

/// A length in the picture, one decimal at most.
std::string px(double v);
/// A name cut to so many characters for a picture: its text says the rest.
std::string short_name(std::string_view name, std::size_t most = 22);
/// About how wide a label is [px]: nobody can know the reader's fonts.
double width_of(std::string_view label);
/// Moves labels that stand too close apart, keeping their order; `at` from top to bottom [px].
void spread_out(std::vector<double>& at, double apart);

}  // namespace coldgrease::inline v0::detail
