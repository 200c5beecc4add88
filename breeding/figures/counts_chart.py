"""The count picture: how many fish a batch held over time, as a step line with its events, in one `<svg>`."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from breeding.figures.parts import svg
from breeding.figures.parts.axes import Scale, date_ticks, day_words, whole
from breeding.figures.parts.lettering import text_width
from breeding.figures.parts.plot import Panel, bottom_axis, left_axis, marker, tick_room, ticks_and_scale

WIDTH, PANEL, EDGE, FOOT = 480.0, 190.0, 14.0, 28.0
HEAD, LANE = 26.0, 15.0
LANES, LOSS_LANES = 6, 2
LABEL_SIZE = 11.0
ROOM_AT_RIGHT = 98.0  # so that the words of the last event still fit

SHAPES = {
    "start": "disc",
    "loss": "triangle",
    "split": "diamond",
    "merge": "diamond",
    "count": "ring",
    "release": "square",
}


@dataclass(frozen=True)
class CountEvent:
    """What happened to a batch: `kind` is start, loss, split, merge, count or release; `count` the number after it."""

    day: date
    count: int
    kind: str
    label: str = ""


@dataclass(frozen=True)
class _Label:
    x: float
    y: float
    text: str
    kind: str

    @property
    def end(self) -> float:
        return self.x + 5 + text_width(self.text, LABEL_SIZE)


def counts_chart(
    events: Sequence[CountEvent], until: date | None = None, name: str = "", prefix: str = "counts"
) -> str:
    """Draws the number of fish after each event.

    Parameters
    ----------
    events : in order of happening; those of one day in the order given.
    until : how far the line goes on after the last event (the day of reading); default: no further.
    name : which batch it is, for the title.

    Raises
    ------
    ValueError
        A count below zero, or `until` before the last event.
    """
    title = f"Count of {name}" if name else "Count over time"
    if not events:
        return svg.empty_picture("No count recorded yet: open the batch with a count first.", title, prefix)
    ordered = sorted(events, key=lambda event: event.day)
    end = _checked_end(ordered, until)
    ticks, _ = ticks_and_scale([0, *(event.count for event in ordered)], 0, 1)
    across = Scale(ordered[0].day.toordinal(), end.toordinal(), EDGE + tick_room(ticks), WIDTH - ROOM_AT_RIGHT)
    lanes, left_out = _lanes(
        [_Label(across.at(event.day.toordinal()), 0, _words(event), event.kind) for event in ordered]
    )
    top = HEAD + LANE * (max((lane for lane in lanes if lane is not None), default=0) + 1)
    panel = Panel(across, Scale(ticks[0], ticks[-1], top + PANEL, top))
    days = [(day.toordinal(), text) for day, text in date_ticks(ordered[0].day, end)]
    body = left_axis(panel, ticks, "") + bottom_axis(panel, days)
    body += svg.words(EDGE, 14, "Number of fish", font_size=12)
    body += svg.path(_steps(ordered, end, panel), class_="fig-line fig-accent", stroke_width=1.75)
    body += _labels(ordered, lanes, panel)
    bottom = top + PANEL + FOOT
    if left_out:
        body += svg.words(EDGE, bottom + 8, f"and {left_out} more events; see the table", font_size=LABEL_SIZE)
        bottom += 16
    return svg.picture((WIDTH, bottom), body, (title, _description(ordered)), prefix)


def _checked_end(events: Sequence[CountEvent], until: date | None) -> date:
    for event in events:
        if event.count < 0:
            raise ValueError(f"The count on {day_words(event.day)} is {event.count}; it cannot be below zero.")
    last = events[-1].day
    if until is not None and until < last:
        raise ValueError(f"The picture ends on {day_words(until)}, before the last event on {day_words(last)}.")
    return until or last


def _words(event: CountEvent) -> str:
    return svg.clean(event.label) or f"{event.kind}: {whole(event.count)}"


def _lanes(labels: Sequence[_Label]) -> tuple[list[int | None], int]:
    """A lane above the panel for each label, so that no upright line runs through words; and how many found none.

    From the right, each label only has to clear what is already there. Where that is too high, losses, which are many,
    give way to the rarer events.
    """
    places = range(len(labels))
    lanes = _filled(labels, reversed(places), LANES)
    if len(lanes) < len(labels):
        lanes = _filled(labels, sorted(places, key=lambda at: (labels[at].kind == "loss", -at)), LOSS_LANES)
    return [lanes.get(at) for at in places], len(labels) - len(lanes)


def _filled(labels: Sequence[_Label], order: Iterable[int], loss_lanes: int) -> dict[int, int]:
    """Puts labels, in that order, each into the lowest lane where it fits."""
    lanes: dict[int, int] = {}
    for at in order:
        allowed = loss_lanes if labels[at].kind == "loss" else LANES
        lane = next((lane for lane in range(allowed) if _fits(at, lane, labels, lanes)), None)
        if lane is not None:
            lanes[at] = lane
    return lanes


def _fits(at: int, lane: int, labels: Sequence[_Label], lanes: dict[int, int]) -> bool:
    here = labels[at]
    for other, its_lane in lanes.items():
        there = labels[other]
        if its_lane == lane and here.x < there.end + 4 and there.x < here.end + 4:
            return False
        if its_lane > lane and here.x - 2 < there.x < here.end:
            return False
        if its_lane < lane and there.x - 2 < here.x < there.end:
            return False
    return True


def _steps(events: Sequence[CountEvent], end: date, panel: Panel) -> list[tuple[float, float]]:
    points: list[tuple[float, float]] = []
    for event in events:
        x = panel.x.at(event.day.toordinal())
        if points:
            points.append((x, points[-1][1]))
        points.append((x, panel.y.at(event.count)))
    return [*points, (panel.x.at(end.toordinal()), points[-1][1])]


def _labels(events: Sequence[CountEvent], lanes: Sequence[int | None], panel: Panel) -> str:
    leaders, parts = [], []
    for event, lane in zip(events, lanes, strict=True):
        x, y = panel.x.at(event.day.toordinal()), panel.y.at(event.count)
        if lane is not None:
            level = panel.top - 10 - LANE * lane
            leaders.append(svg.line(x, level - 8, x, y, class_="fig-rule", stroke_width=0.5, stroke_opacity=0.6))
            parts.append(svg.words(x + 3, level, _words(event), font_size=LABEL_SIZE))
        told = f"{day_words(event.day)}, {_words(event)}; {whole(event.count)} fish after it"
        parts.append(marker(SHAPES.get(event.kind, "cross"), x, y, told))
    return svg.group(*leaders, class_="fig-lines") + "".join(parts)


def _description(events: Sequence[CountEvent]) -> str:
    first, last = events[0], events[-1]
    return (
        f"{whole(first.count)} fish on {day_words(first.day)}, {whole(last.count)} fish on {day_words(last.day)}, "
        f"{len(events)} events: {', '.join(f'{_words(event)} on {day_words(event.day)}' for event in events[:20])}."
    )
