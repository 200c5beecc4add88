"""The catalogue ships with sources, is taken in once, and is changed by later rows with a reason."""

import json
from dataclasses import replace
from decimal import Decimal

import pytest

from registry.models import (
    AcceptedName,
    JournalEntry,
    RiverStanding,
    Species,
    SpeciesFigure,
    SpeciesLook,
    SpeciesName,
)
from registry.operations.catalogue import load_catalogue
from registry.operations.identity.characters import load_characters
from registry.operations.identity.species import (
    add_name,
    change_figure,
    change_looks,
    open_species,
    set_standing,
    take_name_back,
)
from registry.permissions import Actor
from registry.queries.catalogue.profiles import maturity_years, profiles
from registry.queries.catalogue.species import kept_of
from registry.queries.known import Named, known
from registry.rules.identity.characters import BY_KEY
from registry.rules.identity.determination import TakenBack
from registry.rules.identity.facts import FigureChanged, LooksChanged, LookShare, NameAdded, SpeciesOpened, StandingSet
from registry.rules.identity.figures import FIGURES
from tests.support.proof import ADMINISTERING, CORRECTING, last, only_those_who_may, refused, told
from tests.support.sources import ROOT
from tests.support.sturgeons import catalogue

LATERAL = FigureChanged(
    species="ruthenus",
    figure="lateral_scutes",
    low=Decimal(55),
    high=Decimal(72),
    source="own counts",
    reason="Counted.",
)
BARBELS = LooksChanged(
    species="baerii", character="barbel_form",
    shares=(LookShare("smooth", Decimal("0.9")), LookShare("partly_fringed", Decimal("0.1"))),
    source="own counts", reason="Counted.",
)  # fmt: skip
NAME = NameAdded(species="ruthenus", kind="synonym", name="A. dubius", source="a list", reason="Found in old sheets.")
STANDING = StandingSet(species="baerii", river="Isendre", standing="introduced", source="catches", reason="Asked.")


@pytest.fixture
def shipped(administrator: Actor) -> None:
    load_catalogue(administrator)
    load_characters(administrator)


def test_every_row_that_ships_is_known_to_the_catalogue_and_names_its_source() -> None:
    rows = json.loads((ROOT / "fixtures" / "characters.json").read_text(encoding="utf-8"))
    species = {one["key"] for one in json.loads((ROOT / "fixtures" / "species.json").read_text(encoding="utf-8"))}
    for row in (*rows["figures"], *rows["looks"], *rows["accepted_names"]):
        assert row["source"].strip().endswith(".")
        assert row["species"] in species
    assert {row["figure"] for row in rows["figures"]} <= set(FIGURES)
    assert {row["character"] for row in rows["looks"]} <= set(BY_KEY)


def test_what_ships_is_taken_in_once(administrator: Actor) -> None:
    load_catalogue(administrator)
    assert load_characters(administrator) > 200
    assert told()[:3] == ("administrator", "characters of species loaded", "catalogue")
    before = JournalEntry.objects.count()
    assert load_characters(administrator) == 0
    assert JournalEntry.objects.count() == before


def test_the_register_knows_the_species_as_they_ship(shipped: None) -> None:
    expected = catalogue()
    for one in profiles():
        assert (one.spans, one.looks) == (expected[one.key].spans, expected[one.key].looks)


def test_an_older_register_gets_the_species_that_it_lacks(administrator: Actor, monkeypatch) -> None:
    every = json.loads((ROOT / "fixtures" / "species.json").read_text(encoding="utf-8"))
    monkeypatch.setattr(
        "registry.operations.catalogue.shipped",
        lambda name: every[:-1] if name == "species.json" else json.loads((ROOT / "fixtures" / name).read_text()),
    )
    load_catalogue(administrator)
    monkeypatch.undo()
    load_characters(administrator)
    assert set(Species.objects.values_list("key", flat=True)) == {one["key"] for one in every}


def test_a_changed_figure_takes_the_earlier_back_and_says_who_and_why(shipped: None, manager: Actor) -> None:
    earlier = SpeciesFigure.objects.get(species__key="ruthenus", figure="lateral_scutes")
    change_figure(manager, LATERAL)

    assert told()[:3] == ("manager", "species figure changed", "species ruthenus")
    assert last().corrects_id == earlier.entry_id
    kept = kept_of("ruthenus")
    assert (kept.figures["lateral_scutes"].low, kept.figures["lateral_scutes"].source) == (55, "own counts")
    (before,) = kept.earlier
    assert (before.row.pk, before.taken_back.who, before.taken_back.reason) == (earlier.pk, "manager", "Counted.")


def test_a_figure_without_values_is_taken_back(shipped: None, manager: Actor) -> None:
    change_figure(manager, FigureChanged(species="ruthenus", figure="lateral_scutes", reason="Doubtful."))
    assert "lateral_scutes" not in kept_of("ruthenus").figures


def test_rules_go_by_the_figures_as_they_stand_now(shipped: None, manager: Actor) -> None:
    longest = FigureChanged(
        species="ruthenus", figure="max_length_mm", high=Decimal(1300), source="a record", reason="Measured."
    )
    change_figure(manager, longest)
    change_figure(manager, replace(longest, figure="female_maturity_years", low=Decimal(4), high=None))

    held = known(Named()).species["ruthenus"]
    assert (held.max_length_mm, held.female_maturity_years) == (1300, 4)
    assert maturity_years(Species.objects.get(key="ruthenus")) == {"F": 4, "M": 3}


def test_shares_of_looks_change_together(shipped: None, manager: Actor) -> None:
    change_looks(manager, BARBELS)
    assert {row.look: row.share for row in kept_of("baerii").looks["barbel_form"]} == {
        "smooth": Decimal("0.9"), "partly_fringed": Decimal("0.1")
    }  # fmt: skip
    assert len(kept_of("baerii").earlier) == 2
    change_looks(manager, replace(BARBELS, shares=(), source=""))
    assert "barbel_form" not in kept_of("baerii").looks


def test_an_authority_has_one_name_for_a_species_at_a_time(shipped: None, manager: Actor) -> None:
    list_ = replace(NAME, kind="accepted", name="Sterletus ruthenus", authority="CITES and FAO", year=2030)
    add_name(manager, list_)
    assert AcceptedName.objects.current().get(species__key="ruthenus", authority="CITES and FAO").year == 2030


NEW = SpeciesOpened(
    scientific_name="Acipenser inventus", common_name="Invented sturgeon", code="INV", ploidy=4,
    chromosome_class="middle", max_length_mm=1800, max_mass_g=60_000, source="invented", reason="Held here.",
)  # fmt: skip


def test_a_species_is_opened_and_may_have_stocks_and_figures(shipped: None, manager: Actor) -> None:
    row = open_species(manager, NEW)
    assert (row.key, row.ploidy, told()[:3]) == ("inventus", 4, ("manager", "species opened", "species inventus"))
    change_figure(manager, replace(LATERAL, species="inventus"))
    assert known(Named()).species["inventus"].max_length_mm == 1800
    assert [one.spans["lateral_scutes"].low for one in profiles() if one.key == "inventus"] == [55]


def test_a_species_that_cannot_be_is_not_opened(shipped: None, manager: Actor) -> None:
    for entry, sentence in (
        (replace(NEW, scientific_name="Acipenser ruthenus"), "The catalogue has Acipenser ruthenus already."),
        (replace(NEW, scientific_name="Sterletus ruthenus"), "The catalogue has Acipenser ruthenus already."),
        (replace(NEW, scientific_name="sturgeon"), "“sturgeon” is not the name of a species"),
        (replace(NEW, code="RUT"), "“RUT” is already a name of Acipenser ruthenus."),
        (replace(NEW, ploidy=3), "3 gene copies are not among 2, 4, 6, 8."),
        (replace(NEW, chromosome_class="huge"), "The catalogue knows no “huge”."),
        (replace(NEW, max_length_mm=0), "0 is no size of a fish."),
        (replace(NEW, source=""), "Every value needs its source"),
    ):
        with refused(sentence):
            open_species(manager, entry)


def test_a_name_is_added_and_taken_back_and_may_come_again(shipped: None, manager: Actor) -> None:
    add_name(manager, NAME)
    row = SpeciesName.objects.get(name="A. dubius")
    take_name_back(manager, TakenBack(pk=row.pk, reason="Misread."))
    add_name(manager, NAME)
    assert SpeciesName.objects.current().filter(name="A. dubius").count() == 1
    with refused("This name was taken back already."):
        take_name_back(manager, TakenBack(pk=row.pk, reason="Again."))


def test_a_river_is_said_anew(shipped: None, manager: Actor) -> None:
    set_standing(manager, STANDING)
    set_standing(manager, replace(STANDING, standing="absent"))
    assert RiverStanding.objects.current().get().standing == "absent"
    (siberian,) = (one for one in profiles() if one.key == "baerii")
    assert siberian.rivers == {"Isendre": "not native"}


REFUSED = [
    (change_figure, replace(LATERAL, reason=" "), "Say why"),
    (change_figure, replace(LATERAL, source=""), "Every value needs its source"),
    (change_figure, replace(LATERAL, low=Decimal(80)), "80, 72 is not in order"),
    (change_figure, replace(LATERAL, low=Decimal(-1)), "nought or more"),
    (change_figure, replace(LATERAL, figure="shoe_size"), "The catalogue knows no “shoe_size”."),
    (change_figure, replace(LATERAL, species="dragon"), "“dragon” is not in the catalogue."),
    (
        change_figure, FigureChanged(species="ruthenus", figure="generation_years", reason="Why not."),
        "Nothing stands here and nothing is given.",
    ),
    (change_looks, replace(BARBELS, shares=(LookShare("smooth", Decimal("0.9")),)), "The shares sum to 0.9,"),
    (change_looks, replace(BARBELS, shares=(LookShare("curly", Decimal(1)),)), "The catalogue knows no “curly”."),
    (change_looks, replace(BARBELS, character="lateral_scutes"), "The catalogue knows no “lateral_scutes”."),
    (add_name, replace(NAME, name="sterlet"), "“sterlet” is already a name of Acipenser ruthenus."),
    (add_name, replace(NAME, kind="accepted"), "Say which authority accepts this name."),
    (add_name, replace(NAME, kind="accepted", authority="A", year=1500), "1500 is no year of a list"),
    (add_name, replace(NAME, kind="nickname"), "“nickname” is not one of"),
    (add_name, replace(NAME, source=""), "Every value needs its source"),
    (set_standing, replace(STANDING, river=""), "Name the river."),
    (set_standing, replace(STANDING, standing="perhaps"), "The catalogue knows no “perhaps”."),
]  # fmt: skip


def test_what_cannot_be_is_refused(shipped: None, manager: Actor) -> None:
    for change, entry, sentence in REFUSED:
        with refused(sentence):
            change(manager, entry)


def test_who_may(shipped: None) -> None:
    for change, entry in (
        (change_figure, LATERAL), (change_looks, BARBELS), (add_name, NAME), (set_standing, STANDING),
        (open_species, NEW),
    ):  # fmt: skip
        only_those_who_may(CORRECTING, lambda by, change=change, entry=entry: change(by, entry))


def test_who_may_take_in_what_ships(administrator: Actor) -> None:
    load_catalogue(administrator)
    only_those_who_may(ADMINISTERING, load_characters)
    assert not SpeciesLook.objects.exists()
