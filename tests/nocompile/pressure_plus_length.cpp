// Quantities of different dimension do not add.
#include "coldgrease/base/units.hpp"

using namespace coldgrease;

#if WRONG
const auto sum = bar(250) + metre(6);
#else
const auto sum = bar(250) + bar(6);
#endif
