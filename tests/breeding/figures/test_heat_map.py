"""The heat map: darker for larger, the number in the cell where there is room, a legend that says the bounds."""

import pytest

from breeding.figures.heat_map import Shades, heat_map

# Two unrelated founders and their two young: kinship by the tabular method, worked by hand.
FAMILY = [[0.5, 0, 0.25, 0.25], [0, 0.5, 0.25, 0.25], [0.25, 0.25, 0.5, 0.25], [0.25, 0.25, 0.25, 0.5]]
NAMES = ["Dam", "Sire", "Young 1", "Young 2"]


def table(count: int) -> tuple[list[list[float]], list[str]]:
    return [[(row + column) / 120 for column in range(count)] for row in range(count)], [
        f"F{at}" for at in range(count)
    ]


def cells(picture) -> dict[str, float]:
    """Return how dark each cell is, by what it tells."""
    return {cell[0].text: float(group.get("fill-opacity")) for group in picture.each("g", "fig-cell") for cell in group}


def test_every_cell_tells_its_pair_and_value(drawn) -> None:
    picture = drawn(heat_map(FAMILY, NAMES, "Kinship"))
    told = {one.text for one in picture.each("title")}
    assert {"Dam and Sire: 0", "Young 1 and Young 2: 0.25", "Sire and Sire: 0.5"} <= told
    assert picture.words.count("0.25") == 10


def test_larger_values_are_never_lighter(drawn) -> None:
    values, names = table(20)
    picture = drawn(heat_map(values, names, "Kinship"))
    found = sorted((float(told.split(": ")[1]), dark) for told, dark in cells(picture).items())
    assert [shade for _, shade in found] == sorted(shade for _, shade in found)
    assert len({shade for _, shade in found}) >= 5


def test_only_nothing_at_all_is_white(drawn) -> None:
    picture = drawn(heat_map([[0.5, 0.0001], [0.0001, 0.5]], ["A", "B"], "Kinship"))
    assert picture.words.count("<0.001") == 2
    assert cells(picture)["A and B: 0.0001"] > 0


def test_small_cells_carry_no_number_and_sixty_fish_fit(drawn) -> None:
    picture = drawn(heat_map(*table(60), "Kinship"))
    assert len(cells(picture)) == 3600
    assert picture.overlapping_words() == []


def test_the_largest_map_with_long_names_stays_small_enough_for_a_poor_line() -> None:
    values, _ = table(60)
    assert len(heat_map(values, [f"family 26-{at:02} + 3" for at in range(60)], "Kinship")) < 450_000


def test_shades_may_change_where_relatives_lie_and_rows_lead_on(drawn) -> None:
    shades = Shades((0.125, 0.25), ("/fish/Dam/", "", "", "?branch=7"))
    picture = drawn(heat_map(FAMILY, NAMES, "Kinship", shades=shades))
    assert picture.words[-4:] == ["0", "> 0", "≥ 0.125", "≥ 0.25"]
    assert [one.get("href") for one in picture.each("a")] == ["/fish/Dam/", "?branch=7"]
    dark = cells(picture)
    assert dark["Dam and Sire: 0"] < dark["Young 1 and Young 2: 0.25"] == dark["Dam and Dam: 0.5"]


def test_the_description_gives_the_range_between_different_fish(drawn) -> None:
    told = drawn(heat_map(FAMILY, NAMES, "Kinship")).description
    assert told.startswith("4 by 4 values. Between two different fish from 0 to 0.25")
    assert told.endswith("mean 0.2083.")  # (0 + 5 × 0.25) / 6


@pytest.mark.parametrize("values", [[[0.5]], [[0.0]]])
def test_one_fish_alone_is_drawn(drawn, values: list[list[float]]) -> None:
    assert drawn(heat_map(values, ["Dam"], "Kinship")).description.startswith("One fish, Dam")


def test_no_fish_says_what_to_do(drawn) -> None:
    assert "choose some fish first" in drawn(heat_map([], [], "Kinship")).words[0]


@pytest.mark.parametrize(
    ("values", "labels", "sentence"),
    [
        (*table(61), r"61 rows are too many for one picture \(limit 60\)"),
        ([[1, 2], [1]], ["a", "b"], "2 rows, but not every row has 2 values"),
        ([[1]], ["a", "b"], "2 labels were given for 1 rows"),
        ([[-0.1]], ["a"], "Row a holds a value below zero"),
        ([[float("nan")]], ["a"], "Row a: value 1 is nan"),
    ],
)
def test_a_table_that_cannot_be_drawn_is_refused(values: list[list[float]], labels: list[str], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        heat_map(values, labels, "Kinship")
