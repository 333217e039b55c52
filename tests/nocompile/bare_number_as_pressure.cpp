// 250 what?
#include "coldgrease/line/line.hpp"

using namespace coldgrease;

#if WRONG
const conditions cold{.at = celsius(-15), .available = 250.0};
#else
const conditions cold{.at = celsius(-15), .available = bar(250.0)};
#endif
