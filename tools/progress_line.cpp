#include "progress_line.hpp"

#include <unistd.h>

#include <cstdio>
#include <string>

namespace coldgrease::tools {

namespace {
constexpr std::chrono::milliseconds quiet_at_first{1000}, between{200};
constexpr const char* to_line_start = "\r\x1b[K";  // and wipes the line
}  // namespace

progress_line::progress_line(bool wanted, std::string_view what)
    : wanted_(wanted && ::isatty(STDERR_FILENO) == 1),
      what_(what),
      next_(std::chrono::steady_clock::now() + quiet_at_first) {}

progress_line::~progress_line() {
  if (shown_) std::fputs(to_line_start, stderr);
}

void progress_line::show(std::string_view how_far) {
  if (!wanted_) return;
  const auto now = std::chrono::steady_clock::now();
  if (now < next_) return;
  next_ = now + between;
  shown_ = true;
  const std::string text = to_line_start + std::string(what_) + ": " + std::string(how_far);
  std::fputs(text.c_str(), stderr);
}

progress progress_line::listener() {
  if (!wanted_) return {};
  return {[](void* self, std::size_t done, std::size_t all) {
            static_cast<progress_line*>(self)->show(std::to_string(100 * done / all) + " %");
          },
          this};
}

}  // namespace coldgrease::tools
