"""Rows of a layered drawing: which row, in which order, at which place. Shared by pedigree and lineage pictures.

Items are named by strings. A block is a tuple of items that stay side by side in one row (mates). Rows are ordered by
the mean place of their relatives in the next row, in a few sweeps, and the order with the fewest crossings is kept
(the layered drawing of Sugiyama, Tagawa & Toda 1981, IEEE Trans. Syst. Man Cybern. 11: 109).
"""

from bisect import bisect_right, insort
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

Block = tuple[str, ...]
Rows = list[list[Block]]
Links = Sequence[tuple[str, str]]

SWEEPS = 8


def neighbours(links: Links) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    """(above, below): for each item the linked items of the row above it and of the row below it."""
    above: dict[str, list[str]] = {}
    below: dict[str, list[str]] = {}
    for upper, lower in links:
        below.setdefault(upper, []).append(lower)
        above.setdefault(lower, []).append(upper)
    return above, below


def ordered(rows: Rows, links: Links) -> Rows:
    """The same rows with their blocks ordered so that few links cross; ties keep the order given."""
    above, below = neighbours(links)
    best, fewest = rows, crossings(rows, below)
    current = rows
    for sweep in range(SWEEPS):
        current = _swept(current, above if sweep % 2 == 0 else below, downwards=sweep % 2 == 0)
        crossed = crossings(current, below)
        if crossed < fewest:
            best, fewest = current, crossed
    return best


def _swept(rows: Rows, relatives: Mapping[str, Sequence[str]], *, downwards: bool) -> Rows:
    result = list(rows)
    for index in range(len(rows)) if downwards else reversed(range(len(rows))):
        beside = index - 1 if downwards else index + 1
        places = _places(result[beside]) if 0 <= beside < len(rows) else {}
        result[index] = _sorted_row(result[index], places, relatives)
    return result


def _places(row: Iterable[Block]) -> dict[str, int]:
    return {item: place for place, item in enumerate(item for block in row for item in block)}


def _sorted_row(row: list[Block], places: Mapping[str, int], relatives: Mapping[str, Sequence[str]]) -> list[Block]:
    """Blocks with relatives in the next row by their mean place; the others keep their slots."""
    turned = [_turned(block, places, relatives) for block in row]
    means = [_mean(block, places, relatives) for block in turned]
    slots = [slot for slot, mean in enumerate(means) if mean is not None]
    by_mean = sorted(slots, key=lambda slot: (means[slot], slot))
    result = list(turned)
    for slot, source in zip(slots, by_mean, strict=True):
        result[slot] = turned[source]
    return result


def _turned(block: Block, places: Mapping[str, int], relatives: Mapping[str, Sequence[str]]) -> Block:
    """The block, reversed if its relatives stand clearly the other way round."""
    centre = (len(block) - 1) / 2
    means = [_mean((item,), places, relatives) for item in block]
    lean = sum((slot - centre) * mean for slot, mean in enumerate(means) if mean is not None)
    known = [mean for mean in means if mean is not None]
    return block[::-1] if len(known) == len(block) > 1 and lean < 0 else block


def _mean(block: Block, places: Mapping[str, int], relatives: Mapping[str, Sequence[str]]) -> float | None:
    found = [places[other] for item in block for other in relatives.get(item, ()) if other in places]
    return sum(found) / len(found) if found else None


def crossings(rows: Rows, below: Mapping[str, Sequence[str]]) -> int:
    """How many pairs of links cross when drawn straight."""
    total = 0
    for upper, lower in pairwise(rows):
        places = _places(lower)
        passed: list[int] = []
        for item in (item for block in upper for item in block):
            ends = sorted(places[other] for other in below.get(item, ()) if other in places)
            total += sum(len(passed) - bisect_right(passed, end) for end in ends)
            for end in ends:
                insort(passed, end)
    return total


def placed(rows: Rows, widths: Mapping[str, float], links: Links) -> dict[str, float]:
    """Centre of every item along its row: near its relatives, in order, never overlapping.

    `widths` holds the room each item needs, in the unit of the result. The smallest left edge is 0.
    """
    above, below = neighbours(links)
    centres: dict[str, float] = {}
    for row in rows:
        centres |= _settled(row, [0.0] * len(row), widths)
    for _ in range(SWEEPS):
        for relatives, order in ((above, rows), (below, rows[::-1])):
            for row in order:
                centres |= _settled(row, [_pull(block, centres, relatives, widths) for block in row], widths)
    left = min((centres[item] - widths[item] / 2 for item in centres), default=0.0)
    return {item: centre - left for item, centre in centres.items()}


def _pull(
    block: Block, centres: Mapping[str, float], relatives: Mapping[str, Sequence[str]], widths: Mapping[str, float]
) -> float:
    """Where the block's middle would like to be."""
    middle = (centres[block[0]] - widths[block[0]] / 2 + centres[block[-1]] + widths[block[-1]] / 2) / 2
    shifts = [centres[other] - centres[item] for item in block for other in relatives.get(item, ()) if other in centres]
    return middle + (sum(shifts) / len(shifts) if shifts else 0.0)


def _settled(row: list[Block], wishes: list[float], widths: Mapping[str, float]) -> dict[str, float]:
    """Places in order and apart that differ least, by squares, from the wishes (pooling of adjacent violators)."""
    sizes = [sum(widths[item] for item in block) for block in row]
    starts = [sum(sizes[:slot]) + sizes[slot] / 2 for slot in range(len(row))]
    pools: list[tuple[float, int]] = []
    for wish, start in zip(wishes, starts, strict=True):
        pools.append((wish - start, 1))
        while len(pools) > 1 and pools[-2][0] >= pools[-1][0]:
            (mean_a, count_a), (mean_b, count_b) = pools[-2:]
            pools[-2:] = [((mean_a * count_a + mean_b * count_b) / (count_a + count_b), count_a + count_b)]
    offsets = [mean for mean, count in pools for _ in range(count)]
    centres: dict[str, float] = {}
    for block, start, size, offset in zip(row, starts, sizes, offsets, strict=True):
        edge = start + offset - size / 2
        for item in block:
            centres[item] = edge + widths[item] / 2
            edge += widths[item]
    return centres
