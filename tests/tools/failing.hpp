// Calls of the system and of the allocator that fail when a test says so: the linker puts these in the way of the
// command's own (--wrap), and operator new is replaced.
#pragma once

#include <cstddef>

namespace failing {

enum class call { none, write, fsync, rename };

/// The next call of that kind fails with an error number.
void next(call which, int why);

/// The n-th allocation from now on fails (0: none does) and those after it are made.
void allocation(std::size_t n);
/// How many there were since then.
std::size_t allocations();
/// How many are not given back, of all.
std::ptrdiff_t held();

}  // namespace failing
