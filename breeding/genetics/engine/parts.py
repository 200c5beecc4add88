"""Parts and extensions of a pedigree: the ancestors of some fish, unknown parents made explicit."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from math import prod

import numpy as np

from breeding.genetics.engine.families import Families, certain_families
from breeding.genetics.engine.order import spread
from breeding.genetics.pedigree import Pedigree


def ancestry_of(pedigree: Pedigree, fish: np.ndarray) -> tuple[Pedigree, np.ndarray]:
    """The pedigree of some fish and their ancestors only.

    Parameters
    ----------
    fish : (n,) int
        Positions.

    Returns
    -------
    pedigree
        With the fish in their old order.
    fish : (n,) int
        Positions in it.
    """
    families, unknown = pedigree.families, len(pedigree)
    wanted = np.zeros(unknown + 1, dtype=bool)
    wanted[unknown] = True
    front = np.unique(fish)
    while len(front):
        wanted[front] = True
        pairs = spread(families.first, np.unique(pedigree.family[front]))
        parents = np.unique(np.concatenate([families.dam[pairs], families.sire[pairs]]))
        front = parents[~wanted[parents]]
    if pedigree.founder_kinship is not None:
        wanted[pedigree.founder_kinship.fish] = True
    wanted[unknown] = False
    kept = np.flatnonzero(wanted)
    used, family = np.unique(pedigree.family[kept], return_inverse=True)
    related = pedigree.founder_kinship
    part = Pedigree(
        ids=[pedigree.ids[position] for position in kept.tolist()],
        family=family,
        families=families.part(used, kept),
        own_rows=len(kept),
        founder_kinship=related and replace(related, fish=np.searchsorted(kept, related.fish)),
    )
    return part, np.searchsorted(kept, fish)


def with_shared_parents(pedigree: Pedigree) -> Pedigree:
    """The same pedigree, certain, with the unknown parents that fish of one draw share as fish of their own at the end.

    The other unknown parents stay as they are: each has one offspring only.
    """
    families = pedigree.families
    if not families.shared.any():
        return pedigree
    missing = np.flatnonzero(np.concatenate([families.dam, families.sire]) == len(pedigree))
    missing = missing[families.shared[missing % len(families)]]
    total = len(pedigree) + len(missing)
    parents = np.concatenate([families.dam, families.sire])
    parents[parents == len(pedigree)] = total
    parents[missing] = len(pedigree) + np.arange(len(missing))
    copies = np.maximum(np.concatenate([families.copies[:, 0], families.copies[:, 1]])[missing], 1)
    more = certain_families(np.full(len(missing), total), np.full(len(missing), total), (1, 1), (0.0, 0.0))
    return Pedigree(
        ids=[*pedigree.ids, *(("unknown parent", number) for number in range(len(missing)))],
        family=np.concatenate([pedigree.family, len(families) + np.arange(len(missing))]),
        families=Families(
            first=np.arange(len(families) + len(missing) + 1),
            dam=np.concatenate([parents[: len(families)], more.dam]),
            sire=np.concatenate([parents[len(families) :], more.sire]),
            probability=np.ones(len(families) + len(missing)),
            copies=np.concatenate([families.copies, np.column_stack([copies, copies])]),
            double_reduction=np.concatenate([families.double_reduction, more.double_reduction]),
            shared=np.zeros(len(families) + len(missing), dtype=bool),
        ),
        own_rows=pedigree.own_rows,
    )


def assignments(pedigree: Pedigree) -> tuple[int, Iterator[Pedigree]]:
    """Every certain pedigree that an uncertain one may be, and how many there are.

    A fish with its own draw is assigned by itself, fish that share a draw together.
    """
    families = pedigree.families
    choices = np.diff(families.first)
    alone = np.flatnonzero((choices > 1)[pedigree.family] & ~families.shared[pedigree.family])
    shared = np.flatnonzero((choices > 1) & families.shared)
    open_ = [*choices[pedigree.family[alone]].tolist(), *choices[shared].tolist()]
    # Each fish with its own draw becomes a family of its own, behind the others.
    told = np.concatenate([np.arange(len(families)), pedigree.family[alone]])
    family = pedigree.family.copy()
    family[alone] = len(families) + np.arange(len(alone))
    undecided = np.concatenate([len(families) + np.arange(len(alone)), shared])

    def every() -> Iterator[Pedigree]:
        for chosen in product(*map(range, open_)):
            pair = families.first[told].copy()
            pair[undecided] += np.array(chosen, dtype=int)
            certain = Families(
                first=np.arange(len(told) + 1),
                dam=families.dam[pair],
                sire=families.sire[pair],
                probability=np.ones(len(told)),
                copies=families.copies[told],
                double_reduction=families.double_reduction[told],
                shared=families.shared[told],
            )
            yield replace(pedigree, family=family, families=certain)

    return prod(open_), every()
