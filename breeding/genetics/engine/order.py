"""Parents before young: levels of a pedigree, and the fish that go round in a circle."""

import numpy as np


def spread(first: np.ndarray, lines: np.ndarray) -> np.ndarray:
    """Positions ``first[i] … first[i + 1] - 1`` of all the given lines, one after the other."""
    counts = first[lines + 1] - first[lines]
    ends = np.cumsum(counts)
    return np.arange(ends[-1] if len(ends) else 0) + np.repeat(first[lines] - ends + counts, counts)


def levels_of(child: np.ndarray, parent: np.ndarray, rows: int) -> np.ndarray:
    """Level of each row: 0 without known parents, else one more than its highest parent.

    Parameters
    ----------
    child, parent : (edges,) int
        Rows joined by descent.

    Returns
    -------
    (rows,) int
        Rows on a circle, or descending from one, are marked by the number ``rows``.
    """
    level = np.full(rows, rows)
    waiting = np.bincount(child, minlength=rows)
    by_parent = np.argsort(parent, kind="stable")
    children = child[by_parent]
    first = np.concatenate([[0], np.cumsum(np.bincount(parent, minlength=rows))])
    front = np.flatnonzero(waiting == 0)
    for height in range(rows):
        if not len(front):
            break
        level[front] = height
        met, times = np.unique(children[spread(first, front)], return_counts=True)
        waiting[met] -= times
        front = met[waiting[met] == 0]
    return level


def loop_among(child: np.ndarray, parent: np.ndarray) -> list[int]:
    """One circle in a graph known to hold one, each row followed by its offspring."""
    # Imported only when a loop is to be named: the import is slower than the whole computation.
    import networkx as nx  # noqa: PLC0415

    graph = nx.DiGraph(zip(parent.tolist(), child.tolist(), strict=True))
    return [int(row) for row, _ in nx.find_cycle(graph)]
