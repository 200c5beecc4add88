"""The growth picture: length and mass of one fish over the years, as one `<svg>` with a panel for each."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breeding.figures.parts import svg
from breeding.figures.parts.axes import Scale, date_ticks, day_words, finite
from breeding.figures.parts.plot import Panel, bottom_axis, left_axis, marker, tick_room, ticks_and_scale

WIDTH, PANEL, HEAD, FOOT, EDGE = 480.0, 140.0, 30.0, 26.0, 14.0


@dataclass(frozen=True)
class GrowthPoint:
    """One measurement; what was not measured is None."""

    day: date
    length_mm: float | None = None
    mass_g: float | None = None


@dataclass(frozen=True)
class _Measure:
    name: str
    unit: str
    shape: str
    points: list[tuple[date, float]]


def growth_chart(points: Sequence[GrowthPoint], name: str = "", prefix: str = "growth") -> str:
    """Draws lengths (mm) and masses (g) against their dates.

    Parameters
    ----------
    points : measurements in any order.
    name : whose growth it is, for the title.

    Raises
    ------
    ValueError
        A length or mass that is no finite number above zero.
    """
    title = f"Growth of {name}" if name else "Growth"
    measures = [measure for measure in _measures(points) if measure.points]
    if not measures:
        return svg.empty_picture("No length or mass recorded yet: enter a measurement first.", title, prefix)
    days = [day for measure in measures for day, _ in measure.points]
    parts, top = [], 0.0
    left = max(tick_room(ticks_and_scale([value for _, value in measure.points], 0, 1)[0]) for measure in measures)
    across = Scale(min(days).toordinal(), max(days).toordinal(), left + EDGE, WIDTH - EDGE - 12)
    for measure in measures:
        parts.append(_panel(measure, across, top + HEAD))
        top += HEAD + PANEL + FOOT
    return svg.picture((WIDTH, top), "".join(parts), (title, _description(measures)), prefix)


def _measures(points: Sequence[GrowthPoint]) -> list[_Measure]:
    ordered = sorted(points, key=lambda point: point.day)
    lengths = [(point.day, point.length_mm) for point in ordered if point.length_mm is not None]
    masses = [(point.day, point.mass_g) for point in ordered if point.mass_g is not None]
    for what, values in (("Length", lengths), ("Mass", masses)):
        finite([value for _, value in values], what)
        for day, value in values:
            if value <= 0:
                raise ValueError(f"{what} on {day_words(day)} is {value:g}; it must be above zero.")
    return [_Measure("Length", "mm", "disc", lengths), _Measure("Mass", "g", "square", masses)]


def _panel(measure: _Measure, across: Scale, top: float) -> str:
    ticks, up = ticks_and_scale([value for _, value in measure.points], top + PANEL, top, 4)
    panel = Panel(across, up)
    places = [(across.at(day.toordinal()), up.at(value)) for day, value in measure.points]
    first, last = (date.fromordinal(int(end)) for end in (across.low, across.high))
    days = [(day.toordinal(), text) for day, text in date_ticks(first, last)]
    marks = [
        marker(measure.shape, x, y, f"{day_words(day)}: {value:,g} {measure.unit}")
        for (x, y), (day, value) in zip(places, measure.points, strict=True)
    ]
    stroke = svg.path(places, class_="fig-line fig-accent") if len(places) > 1 else ""
    frame = left_axis(panel, ticks, f"{measure.name} ({measure.unit})") + bottom_axis(panel, days)
    return svg.group(frame, stroke, *marks)


def _description(measures: Sequence[_Measure]) -> str:
    parts = []
    for measure in measures:
        (first, start), (last, end) = measure.points[0], measure.points[-1]
        if len(measure.points) == 1:
            parts.append(f"{measure.name} {start:,g} {measure.unit} on {day_words(first)}.")
        else:
            parts.append(
                f"{measure.name} from {start:,g} {measure.unit} on {day_words(first)} to {end:,g} {measure.unit} "
                f"on {day_words(last)}, {len(measure.points)} measurements."
            )
    return " ".join(parts)
