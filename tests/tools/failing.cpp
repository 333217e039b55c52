#include "tools/failing.hpp"

#include <sys/types.h>

#include <atomic>
#include <cerrno>
#include <cstdlib>
#include <new>
#include <utility>

namespace {

std::pair<failing::call, int> due{failing::call::none, 0};

bool fails(failing::call which) {
  if (due.first != which) return false;
  due.first = failing::call::none;
  errno = due.second;
  return true;
}

std::atomic<std::size_t> made = 0, fails_at = 0;
std::atomic<std::ptrdiff_t> kept = 0;

/// None where it fails.
void* allocated_or_none(std::size_t bytes, std::size_t alignment = alignof(std::max_align_t)) noexcept {
  if (++made == fails_at) return nullptr;
  const std::size_t whole = (bytes + alignment) / alignment * alignment;  // never none
  void* at = std::aligned_alloc(alignment, whole);
  if (at != nullptr) ++kept;
  return at;
}

void* allocated(std::size_t bytes, std::size_t alignment) {
  void* at = allocated_or_none(bytes, alignment);
  if (at == nullptr) throw std::bad_alloc();
  return at;
}

void given_back(void* at) {
  if (at != nullptr) --kept;
  std::free(at);
}

}  // namespace

namespace failing {

void next(call which, int why) { due = {which, why}; }

void allocation(std::size_t n) {
  made = 0;
  fails_at = n;
}
std::size_t allocations() { return made; }
std::ptrdiff_t held() { return kept; }

}  // namespace failing

// The names are the linker's.
extern "C" {
ssize_t __real_write(int file, const void* bytes, std::size_t count);
ssize_t __wrap_write(int file, const void* bytes, std::size_t count);
int __real_fsync(int file);
int __wrap_fsync(int file);
int __real_rename(const char* from, const char* to);
int __wrap_rename(const char* from, const char* to);

ssize_t __wrap_write(int file, const void* bytes, std::size_t count) {
  return fails(failing::call::write) ? -1 : __real_write(file, bytes, count);
}
int __wrap_fsync(int file) { return fails(failing::call::fsync) ? -1 : __real_fsync(file); }
int __wrap_rename(const char* from, const char* to) {
  return fails(failing::call::rename) ? -1 : __real_rename(from, to);
}
}

// Every form there is: a sanitizer has its own of those that are left out, and tells of memory taken by one and given
// back by the other.
void* operator new(std::size_t bytes) { return allocated(bytes, alignof(std::max_align_t)); }
void* operator new[](std::size_t bytes) { return operator new(bytes); }
void* operator new(std::size_t bytes, std::align_val_t alignment) {
  return allocated(bytes, static_cast<std::size_t>(alignment));
}
void* operator new[](std::size_t bytes, std::align_val_t alignment) { return operator new(bytes, alignment); }

void* operator new(std::size_t bytes, const std::nothrow_t&) noexcept { return allocated_or_none(bytes); }
void* operator new[](std::size_t bytes, const std::nothrow_t&) noexcept { return allocated_or_none(bytes); }
void* operator new(std::size_t bytes, std::align_val_t alignment, const std::nothrow_t&) noexcept {
  return allocated_or_none(bytes, static_cast<std::size_t>(alignment));
}
void* operator new[](std::size_t bytes, std::align_val_t alignment, const std::nothrow_t&) noexcept {
  return allocated_or_none(bytes, static_cast<std::size_t>(alignment));
}

void operator delete(void* at) noexcept { given_back(at); }
void operator delete[](void* at) noexcept { given_back(at); }
void operator delete(void* at, std::size_t) noexcept { given_back(at); }
void operator delete[](void* at, std::size_t) noexcept { given_back(at); }
void operator delete(void* at, std::align_val_t) noexcept { given_back(at); }
void operator delete[](void* at, std::align_val_t) noexcept { given_back(at); }
void operator delete(void* at, std::size_t, std::align_val_t) noexcept { given_back(at); }
void operator delete[](void* at, std::size_t, std::align_val_t) noexcept { given_back(at); }
void operator delete(void* at, const std::nothrow_t&) noexcept { given_back(at); }
void operator delete[](void* at, const std::nothrow_t&) noexcept { given_back(at); }
void operator delete(void* at, std::align_val_t, const std::nothrow_t&) noexcept { given_back(at); }
void operator delete[](void* at, std::align_val_t, const std::nothrow_t&) noexcept { given_back(at); }
