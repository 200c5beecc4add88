"""A search for the best plan as it is kept, without the search."""

from breeding.pages.crosses.bench import PLANS
from registry.exports import runs


def kept_search(plan: str, *pairs: tuple[str, str]) -> str:
    """Keep a search that found these pairs, and return its token."""
    best = {
        "pairs": [[dam, sire, 0.0] for dam, sire in pairs],
        "figures": {"objective": 0.2, "group_coancestry": 0.2, "mean_pair_kinship": 0.0},
        "inbreeding": 0.0,
        "lower_bound": 0.2,
        "proven": True,
        "sentences": ["Proven."],
        "binding": [],
        "seconds": 0.1,
        "cut_short": False,
    }
    told = {"plan": plan, "question": {}, "crosses": len(pairs), "candidates": [1, 1], "price": 0.0,
            "with_living": False, "seconds": 5, "by": "geneticist"}  # fmt: skip
    token = runs.start(PLANS, told, lambda _sign: {"best": best})
    while (run := runs.read(PLANS, token)) is not None and run["state"] == runs.RUNNING:
        pass
    return token
