// Ways to bytes: files, memory, a program's own names; what is refused, and the checksum.
#include "coldgrease/base/source.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <zlib.h>

#include <filesystem>
#include <fstream>
#include <map>

#include "refusal.hpp"

using namespace coldgrease;

namespace {

/// A folder of its own, removed afterwards.
class scratch_folder {
 public:
  explicit scratch_folder(const char* name) : path_(std::filesystem::temp_directory_path() / name) {
    std::filesystem::remove_all(path_);
    std::filesystem::create_directories(path_ / "in");
  }
  ~scratch_folder() { std::filesystem::remove_all(path_); }
  std::string write(const std::string& name, const std::string& bytes) const {
    std::ofstream(path_ / name, std::ios::binary) << bytes;
    return (path_ / name).string();
  }
  std::string operator/(const std::string& name) const { return (path_ / name).string(); }
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

std::string packed(const std::string& text) {
  z_stream stream{};
  REQUIRE(deflateInit2(&stream, 9, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY) == Z_OK);
  std::string out(deflateBound(&stream, text.size()), '\0');
  std::string in = text;
  stream.next_in = reinterpret_cast<Bytef*>(in.data());
  stream.avail_in = static_cast<uInt>(in.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  REQUIRE(deflate(&stream, Z_FINISH) == Z_STREAM_END);
  out.resize(stream.total_out);
  deflateEnd(&stream);
  return out;
}

struct names_in_memory : opener {
  std::map<std::string, std::string> files;
  std::optional<std::string> open(const std::string& name) const override {
    const auto found = files.find(name);
    return found == files.end() ? std::nullopt : std::optional(found->second);
  }
};

const place by{.file = "fleet.json", .line = 0, .pointer = "/greases", .field = {}};

}  // namespace

TEST_CASE("published value: CRC-32 of the nine digits is cbf43926") {
  // Source: the check value that catalogues of CRC algorithms give for CRC-32 as of ISO 3309 and ITU-T V.42.
  const scratch_folder folder("coldgrease_source_crc");
  CHECK(source(folder.write("digits", "123456789")).read(file_kind::json).checksum == 0xcbf43926U);
  CHECK(source::memory("digits", "123456789").read(file_kind::json).checksum == 0xcbf43926U);
}

TEST_CASE("law: a file, memory and an opener give the same text and checksum, packed or not") {
  const scratch_folder folder("coldgrease_source_ways");
  names_in_memory names;
  for (const std::string& bytes : {std::string("a text\n"), packed("a text\n"), std::string()}) {
    const auto disk = source(folder.write("f", bytes)).read(file_kind::points);
    names.files["f"] = bytes;
    for (const source& other : {source::memory("f", bytes), source::from(names, "f")}) {
      const auto read = other.read(file_kind::points);
      CHECK(read.bytes == disk.bytes);
      CHECK(read.checksum == disk.checksum);
    }
    CHECK(disk.bytes == (bytes.empty() ? "" : "a text\n"));
    // Of the bytes that are read, not of what they unpack to.
    CHECK(disk.checksum == crc32(0, reinterpret_cast<const Bytef*>(bytes.data()), static_cast<uInt>(bytes.size())));
  }
}

TEST_CASE("case: each kind of file has its budget, packed or not") {
  const std::string mebibyte(std::size_t{1} << 20U, 'x');
  CHECK(source::memory("f", mebibyte).read(file_kind::points).bytes.size() == mebibyte.size());
  CHECK(refusal([&] { source::memory("f", mebibyte + "x").read(file_kind::points); }) ==
        "f: holds more than 1 MiB; expected a smaller file");
  CHECK(refusal([&] { source::memory("f", packed(mebibyte + "x")).read(file_kind::schedule); }) ==
        "f: unpacks to more than 1 MiB; expected a smaller file");
  CHECK(source::memory("f", mebibyte + "x").read(file_kind::json).bytes.size() == mebibyte.size() + 1);
  const scratch_folder folder("coldgrease_source_budget");
  const std::string path = folder.write("large", "");
  std::filesystem::resize_file(path, (std::uintmax_t{16} << 20U) + 1);
  CHECK(refusal([&] { source(path).read(file_kind::json); }) ==
        path + ": holds more than 16 MiB; expected a smaller file");
  CHECK(source(path).read(file_kind::weather).bytes.size() == (std::size_t{16} << 20U) + 1);
}

TEST_CASE("case: a file that is missing is refused where it is named") {
  const scratch_folder folder("coldgrease_source_named");
  const source fleet = folder.write("fleet.json", "{}");
  CHECK(fleet.named("in/g.json", by).name() == folder / "in/g.json");
  CHECK(refusal([&] { fleet.named("g.json", by).read(file_kind::json); }) ==
        "fleet.json: /greases: " + (folder / "g.json").substr(0) +
            ": No such file or directory; expected a file that can be read");
  CHECK(refusal([&] { fleet.named("in", by).read(file_kind::json); }).find("is a folder") != std::string::npos);
  CHECK(refusal([&] { source("no such file").read(file_kind::json); }) ==
        "no such file: No such file or directory; expected a file that can be read");
  CHECK(refusal([&] { source(std::string("a\0b", 3)).read(file_kind::json); }) ==
        R"(a\x00b: holds a zero byte; expected the name of a file)");
}

TEST_CASE("case: below a root, every file that is named must lie in it, links resolved") {
  const scratch_folder folder("coldgrease_source_root");
  folder.write("secret", "s");
  folder.write("in/g.json", "{}");
  std::filesystem::create_symlink("../secret", folder.path() / "in" / "link");
  std::filesystem::create_symlink("g.json", folder.path() / "in" / "inner");
  folder.write("in/fleet.json", "{}");
  std::filesystem::create_directory(folder.path() / "inside");  // a folder whose name only begins alike
  folder.write("inside/g.json", "{}");
  for (const std::string& root : {folder / "in", (folder / "in") + "/"}) {
    const source fleet = source(folder / "in/fleet.json").below(root);
    CHECK(fleet.named("g.json", by).read(file_kind::json).bytes == "{}");
    CHECK(fleet.named("inner", by).read(file_kind::json).bytes == "{}");
    for (const std::string& name : {std::string("../secret"), std::string("link"), folder / "secret",
                                    std::string("../inside/g.json"), std::string("/etc/passwd")}) {
      CAPTURE(name);
      const std::string refused = refusal([&] { fleet.named(name, by).read(file_kind::json); });
      CHECK(refused.find("fleet.json: /greases: ") == 0);
      CHECK(refused.find("lies outside of") != std::string::npos);
    }
  }
}

TEST_CASE("case: what is named inside a file must be a regular file, what is named outright may be a pipe") {
  const scratch_folder folder("coldgrease_source_pipe");
  const std::string pipe = folder / "pipe";
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  const auto refused = [](const source& file) { return refusal([&] { file.read(file_kind::points); }); };
  const std::string fault = ": is a pipe, a socket or a device; expected a regular file";
  // Nobody writes to it: what opened it would wait for ever.
  CHECK(refused(source(folder / "fleet.json").named("pipe", by)) == "fleet.json: /greases: " + pipe + fault);
  CHECK(refused(source("fleet.json").named("/dev/zero", by)) == "fleet.json: /greases: /dev/zero" + fault);
  CHECK(refused(source(pipe).untrusted()) == pipe + fault);
  CHECK(refused(source("/dev/zero")) == "/dev/zero: holds more than 1 MiB; expected a smaller file");
  const pid_t writer = ::fork();
  if (writer == 0) {
    std::ofstream(pipe) << "a text";
    ::_exit(0);
  }
  CHECK(source(pipe).read(file_kind::points).bytes == "a text");
  ::waitpid(writer, nullptr, 0);
}

TEST_CASE("case: a root holds for a file that somebody untrusted names, and not for one that is named outright") {
  const scratch_folder folder("coldgrease_source_untrusted");
  const source outside = folder.write("secret", "s"), inside = folder.write("in/file", "f");
  const std::string root = folder / "in";
  CHECK(outside.below(root).read(file_kind::points).bytes == "s");
  CHECK(inside.below(root).untrusted().read(file_kind::points).bytes == "f");
  CHECK(refusal([&] { outside.below(root).untrusted().read(file_kind::points); }).find("lies outside of") !=
        std::string::npos);
}

TEST_CASE("case: a root holds without a name, for an opener, and for names that no folder can have") {
  const scratch_folder folder("coldgrease_source_root_kinds");
  folder.write("secret", "s");
  const auto refused = [&](const source& fleet, const std::string& name) {
    return refusal([&] { fleet.named(name, {.file = fleet.name(), .pointer = "/greases"}).read(file_kind::json); });
  };
  const std::string root = folder / "in";
  CHECK(refused(source::memory("", "{}").below(root), folder / "secret").find("lies outside of") != std::string::npos);
  CHECK(refused(source(root + "/fleet.json").below(""), folder / "secret").find("lies outside of") !=
        std::string::npos);
  names_in_memory names;
  names.files = {{"in/../secret", "s"}, {"in/g.json", "{}"}};
  const source fleet = source::from(names, "in/fleet.json").below("in");
  CHECK(fleet.named("g.json", by).read(file_kind::json).bytes == "{}");
  CHECK(refused(fleet, "../secret").find("lies outside of") != std::string::npos);
  CHECK(refused(source(root + "/fleet.json").below(root), std::string(300, 'a')).find("File name too long") !=
        std::string::npos);
  CHECK(refused(source(root + "/fleet.json").below(root), "none.json").find("No such file") != std::string::npos);
}

TEST_CASE("case: bytes behind a packed text and its zeros are refused, not dropped") {
  const std::string text = packed("one\n");
  CHECK(source::memory("f", text + std::string(3, '\0')).read(file_kind::json).bytes == "one\n");
  CHECK(source::memory("f", text + packed("two\n")).read(file_kind::json).bytes == "one\ntwo\n");
  CHECK(refusal([&] { source::memory("f", text + '\0' + packed("two\n")).read(file_kind::json); }) ==
        "f: is packed by gzip, and other bytes follow it; expected a whole gzip file");
}

TEST_CASE("case: names inside a file of an opener are the opener's, and no file on disk is read") {
  names_in_memory names;
  names.files = {{"a/fleet.json", "{}"}, {"a/g.json", "[]"}};
  const source fleet = source::from(names, "a/fleet.json");
  CHECK(fleet.named("g.json", by).read(file_kind::json).bytes == "[]");
  CHECK(refusal([&] { fleet.named("/etc/passwd", by).read(file_kind::json); }) ==
        "fleet.json: /greases: /etc/passwd: there is no such file; expected a name that can be opened");
}
