"""What was seen of a species before the fish had a number goes with it; doubt keeps it from plans."""

from datetime import date
from decimal import Decimal
from html import unescape

import pytest

from registry.models import CharacterSeen, Determination, Fish, FishDetails, JournalEntry, SetAside, Tag
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.pairs import PairAdded, add_pair
from registry.operations.identity.characters import load_characters
from registry.operations.identity.determination import determine
from registry.operations.people import installer
from registry.operations.shared.entries import PairWanted, PlanDraft
from registry.operations.tags import record_tag_lost
from registry.permissions import Actor
from registry.rules.identity.determination import Determined, Look
from registry.rules.tagging import TagEnd
from registry.rules.tags import TagCode
from tests.registry.pages.intake.test_arrive import sent
from tests.support.broodstock import HALL
from tests.support.proof import refused
from tests.support.river import CODES, STOCK, small_river

pytestmark = pytest.mark.django_db
SEEN = {"lateral_scutes_left": "44", "lateral_scutes_right": "45", "fin_seams": "none", "barbel_form": "smooth"}


@pytest.fixture
def hall(client_of):
    small_river()
    load_characters(installer("test"))
    return client_of("staff")


def test_a_look_without_a_fish_leads_into_the_intake_and_comes_along(hall):
    page = unescape(hall.get("/species/determine/", SEEN).content.decode())
    (target,) = [part.split('"')[0] for part in page.split('href="') if part.startswith("/enter/intake/?")]

    page = hall.get(target).content.decode()

    assert "Lateral scutes, left: 44" in page
    assert "Fin seams: no white seam" in page
    assert '<input type="hidden" name="fin_seams" value="none"' in page
    assert "&lateral_scutes_left=44&" in unescape(page)  # to look again


def test_what_was_seen_is_kept_with_the_fish_under_the_entry_of_its_intake(hall, geneticist: Actor):
    doubt = {"species": "baerii", "stock": "", "confidence": "doubtful", "quarantine": ""}
    assert sent(hall, **SEEN, **doubt, signs=["fins"], none_of_these="yes").url == "/fish/N1/"

    row = Determination.objects.get(fish__number="N1")
    assert (row.species.key, row.confidence, row.signs, row.total_length_mm) == ("baerii", "doubtful", "fins", 800)
    assert CharacterSeen.objects.filter(determination=row).count() == 4
    assert row.fits.count() > 1
    assert JournalEntry.objects.get(seq=row.entry_id).what == "fish taken in"
    draft_plan(geneticist, PlanDraft(number="P1", stock=STOCK, season=2012))
    with refused("N1: species in doubt. Have it determined first."):
        add_pair(geneticist, PairAdded(plan="P1", pair=PairWanted(dam="N1", sire="M1")))


def test_a_species_known_by_a_test_needs_the_laboratory_s_report(hall):
    page = sent(hall, **SEEN, confidence="genetic", quarantine="").content.decode()
    assert "Name the laboratory&#x27;s report: a genetic determination stands on it." in page
    assert not Fish.objects.filter(number="N1").exists()


def test_a_code_that_another_fish_bears_is_set_aside_and_the_fish_taken_in(hall):
    why = {"tag": CODES["F1"], "quarantine": "", "another_fish": ["F1", "F2"]}
    assert "is active on fish F1" in unescape(sent(hall, **why).content.decode())

    assert sent(hall, **why, set_aside="a male, and F1 stands in its tank").url == "/fish/N1/"

    row = SetAside.objects.get()
    assert (row.fish.number, row.holder.number, row.reason) == ("N1", "F1", "a male, and F1 stands in its tank")
    assert not Tag.objects.filter(fish__number="N1").exists()
    assert FishDetails.objects.filter(fish__number="N1").exists()


def test_the_scutes_counted_speak_for_a_fish_that_had_as_many(hall, geneticist: Actor):
    record_tag_lost(HALL, TagEnd(code=TagCode("iso", CODES["F2"]), ended_on=date(2011, 3, 1), end_reason="lost"))
    counted = tuple(Look("lateral_scutes", value=Decimal(n), side=side) for n, side in ((44, "left"), (45, "right")))
    determine(geneticist, Determined(fish="F2", determined_on=date(2010, 6, 1), looks=counted, species="ruthenus"))

    page = unescape(sent(hall, **SEEN, quarantine="").content.decode())

    assert "44 lateral scutes left, as counted before" in page
    assert "45 lateral scutes right, as counted before" in page
