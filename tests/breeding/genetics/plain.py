"""Kinship by its textbook definition, slow and plain, and random pedigrees to try it on."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from itertools import product

import numpy as np
from hypothesis import strategies as st

from breeding.genetics import kinship
from breeding.genetics.engine.rows import ParentRow

WAYS = {"by ancestors": 0.0, "by levels": float("inf")}


@contextmanager
def computed(way: str) -> Iterator[None]:
    """Let kinship be computed one way, and of ancestors only, whatever the pedigree would suggest."""
    usual = kinship.ENTRY_COST, kinship.SMALL
    kinship.ENTRY_COST, kinship.SMALL = WAYS[way], 0
    try:
        yield
    finally:
        kinship.ENTRY_COST, kinship.SMALL = usual


def certain_kinship(parents: dict, copies: dict, double_reduction: float = 0.0) -> dict:
    """Kinship of all pairs, expanding the younger fish (Emik and Terrill 1949; Hamilton and Kerr 2018).

    ``parents`` maps each fish to (dam, sire), parents first; ``copies`` to its gene copies from each.
    """
    order = {fish: number for number, fish in enumerate(parents)}
    loss = {fish: double_reduction if max(copies[fish]) > 1 else 0.0 for fish in parents}

    @cache
    def between(i, j) -> float:
        if i is None or j is None:
            return 0.0
        if i == j:
            ploidy = sum(copies[i])
            return (1 + (ploidy - 1) * inbreeding(i)) / ploidy
        young, other = (i, j) if order[i] > order[j] else (j, i)
        dam, sire = parents[young]
        from_dam, from_sire = copies[young]
        return (from_dam * between(dam, other) + from_sire * between(sire, other)) / (from_dam + from_sire)

    def of_gamete(parent, tau: int, lam: float) -> float:
        excess = 2 * lam * (tau - 1)
        f = inbreeding(parent) if parent is not None else excess / (2 * tau + excess)
        return tau * (tau - 1) * (lam + (1 - lam) * f)

    @cache
    def inbreeding(i) -> float:
        (dam, sire), (tau_d, tau_s), lam = parents[i], copies[i], loss[i]
        ploidy = tau_d + tau_s
        if dam is None and sire is None:
            excess = 2 * lam * (ploidy / 2 - 1)
            return excess / (ploidy + excess)
        alike = of_gamete(dam, tau_d, lam) + of_gamete(sire, tau_s, lam) + 2 * tau_d * tau_s * between(dam, sire)
        return alike / (ploidy * (ploidy - 1))

    return {(i, j): between(i, j) for i in parents for j in parents}


def expected_kinship(rows: list[ParentRow], ploidy: int = 2, double_reduction: float = 0.0) -> dict:
    """Kinship averaged over every possible assignment of parents; rows parents first, probabilities adding up to 1."""
    possible: dict = {}
    draw_of: dict = {}
    strangers: dict = {}
    for row in rows:
        draw = row.fish if row.draw is None else ("draw", row.draw)
        draw_of[row.fish] = draw
        pairs = possible.setdefault(draw, {})
        # An unknown parent that fish of one draw share is a fish like others.
        unknown = (None, None) if row.draw is None else (("dam of", draw), ("sire of", draw))
        strangers.update(dict.fromkeys(filter(None, unknown), (None, None)))
        pairs[row.dam if row.dam is not None else unknown[0], row.sire if row.sire is not None else unknown[1]] = (
            row.probability
        )
    copies = dict.fromkeys([*strangers, *draw_of], (ploidy // 2, ploidy // 2))
    total: dict = {}
    for assignment in product(*(pairs.items() for pairs in possible.values())):
        chosen = dict(zip(possible, assignment, strict=True))
        chance = float(np.prod([probability for _, probability in assignment]))
        parents = strangers | {fish: chosen[draw][0] for fish, draw in draw_of.items()}
        for pair, value in certain_kinship(parents, copies, double_reduction).items():
            total[pair] = total.get(pair, 0.0) + chance * value
    return total


@st.composite
def pedigrees(draw, most: int = 12, *, selfing: bool = False) -> list[ParentRow]:
    """Rows of a random pedigree, parents first, with unknown parents among them."""
    count = draw(st.integers(1, most))
    rows = []
    for fish in range(count):
        older = st.one_of(st.none(), st.integers(0, fish - 1)) if fish else st.none()
        dam, sire = draw(older), draw(older)
        rows.append(ParentRow(fish, dam, None if sire == dam and not selfing else sire))
    return rows


@st.composite
def uncertain_pedigrees(draw, most: int = 7) -> list[ParentRow]:
    """The same, where some fish have two possible pairs of parents, drawn alone or with others."""
    rows = []
    for fish in range(draw(st.integers(3, most))):
        older = st.one_of(st.none(), st.integers(0, fish - 1)) if fish else st.none()
        pairs = draw(st.lists(st.tuples(older, older), min_size=1, max_size=2, unique=True))
        chance = draw(st.sampled_from([0.25, 0.5, 0.75])) if len(pairs) == 2 else 1.0
        rows.append([(pair, p) for pair, p in zip(pairs, (chance, 1 - chance), strict=False)])
    flat = []
    for fish, pairs in enumerate(rows):
        twin = draw(st.integers(0, 2)) == 0 and fish + 1 == len(rows)
        name = f"draw {fish}" if twin else None
        flat += [ParentRow(fish, dam, sire, p, name) for (dam, sire), p in pairs]
        if twin:
            flat += [ParentRow("twin", dam, sire, p, name) for (dam, sire), p in pairs]
    return flat


def table(pedigree, expected: dict) -> np.ndarray:
    """Expected kinships in the order of a pedigree."""
    return np.array([[expected[i, j] for j in pedigree.ids] for i in pedigree.ids])
