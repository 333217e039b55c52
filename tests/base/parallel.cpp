// Laws of work on several threads: each step once, the first refusal, each value made once.
#include "base/parallel.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <string>
#include <thread>
#include <vector>

#include "coldgrease/base/error.hpp"

using namespace coldgrease;
using detail::for_each_index;
using detail::made_once;

TEST_CASE("law: every step is made once, on any number of threads, and the listener hears of the last one last") {
  for (const int jobs : {0, 1, 2, 7, 100}) {
    for (const std::size_t count : {0U, 1U, 2U, 50U}) {
      std::vector<std::atomic<int>> made(count);
      std::vector<std::size_t> told;
      for_each_index(
          count, jobs, [&](std::size_t i) { ++made[i]; }, [&](std::size_t done) { told.push_back(done); });
      CHECK(std::ranges::all_of(made, [](const auto& times) { return times == 1; }));
      CHECK(std::ranges::is_sorted(told));
      CHECK(told.size() <= count);
      if (count > 0) CHECK(told.back() == count);
      if (jobs == 1) CHECK(told.size() == count);
    }
  }
}

TEST_CASE("law: of several steps that throw the first is told, on any number of threads") {
  for (const int jobs : {1, 2, 7}) {
    for (int run = 0; run < 20; ++run) {
      const auto step = [](std::size_t i) {
        // The later one of two throws sooner.
        if (i == 5) std::this_thread::sleep_for(std::chrono::milliseconds(1));
        if (i == 5 || i == 6 || i == 40) throw input_error("step", std::to_string(i), "another");
      };
      CHECK_THROWS_WITH_AS(for_each_index(50, jobs, step), "step: 5; expected another", input_error);
    }
  }
}

TEST_CASE("law: what threads write stands in its order, each text once, and the first refusal is told") {
  for (const int jobs : {0, 1, 2, 7}) {
    for (const std::size_t count : {0U, 1U, 63U, 64U, 65U, 200U}) {
      std::string all, expected;
      detail::write_in_order(
          count, jobs, [](std::size_t i) { return std::to_string(i) + " "; },
          [&](std::string_view text) { all += text; });
      for (std::size_t i = 0; i < count; ++i) expected += std::to_string(i) + " ";
      CHECK(all == expected);
    }
    const auto refuse = [](std::size_t i) -> std::string {
      if (i >= 70) throw input_error("text", std::to_string(i), "another");
      return {};
    };
    CHECK_THROWS_WITH_AS(detail::write_in_order(200, jobs, refuse, [](std::string_view) {}),
                         "text: 70; expected another", input_error);
    const auto full = [](std::string_view text) {
      if (text == "3") throw input_error("put", std::string(text), "room");
    };
    CHECK_THROWS_WITH_AS(detail::write_in_order(
                             200, jobs, [](std::size_t i) { return std::to_string(i); }, full),
                         "put: 3; expected room", input_error);
  }
}

TEST_CASE("law: of several texts that cannot be written the first is told, and those before it have been put") {
  for (const int jobs : {1, 2, 7}) {
    for (int run = 0; run < 20; ++run) {
      const auto write = [](std::size_t i) {
        // The later one of two throws sooner.
        if (i == 5) std::this_thread::sleep_for(std::chrono::milliseconds(1));
        if (i == 5 || i == 6) throw input_error("text", std::to_string(i), "another");
        return std::to_string(i);
      };
      std::string put;
      CHECK_THROWS_WITH_AS(detail::write_in_order(200, jobs, write, [&](std::string_view text) { put += text; }),
                           "text: 5; expected another", input_error);
      CHECK(put == "01234");
    }
  }
}

TEST_CASE("law: while one text is long in writing, some behind it are written and wait, but few") {
  constexpr std::size_t late = 100, most = 63;
  std::atomic<std::size_t> begun = 0;
  std::size_t behind = 0;
  const auto write = [&](std::size_t i) {
    ++begun;
    if (i == late) {
      using std::chrono::milliseconds;
      for (int waited = 0; waited < 10'000 && begun < late + 1 + most; ++waited)
        std::this_thread::sleep_for(milliseconds(1));
      std::this_thread::sleep_for(milliseconds(5));
      behind = begun - (late + 1);
    }
    return std::string("x");
  };
  std::size_t put = 0;
  detail::write_in_order(1000, 2, write, [&](std::string_view) { ++put; });
  CHECK(put == 1000);
  CHECK(behind == most);
}

TEST_CASE("law: threads that ask for one value share the one that was made, and it goes with the last of them") {
  made_once<std::string, std::vector<int>> values;
  for (int i = 0; i < 60; ++i) values.announce(i % 3 == 0 ? "a" : "b");
  std::atomic<int> made = 0;
  std::vector<std::size_t> sizes(60);
  for_each_index(60, 7, [&](std::size_t i) {
    sizes[i] = values
                   .get(i % 3 == 0 ? "a" : "b",
                        [&] {
                          ++made;
                          return std::vector<int>(i % 3 == 0 ? 10 : 20);
                        })
                   .size();
  });
  CHECK(made == 2);
  for (std::size_t i = 0; i < sizes.size(); ++i) CHECK(sizes[i] == (i % 3 == 0 ? 10 : 20));
  // It went: whoever was not announced has it made again, and it stays.
  for (int again = 0; again < 3; ++again)
    values.get("a", [&] { return std::vector<int>(static_cast<std::size_t>(++made)); });
  CHECK(made == 3);
}

TEST_CASE("law: a value that could not be made is tried again by the next who asks") {
  made_once<int, int> values;
  const auto refused = []() -> int { throw input_error("value", "1", "another"); };
  CHECK_THROWS_AS(values.get(1, refused), input_error);
  CHECK(values.get(1, [] { return 7; }) == 7);
}
