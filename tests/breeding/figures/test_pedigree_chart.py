"""The pedigree picture: standard symbols (Bennett et al. 1995, 2008), rows of generations, doubtful parents dashed."""

from collections.abc import Callable, Iterable
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from breeding.figures.pedigree.families import ChartFish, ChartPair
from breeding.figures.pedigree_chart import pedigree_chart

Reader = Callable[[str], "Picture"]  # noqa: F821  the class stands in conftest.py


def two_generations() -> tuple[list[ChartFish], list[ChartPair]]:
    """S × D → F."""
    fish = [ChartFish("s", "Sire 1", "M"), ChartFish("d", "Dam 1", "F", dead=True), ChartFish("f", "Young 1")]
    return fish, [ChartPair("f", "d", "s")]


def three_up() -> tuple[list[ChartFish], list[ChartPair]]:
    """A fish with its 2 parents, 4 grandparents and 8 great-grandparents."""
    fish, pairs, row = [ChartFish("f", "ISE-2019-0142", "F")], [], ["f"]
    for _ in range(3):
        above = []
        for key in row:
            pairs.append(ChartPair(key, f"{key}F", f"{key}M"))
            above += [f"{key}F", f"{key}M"]
        fish += [ChartFish(key, f"ISE-2001-{len(fish) + at:04d}", key[-1]) for at, key in enumerate(above)]
        row = above
    return fish, pairs


def centre(picture, label: str) -> tuple[float, float]:
    """Middle of the symbol whose words begin with the label."""
    for group in picture.each("g", "fig-fish"):
        if group[0].text.startswith(label):
            shape = group[1]
            if shape.get("cx"):
                return float(shape.get("cx")), float(shape.get("cy"))
            if shape.get("x"):
                return float(shape.get("x")) + 14, float(shape.get("y")) + 14
            corners = [tuple(map(float, corner.split(","))) for corner in shape.get("points").split()]
            return corners[0][0], corners[1][1]
    raise AssertionError(f"{label} is not drawn")


def rows_of(picture, labels: Iterable[str]) -> list[float]:
    return [centre(picture, label)[1] for label in labels]


def test_males_are_squares_females_circles_and_unknown_sex_diamonds(drawn: Reader) -> None:
    # Bennett et al. 1995, Am. J. Hum. Genet. 56: 745, figure 1.
    picture = drawn(pedigree_chart(*two_generations(), "f"))
    shapes = {group[0].text.split(",")[0]: group[1].tag.split("}")[1] for group in picture.each("g", "fig-fish")}
    assert shapes == {"Sire 1": "rect", "Dam 1": "circle", "Young 1": "polygon"}


def test_a_slash_goes_through_the_dead_only(drawn: Reader) -> None:
    # Bennett et al. 1995, figure 1: deceased.
    picture = drawn(pedigree_chart(*two_generations(), "f"))
    slashed = [group[0].text for group in picture.each("g", "fig-fish") if group[2].tag.endswith("line")]
    assert [text for text in slashed if "dead" in text] == ["Dam 1, female, dead"]
    assert len(picture.each("g", "fig-fish")) == 3


def test_parents_stand_side_by_side_above_their_young_sire_left(drawn: Reader) -> None:
    picture = drawn(pedigree_chart(*two_generations(), "f"))
    (sire_x, sire_y), (dam_x, dam_y), (young_x, young_y) = (centre(picture, one) for one in ("Sire", "Dam", "Young"))
    assert sire_y == dam_y < young_y
    assert sire_x < young_x < dam_x
    assert young_x == pytest.approx((sire_x + dam_x) / 2)


def test_three_generations_up_make_four_rows_without_overlap_or_crossing(drawn: Reader) -> None:
    fish, pairs = three_up()
    picture = drawn(pedigree_chart(fish, pairs, "f"))
    levels = sorted(set(rows_of(picture, [one.label for one in fish])))
    counts = [sum(level == centre(picture, one.label)[1] for one in fish) for level in levels]
    assert counts == [8, 4, 2, 1]
    assert picture.overlapping_words() == []
    for level in levels:
        places = sorted(centre(picture, one.label)[0] for one in fish if centre(picture, one.label)[1] == level)
        assert all(b - a >= 64 for a, b in pairwise(places))


def test_an_ancestor_reached_by_two_lines_is_drawn_once_and_its_mating_doubled(drawn: Reader) -> None:
    """A × B → C, D; C × D → E."""
    fish = [ChartFish(key, f"Fish {key}", sex) for key, sex in ("AF", "BM", "CF", "DM", "EF")]
    pairs = [ChartPair("C", "A", "B"), ChartPair("D", "A", "B"), ChartPair("E", "C", "D")]
    picture = drawn(pedigree_chart(fish, pairs, "E"))
    assert sum(word == "Fish A" for word in picture.words) == 1
    # Bennett et al. 1995, figure 2: consanguineous mating as a double line.
    assert "double line: related parents" in " ".join(picture.words)
    level = centre(picture, "Fish C")[1]
    double = [
        one for one in picture.each("line") if one.get("y1") == one.get("y2") and abs(float(one.get("y1")) - level) == 2
    ]
    assert len(double) == 2


def test_unrelated_parents_have_a_single_line_and_no_word_of_a_double_one(drawn: Reader) -> None:
    picture = drawn(pedigree_chart(*two_generations(), "f"))
    level = centre(picture, "Sire 1")[1]
    at_level = [one for one in picture.each("line") if one.get("y1") == one.get("y2") == f"{level:g}"]
    assert len(at_level) == 1
    assert not any("double" in word for word in picture.words)


def test_possible_sires_are_dashed_with_their_probability(drawn: Reader) -> None:
    fish = [
        ChartFish("d", "Dam", "F"),
        *(ChartFish(f"s{at}", f"Sire {at}", "M") for at in range(3)),
        ChartFish("y", "Young"),
    ]
    pairs = [ChartPair("y", "d", f"s{at}", chance) for at, chance in enumerate((0.5, 0.3, 0.2))]
    picture = drawn(pedigree_chart(fish, pairs, "y"))
    assert {"0.5", "0.3", "0.2"} <= set(picture.words)
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []
    assert {one.get("stroke-dasharray") for one in picture.each("line", "fig-possible")} == {"5 3"}
    assert "Dam Dam, sire Sire 1, with probability 0.3." in picture.description


def test_a_certain_pair_has_no_dashed_line(drawn: Reader) -> None:
    assert drawn(pedigree_chart(*two_generations(), "f")).each("line", "fig-possible") == []


def test_an_unknown_sire_leaves_the_line_from_the_dam_alone(drawn: Reader) -> None:
    fish, _ = two_generations()
    picture = drawn(pedigree_chart(fish[1:], [ChartPair("f", "d", None)], "f"))
    assert "Dam Dam 1, sire unknown." in picture.description
    assert centre(picture, "Dam")[1] < centre(picture, "Young")[1]


def test_a_mate_with_a_short_pedigree_stands_beside_one_with_a_long_one(drawn: Reader) -> None:
    """A × B → C; C × D → E; E × F → G, where F is a founder; G × E → H, a backcross over two rows."""
    fish = [ChartFish(key, f"Fish {key}", sex) for key, sex in ("AF", "BM", "CF", "DM", "EF", "FM", "GM", "HF")]
    pairs = [ChartPair("C", "A", "B"), ChartPair("E", "C", "D"), ChartPair("G", "E", "F"), ChartPair("H", "E", "G")]
    picture = drawn(pedigree_chart(fish, pairs, "G"))
    rows = rows_of(picture, [f"Fish {key}" for key in "ABCDEFGH"])
    assert rows[0] == rows[1] < rows[2] == rows[3] < rows[4] == rows[5] < rows[6] < rows[7]
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []


def test_the_ninth_young_and_those_not_given_are_told_in_words(drawn: Reader) -> None:
    fish = [ChartFish("d", "Dam", "F"), *(ChartFish(f"y{at}", f"Young {at}") for at in range(10))]
    pairs = [ChartPair(f"y{at}", "d", None) for at in range(10)]
    picture = drawn(pedigree_chart(fish, pairs, "d", more_young=212))
    assert "and 214 more young" in picture.words
    assert sum(word.startswith("Young") for word in picture.words) == 8
    assert picture.description.count("214") == 1


def test_sibs_in_one_symbol_carry_their_number(drawn: Reader) -> None:
    # Bennett et al. 1995, figure 1: multiple individuals, number known / unknown ("n").
    fish = [ChartFish("d", "Dam", "F"), ChartFish("a", "Family 1", count=12), ChartFish("b", "Family 2", count=1200)]
    picture = drawn(pedigree_chart(fish, [ChartPair("a", "d", None), ChartPair("b", "d", None)], "d"))
    assert {"12", "n", "1 200 sibs"} <= set(picture.words)


def test_names_with_markup_and_control_characters_stay_words(drawn: Reader) -> None:
    nasty = "<script>alert('x')</script>\x00\x0b\u202e & \"quote\""
    picture = drawn(pedigree_chart([ChartFish("a", nasty, "F", note=nasty)], [], "a"))
    assert "<script" not in picture.source
    assert picture.title == "Pedigree of <script>alert('x')</script> & \"quote\""


def test_a_fish_with_an_address_is_a_link(drawn: Reader) -> None:
    picture = drawn(pedigree_chart([ChartFish("a", "Fish A", "F", href="/fish/ISE-1/?a=1&b=2")], [], "a"))
    assert [one.get("href") for one in picture.each("a")] == ["/fish/ISE-1/?a=1&b=2"]


@pytest.mark.parametrize("address", ["javascript:alert(1)", "//elsewhere.example", "data:text/html,x", " /fish"])
def test_an_address_that_leads_out_of_the_site_unseen_is_refused(address: str) -> None:
    with pytest.raises(ValueError, match="must start with /, \\?, # or https://"):
        pedigree_chart([ChartFish("a", "Fish A", href=address)], [], "a")


def test_no_fish_at_all_says_what_to_do(drawn: Reader) -> None:
    assert "choose a fish first" in drawn(pedigree_chart([], [], "a")).words[0]


def test_more_than_150_fish_are_refused() -> None:
    fish = [ChartFish(str(at), f"Fish {at}") for at in range(151)]
    with pytest.raises(ValueError, match=r"151 fish are too many .* \(limit 150\)\. Show them as a list"):
        pedigree_chart(fish, [], "0")


def test_a_full_picture_of_150_fish_is_drawn_without_overlap(drawn: Reader) -> None:
    """Ten families of one dam and two sires over five rows, each row bred from the one above."""
    fish = [ChartFish(f"0-{at}", f"ISE-1994-{at:03d}", "FM"[at % 2], founder=True) for at in range(30)]
    pairs = []
    for row in range(1, 5):
        for at in range(30):
            fish.append(ChartFish(f"{row}-{at}", f"ISE-{row}-{at:03d}", "FM"[at % 2]))
            dam, sire = (at * 7 + row) % 15 * 2, (at * 11 + 3 * row) % 15 * 2 + 1
            pairs.append(ChartPair(f"{row}-{at}", f"{row - 1}-{dam}", f"{row - 1}-{sire}"))
    picture = drawn(pedigree_chart(fish, pairs, "4-0"))
    assert len(picture.each("g", "fig-fish")) == 150
    assert picture.lines_on_lines() == []
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []


def test_a_loop_is_named() -> None:
    fish = [ChartFish(key, key) for key in "abc"]
    pairs = [ChartPair("a", "b", None), ChartPair("b", "c", None), ChartPair("c", "a", None)]
    with pytest.raises(ValueError, match="their own ancestors: a → b → c → a"):
        pedigree_chart(fish, pairs, "a")


@pytest.mark.parametrize(
    ("pair", "sentence"),
    [
        (ChartPair("f", "d", "x"), "Fish x named in a pair is not among the fish"),
        (ChartPair("f", "d", "s", 1.5), r"The parents of f have probability 1\.5"),
        (ChartPair("f", "d", "s", float("nan")), "The parents of f have probability nan"),
        (ChartPair("f", "d", "d"), "Fish d is named as both dam and sire of f"),
    ],
)
def test_a_pair_that_cannot_be_is_refused(pair: ChartPair, sentence: str) -> None:
    fish, _ = two_generations()
    with pytest.raises(ValueError, match=sentence):
        pedigree_chart(fish, [pair], "f")


def test_a_fish_in_the_middle_that_is_not_given_is_refused() -> None:
    with pytest.raises(ValueError, match="The fish q in the middle is not among the fish"):
        pedigree_chart(*two_generations(), "q")


def test_two_pictures_on_a_page_keep_their_ids_apart(drawn: Reader) -> None:
    one, other = (drawn(pedigree_chart(*two_generations(), "f", prefix=prefix)) for prefix in ("up", "down"))
    assert one.root.get("aria-labelledby") != other.root.get("aria-labelledby")
    with pytest.raises(ValueError, match="id prefix '1\"' must be a letter"):
        pedigree_chart(*two_generations(), "f", prefix='1"')


@given(st.randoms(use_true_random=False), st.integers(2, 30))
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_pedigree_is_drawn_without_words_on_words_or_lines_through_words(drawn: Reader, chance, count: int) -> None:
    fish = [ChartFish(str(at), f"ISE-2020-{at:04d}", chance.choice(["F", "M", ""])) for at in range(count)]
    pairs = []
    for at in range(2, count):
        for share in chance.choice([(1.0,), (0.5, 0.5), (0.7, 0.2, 0.1)]):
            dam, sire = chance.sample(range(at), 2)
            pairs.append(ChartPair(str(at), str(dam), chance.choice([str(sire), None]), share))
    picture = drawn(pedigree_chart(fish, pairs, "0"))
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []


@given(st.randoms(use_true_random=False), st.integers(2, 30))
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_line_of_certain_parents_runs_on_another(drawn: Reader, chance, count: int) -> None:
    fish = [ChartFish(str(at), f"ISE-2020-{at:04d}", chance.choice(["F", "M", ""])) for at in range(count)]
    pairs = []
    for at in range(2, count):
        dam, sire = chance.sample(range(at), 2)
        pairs.append(ChartPair(str(at), str(dam), chance.choice([str(sire), None])))
    assert drawn(pedigree_chart(fish, pairs, "0")).lines_on_lines() == []
