"""Founder contributions as bars, with what is still there of each founder's genes."""

import pytest

from breeding.figures.bars import Bar, bars

FOUNDERS = [Bar("ISE-1994-001", 0.5, 0.97), Bar("ISE-1994-002", 0.25, 0.5), Bar("ISE-1994-003", 0.25, 0.0)]


def test_bars_are_as_long_as_their_shares(drawn) -> None:
    first, second, third = (
        float(one.get("width")) for one in drawn(bars(FOUNDERS, "Founders")).each("rect", "fig-bar")
    )
    assert first == pytest.approx(2 * second, abs=0.02)
    assert second == third


def test_retention_has_its_own_scale_from_nought_to_one(drawn) -> None:
    picture = drawn(bars(FOUNDERS, "Founders"))
    tops = [float(one.get("points").split()[0].split(",")[0]) for one in picture.each("polygon", "fig-mark")]
    assert tops[0] > tops[1] > tops[2]
    assert (tops[1] - tops[2]) / (tops[0] - tops[2]) == pytest.approx(0.5 / 0.97, abs=1e-3)
    assert {"Share of the gene pool", "Retention", "0.500", "0.250"} <= set(picture.words)


def test_without_retention_there_is_no_second_scale(drawn) -> None:
    assert "Retention" not in drawn(bars([Bar("A", 1.0)], "Founders")).words


def test_long_names_are_cut_and_words_keep_apart(drawn) -> None:
    rows = [Bar(f"A founder with a very long name {at}", 1 / 60, 1.0) for at in range(60)]
    picture = drawn(bars(rows, "Founders"))
    assert picture.overlapping_words() == []
    assert any(word.endswith("…") for word in picture.words)


def test_the_largest_share_is_told(drawn) -> None:
    assert drawn(bars(FOUNDERS, "Founders")).description == (
        "3 founders. The largest share, 0.5, is that of ISE-1994-001."
    )


def test_no_founder_is_said(drawn) -> None:
    assert drawn(bars([], "Founders")).words == ["No founders to draw yet."]


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([Bar("A", 0.1)] * 61, r"61 founders are too many for one picture \(limit 60\)"),
        ([Bar("A", 1.2)], r"The share of A is 1\.2; it must be between 0 and 1"),
        ([Bar("A", 0.2, -0.1)], r"The retention of A is -0\.1"),
        ([Bar("A", float("nan"))], "A, share: value 1 is nan"),
    ],
)
def test_shares_that_cannot_be_are_refused(rows: list[Bar], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        bars(rows, "Founders")


def test_a_founder_in_danger_is_told_by_word(drawn) -> None:
    rows = [
        Bar("UI-1", 0.0, 1.0, note="last chance"),
        Bar("UI-2", 0.2, 0.5),
        Bar("UI-3", 0.21, 1.0, note="1 carrier left"),
    ]
    picture = drawn(bars(rows, "Founders"))
    assert {"0.000 last chance", "0.210 1 carrier left"} <= set(picture.words)
    assert "UI-1: share 0, last chance, retention 1" in {one.text for one in picture.each("title")}
    assert picture.overlapping_words() == []
