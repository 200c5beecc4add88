"""Where every symbol of a pedigree picture stands, and which lines join the rows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from breeding.figures.parts.layered import Block, Rows, ordered, placed
from breeding.figures.pedigree.families import Origin, Sibship

THREAD_WIDTH = 28.0  # room of a line that passes through a row


@dataclass(frozen=True)
class Net:
    """Lines across one gap between rows: from one or two items above to the items below it."""

    gap: int
    tops: tuple[str, ...]
    bottoms: tuple[str, ...]
    probability: float
    related: bool
    written: bool  # whether the probability is written at this net

    @property
    def couple(self) -> bool:
        """Whether two parents meet here."""
        return len(self.tops) > 1


@dataclass(frozen=True)
class Layout:
    """Rows of items from the left, their centres across the page, and the nets between rows.

    Items that are no fish are threads: lines that pass through the row.
    """

    rows: list[list[str]]
    centres: dict[str, float]
    widths: dict[str, float]
    nets: list[Net]

    @property
    def width(self) -> float:
        """Room of the widest row."""
        return max(self.centres[item] + self.widths[item] / 2 for item in self.centres)


def laid_out(room: float, rows: Mapping[str, int], groups: Sequence[Sibship]) -> Layout:
    """Places the fish (`room`: width for each; `rows`: its row) and threads long lines through the rows between."""
    threads: dict[str, int] = {}
    nets = [net for group in groups for origin in group.origins for net in _nets(group, origin, rows, threads)]
    nets = list(dict.fromkeys(nets))
    links = sorted({(top, bottom) for net in nets for top in net.tops for bottom in net.bottoms})
    everywhere = dict(rows) | threads
    widths = dict.fromkeys(rows, room) | dict.fromkeys(threads, THREAD_WIDTH)
    by_row = ordered(_first_rows(everywhere, nets), links)
    centres = placed(by_row, widths, links)
    return Layout([[item for block in row for item in block] for row in by_row], centres, widths, nets)


def _nets(group: Sibship, origin: Origin, rows: Mapping[str, int], threads: dict[str, int]) -> list[Net]:
    """The nets from one pair of parents down to one sibship; new threads are added to `threads`."""
    chance, last = origin.probability, rows[group.young[0]] - 1
    mating = max(rows[parent] for parent in origin.parents)
    nets: list[Net] = []
    tops = []
    for parent in origin.parents:
        thread, passes = _thread(parent, rows[parent], mating, "+".join(origin.parents), threads)
        nets += [Net(gap, (top,), (bottom,), 1.0, related=False, written=False) for gap, top, bottom in passes]
        tops.append(thread)
    name = "+".join((*origin.parents, group.young[0]))
    if mating == last:
        return [*nets, Net(last, tuple(tops), group.young, chance, origin.related, written=chance < 1)]
    first = f"line {mating + 1} {name}"
    threads[first] = mating + 1
    nets.append(Net(mating, tuple(tops), (first,), chance, origin.related, written=False))
    thread, passes = _thread(first, mating + 1, last, name, threads)
    nets += [Net(gap, (top,), (bottom,), chance, related=False, written=False) for gap, top, bottom in passes]
    return [*nets, Net(last, (thread,), group.young, chance, related=False, written=chance < 1)]


def _thread(
    start: str, row: int, end: int, name: str, threads: dict[str, int]
) -> tuple[str, list[tuple[int, str, str]]]:
    """Leads a line from `start` in `row` down to row `end`: its last item, and (gap, upper, lower) of each step."""
    passes, item = [], start
    for gap in range(row, end):
        following = f"line {gap + 1} {start} {name}"
        threads[following] = gap + 1
        passes.append((gap, item, following))
        item = following
    return item, passes


def _first_rows(rows: Mapping[str, int], nets: Sequence[Net]) -> Rows:
    """Rows to start from: found by walking up from the bottom, so that ancestors stand above their own line."""
    blocks = {item: block for block in _blocks(rows, nets) for item in block}
    parents: dict[str, list[str]] = {}
    for net in nets:
        for bottom in net.bottoms:
            parents.setdefault(bottom, []).extend(net.tops)
    seen: dict[Block, None] = {}

    def walk(item: str) -> None:
        block = blocks[item]
        if block not in seen:
            seen[block] = None
            for member in block:
                for parent in parents.get(member, ()):
                    walk(parent)

    for item in sorted(rows, key=lambda item: -rows[item]):
        walk(item)
    depth = max(rows.values(), default=0) + 1
    return [[block for block in seen if rows[block[0]] == row] for row in range(depth)]


def _blocks(rows: Mapping[str, int], nets: Sequence[Net]) -> list[Block]:
    """Mates of one row side by side, sire left; a fish of several mates stands between two of them."""
    couples = list(dict.fromkeys(net.tops for net in nets if net.couple))
    mates: dict[str, list[str]] = {item: [] for item in rows}
    for left, right in couples:
        mates[left].append(right)
        mates[right].append(left)
    done: set[str] = set()
    blocks = []
    for start in sorted(mates, key=lambda item: len(mates[item]) != 1):
        if start not in done:
            blocks.append(_chain(start, mates, done))
    return [block if block[::-1] not in couples else block[::-1] for block in blocks]


def _chain(start: str, mates: Mapping[str, Sequence[str]], done: set[str]) -> Block:
    """Walks from mate to mate; whoever has several mates is passed through early."""
    chain: list[str] = []
    waiting = [start]
    while waiting:
        item = waiting.pop()
        if item not in done:
            done.add(item)
            chain.append(item)
            waiting += sorted(mates[item], key=lambda mate: -len(mates[mate]))[::-1]
    return tuple(chain)
