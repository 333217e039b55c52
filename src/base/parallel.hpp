// Work spread over threads, with the answers that one thread would give.
#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <utility>

namespace coldgrease::inline v0::detail {

/// Calls step(i) once for every i below `count`, on as many threads as `jobs` says, the caller's among them; 0: one a
/// core. Threads take the next i as they become free. What a step throws is thrown as if they had been made one after
/// the other: that of the smallest i that throws; steps behind it may be left out.
/// @param told  called with the number of steps done by the caller's thread alone, after its own steps and last of all
void for_each_index(std::size_t count, int jobs, const std::function<void(std::size_t)>& step,
                    const std::function<void(std::size_t)>& told = {});

/// Writes texts on several threads and puts them down in their order, each as soon as those before it are: few wait.
/// @param write  called by several threads at once; where it throws, the texts before that one have been put
/// @param put    called for one text at a time, by any of the threads
void write_in_order(std::size_t count, int jobs, const std::function<std::string(std::size_t)>& write,
                    const std::function<void(std::string_view)>& put);

/// Values that threads ask for by a key, each made once: by the first that asks, while others who ask for it wait. If
/// making it throws, the next who asks tries again.
template <class Key, class Value>
class made_once {
 public:
  /// Says before any get() that this key will be asked for once more: its value goes with the last who asks. One that
  /// nobody announced is kept.
  void announce(const Key& key) { ++slots_[key].askers; }

  template <class Make>
  Value get(const Key& key, Make make) {
    slot* own = nullptr;
    {
      const std::lock_guard lock(mutex_);
      own = &slots_[key];  // stays where it is while somebody who was announced is not done
    }
    {
      const std::lock_guard lock(own->making);
      if (!own->value) own->value = std::make_unique<Value>(make());
    }
    {
      const std::lock_guard lock(mutex_);
      if (own->askers == 1) {
        Value last = std::move(*own->value);
        slots_.erase(key);
        return last;
      }
    }
    Value copy = *own->value;
    const std::lock_guard lock(mutex_);
    if (own->askers > 0 && --own->askers == 0) slots_.erase(key);
    return copy;
  }

 private:
  struct slot {
    std::mutex making;
    std::unique_ptr<Value> value{};  // no room before it is made: thousands may be announced
    int askers = 0;                  // announced and not done yet
  };
  std::mutex mutex_;  // of the map and of the askers
  std::map<Key, slot> slots_;
};

}  // namespace coldgrease::inline v0::detail
