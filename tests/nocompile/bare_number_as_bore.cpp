// A bore of 4 what?
#include "coldgrease/line/line.hpp"

using namespace coldgrease;

#if WRONG
const segment tube{.length = metre(6), .bore = 4.0};
#else
const segment tube{.length = metre(6), .bore = millimetre(4.0)};
#endif
