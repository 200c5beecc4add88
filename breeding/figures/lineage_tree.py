"""The lineage picture of a trace: one fish, batch, family or release at the left, its founders at the right.

Columns are steps back; the share or probability of each step is written on its line.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from breeding.figures.parts import svg
from breeding.figures.parts.layered import Rows, neighbours, ordered, placed
from breeding.figures.parts.lettering import wrapped

LARGEST_TREE = 150
COLUMN, CARD_WIDTH = 210.0, 138.0
HEAD, EDGE, PORT, GAP = 40.0, 8.0, 15.0, 14.0
LANE, NEAR_END = 5.0, 40.0  # between two upright lines; room of a written probability before a card
LABEL_SIZE, NOTE_SIZE, STEP = 13.0, 11.0, 15.0
INSET = 9.0

KIND_WORDS = {"fish": "fish", "family": "family", "batch": "batch", "release": "release"}


@dataclass(frozen=True)
class LineageNode:
    """One card. `kind` is fish, family, batch or release; `sublabel` a second, quiet line; `href` where it leads."""

    key: str
    label: str
    kind: str = "fish"
    sublabel: str = ""
    href: str = ""


@dataclass(frozen=True)
class LineageStep:
    """`source` comes from `origin` with this share or probability (0 to 1)."""

    source: str
    origin: str
    probability: float = 1.0


def lineage_tree(
    nodes: Sequence[LineageNode], steps: Sequence[LineageStep], start: str, prefix: str = "lineage"
) -> str:
    """Draws where `start` comes from, as one `<svg>`.

    Parameters
    ----------
    nodes : everything on the way, `start` included; each key once.
    steps : from the later (`source`) to the earlier (`origin`), each with its probability.
    start : key of the card at the left.

    Raises
    ------
    ValueError
        More than 150 nodes, a step that names a node not given, a loop (named), a probability outside [0, 1].
    """
    if not nodes:
        return svg.empty_picture("Nothing to trace: no record was given.", "Lineage", prefix)
    _check(nodes, steps, start)
    columns = _columns(nodes, steps)
    tree = _Tree(nodes, steps, columns)
    body = svg.group(*tree.headings(), *tree.lines(), class_="fig-lines") + "".join(tree.cards(start))
    by_key = {node.key: node for node in nodes}
    about = (f"Lineage of {by_key[start].label}", _description(by_key, steps, start))
    return svg.picture((tree.width, tree.height), body, about, prefix)


def _check(nodes: Sequence[LineageNode], steps: Sequence[LineageStep], start: str) -> None:
    known = {node.key for node in nodes}
    if len(nodes) > LARGEST_TREE:
        raise ValueError(
            f"{len(nodes)} records are too many for one lineage picture (limit {LARGEST_TREE}). "
            "Show them as a list instead."
        )
    if len(known) < len(nodes):
        raise ValueError("A record is given more than once; each is drawn once.")
    missing = {key for step in steps for key in (step.source, step.origin)} | {start}
    if missing - known:
        raise ValueError(f"{', '.join(sorted(missing - known))} named in the lineage is not among the records to draw.")
    for step in steps:
        if not 0 <= step.probability <= 1:
            raise ValueError(
                f"The step from {step.source} to {step.origin} has probability {step.probability}; "
                "it must be between 0 and 1."
            )


def _columns(nodes: Sequence[LineageNode], steps: Sequence[LineageStep]) -> dict[str, int]:
    """Column of every node: the longest way from the left. Refuses loops by name."""
    later: dict[str, list[str]] = {node.key: [] for node in nodes}
    for step in steps:
        later[step.origin].append(step.source)
    path: list[str] = []

    @cache
    def column(key: str) -> int:
        if key in path:
            loop = " → ".join((*path[path.index(key) :], key))
            raise ValueError(f"These records come from themselves: {loop}. Correct the parentage first.")
        path.append(key)
        result = 1 + max((column(source) for source in later[key]), default=-1)
        path.pop()
        return result

    return {node.key: column(node.key) for node in nodes}


class _Tree:
    """Cards and lines in their places. Threads are items of a column through which only a line passes."""

    def __init__(self, nodes: Sequence[LineageNode], steps: Sequence[LineageStep], columns: dict[str, int]) -> None:
        self.nodes = {node.key: node for node in nodes}
        self.columns = dict(columns)
        self.links: list[tuple[str, str, LineageStep]] = []
        for step in steps:
            self._thread(step)
        pairs = [(left, right) for left, right, _ in self.links]
        depth = max(self.columns.values()) + 1
        rows: Rows = [[(item,) for item in self.columns if self.columns[item] == at] for at in range(depth)]
        self.above, self.below = neighbours(pairs)
        self.rooms = {item: self._height(item) + GAP for item in self.columns}
        self.rows = ordered(rows, pairs)
        self.centres = placed(self.rows, self.rooms, pairs)
        self.width = 2 * EDGE + COLUMN * (depth - 1) + CARD_WIDTH
        self.height = HEAD + max(self.centres[item] + self.rooms[item] / 2 for item in self.centres) + EDGE

    def _thread(self, step: LineageStep) -> None:
        item = step.source
        for at in range(self.columns[step.source] + 1, self.columns[step.origin]):
            following = f"line {at} {step.source} {step.origin}"
            self.columns[following] = at
            self.links.append((item, following, step))
            item = following
        self.links.append((item, step.origin, step))

    def _height(self, item: str) -> float:
        if item not in self.nodes:
            return 4.0
        words = STEP * len(self._words(self.nodes[item])) + 12
        return max(words, PORT * len(self.above.get(item, ())) + 6)

    @staticmethod
    def _words(node: LineageNode) -> list[tuple[str, float]]:
        room = CARD_WIDTH - INSET - 4
        names = wrapped(svg.clean(node.label) or node.key, LABEL_SIZE, room, 2)
        kind = KIND_WORDS.get(node.kind, svg.clean(node.kind))
        notes = wrapped(" · ".join(part for part in (kind, svg.clean(node.sublabel)) if part), NOTE_SIZE, room, 2)
        return [(name, LABEL_SIZE) for name in names] + [(note, NOTE_SIZE) for note in notes]

    def left(self, item: str) -> float:
        return EDGE + COLUMN * self.columns[item]

    def right(self, item: str) -> float:
        return self.left(item) + CARD_WIDTH

    def y(self, item: str) -> float:
        return HEAD + self.centres[item]

    def headings(self) -> list[str]:
        """One heading a column, over a rule."""
        names = ["this record", *(f"{at} step{'s' if at > 1 else ''} back" for at in range(1, len(self.rows)))]
        parts = [svg.line(EDGE, 24, self.width - EDGE, 24, class_="fig-rule", stroke_width=0.75)]
        for at, name in enumerate(names):
            parts.append(svg.words(EDGE + COLUMN * at, 17, name, font_size=NOTE_SIZE, class_="fig-ink fig-quiet"))
        return parts

    def lines(self) -> list[str]:
        """Every step: out of the left card, up or down in its own lane, into its own port of the right card."""
        order = {item: slot for row in self.rows for slot, (item,) in enumerate(row)}
        lanes = self._lanes()
        parts = []
        for item in self.columns:
            arriving = sorted(
                (link for link in self.links if link[1] == item), key=lambda link: (order[link[0]], link[0])
            )
            for port, (left, _, step) in enumerate(arriving):
                y = self.y(item) + PORT * (port - (len(arriving) - 1) / 2)
                parts += self._line(left, item, (lanes[left], y), step)
        return parts

    def _lanes(self) -> dict[str, float]:
        """Place of the upright line right of every item: highest card first from the right, so that few cross."""
        lanes = {}
        for row in self.rows:
            leaving = [item for (item,) in row if self.below.get(item)]
            room = COLUMN - CARD_WIDTH - NEAR_END - 8
            step = min(LANE, room / max(len(leaving) - 1, 1))
            for slot, item in enumerate(leaving):
                lanes[item] = self.right(item) + 8 + step * slot
        return lanes

    def _line(self, left: str, right: str, turn: tuple[float, float], step: LineageStep) -> list[str]:
        lane, y = turn
        start = self.right(left) if left in self.nodes else self.left(left)
        pen = {"stroke_dasharray": "5 3", "class_": "fig-line fig-possible"} if step.probability < 1 else {}
        stroke = svg.path([(start, self.y(left)), (lane, self.y(left)), (lane, y), (self.left(right), y)], **pen)
        if right not in self.nodes:
            return [stroke]
        chance = f"{step.probability:.3g}"
        written = svg.words(self.left(right) - 4, y - 3, chance, font_size=NOTE_SIZE, text_anchor="end")
        return [stroke, written]

    def cards(self, start: str) -> list[str]:
        """A rule at the left and the words, per node; the rule is doubled for what is no single fish."""
        parts = []
        for key, node in self.nodes.items():
            x, y, height = self.left(key), self.y(key), self.rooms[key] - GAP
            rule = {"class_": "fig-line fig-accent" if key == start else "fig-line", "stroke_width": 2.5}
            shapes = [svg.line(x, y - height / 2, x, y + height / 2, **rule)]
            if node.kind != "fish":
                shapes.append(svg.line(x + 4, y - height / 2, x + 4, y + height / 2, stroke_width=1))
            words = self._words(node)
            first = y - STEP * len(words) / 2 + STEP - 3
            for place, (text, size) in enumerate(words):
                kind = {"class_": "fig-ink fig-quiet"} if size == NOTE_SIZE else {}
                kind |= {"font_weight": "bold"} if key == start and size == LABEL_SIZE else {}
                shapes.append(svg.words(x + INSET, first + STEP * place, text, font_size=size, **kind))
            title = f"{node.label}, {node.kind}, {node.sublabel}".rstrip(", ")
            parts.append(svg.link(node.href, svg.group(*shapes, title=title, class_="fig-card")))
        return parts


def _description(nodes: dict[str, LineageNode], steps: Sequence[LineageStep], start: str) -> str:
    sources = {step.source for step in steps}
    ends = [node.label for key, node in nodes.items() if key not in sources and key != start]
    first = [f"{nodes[step.origin].label} ({step.probability:.3g})" for step in steps if step.source == start]
    if not first:
        return "No origin is recorded."
    return (
        f"Comes from {', '.join(first)}. Ends at {len(ends)} founders or other first records: {', '.join(ends[:20])}."
    )
