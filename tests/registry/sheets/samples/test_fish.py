"""The broodstock list of the samples, row by row."""

import pytest

from registry.models import FishDetails, Tag
from registry.operations.catalogue import load_catalogue
from registry.operations.people import installer
from registry.queries.known import parent_pairs
from registry.rules.days import Day
from registry.sheets.preview import Preview
from tests.support.samples import expected, faults, shown, take_until, truth_of

pytestmark = pytest.mark.django_db


def iso(day: object, precision: str) -> str | None:
    return Day(day, precision).iso if day else None  # type: ignore[arg-type]


def kept(number: str) -> dict[str, object]:
    """Return a fish of the register in the words of the truth."""
    row = FishDetails.objects.current().select_related("species", "stock", "family").get(fish__number=number)
    pairs = parent_pairs({row.parentage_id})[0][row.parentage_id] if row.parentage_id else ()
    sires = list(dict.fromkeys(pair.sire for pair in pairs))
    tag = Tag.objects.current().filter(fish=row.fish_id).first()
    return {
        "id": number,
        "species": row.species.scientific_name if row.species else None,
        "species_doubtful": row.confidence == "doubtful",
        "stock": row.stock.name if row.stock else None,
        "tag": {"system": tag.system, "code": tag.code} if tag else None,
        "sex": row.sex,
        "caught": iso(row.caught_on, row.caught_precision),
        "hatched": iso(row.hatched_on, row.hatched_precision),
        "dam": pairs[0].dam if pairs else None,
        "sire": sires if len(sires) > 1 else sires[0] if sires else None,
        "family": row.family.number if row.family else None,
        "origin": row.origin,
        "died": iso(row.left_on, row.left_precision),
    }


@pytest.fixture
def fish() -> Preview:
    load_catalogue(installer("test"))
    return shown("fish")


def test_every_row_is_judged_as_the_truth_says(fish: Preview) -> None:
    assert list(faults(fish)) == []


def test_titles_blanks_and_totals_are_no_fish(fish: Preview) -> None:
    assert {one.number for one in fish.ignored} == {line["row"] for line in truth_of("fish")["ignored"]}


def test_the_register_holds_exactly_the_values_of_the_truth() -> None:
    found = take_until("fish")
    for row, values in expected(found):
        notes = values.pop("notes", None) if "notes" in values else None
        assert kept(values["id"]) == values, f"row {row}"
        if notes is not None:
            assert FishDetails.objects.current().get(fish__number=values["id"]).notes == notes


def test_pooled_milt_gives_every_sire_an_equal_share() -> None:
    take_until("fish")
    row = FishDetails.objects.current().get(fish__number="F136")
    pairs = parent_pairs({row.parentage_id})[0][row.parentage_id]
    assert {(pair.sire, float(pair.probability)) for pair in pairs} == {("M64", 0.5), ("M29", 0.5)}
    assert row.parentage.basis == "pooled"


def test_slashes_are_read_when_the_order_is_told() -> None:
    load_catalogue(installer("test"))
    told = shown("fish", date_order="dmy")
    rows = {verdict.number: verdict for verdict in told.rows}
    mended = [line for line in truth_of("fish")["refuse"] if "accepted_if" in line]
    assert len(mended) == 2
    for line in mended:
        assert rows[line["row"]].status == "added"
        assert rows[line["row"]].entry.hatched.iso == line["accepted_if"]["values"]["hatched"]


def test_the_whole_loop_is_named_where_a_fish_would_be_its_own_ancestor(fish: Preview) -> None:
    said = [o.message for v in fish.rows for o in v.objections if o.code == "cycle"]
    assert len(said) == 2
    assert all("F148" in message and "F65" in message for message in said)
