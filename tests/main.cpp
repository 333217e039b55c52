// doctest's own main, but that a run in which no test case is meant fails: a name that the build hands on wrongly would
// pass for ever.
#define DOCTEST_CONFIG_IMPLEMENT
#include <doctest/doctest.h>

#include <cstdio>

namespace {

unsigned meant = 0;

struct counter : doctest::IReporter {
  explicit counter(const doctest::ContextOptions&) {}
  void report_query(const doctest::QueryData&) override {}
  void test_run_start() override {}
  void test_run_end(const doctest::TestRunStats& run) override { meant = run.numTestCasesPassingFilters; }
  void test_case_start(const doctest::TestCaseData&) override {}
  void test_case_reenter(const doctest::TestCaseData&) override {}
  void test_case_end(const doctest::CurrentTestCaseStats&) override {}
  void test_case_exception(const doctest::TestCaseException&) override {}
  void subcase_start(const doctest::SubcaseSignature&) override {}
  void subcase_end() override {}
  void log_assert(const doctest::AssertData&) override {}
  void log_message(const doctest::MessageData&) override {}
  void test_case_skipped(const doctest::TestCaseData&) override {}
};
DOCTEST_REGISTER_LISTENER("counter", 1, counter);

}  // namespace

int main(int count, char** words) {
  doctest::Context context(count, words);
  const int failed = context.run();
  if (context.shouldExit()) return failed;  // asked for a list
  if (meant > 0) return failed;
  std::fprintf(stderr, "no test case has this name\n");
  return 1;
}
