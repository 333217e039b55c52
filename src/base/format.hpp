// {fmt} for the sources of this library: compiled once, in format.cpp, under an inline namespace of its own, so that no
// source pays for its implementation and a program may link any other version of it beside this library.
#pragma once

#define FMT_BEGIN_NAMESPACE \
  namespace fmt {           \
  inline namespace coldgrease_copy {
#define FMT_END_NAMESPACE \
  }                       \
  }

#include <fmt/format.h>
