"""Two fish with one code: the second is taken in, its code set aside, and the first keeps its tag."""

from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import pytest

from registry.models import HeldApart, SetAside, Tag
from registry.operations.fish import admit_fish
from registry.operations.identity.set_aside import resolve_code_aside, set_code_aside
from registry.operations.shared.entries import AsideResolved, CodeAside, TagAttachment, TagCode, TagEnd
from registry.operations.tags import attach_tag, record_tag_lost
from registry.permissions import Actor
from tests.support.proof import ENTERING, last, only_those_who_may, refused, told
from tests.support.river import CODES, founder

NEW = TagCode("iso", "900215000123456")
OF_F1 = TagCode("iso", CODES["F1"])
DAY, LATER = date(2011, 6, 1), date(2011, 7, 1)


def aside(**changes: object) -> CodeAside:
    return CodeAside(**{"fish": "M2", "code": OF_F1, "read_on": DAY, "reason": "a male of 3 kg", **changes})


def resolved(**changes: object) -> AsideResolved:
    return AsideResolved(
        **{"fish": "M2", "code": OF_F1, "resolved_on": LATER, "resolution": "misread", "reason": "read anew", **changes}
    )


def test_a_code_on_a_second_fish_is_set_aside_and_the_first_keeps_its_tag(river: SimpleNamespace, staff: Actor) -> None:
    row = set_code_aside(staff, aside())
    assert (row.fish.number, row.holder.number, row.code, row.read_on) == ("M2", "F1", OF_F1.code, DAY)
    assert told() == ("staff", "code set aside", "fish M2", DAY, "test")
    assert last().reason == "a male of 3 kg"
    assert [tag.fish.number for tag in Tag.objects.current().filter(code=OF_F1.code)] == ["F1"]


def test_a_new_fish_with_a_code_that_is_out_there_already_is_taken_in_at_once(
    river: SimpleNamespace, staff: Actor
) -> None:
    new = replace(founder("F9"), tag=OF_F1, tagged_on=DAY)
    with refused("If both fish bear it, set the code aside."):
        admit_fish(staff, new)
    fish = admit_fish(staff, replace(new, set_aside="40 cm; F1 is in Tank 1"))
    row = SetAside.objects.get()
    assert (row.fish, row.holder.number, row.reason) == (fish, "F1", "40 cm; F1 is in Tank 1")
    assert not Tag.objects.filter(fish=fish).exists()


def test_a_reason_to_set_aside_does_not_keep_a_free_code_off_its_fish(river: SimpleNamespace, staff: Actor) -> None:
    fish = admit_fish(staff, replace(founder("F9"), tag=NEW, tagged_on=DAY, set_aside="in case"))
    assert Tag.objects.get(fish=fish).code == NEW.code
    assert not SetAside.objects.exists()


def test_fish_offered_and_held_to_be_others_are_kept_with_what_spoke_for_them(
    river: SimpleNamespace, staff: Actor
) -> None:
    admit_fish(staff, replace(founder("F9"), held_apart=(("F2", "likely: last in Tank 1"),)))
    (row,) = HeldApart.objects.all()
    assert (row.fish.number, row.candidate.number, row.evidence) == ("F9", "F2", "likely: last in Tank 1")


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"fish": "F77"}, "There is no fish F77 in the register."),
        ({"reason": " "}, "Say why it is another fish"),
        ({"code": NEW}, "No other fish bears 900215000123456 that day: attach it as the tag of this fish."),
        ({"fish": "F1"}, "is on record as the tag of fish F1 itself. Nothing is to be set aside."),
        ({"read_on": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"read_on": date(1999, 1, 1)}, "No other fish bears"),
    ],
)
def test_what_need_not_be_set_aside_is_refused(river: SimpleNamespace, staff: Actor, changes, sentence) -> None:
    with refused(sentence):
        set_code_aside(staff, aside(**changes))


def test_one_code_is_set_aside_once_for_a_fish(river: SimpleNamespace, staff: Actor) -> None:
    set_code_aside(staff, aside())
    with refused("This code is set aside for this fish already."):
        set_code_aside(staff, aside())


def test_another_tag_for_the_second_fish_settles_it(river: SimpleNamespace, staff: Actor) -> None:
    set_code_aside(staff, aside())
    attach_tag(staff, TagAttachment(fish="M2", code=NEW, attached_on=LATER))
    row = SetAside.objects.get()
    assert (row.resolved_on, row.resolution) == (LATER, "retagged")


def test_what_came_out_is_noted_once(river: SimpleNamespace, staff: Actor) -> None:
    set_code_aside(staff, aside())
    row = resolve_code_aside(staff, resolved())
    assert (row.resolved_on, row.resolution) == (LATER, "misread")
    assert told() == ("staff", "code set aside resolved", "fish M2", LATER, "test")
    with refused("is not set aside for fish M2, or it was resolved already."):
        resolve_code_aside(staff, resolved())


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"resolution": ""}, "Choose what came out."),
        ({"resolved_on": date(2011, 5, 1)}, "It was set aside on 1 June 2011; it cannot have been resolved before."),
        ({"resolved_on": date(2999, 1, 1)}, "1 January 2999 lies in the future."),
        ({"resolution": "holder ended"}, "is still active on the other fish. End that tag first."),
        ({"fish": "M1"}, "is not set aside for fish M1"),
    ],
)
def test_what_settles_nothing_is_refused(river: SimpleNamespace, staff: Actor, changes, sentence) -> None:
    set_code_aside(staff, aside())
    with refused(sentence):
        resolve_code_aside(staff, resolved(**changes))


def test_the_code_is_free_once_the_other_fish_has_lost_it(river: SimpleNamespace, staff: Actor) -> None:
    set_code_aside(staff, aside())
    record_tag_lost(staff, TagEnd(code=OF_F1, ended_on=DAY, end_reason="removed"))
    resolve_code_aside(staff, resolved(resolution="holder ended"))
    attach_tag(staff, TagAttachment(fish="M2", code=OF_F1, attached_on=LATER))
    assert Tag.objects.current().get(code=OF_F1.code, ended_on=None).fish.number == "M2"


def test_who_may_set_aside_and_resolve(river: SimpleNamespace, staff: Actor) -> None:
    only_those_who_may(ENTERING, lambda by: set_code_aside(by, aside()))
    set_code_aside(staff, aside())
    only_those_who_may(ENTERING, lambda by: resolve_code_aside(by, resolved()))
