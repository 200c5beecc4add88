"""A determination keeps what was seen and how every species fitted; the record changes only by taking it over."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from io import StringIO

import pytest
from django.core.management import call_command

from registry.errors import Refused
from registry.models import CharacterSeen, Determination, FishDetails, SpeciesFit
from registry.operations.identity.characters import load_characters
from registry.operations.identity.determination import TakenOver, determine, take_determination_back, take_over
from registry.operations.people import installer
from registry.permissions import Actor
from registry.rules.identity.determination import Determined, Look, TakenBack
from tests.support.proof import CORRECTING, ENTERING, last, only_those_who_may, refused, told
from tests.support.river import small_river

DAY = date(2012, 6, 1)
SIBERIAN = (
    Look("lateral_scutes", value=Decimal(44), side="left"),
    Look("lateral_scutes", value=Decimal(45), side="right"),
    Look("fin_seams", "none"),
    Look("scute_colour", "body"),
    Look("barbel_form", "smooth"),
    Look("skin", "grains"),
)
SEEN = Determined(fish="F2", determined_on=DAY, looks=SIBERIAN, river="Isendre", species="baerii")


@pytest.fixture(autouse=True)
def river(db):
    small_river()
    load_characters(installer("test"))


def details(fish: str) -> FishDetails:
    return FishDetails.objects.current().get(fish__number=fish)


def test_what_was_seen_and_how_every_species_fitted_is_kept(staff: Actor) -> None:
    row = determine(staff, SEEN)

    assert told()[:3] == ("staff", "species determined", "fish F2")
    assert (row.species.key, row.confidence, row.separable) == ("baerii", "field", True)
    assert [str(one) for one in CharacterSeen.objects.all()] == [
        "lateral_scutes left", "lateral_scutes right", "fin_seams", "scute_colour", "barbel_form",
        "skin",
    ]  # fmt: skip
    fits = list(SpeciesFit.objects.select_related("species"))
    assert fits[0].species.key == "baerii"
    assert len(fits) == 10
    sterlet = next(fit for fit in fits if fit.species.key == "ruthenus")
    assert sterlet.disagreeing == "barbel_form,lateral_scutes,scute_colour,fin_seams"


def test_the_record_of_the_fish_stays_as_it_was(staff: Actor) -> None:
    before = details("F2")
    determine(staff, SEEN)
    assert details("F2").pk == before.pk


def test_another_species_than_on_record_is_asked_about(staff: Actor) -> None:
    words = "Fish F2 is on record as Acipenser ruthenus, and this says Acipenser baerii."
    with refused(words):
        determine(staff, SEEN, confirmed=False)


REFUSED = [
    (replace(SEEN, fish="F9"), "There is no fish F9 in the register."),
    (replace(SEEN, determined_on=date(2999, 1, 1)), "1 January 2999 lies in the future. Correct the day."),
    (replace(SEEN, determined_on=date(1999, 1, 1)), "Fish F2 was caught 3 April 2000, after 1 January 1999."),
    (replace(SEEN, species="dragon"), "“dragon” is not in the species catalogue."),
    (replace(SEEN, confidence="genetic"), "Name the laboratory's report"),
    (replace(SEEN, confidence="sure"), "“sure” is not one of field, expert, genetic, doubtful."),
    (replace(SEEN, looks=()), "Nothing was seen. Enter at least one character"),
    (replace(SEEN, looks=(Look("mouth", "wide"),)), "“wide” is not offered here."),
    (replace(SEEN, looks=(Look("tail", "long"),)), "“tail” is no character of the catalogue."),
    (replace(SEEN, looks=(Look("dorsal_scutes", value=Decimal(61)),)), "Dorsal scutes run from 0 to 60."),
    (replace(SEEN, looks=(Look("dorsal_scutes", value=Decimal(11), side="left"),)), "are not counted on a side"),
]


def test_what_cannot_be_is_refused(staff: Actor) -> None:
    for entry, sentence in REFUSED:
        with refused(sentence):
            determine(staff, entry)


def test_a_report_without_characters_is_kept_without_scores(staff: Actor) -> None:
    row = determine(staff, replace(SEEN, looks=(), confidence="genetic", evidence="report 7"))
    assert (row.fits.count(), row.characters.count()) == (0, 0)


def test_taking_over_corrects_the_fish_and_it_leaves_a_stock_of_another_species(staff: Actor, manager: Actor) -> None:
    row = determine(staff, replace(SEEN, confidence="genetic", evidence="report 7"))
    take_over(manager, TakenOver(pk=row.pk, reason="Report 7."))

    now = details("F2")
    assert (now.species.key, now.confidence, now.stock) == ("baerii", "genetic", None)
    assert told()[:3] == ("manager", "fish details corrected", "fish F2")
    assert last().reason == "Report 7."
    with refused("Nothing is different from what stands."):
        take_over(manager, TakenOver(pk=row.pk, reason="Again."))


def test_a_hybrid_taken_over_is_one_and_an_open_conclusion_leaves_the_fish_in_doubt(
    staff: Actor, manager: Actor
) -> None:
    crossed = determine(staff, replace(SEEN, species="", hybrid=True, confidence="genetic", evidence="report 8"))
    take_over(manager, TakenOver(pk=crossed.pk, reason="Report 8."))
    assert (details("F2").hybrid, details("F2").species.key) == (True, "ruthenus")

    open_ = determine(staff, replace(SEEN, fish="F1", species=""))
    take_over(manager, TakenOver(pk=open_.pk, reason="Looked again."))
    assert details("F1").confidence == "doubtful"


def test_a_mistaken_determination_is_taken_back_and_stays_readable(staff: Actor, manager: Actor) -> None:
    row = determine(staff, SEEN)
    with refused("Say why"):
        take_determination_back(manager, TakenBack(pk=row.pk, reason=" "))
    take_determination_back(manager, TakenBack(pk=row.pk, reason="Another fish."))

    assert not Determination.objects.current().exists()
    assert Determination.objects.get().withdrawn.reason == "Another fish."
    assert not SpeciesFit.objects.current().exists()
    with pytest.raises(Refused, match="was taken back"):
        take_over(manager, TakenOver(pk=row.pk, reason="Late."))


def test_who_may(staff: Actor) -> None:
    only_those_who_may(ENTERING, lambda by: determine(by, SEEN))
    row = determine(staff, SEEN)
    only_those_who_may(CORRECTING, lambda by: take_over(by, TakenOver(pk=row.pk, reason="Report.")))
    only_those_who_may(CORRECTING, lambda by: take_determination_back(by, TakenBack(pk=row.pk, reason="Slip.")))


def test_the_journal_verifies_over_all_of_it(staff: Actor, manager: Actor) -> None:
    row = determine(staff, SEEN)
    take_over(manager, TakenOver(pk=row.pk, reason="Seen again."))
    take_determination_back(manager, TakenBack(pk=row.pk, reason="Slip."))
    call_command("verify_journal", stdout=StringIO())
