// A file is written whole or not at all, whoever else writes it, whatever kills the writer, and nothing else is
// touched.
#include "../../tools/output_file.hpp"

#include <doctest/doctest.h>
#include <poll.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <csignal>
#include <functional>
#include <random>
#include <thread>

#include "cli/run.hpp"
#include "refusal.hpp"
#include "tools/failing.hpp"

namespace {

namespace fs = std::filesystem;

using names = std::vector<std::string>;

void put(const fs::path& path, const std::string& text) { coldgrease::tools::write_file(path.string(), text); }

names names_in(const fs::path& folder) {
  names found;
  for (const auto& entry : fs::directory_iterator(folder)) found.push_back(entry.path().filename().string());
  std::ranges::sort(found);
  return found;
}

/// A text that shows if it is cut or mixed with another.
std::string text_of(char letter) { return std::string(300'000, letter) + '.'; }
bool is_whole(const std::string& text) { return !text.empty() && text == text_of(text.front()); }

::mode_t mode_of(const fs::path& path) {
  struct ::stat found {};
  REQUIRE(::stat(path.c_str(), &found) == 0);
  return found.st_mode & 07777;
}

/// Another process that does something and ends with 0, or with 1 if that is refused.
pid_t in_child(const std::function<void()>& work) {
  const pid_t child = ::fork();
  if (child != 0) return child;
  try {
    work();
  } catch (const std::exception&) {
    ::_exit(1);
  }
  ::_exit(0);
}

int exit_of(pid_t child) {
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

const std::string left_behind = ".coldgrease-0123456789abcdef.part";

}  // namespace

TEST_CASE("law: a file is written where it is named, and no other name is taken") {
  const scratch_folder folder;
  const fs::path page = folder.path() / "page";
  write_file(folder.path() / "page.part", "an input");
  for (const char* text : {"one", "two", ""}) {
    put(page, text);
    CHECK(bytes_of_file(page) == text);
  }
  CHECK(bytes_of_file(folder.path() / "page.part") == "an input");
  CHECK(names_in(folder.path()) == names{"page", "page.part"});
}

TEST_CASE("law: of twenty processes that write one name all succeed, and one whole file is there, then and before") {
  const scratch_folder folder;
  const fs::path page = folder.path() / "page";
  put(page, text_of('z'));
  std::vector<pid_t> writers;
  for (char letter = 'a'; letter < 'a' + 20; ++letter)
    writers.push_back(in_child([&] {
      for (int i = 0; i < 2; ++i) put(page, text_of(letter));
    }));
  bool whole = true;
  for (int looks = 0; looks < 40; ++looks) whole = whole && is_whole(bytes_of_file(page));
  for (const pid_t writer : writers) CHECK(exit_of(writer) == 0);
  CHECK(whole);
  const std::string last = bytes_of_file(page);
  CHECK(is_whole(last));
  CHECK(last.front() != 'z');
  CHECK(names_in(folder.path()) == names{"page"});
}

TEST_CASE("law: a writer that is killed at any time leaves the old or the new file whole, and the next one tidies up") {
  const scratch_folder folder;
  const fs::path page = folder.path() / "page";
  put(page, text_of('a'));
  std::mt19937 random(7);
  std::size_t left = 0;
  int kills = 0;
  int writing[2];
  REQUIRE(::pipe(writing) == 0);
  // Of so many kills, each while one file after the other is written, some come within one; no more than that is asked
  // of the clock.
  for (; kills < 40 || (left == 0 && kills < 400); ++kills) {
    const pid_t writer = in_child([&] {
      put(page, text_of('a'));
      if (::write(writing[1], "", 1) != 1) return;
      while (true) {
        put(page, text_of('b'));
        put(page, text_of('a'));
      }
    });
    char begun = 0;
    REQUIRE(::read(writing[0], &begun, 1) == 1);
    std::this_thread::sleep_for(std::chrono::microseconds(random() % 8'000));
    ::kill(writer, SIGKILL);
    CHECK(exit_of(writer) == -1);
    CHECK(is_whole(bytes_of_file(page)));
    const std::size_t beside = names_in(folder.path()).size() - 1;
    CHECK(beside <= 1);  // the writer before this one swept first
    left += beside;
  }
  ::close(writing[0]);
  ::close(writing[1]);
  MESSAGE(left << " files were left by " << kills << " kills");
  CHECK(left > 0);
  put(page, "last");
  CHECK(bytes_of_file(page) == "last");
  CHECK(names_in(folder.path()) == names{"page"});
}

TEST_CASE("case: only what nobody holds and has a name of ours is swept") {
  const scratch_folder folder;
  const auto beside = [&](const std::string& name) { return folder.path() / name; };
  const names others{".coldgrease-0123456789abcde.part", ".coldgrease-0123456789abcdeg.part",
                     ".coldgrease-0123456789abcdef.parts", "coldgrease-0123456789abcdef.part"};
  for (const std::string& name : others) write_file(beside(name), "a user's own");
  write_file(beside(left_behind), "left by a writer that was killed");
  const std::string held = ".coldgrease-00000000000000ff.part";
  write_file(beside(held), "being written");
  const int lock = ::open(beside(held).c_str(), O_RDONLY | O_CLOEXEC);
  REQUIRE(::flock(lock, LOCK_EX) == 0);
  fs::create_symlink("elsewhere", beside(".coldgrease-0000000000000001.part"));
  write_file(beside("elsewhere"), "a user's own");
  REQUIRE(::mkfifo(beside(".coldgrease-0000000000000002.part").c_str(), 0600) == 0);

  names expected = others;
  expected.insert(expected.end(), {held, "elsewhere", "page", ".coldgrease-0000000000000001.part",
                                   ".coldgrease-0000000000000002.part"});
  std::ranges::sort(expected);
  put(beside("page"), "a page");
  CHECK(names_in(folder.path()) == expected);
  ::close(lock);
  put(beside("page"), "a page");
  std::erase(expected, held);
  CHECK(names_in(folder.path()) == expected);
}

TEST_CASE("case: a file keeps its mode, a new one gets that of any new file") {
  const scratch_folder folder;
  const fs::path page = folder.path() / "page";
  const ::mode_t before = ::umask(027);
  put(page, "a page");
  CHECK(mode_of(page) == 0640);
  for (const ::mode_t mode : {0600U, 0666U, 0444U}) {
    fs::permissions(page, static_cast<fs::perms>(mode));
    put(page, "another");
    CHECK(mode_of(page) == mode);
    CHECK(bytes_of_file(page) == "another");
  }
  ::umask(before);
}

TEST_CASE("case: a link is followed and stays, be there a file behind it or not yet") {
  const scratch_folder folder;
  fs::create_directories(folder.path() / "pages");
  const fs::path link = folder.path() / "link", file = folder.path() / "pages" / "page";
  fs::create_symlink("pages/second", link);
  fs::create_symlink("page", folder.path() / "pages" / "second");
  for (const char* text : {"new", "again"}) {
    put(link, text);
    CHECK(fs::is_symlink(link));
    CHECK_FALSE(fs::is_symlink(file));
    CHECK(bytes_of_file(file) == text);
    CHECK(names_in(folder.path()) == names{"link", "pages"});
    CHECK(names_in(folder.path() / "pages") == names{"page", "second"});
  }
  fs::create_symlink("loop", folder.path() / "loop");
  CHECK(refusal([&] { put(folder.path() / "loop", "x"); }).find("symbolic links") != std::string::npos);
}

TEST_CASE("case: a name in the folder one stands in, which has no folder of its own, is swept and written alike") {
  const scratch_folder folder;
  write_file(folder.path() / left_behind, "left");
  CHECK(exit_of(in_child([&] {
          if (::chdir(folder.path().c_str()) != 0) ::_exit(2);
          put("page", "a page");
        })) == 0);
  CHECK(names_in(folder.path()) == names{"page"});
}

TEST_CASE("case: a pipe is written as it comes and stays a pipe") {
  const scratch_folder folder;
  const fs::path pipe = folder.path() / "pipe";
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  const pid_t writer = in_child([&] { put(pipe, text_of('p')); });
  CHECK(is_whole(bytes_of_file(pipe)));
  CHECK(exit_of(writer) == 0);
  CHECK(fs::is_fifo(pipe));
  CHECK(names_in(folder.path()) == names{"pipe"});
}

TEST_CASE("case: a device is written as it comes, and what it refuses is said in one line") {
  put("/dev/null", "nothing");
  CHECK(refusal([] { put("/dev/full", "a page"); }) ==
        "/dev/full: No space left on device; expected a file that can be written");
}

TEST_CASE("case: where standard output goes the text goes on, between what others write there") {
  const scratch_folder folder;
  const fs::path out = folder.path() / "out";
  const auto say = [](std::string_view text) {
    if (::write(STDOUT_FILENO, text.data(), text.size()) < 0) ::_exit(2);
  };
  CHECK(exit_of(in_child([&] {
          const int file = ::open(out.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600);
          ::dup2(file, STDOUT_FILENO);
          say("before ");
          put("/dev/stdout", "a page");
          say(" after");
        })) == 0);
  CHECK(bytes_of_file(out) == "before a page after");
  CHECK(names_in(folder.path()) == names{"out"});
}

TEST_CASE("law: whatever call fails, one line says so, the old file is whole and nothing is left beside it") {
  const scratch_folder folder;
  const fs::path page = folder.path() / "page";
  put(page, text_of('a'));
  const auto after = [&](failing::call which, int why) {
    failing::next(which, why);
    const std::string said = refusal([&] { put(page, text_of('b')); });
    failing::next(failing::call::none, 0);
    CHECK(bytes_of_file(page) == text_of('a'));
    CHECK(names_in(folder.path()) == names{"page"});
    return said;
  };
  const std::string begin = page.string() + ": ", end = "; expected a file that can be written";
  CHECK(after(failing::call::write, ENOSPC) == begin + "No space left on device" + end);
  CHECK(after(failing::call::write, EIO) == begin + "Input/output error" + end);
  CHECK(after(failing::call::fsync, EIO) == begin + "Input/output error" + end);
  CHECK(after(failing::call::rename, EBUSY) == begin + "Device or resource busy" + end);
  // Not a failure: the call is made again.
  failing::next(failing::call::write, EINTR);
  put(page, text_of('c'));
  CHECK(bytes_of_file(page) == text_of('c'));
}
