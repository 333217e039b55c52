// Memory that runs out at any place of a pick is said as such: no other answer comes of it, and nothing is kept.
#include <doctest/doctest.h>

#include <new>
#include <set>

#include "coldgrease/plan/pick.hpp"
#include "coldgrease/report/text.hpp"
#include "tools/failing.hpp"

using namespace coldgrease;

namespace {

/// What is read stands outside: the JSON library's destructors allocate, and end the program where that fails.
struct demo {
  fleet f = read_fleet(COLDGREASE_TABLES_SOURCE "/demo/fleet.json");
  std::vector<published_rule> rules = published_rules();
  std::vector<grease> stock = stock_of(f);

  std::string picked() const { return to_text(pick(f, stock, rules), f.installations, stock); }
};

/// Numbers from 1 to past `most`, thinly where there are many.
std::set<std::size_t> spread(std::size_t most, std::size_t how_many) {
  std::set<std::size_t> numbers{1, 2, 3, most, most + 1};
  for (std::size_t i = 1; i < how_many; ++i) numbers.insert(most * i / how_many);  // anywhere
  for (std::size_t n = 5; n < most; n = n * 3 / 2 + 1) numbers.insert(n);          // the beginning, where it reads
  return numbers;
}

struct counts {
  std::size_t told = 0, survived = 0;
};

/// Lets the n-th allocation of `answer` fail, for n of a spread; what is caught goes to `told`, an answer to `got`.
template <class Answer, class Got, class Check>
counts fail_in(Answer answer, std::size_t how_many, Got got, Check check_after) {
  got(answer());  // whatever is made once is made now
  failing::allocation(0);
  got(answer());
  counts c;
  for (const std::size_t n : spread(failing::allocations(), how_many)) {
    CAPTURE(n);
    const auto held = failing::held();
    try {
      failing::allocation(n);
      const auto a = answer();
      failing::allocation(0);
      got(a);
      ++c.survived;
    } catch (const std::bad_alloc&) {
      failing::allocation(0);
      ++c.told;
    }
    CHECK(failing::held() == held);
    check_after();
  }
  return c;
}

void check_pick(std::size_t how_many) {
  const demo d;
  const std::string whole = d.picked();
  const counts c = fail_in([&] { return d.picked(); }, how_many,
                           [&](const std::string& answer) { CHECK((answer == whole)); }, [] {});
  MESSAGE(c.told << " were told, " << c.survived << " survived");
  CHECK(c.told > how_many);
  CHECK(c.survived > 0);  // the one past the last
}

}  // namespace

TEST_CASE("law: an allocation that fails anywhere in a pick comes to its caller, and nothing is kept") {
  check_pick(6);
}

TEST_CASE("law: the same at many places" * doctest::test_suite("long")) { check_pick(200); }
