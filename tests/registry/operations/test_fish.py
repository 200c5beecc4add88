"""Fish: admitted, moved, gone."""

from datetime import date, timedelta
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.utils import timezone

from registry.models import Family, Fish, FishDetails, Stay, Tag
from registry.operations.fish import FishMove, admit_fish, move_fish, record_departure
from registry.operations.shared.entries import Admission, Day, Departure, Pair, TagCode
from registry.permissions import Actor
from tests.support.proof import ENTERING, last, only_those_who_may, refused, told
from tests.support.river import CODES, POND, STOCK, TANK, founder

HATCHED = Day(date(2010, 5, 8))


def young(**changes: object) -> Admission:
    whole = {"number": "Y1", "species": "ruthenus", "stock": STOCK, "origin": "hatchery", "hatched": HATCHED}
    return Admission(**{**whole, "pairs": (Pair("F1", "M1"),), **changes})


def gone(**changes: object) -> Departure:
    return Departure(**{"fish": "F1", "left": "died", "left_on": Day(date(2012, 3, 4)), **changes})


def details(number: str) -> FishDetails:
    return FishDetails.objects.current().get(fish__number=number)


def test_a_wild_fish_is_admitted_with_tag_and_tank(river: SimpleNamespace, staff: Actor) -> None:
    entry = founder("F3")
    admit_fish(staff, entry)
    row = details("F3")
    assert (row.stock.name, row.sex, row.origin, row.caught_on) == (STOCK, "F", "wild", date(2000, 4, 3))
    assert row.parentage is None
    assert Stay.objects.get(fish__number="F3").unit.name == TANK
    assert told() == ("staff", "fish admitted", "fish F3", date(2000, 4, 3), "test")
    assert {row.entry_id, row.fish.entry_id} == {last().seq}


def test_a_tag_put_in_at_intake_is_active_from_that_day(river: SimpleNamespace) -> None:
    tag = Tag.objects.get(fish__number="F1")
    assert (tag.code, tag.attached_on, tag.ended_on, tag.attached_known) == (
        CODES["F1"], date(2000, 4, 5), None, True,
    )  # fmt: skip


def test_who_may_enter_fish(river: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: admit_fish(by, founder("F3")))
    only_those_who_may(ENTERING, lambda by: record_departure(by, gone()))
    only_those_who_may(ENTERING, lambda by: move_fish(by, FishMove(fish="F1", unit=POND, moved_on=date(2011, 1, 1))))


def test_a_fish_names_its_parents_with_their_probabilities(river: SimpleNamespace, staff: Actor) -> None:
    pairs = (Pair("F1", "M1", Decimal("0.5")), Pair("F1", "M2", Decimal("0.5")))
    admit_fish(staff, young(pairs=pairs, basis="sheet"))
    parentage = details("Y1").parentage
    assert parentage.basis == "sheet"
    assert {(p.dam.number, p.sire.number, str(p.probability.normalize())) for p in parentage.pairs.all()} == {
        ("F1", "M1", "0.5"),
        ("F1", "M2", "0.5"),
    }


def test_young_of_a_new_family_open_it_and_share_its_parentage(river: SimpleNamespace, staff: Actor) -> None:
    admit_fish(staff, young(family="10-9"))
    admit_fish(staff, young(number="Y2", family="10-9", pairs=()))
    assert Family.objects.filter(number="10-9").count() == 1
    assert details("Y1").parentage_id == details("Y2").parentage_id is not None


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"number": "f1"}, "Number f1 is already another fish. Numbers are never used twice: take another."),
        ({"number": ""}, "The register number is missing. Every fish needs one."),
        ({"number": "Y\x07"}, "holds a control character (U+0007) that no one can see. Type it again."),
        ({"number": "Y" * 41}, "This is 41 characters long; at most 40 fit. Shorten it."),
        ({"species": "dragon"}, "“dragon” is not in the species catalogue."),
        ({"stock": "Nowhere"}, f"There is no stock “Nowhere”. Choose one ({STOCK}), or have it opened."),
        ({"species": "baerii", "pairs": ()}, "Stock Lower Isendre is of another species than baerii."),
        ({"unit": "Tank 9"}, "There is no holding unit “Tank 9”."),
        ({"sex": "X"}, "Sex “X” is not F, M, U (not known) or I (intersex)."),
        ({"origin": "moon"}, "Origin “moon” is not one of wild, hatchery, captive, unknown."),
        ({"hatched": Day(date(2999, 1, 1))}, "1 January 2999 lies in the future. Correct the day."),
        ({"left": "died", "left_on": Day(date(2009, 1, 1))}, "The fish died 1 January 2009, before it hatched"),
        ({"pairs": (Pair("M1", "M2"),)}, "M1 is recorded as male and cannot be a dam. Look at the fish again."),
        ({"pairs": (Pair("F1", "F2"),)}, "F2 is recorded as female and cannot be a sire."),
        ({"pairs": (Pair("F9", "M1"),)}, "There is no fish F9 in the register. Enter that fish first"),
        ({"pairs": (Pair("Y1", "M1"),)}, "Fish Y1 is named as its own dam. Correct the dam."),
        ({"pairs": (Pair("F1", "M1", Decimal("0.4")),)}, "The probabilities sum to 0.4, not 1. Correct the shares."),
        ({"pairs": (Pair("F1", "M1", Decimal("1.4")),)}, "The probability 1.4 is not above 0 and up to 1."),
        ({"pairs": (Pair("F2", "M2"),), "family": "10-1"}, "Family 10-1 is in the register with other parents."),
        ({"tag": TagCode("iso", CODES["F2"])}, f"Tag {CODES['F2']} is active on fish F2 since 5 April 2000."),
    ],
)  # fmt: skip
def test_a_fish_that_cannot_be_is_not_admitted(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        admit_fish(staff, young(**changes))


def test_all_that_is_wrong_with_a_fish_is_said_at_once(river: SimpleNamespace, staff: Actor) -> None:
    with refused("Number F1 is already", "Sex “X” is not", "There is no stock “Nowhere”"):
        admit_fish(staff, young(number="F1", sex="X", stock="Nowhere"))


def test_a_parent_is_older_than_its_young(river: SimpleNamespace, staff: Actor) -> None:
    admit_fish(staff, young(number="Y1", sex="F"))
    with refused("Y1 hatched 8 May 2010, after its offspring (1 May 2009). Correct one."):
        admit_fish(staff, young(number="Y2", hatched=Day(date(2009, 5, 1)), pairs=(Pair("Y1", "M1"),)))


def test_a_fish_of_another_species_is_no_parent(river: SimpleNamespace, staff: Actor) -> None:
    admit_fish(staff, Admission(number="X1", species="baerii", sex="F", origin="captive"))
    with refused("X1 is of another species (baerii, not ruthenus). Correct the dam, or enter the fish as a hybrid."):
        admit_fish(staff, young(pairs=(Pair("X1", "M1"),)))
    admit_fish(staff, young(number="H1", stock="", pairs=(Pair("X1", "M1"),), hybrid=True))
    assert details("H1").hybrid


def test_a_dead_male_is_a_father_only_through_frozen_milt(river: SimpleNamespace, staff: Actor) -> None:
    record_departure(staff, gone(fish="M2", left_on=Day(date(2008, 2, 1))))
    of_the_dead = {"pairs": (Pair("F1", "M2"),), "family": ""}
    with refused("M2 died 1 February 2008, before 9 March 2010. Note the frozen milt, or correct the sire."):
        admit_fish(staff, young(**of_the_dead))
    frozen = young(frozen_milt=True, **of_the_dead)
    with refused("M2 died 1 February 2008; its frozen milt is noted."):
        admit_fish(staff, frozen, confirmed=False)
    admit_fish(staff, frozen)
    assert Fish.objects.filter(number="Y1").exists()


def test_a_code_one_digit_from_another_is_asked_about(river: SimpleNamespace, staff: Actor) -> None:
    near = young(tag=TagCode("iso", CODES["F1"][:-1] + "7"), tagged_on=date(2011, 5, 1))
    with refused(f"Tag {near.tag.code} differs by one digit from {CODES['F1']} on fish F1. Read it once more."):
        admit_fish(staff, near, confirmed=False)
    admit_fish(staff, near, confirmed=True)
    assert Tag.objects.get(fish__number="Y1").code == near.tag.code


def test_at_death_the_tags_and_the_stay_end(river: SimpleNamespace, staff: Actor) -> None:
    record_departure(staff, gone(notes="found in the morning"))
    now, then = details("F1"), FishDetails.objects.get(fish__number="F1", withdrawn__isnull=False)
    assert (now.left, now.left_on, now.left_note) == ("died", date(2012, 3, 4), "found in the morning")
    assert (then.left, then.withdrawn_id, now.entry_id) == ("", last().seq, last().seq)
    tag = Tag.objects.get(fish__number="F1")
    assert (tag.ended_on, tag.end_reason) == (date(2012, 3, 4), "fish left")
    assert Stay.objects.get(fish__number="F1").until == date(2012, 3, 4)
    assert told() == ("staff", "fish died", "fish F1", date(2012, 3, 4), "test")


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"fish": "F9"}, "There is no fish F9 in the register."),
        ({"left_on": Day(date(2999, 1, 1))}, "1 January 2999 lies in the future. Correct the day."),
        ({"left_on": Day(date(1999, 1, 1))}, "Fish F1 came 3 April 2000, after 1 January 1999."),
        ({"notes": "a\x00b"}, "holds a control character (U+0000)"),
    ],
)
def test_a_departure_that_cannot_be_is_refused(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        record_departure(staff, gone(**changes))


def test_a_fish_does_not_die_before_a_cross_it_took_part_in(river: SimpleNamespace, staff: Actor) -> None:
    early = Day(date(2008, 2, 1))
    for number, role in (("M1", "sire"), ("F1", "dam")):
        with refused(f"{number} is the {role} of family 10-1 of 1 May 2010 and cannot have died before."):
            record_departure(staff, gone(fish=number, left_on=early))


def test_a_fish_dies_once(river: SimpleNamespace, staff: Actor) -> None:
    record_departure(staff, gone())
    with refused("Fish F1 already died 4 March 2012. Correct that entry instead."):
        record_departure(staff, gone(left="missing"))


def test_a_fish_moves_and_its_earlier_stay_ends(river: SimpleNamespace, staff: Actor) -> None:
    move_fish(staff, FishMove(fish="F1", unit=POND, moved_on=date(2011, 6, 1)))
    stays = Stay.objects.filter(fish__number="F1").order_by("pk").values_list("unit__name", "since", "until")
    assert list(stays) == [
        (TANK, date(2000, 4, 5), date(2011, 6, 1)),
        (POND, date(2011, 6, 1), None),
    ]
    assert told() == ("staff", "fish moved", "fish F1", date(2011, 6, 1), "test")


def test_a_fish_moves_only_to_a_tank_that_is_there_while_it_lives(river: SimpleNamespace, staff: Actor) -> None:
    tomorrow = timezone.localdate() + timedelta(days=1)
    with refused("There is no fish F9", "There is no holding unit “Tank 9”. Choose one.", "in the future"):
        move_fish(staff, FishMove(fish="F9", unit="Tank 9", moved_on=tomorrow))
    record_departure(staff, gone())
    with refused("Fish F1 died 4 March 2012."):
        move_fish(staff, FishMove(fish="F1", unit=POND, moved_on=date(2013, 1, 1)))


def test_young_of_a_family_do_not_hatch_before_its_spawning(river: SimpleNamespace, staff: Actor) -> None:
    with refused("Family 10-1 was spawned on 1 May 2010, after 30 April 2010. Correct one of them."):
        admit_fish(staff, young(family="10-1", hatched=Day(date(2010, 4, 30))))
    admit_fish(staff, young(family="10-1", hatched=Day(date(2010, 1, 1), "year")))
