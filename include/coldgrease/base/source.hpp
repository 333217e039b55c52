// Where bytes come from: a file, memory, or names that a program opens itself. Every reader reads through it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0 {

/// Kinds of files, each with the most that is read of one, unpacked: weather 512 MiB; a fleet, greases or a table
/// (JSON) 16 MiB; a schedule of lines or points of a flow curve 1 MiB.
enum class file_kind { weather, json, schedule, points };
std::size_t most_bytes(file_kind kind) noexcept;

/// A file that an answer stands on, and the CRC-32 of the bytes that were read, as gzip and zip use it.
struct input_file {
  std::string path{};
  std::optional<std::uint32_t> checksum{};
  friend bool operator==(const input_file&, const input_file&) = default;
};

/// Opens names for a program that keeps its files elsewhere than on disk: an archive, a database, a page in a browser.
class opener {
 public:
  virtual ~opener() = default;
  /// All bytes of a name; nothing if there is none.
  virtual std::optional<std::string> open(const std::string& name) const = 0;
};

/// A name and the way to its bytes. Safe to share between threads if its opener is.
class source {
 public:
  source() = default;  // of no file: empty() is true
  /// A file on disk. Implicit, so that a reader takes a path.
  source(std::string path) : name_(std::move(path)) {}
  source(const char* path) : name_(path) {}
  /// Bytes at hand; `name` stands for them in errors, and files named inside are looked for beside it, on disk.
  static source memory(std::string name, std::string bytes);
  /// A name of an opener's, and all names inside are the opener's as well. It must outlive what is read through it, a
  /// fleet with its weather above all.
  static source from(const opener& names, std::string name);

  /// The same, with a folder below which every file named inside must lie, links resolved.
  source below(std::string root) const;
  /// The same, named by somebody who may not choose what is read: held to what holds for a file named inside another.
  /// It must be a regular file (a pipe may never end, a device may do anything) and lie below the root, if there is
  /// one.
  source untrusted() const;
  /// The file that a text of this one names, relative to its folder; `by` is where it is named.
  source named(std::string_view name, place by) const;

  bool empty() const { return name_.empty(); }
  const std::string& name() const { return name_; }

  /// A text and the checksum of the bytes it was read from, packed or not.
  struct text {
    std::string bytes{};
    std::uint32_t checksum = 0;
  };
  /// All of it, unpacked if it is packed by gzip (told by its first bytes, whatever its name).
  /// @throws file_error for a folder, a file that is missing, unreadable, outside the root or larger than its kind may
  ///         be, one named in another that is no regular file, and for packed data that is damaged or cut short; a file
  ///         named in another is refused where it is named
  text read(file_kind kind) const;

  /// A text that is equal for two sources of the same bytes: name, root, opener, and a checksum of bytes at hand.
  std::string identity() const;
  /// The same name and root, opened by the same, wherever it is named.
  friend bool operator==(const source& a, const source& b) {
    return a.name_ == b.name_ && a.root_ == b.root_ && a.opener_ == b.opener_ && a.bytes_ == b.bytes_;
  }

 private:
  std::string name_{};
  std::optional<std::string> bytes_{};
  const opener* opener_ = nullptr;
  std::string root_{};
  bool untrusted_ = false;
  place named_by_{};  // its file is empty where a program or a person gave the name
};

}  // namespace coldgrease::inline v0
