// Twice 10 C is 20 C, 293 C or 50 C, after the scale in mind: only a step can be scaled.
#include "coldgrease/base/temperature.hpp"

using namespace coldgrease;

#if WRONG
const auto twice = 2.0 * celsius(10);
#else
const auto twice = 2.0 * kelvins(10);
#endif
