"""When two kinships are the same number."""

# Kinships are sums of powers of one half; what differs by less is the same number, rounded otherwise.
KINSHIP_TOLERANCE = 1e-12
