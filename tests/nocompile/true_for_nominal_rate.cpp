// A rheometer's rate is not the nominal rate of a tube; nothing turns one into the other unasked.
#include "coldgrease/grease/flow_curve.hpp"

using namespace coldgrease;

const true_rate rheometer{per_second(10)};

#if WRONG
const nominal_rate tube = rheometer;
#else
const nominal_rate tube = nominal_rate{per_second(10)};
#endif
