"""The lineage of a trace: from a record at the left to its founders at the right, a probability on every line."""

import networkx
import pytest

from breeding.figures.lineage_tree import CARD_WIDTH, COLUMN, LineageNode, LineageStep, lineage_tree


def released_fish() -> tuple[list[LineageNode], list[LineageStep]]:
    """Release ← batch ← two families (0.62, 0.38); the second has two possible sires; founder B bred twice."""
    nodes = [
        LineageNode("r", "Release 2024-03", "release", "1,200 fish", "/release/2024-03/"),
        LineageNode("b", "Batch 2023-07", "batch"),
        LineageNode("f1", "Family 1", "family"),
        LineageNode("f2", "Family 2", "family"),
        *(LineageNode(key, f"ISE-1994-{key}") for key in "ABCD"),
    ]
    steps = [
        LineageStep("r", "b"),
        LineageStep("b", "f1", 0.62),
        LineageStep("b", "f2", 0.38),
        LineageStep("f1", "A"),
        LineageStep("f1", "B"),
        LineageStep("f2", "A"),
        LineageStep("f2", "C", 0.7),
        LineageStep("f2", "D", 0.3),
        LineageStep("r", "D", 0.001),
    ]
    return nodes, steps


def column(picture, label: str) -> float:
    for group in picture.each("g", "fig-card"):
        if group[0].text.startswith(label):
            return (float(group[1].get("x1")) - 8) / COLUMN
    raise AssertionError(f"{label} is not drawn")


def test_every_step_back_is_a_column_as_far_as_the_longest_way(drawn) -> None:
    nodes, steps = released_fish()
    picture = drawn(lineage_tree(nodes, steps, "r"))
    graph = networkx.DiGraph((step.source, step.origin) for step in steps)
    for node in nodes:
        # networkx as second opinion: the longest of all simple ways from the release.
        ways = networkx.all_simple_paths(graph, "r", node.key) if node.key != "r" else [["r"]]
        assert column(picture, node.label) == max(len(way) - 1 for way in ways)


def test_the_probability_of_every_step_is_written_once(drawn) -> None:
    picture = drawn(lineage_tree(*released_fish(), "r"))
    written = sorted(word for word in picture.words if word.replace(".", "").isdigit())
    assert written == sorted(["1", "0.62", "0.38", "1", "1", "1", "0.7", "0.3", "0.001"])


def test_uncertain_steps_are_dashed_and_certain_ones_not(drawn) -> None:
    picture = drawn(lineage_tree(*released_fish(), "r"))
    dashed = [one for one in picture.each("polyline") if one.get("stroke-dasharray")]
    # Five steps below 1; the one from the release to founder D passes two columns on its way.
    assert len(dashed) == 5 + 2


def test_words_neither_meet_each_other_nor_a_line(drawn) -> None:
    picture = drawn(lineage_tree(*released_fish(), "r"))
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []


def test_columns_are_headed(drawn) -> None:
    assert {"this record", "1 step back", "2 steps back", "3 steps back"} <= set(
        drawn(lineage_tree(*released_fish(), "r")).words
    )


def test_cards_with_an_address_are_links(drawn) -> None:
    assert [one.get("href") for one in drawn(lineage_tree(*released_fish(), "r")).each("a")] == ["/release/2024-03/"]


def test_the_description_says_where_it_comes_from(drawn) -> None:
    description = drawn(lineage_tree(*released_fish(), "r")).description
    assert description.startswith("Comes from Batch 2023-07 (1), ISE-1994-D (0.001). Ends at 4 founders")


def test_a_founder_alone_says_that_no_origin_is_recorded(drawn) -> None:
    assert drawn(lineage_tree([LineageNode("a", "ISE-1")], [], "a")).description == "No origin is recorded."


def test_nothing_to_trace_is_said(drawn) -> None:
    assert "Nothing to trace" in drawn(lineage_tree([], [], "a")).words[0]


def test_a_batch_of_forty_families_keeps_its_words_apart(drawn) -> None:
    nodes = [LineageNode("b", "Batch", "batch")]
    steps = []
    for at in range(40):
        nodes += [LineageNode(f"f{at}", f"Family {at}", "family"), LineageNode(f"d{at}", f"Dam with a long name {at}")]
        steps += [LineageStep("b", f"f{at}", 0.025), LineageStep(f"f{at}", f"d{at}")]
        steps += [LineageStep(f"f{at}", f"d{(at * 7) % 40}", 0.5)] if (at * 7) % 40 != at else []
    picture = drawn(lineage_tree(nodes, steps, "b"))
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []
    assert COLUMN > CARD_WIDTH


def test_a_founder_of_many_families_has_room_for_every_line(drawn) -> None:
    nodes = [LineageNode("b", "Batch", "batch"), LineageNode("A", "ISE-1994-A"), LineageNode("B", "ISE-1994-B")]
    nodes += [LineageNode(f"f{at}", f"Family {at}", "family") for at in range(12)]
    steps = [LineageStep("b", f"f{at}", 1 / 12) for at in range(12)]
    steps += [LineageStep(f"f{at}", founder, 0.5) for at in range(12) for founder in "AB"]
    picture = drawn(lineage_tree(nodes, steps, "b"))
    assert picture.words.count("0.5") == 24
    assert picture.overlapping_words() == []
    assert picture.struck_words() == []


@pytest.mark.parametrize(
    ("step", "sentence"),
    [
        (LineageStep("b", "r"), "These records come from themselves: "),
        (LineageStep("b", "x"), "x named in the lineage is not among the records"),
        (LineageStep("b", "A", -0.1), r"The step from b to A has probability -0\.1"),
        (LineageStep("b", "A", float("nan")), "The step from b to A has probability nan"),
    ],
)
def test_a_step_that_cannot_be_is_refused(step: LineageStep, sentence: str) -> None:
    nodes, steps = released_fish()
    with pytest.raises(ValueError, match=sentence):
        lineage_tree(nodes, [*steps, step], "r")


def test_more_than_150_records_are_refused() -> None:
    nodes = [LineageNode(str(at), "x") for at in range(151)]
    with pytest.raises(ValueError, match=r"151 records are too many .* Show them as a list"):
        lineage_tree(nodes, [], "0")


def test_the_same_record_twice_is_refused() -> None:
    with pytest.raises(ValueError, match="A record is given more than once"):
        lineage_tree([LineageNode("a", "x"), LineageNode("a", "x")], [], "a")
