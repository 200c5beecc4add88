"""A relaxation of a limit, as an amount."""

from dataclasses import dataclass

from breeding.planning.problem import Floats

# How a relaxation is counted: uses of a fish, a figure that pairs are judged by, single pairs, crosses for which there
# is room, different fish that must be used, uses that a fish must have, crosses of the plan, further candidates, a
# limit as a whole.
USES, LEVEL, PAIRS, ROOM, FEWER_FISH, FEWER_MUSTS, CROSSES, FISH, LIFTED = (
    "uses", "level", "pairs", "room", "fewer fish", "fewer musts", "crosses", "fish", "lifted"
)  # fmt: skip
DAMS, SIRES = "dams", "sires"


@dataclass(frozen=True, eq=False)
class Level:
    """A limit on pairs that is a figure.

    Attributes
    ----------
    limit : pairs below it are allowed, and those that reach it if `reached`.
    of_pairs : (dams, sires), what is held against it.
    """

    limit: float
    of_pairs: Floats
    reached: bool = False


@dataclass(frozen=True)
class Relaxation:
    """One limit, and by how much.

    Attributes
    ----------
    limit : its name; for `FISH` the side, for `CROSSES` the same word.
    how : one of the ways above.
    by : the amount, always above 0.
    value : what the limit would then be; None where it differs from fish to fish.
    fish, pairs : whom it concerns: fish that stand in the way, or pairs that would be opened.
    """

    limit: str
    how: str
    by: float
    value: float | None = None
    fish: tuple[str, ...] = ()
    pairs: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class WayOut:
    """Relaxations that together make room for a plan."""

    parts: tuple[Relaxation, ...]
