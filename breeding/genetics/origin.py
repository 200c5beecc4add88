"""How wild a group is: the share of its genes that came from wild-caught founders."""

from collections.abc import Hashable, Mapping

import numpy as np

from breeding.genetics.founders import Contributions
from breeding.genetics.pedigree import Pedigree

WILD, CAPTIVE = "wild", "captive"


def wild_origin(
    pedigree: Pedigree, found: Contributions, origins: Mapping[Hashable, str | None]
) -> tuple[float, float]:
    """Least and greatest share of the genes of a group that came from the wild.

    Parameters
    ----------
    found
        Contributions to the group.
    origins
        Origin by founder: ``wild`` counts 1, ``captive`` (of unknown parents) 0. Any other founder, and every unknown
        parent, counts 0 in the lower bound and 1 in the upper.

    Examples
    --------
    >>> from breeding.genetics.founders import contributions
    >>> from breeding.genetics.pedigree import ParentRow, build_pedigree
    >>> pedigree = build_pedigree([ParentRow("Ida", "Ada", "Bo"), ParentRow("Jon", "Ida", None)])
    >>> wild_origin(pedigree, contributions(pedigree, ["Jon"]), {"Ada": "wild", "Bo": "captive"})
    (0.25, 0.75)
    """
    told = [origins.get(pedigree.ids[fish]) for fish in found.founders]
    wild = np.array([origin == WILD for origin in told], dtype=bool)
    open_ = np.array([origin not in (WILD, CAPTIVE) for origin in told], dtype=bool)
    low = float(found.of_founders[wild].sum())
    return low, min(1.0, low + float(found.of_founders[open_].sum() + found.of_unknown.sum()))
