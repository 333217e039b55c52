#include "base/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <exception>
#include <optional>
#include <system_error>
#include <thread>
#include <vector>

namespace coldgrease::inline v0::detail {

void for_each_index(std::size_t count, int jobs, const std::function<void(std::size_t)>& step,
                    const std::function<void(std::size_t)>& told) {
  std::atomic<std::size_t> next = 0, done = 0;
  std::mutex failing;
  std::size_t first_failed = count;
  std::exception_ptr failure;
  std::size_t last_told = 0;
  const auto work = [&](bool tells) {
    for (std::size_t i = next++; i < count; i = next++) {
      try {
        step(i);
      } catch (...) {
        // Every step before it has been taken by somebody, and is made to its end.
        const std::lock_guard lock(failing);
        if (i < first_failed) failure = std::current_exception();
        first_failed = std::min(first_failed, i);
        next = count;
        return;
      }
      const std::size_t so_far = ++done;
      if (tells && told) told(last_told = so_far);
    }
  };
  const std::size_t wanted = jobs > 0 ? static_cast<std::size_t>(jobs) : std::thread::hardware_concurrency();
  {
    std::vector<std::jthread> others;
    try {
      while (others.size() + 1 < std::min(wanted, count)) others.emplace_back(work, false);
    } catch (const std::system_error&) {
      // No more threads to be had: fewer give the same answers.
    }
    work(true);
  }
  if (failure) std::rethrow_exception(failure);
  if (told && last_told < count) told(count);
}

void write_in_order(std::size_t count, int jobs, const std::function<std::string(std::size_t)>& write,
                    const std::function<void(std::string_view)>& put) {
  constexpr std::size_t most_ahead = 64;
  std::mutex putting;  // of all that follows
  std::condition_variable moved;
  std::vector<std::optional<std::string>> waiting(std::min(count, most_ahead));  // a ring: written, and not put yet
  std::size_t turn = 0;                                                          // of the next to put
  std::size_t failed = count;  // the first that did; those before it are written and put all the same
  for_each_index(count, jobs, [&](std::size_t i) {
    {
      // Others do not run far ahead of a text that takes long: those that wait take room.
      std::unique_lock lock(putting);
      moved.wait(lock, [&] { return i > failed || i < turn + most_ahead; });
      if (i > failed) return;
    }
    try {
      std::string text = write(i);
      const std::lock_guard lock(putting);
      waiting[i % most_ahead] = std::move(text);
      if (i != turn) return;
      for (; turn < failed && waiting[turn % most_ahead]; ++turn) {
        put(*waiting[turn % most_ahead]);
        waiting[turn % most_ahead].reset();
      }
    } catch (...) {
      const std::lock_guard lock(putting);
      failed = std::min(failed, i);
      moved.notify_all();
      throw;
    }
    moved.notify_all();
  });
}

}  // namespace coldgrease::inline v0::detail
