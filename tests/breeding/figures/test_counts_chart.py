"""The count picture: a step down at every loss, events in words that no line runs through."""

import itertools
from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from breeding.figures.counts_chart import CountEvent, counts_chart

DAY = date(2024, 5, 3)
BATCH = [
    CountEvent(DAY, 12000, "start", "start 12,000"),
    CountEvent(DAY + timedelta(3), 11400, "loss", "−600"),
    CountEvent(DAY + timedelta(20), 10800, "count", "counted 10,800"),
    CountEvent(DAY + timedelta(21), 5400, "split", "split −5,400"),
    CountEvent(DAY + timedelta(90), 0, "release", "released 5,400"),
]


def steps(picture) -> list[tuple[float, float]]:
    (line,) = list(picture.each("polyline", "fig-accent"))
    return [(float(x), float(y)) for x, y in (point.split(",") for point in line.get("points").split())]


def test_the_line_goes_only_across_and_straight_up_or_down(drawn) -> None:
    points = steps(drawn(counts_chart(BATCH)))
    assert all(a == c or b == d for (a, b), (c, d) in itertools.pairwise(points))
    # One point for the start, two for each later event, one for the end.
    assert len(points) == 1 + 2 * 4 + 1


def test_heights_are_in_proportion_to_counts_from_zero(drawn) -> None:
    points = steps(drawn(counts_chart(BATCH)))
    start, split, empty = points[0][1], points[6][1], points[-1][1]
    assert (empty - split) / (empty - start) == pytest.approx(5400 / 12000, abs=1e-3)


def test_the_line_goes_on_to_the_day_of_reading(drawn) -> None:
    points = steps(drawn(counts_chart(BATCH[:2], until=DAY + timedelta(30))))
    assert (points[1][0] - points[0][0]) / (points[-1][0] - points[0][0]) == pytest.approx(0.1, abs=1e-3)


def test_every_event_is_told_in_words_and_by_its_own_shape(drawn) -> None:
    picture = drawn(counts_chart(BATCH, name="Batch 2024-07"))
    assert {event.label for event in BATCH} <= set(picture.words)
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []
    assert picture.title == "Count of Batch 2024-07"
    assert "released 5,400 on 1 Aug 2024" in picture.description


def test_losses_give_way_to_rarer_events_and_what_is_left_out_is_counted(drawn) -> None:
    losses = [CountEvent(DAY + timedelta(at), 20000 - 100 * at, "loss") for at in range(1, 60)]
    events = [CountEvent(DAY, 20000, "start"), *losses, CountEvent(DAY + timedelta(60), 0, "release", "released all")]
    picture = drawn(counts_chart(events))
    assert {"start: 20 000", "released all"} <= set(picture.words)
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []
    shown = sum(word.startswith(("loss", "start", "released")) for word in picture.words)
    assert f"and {len(events) - shown} more events; see the table" in picture.words


def test_a_batch_just_opened_is_drawn(drawn) -> None:
    assert "start: 500" in drawn(counts_chart([CountEvent(DAY, 500, "start")])).words


def test_no_event_says_what_to_do(drawn) -> None:
    assert "open the batch" in drawn(counts_chart([])).words[0]


def test_a_count_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="The count on 3 May 2024 is -1; it cannot be below zero"):
        counts_chart([CountEvent(DAY, -1, "count")])


def test_an_end_before_the_last_event_is_refused() -> None:
    with pytest.raises(ValueError, match="ends on 1 May 2024, before the last event on 1 Aug 2024"):
        counts_chart(BATCH, until=date(2024, 5, 1))


@given(st.lists(st.tuples(st.integers(0, 200), st.sampled_from(["loss", "count", "split", "release"])), max_size=40))
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_line_runs_through_words_whatever_happens_when(drawn, happenings: list[tuple[int, str]]) -> None:
    later = [CountEvent(DAY + timedelta(at), 10000, kind) for at, kind in sorted(happenings)]
    picture = drawn(counts_chart([CountEvent(DAY, 10000, "start"), *later]))
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []
