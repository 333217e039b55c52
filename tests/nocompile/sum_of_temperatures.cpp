// -15 C + 5 C means nothing: only a step can be added to a point of the scale.
#include "coldgrease/base/temperature.hpp"

using namespace coldgrease;

#if WRONG
const auto sum = celsius(-15) + celsius(5);
#else
const auto sum = celsius(-15) + kelvins(5);
#endif
