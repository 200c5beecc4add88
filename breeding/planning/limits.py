"""When two kinships are the same number: what differs by less than the rules' rounding is, rounded otherwise."""

from registry.rules.crossing.limits import ROUNDING

KINSHIP_TOLERANCE = float(ROUNDING)
