#include <cstdio>
#include <exception>
#ifdef __GLIBC__
#include <malloc.h>
#endif

#include "command.hpp"

namespace {

/// What one route of a fleet gives back the next one takes again: handed to the kernel in between, every page would
/// have to be made anew. Past these bounds it is handed back.
void keep_freed_memory() {
#ifdef __GLIBC__
  constexpr int mebibyte = 1 << 20;
  ::mallopt(M_TRIM_THRESHOLD, 64 * mebibyte);
  ::mallopt(M_MMAP_THRESHOLD, 8 * mebibyte);
#endif
}

}  // namespace

int main(int count, char** words) {
  keep_freed_memory();
  try {
    const std::vector<std::string> given(words + 1, words + count);
    const auto answer = coldgrease::tools::run(given);
    if (!answer.error.empty()) std::fprintf(stderr, "%s\n", answer.error.c_str());
    const bool written = std::fwrite(answer.output.data(), 1, answer.output.size(), stdout) == answer.output.size();
    // A full disk shows only when the buffer is flushed; it must not end as success.
    if (!written || std::fflush(stdout) != 0) {
      std::fprintf(stderr, "standard output: cannot be written\n");
      return 1;
    }
    return answer.exit;
  } catch (...) {
    std::fprintf(stderr, "%s\n", coldgrease::tools::words_of_failure(std::current_exception()).c_str());
    return 1;
  }
}
