"""A name for what the best plan was looked for within, and whether a bound found then still holds."""

import json
from collections.abc import Mapping
from hashlib import sha256
from typing import Any

import numpy as np

from breeding.planning.problem import Problem

# Pairs that the geneticist forbade one by one; they only add to the limits, as locked pairs do.
FORBIDDEN = "forbidden"
# Kinship is the same number whatever the order in which a pedigree was read.
DECIMALS = 12

Told = dict[str, Any]


def question_of(problem: Problem) -> Told:
    """Return the question as plain text: a hash of all but single pairs, and the pairs that are fixed and forbidden."""
    forbidden = problem.ruled_out.get(FORBIDDEN)
    return {
        "hash": _hash(problem),
        "fixed": sorted([problem.dams[dam], problem.sires[sire]] for dam, sire in problem.fixed),
        "forbidden": []
        if forbidden is None
        else [[problem.dams[dam], problem.sires[sire]] for dam, sire in np.argwhere(forbidden).tolist()],
    }


def as_asked(question: Told) -> str:
    """Return the question as text to be kept with the figures of a plan."""
    return json.dumps(question, sort_keys=True)


def asked_of(text: str) -> Told:
    """Return the question that a text kept; an empty one, which bounds nothing, where it is none."""
    try:
        found = json.loads(text or "{}")
    except ValueError:
        return {}
    return found if isinstance(found, dict) and found.keys() >= {"hash", "fixed", FORBIDDEN} else {}


def still_bounds(asked: Told, now: Told) -> bool:
    """Return whether a bound found for one question bounds another: the same, or with more pairs fixed or forbidden."""
    return (
        bool(asked)
        and asked["hash"] == now["hash"]
        and all(
            {tuple(pair) for pair in asked[name]} <= {tuple(pair) for pair in now[name]}
            for name in ("fixed", FORBIDDEN)
        )
    )


def _hash(problem: Problem) -> str:
    name = sha256()
    for part in (problem.dams, problem.sires, problem.crosses, problem.price, problem.fewest_dams, problem.fewest_sires,
                 sorted(problem.in_all.items()), problem.scheme):  # fmt: skip
        name.update(repr(part).encode())
    name.update(np.round(problem.kinship, DECIMALS).tobytes())
    _add(name, problem.most)
    _add(name, {key: pairs for key, pairs in problem.ruled_out.items() if key != FORBIDDEN})
    if problem.least is not None:
        name.update(problem.least.tobytes())
    if problem.sizes:
        name.update(repr(sorted(problem.sizes.items())).encode())
    if problem.living is not None:
        living = [problem.living.coancestry, problem.living.weight_of_young, *problem.living.mean_kinship.tolist()]
        name.update(np.round(living, DECIMALS).tobytes())
    return name.hexdigest()[:32]


def _add(name: Any, arrays: Mapping[str, Any]) -> None:
    for key in sorted(arrays):
        name.update(key.encode())
        name.update(np.ascontiguousarray(arrays[key]).tobytes())
