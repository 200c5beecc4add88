"""What the geneticist and the hatchery allow."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

# Kinships are sums of powers of one half; what differs by less is the same number, rounded otherwise.
KINSHIP_TOLERANCE = 1e-12

Pair = tuple[str, str]  # dam, sire


@dataclass(frozen=True)
class Limits:
    """Limits on crosses.

    Attributes
    ----------
    max_kinship : largest kinship allowed between dam and sire (met with equality is allowed); 1 allows everything.
    forbidden : (dam, sire) pairs that may not be made, each with the reason in words.
    crosses_left : how many more crosses a fish may be used in this season; a fish not named has no limit.
    """

    max_kinship: float = 1.0
    forbidden: Mapping[Pair, str] = field(default_factory=dict)
    crosses_left: Mapping[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not math.isfinite(self.max_kinship) or not 0 <= self.max_kinship <= 1:
            raise ValueError(f"The kinship limit is {self.max_kinship}; it must be between 0 and 1.")
        for fish, left in self.crosses_left.items():
            if left != int(left) or left < 0:
                raise ValueError(f"Fish {fish} has {left} crosses left; give a whole number, 0 or more.")

    def allows_kinship(self, kinship: float) -> bool:
        """Whether a pair of that kinship is within the limit."""
        return kinship <= self.max_kinship + KINSHIP_TOLERANCE
