"""What is entered of a fish in hand: read as hands write it, refused at its field, nothing half-written."""

from datetime import date
from decimal import Decimal

import pytest
from django.db.models import QuerySet

from registry.models import Check, Fish, FishDetails, JournalEntry, Parentage, ParentPair, Stay, Tag
from tests.support.river import CODES, POND, STOCK, small_river

pytestmark = pytest.mark.django_db
NEW = "756000000000055"


@pytest.fixture
def river():
    return small_river()


@pytest.fixture
def hall(client_of, river):
    return client_of("staff")


def written() -> tuple[int, int, int]:
    return JournalEntry.objects.count(), Fish.objects.count(), Tag.objects.count()


def current(number: str) -> FishDetails:
    return FishDetails.objects.current().get(fish__number=number)


def tags(number: str) -> QuerySet:
    return Tag.objects.current().filter(fish__number=number)


def admission(**more):
    return {"number": "2031-1", "sex": "U", "origin": "unknown", "confidence": "field", "basis": "recorded"} | more


def test_a_founder_is_admitted_with_a_tag_in_any_notation(hall):
    answer = hall.post(
        "/enter/fish/",
        admission(
            tag="756 0000 0000 0055", tagged_on="2020-05-03", species="ruthenus", stock=STOCK, sex="F", origin="wild",
            caught="May 2020", caught_at="Quern reach", unit=POND, tissue_sample="T-12",
        ),
    )  # fmt: skip

    assert answer.url == "/fish/2031-1/"
    fish = current("2031-1")
    assert (fish.caught_on, fish.caught_precision, fish.parentage) == (date(2020, 5, 1), "month", None)
    assert tags("2031-1").get().code == NEW
    assert Stay.objects.get(fish=fish.fish).unit.name == POND


def test_a_fish_of_a_family_has_the_family_s_parents(hall):
    assert hall.post("/enter/fish/", admission(family="10-1")).status_code == 302

    fish = current("2031-1")
    assert fish.family.number == "10-1"
    assert [str(pair) for pair in fish.parentage.pairs.all()] == ["F1 × M1"]


def test_a_fish_with_two_possible_sires_keeps_both_with_their_probability(hall):
    pairs = {"pairs_dam": ["F1", CODES["F1"]], "pairs_sire": ["M1", "M2"], "pairs_probability": ["0,75", "0.25"]}
    assert hall.post("/enter/fish/", admission(**pairs)).status_code == 302

    held = ParentPair.objects.filter(parentage=current("2031-1").parentage)
    assert [(str(pair), pair.probability) for pair in held] == [
        ("F1 × M1", Decimal("0.75")),
        ("F1 × M2", Decimal("0.25")),
    ]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"number": "F1"}, "Number F1 is already another fish. Numbers are never used twice: take another."),
        ({"number": ""}, "Register number is missing. Fill it in."),
        ({"tag": CODES["M1"], "tagged_on": "2011-01-01"}, "is active on fish M1 since 5 April 2000."),
        ({"tag": "9.00215E+14"}, "was rounded by a spreadsheet; its last digits are gone."),
        ({"caught": "3/5/2019"}, "can be read with the day first or the month first. Write it as 2019-05-03."),
        ({"hatched": "soon"}, "soon is not a date. Enter it as 2019-05-03 or 3 May 2019."),
        ({"family": "99-9"}, "There is no family “99-9”. Correct the number, or enter its parents below too."),
        ({"pairs_dam": ["M1"], "pairs_sire": [""], "pairs_probability": [""]},
         "M1 is recorded as male and cannot be a dam. Look at the fish again."),
        ({"pairs_dam": ["X9"], "pairs_sire": [""], "pairs_probability": [""]}, "No fish has the number or tag “X9”."),
        ({"pairs_dam": ["F1", "F2"], "pairs_sire": ["M1", "M1"], "pairs_probability": ["0.5", "0.4"]},
         "The probabilities sum to 0.9, not 1. Correct the shares."),
        ({"pairs_dam": ["F1", "F2"], "pairs_sire": ["M1", "M1"], "pairs_probability": ["0.5", ""]},
         "F2 × M1: its probability is missing. Write it as 0.25; all of them sum to 1."),
        ({"number": "bell\x07"}, "holds a control character (U+0007)"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_the_reason_and_nothing_is_written(hall, typed, sentence):
    before = written()

    answer = hall.post("/enter/fish/", admission(caught_at="Quern reach", **typed) if "number" not in typed
                       else admission(caught_at="Quern reach") | typed)  # fmt: skip

    assert answer.status_code == 422
    text = answer.content.decode()
    assert sentence in text
    assert 'value="Quern reach"' in text, "what was typed is kept"
    assert written() == before


def test_parents_typed_stand_in_the_form_that_comes_back(hall):
    typed = admission(number="F1", pairs_dam=["F2"], pairs_sire=["M2"], pairs_probability=[""])

    text = hall.post("/enter/fish/", typed).content.decode()

    assert 'name="pairs_dam" value="F2"' in text
    assert 'name="pairs_sire" value="M2"' in text


def test_admitting_shows_the_caution_on_permits(hall):
    assert "the register does not stand in for a permit" in hall.get("/enter/fish/").content.decode()


def test_a_second_tag_is_attached_to_a_scanned_fish(hall):
    typed = {"fish": CODES["F1"], "code": NEW, "site": "left", "attached_on": "2012-05-03"}

    assert hall.post("/enter/tag/", typed).url == "/fish/F1/"
    assert sorted(tags("F1").values_list("code", flat=True)) == sorted([CODES["F1"], NEW])


def test_a_code_one_figure_off_another_is_asked_about_once(hall):
    near = "756000000000037"  # M1 bears …033
    typed = {"fish": "F1", "code": near, "attached_on": "2012-05-03"}

    asked = hall.post("/enter/tag/", typed)
    assert asked.status_code == 422
    said = f"Tag {near} differs by one digit from {CODES['M1']} on fish M1. Read it once more."
    assert said in asked.content.decode()
    assert not tags("F1").filter(code=near).exists()

    assert hall.post("/enter/tag/", typed | {"confirm_warnings": "yes", "warning_seen": said}).status_code == 302


def test_a_lost_tag_ends_and_the_page_offers_the_one_it_bears(hall):
    assert CODES["F1"] in hall.get("/enter/tag-end/?fish=F1").content.decode()

    typed = {"code": CODES["F1"], "end_reason": "lost", "ended_on": "2012-05-03"}
    assert hall.post("/enter/tag-end/", typed).url == "/fish/F1/"

    tag = tags("F1").get()
    assert (tag.ended_on, tag.end_reason) == (date(2012, 5, 3), "lost")


def test_a_tag_is_replaced_in_one_go(hall):
    typed = {"old": CODES["F1"], "new": NEW, "replaced_on": "2012-05-03", "evidence": "old tag still read"}

    assert hall.post("/enter/tag-replacement/", typed).url == "/fish/F1/"
    old, new = tags("F1").order_by("pk")
    assert (old.ended_on, old.end_reason) == (date(2012, 5, 3), "replaced")
    assert (new.code, new.ended_on, new.evidence) == (NEW, None, "old tag still read")


def test_a_replacement_by_a_code_in_use_leaves_the_old_tag_on(hall):
    before = written()

    answer = hall.post("/enter/tag-replacement/", {"old": CODES["F1"], "new": CODES["M1"], "replaced_on": "2012-05-03"})

    assert answer.status_code == 422
    assert f"Tag {CODES['M1']} is active on fish M1" in answer.content.decode()
    assert tags("F1").get().ended_on is None
    assert written() == before


def test_a_code_on_no_fish_cannot_be_replaced(hall):
    answer = hall.post("/enter/tag-replacement/", {"old": NEW, "new": "756000000000066", "replaced_on": "2012-05-03"})

    assert answer.status_code == 422
    assert f"Code {NEW} is not active on any fish." in answer.content.decode()


def test_lengths_and_masses_are_read_with_their_units(hall):
    typed = {"fish": CODES["F1"], "checked_on": "2012-05-03", "total_length_mm": "74,5 cm", "mass_g": "2.3 kg"}

    assert hall.post("/enter/check/", typed).url == "/fish/F1/"
    check = Check.objects.get()
    assert (check.total_length_mm, check.mass_g) == (Decimal(745), Decimal(2300))
    assert check.tag.code == CODES["F1"], "the tag that was read is kept as evidence"


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"total_length_mm": "74,5 kg"}, "is not in a unit that fits here. Use mm, cm, m."),
        ({"total_length_mm": "9000"}, "is far beyond the largest"),
        ({"mass_g": "-3"}, "-3 is negative, which cannot be. Check the sign."),
        ({"checked_on": "1999-01-01", "mass_g": "3"}, "Fish F1 was caught 3 April 2000, after 1 January 1999."),
        ({}, "Nothing was measured. Enter at least one finding."),
        ({"fish": "Q7", "mass_g": "3"}, "No fish has the number or tag “Q7”."),
        ({"polarisation_index": "0.7"}, "A polarisation index of 0.7 is not possible"),
    ],
)
def test_impossible_findings_are_refused(hall, typed, sentence):
    before = written()

    answer = hall.post("/enter/check/", {"fish": "F1", "checked_on": "2012-05-03"} | typed)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert (written(), Check.objects.count()) == (before, 0)


def test_a_sex_found_against_the_record_is_asked_about_and_then_kept_beside_it(hall):
    typed = {"fish": "F1", "checked_on": "2012-05-03", "sex_found": "M"}
    said = "Found male, but F1 is on record as female. Both are kept; look again."

    assert said in hall.post("/enter/check/", typed).content.decode()
    assert hall.post("/enter/check/", typed | {"confirm_warnings": "yes", "warning_seen": said}).status_code == 302
    assert (Check.objects.get().sex_found, current("F1").sex) == ("M", "F")


def test_a_fish_moves_to_another_unit(hall):
    assert hall.post("/enter/move/", {"fish": "F1", "unit": POND, "moved_on": "2012-05-03"}).url == "/fish/F1/"

    stays = Stay.objects.current().filter(fish__number="F1").order_by("pk")
    assert [(stay.unit.name, stay.until) for stay in stays] == [("Tank 1", date(2012, 5, 3)), (POND, None)]


def test_a_death_known_by_its_year_ends_tag_and_stay(hall):
    typed = {"fish": "F1", "left": "died", "left_on": "2015", "notes": "found floating"}

    assert hall.post("/enter/departure/", typed).url == "/fish/F1/"
    fish = current("F1")
    assert (fish.left, fish.left_precision, fish.left_note) == ("died", "year", "found floating")
    assert not tags("F1").filter(ended_on__isnull=True).exists()
    assert hall.post("/enter/departure/", typed).status_code == 422


def test_parentage_is_determined_by_the_manager_on_evidence(hall, client_of):
    desk = client_of("manager")
    assert hall.get("/enter/parentage/?fish=F2").status_code == 403

    typed = {"fish": "F2", "basis": "genotype", "reason": "12 loci"}
    pairs = {"pairs_dam": ["F1"], "pairs_sire": [""], "pairs_probability": [""]}
    assert desk.post("/enter/parentage/", typed | pairs).url == "/fish/F2/"
    assert str(ParentPair.objects.get(parentage=current("F2").parentage)) == "F1 × unknown"
    assert current("F2").parentage.basis == Parentage.Basis.GENOTYPE
    assert 'name="pairs_dam" value="F1"' in desk.get("/enter/parentage/?fish=F2").content.decode()

    loop = {"fish": "F1", "pairs_dam": ["F2"], "pairs_sire": [""], "pairs_probability": [""]}
    answer = desk.post("/enter/parentage/", typed | loop)
    assert "F1 is an ancestor of F2: it would be its own ancestor. Correct the parents." in answer.content.decode()


@pytest.mark.parametrize("path", ["fish", "tag", "tag-end", "tag-replacement", "check", "move", "departure"])
def test_a_viewer_may_enter_nothing(client_of, river, path):
    answer = client_of("viewer").post(f"/enter/{path}/", {})

    assert answer.status_code == 403
    assert "Ask someone with the role:" in answer.content.decode()


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"moved_on": "2000-01-01"}, "It is in Tank 1 since 5 April 2000; it cannot have left it before."),
        ({"unit": "Tank 1"}, "It is in Tank 1 already. Choose another unit."),
        ({"moved_on": "2126-01-01"}, "This day lies in the future. Correct it."),
        ({"fish": "F9"}, "No fish has the number or tag “F9”."),
    ],
)
def test_a_move_that_cannot_be_is_refused(hall, typed, sentence):
    answer = hall.post("/enter/move/", {"fish": "F1", "unit": POND, "moved_on": "2012-05-03"} | typed)

    assert sentence in answer.content.decode()
    assert Stay.objects.filter(fish__number="F1").count() == 1
