"""Tags: put on, lost, replaced; one code on one fish at a time."""

from datetime import date
from types import SimpleNamespace

import pytest

from registry.models import JournalEntry, Tag
from registry.operations.fish import admit_fish, record_departure
from registry.operations.shared.entries import Day, Departure, ReleaseMade, TagAttachment, TagCode, TagEnd
from registry.operations.tags import TagReplacement, attach_tag, record_tag_lost, replace_tag
from registry.operations.young.releases import release
from registry.permissions import Actor
from tests.support.proof import ENTERING, last, only_those_who_may, refused, told
from tests.support.river import CODES, founder

NEW = TagCode("iso", "900215000123456")
OF_F1 = TagCode("iso", CODES["F1"])
DAY = date(2011, 6, 1)


def attachment(**changes: object) -> TagAttachment:
    return TagAttachment(**{"fish": "F1", "code": NEW, "attached_on": DAY, **changes})


def end(**changes: object) -> TagEnd:
    return TagEnd(**{"code": OF_F1, "ended_on": DAY, "end_reason": "lost", **changes})


def test_a_fish_may_bear_two_tags(river: SimpleNamespace, staff: Actor) -> None:
    attach_tag(staff, attachment(site="left operculum", evidence="second tag"))
    tags = Tag.objects.filter(fish__number="F1", ended_on=None).order_by("pk")
    assert [tag.code for tag in tags] == [CODES["F1"], NEW.code]
    assert (tags[1].site, tags[1].evidence, tags[1].attached_on) == ("left operculum", "second tag", DAY)
    assert told() == ("staff", "tag attached", "fish F1", DAY, "test")
    assert tags[1].entry_id == last().seq


def test_a_lost_tag_ends_and_stays_readable(river: SimpleNamespace, staff: Actor) -> None:
    record_tag_lost(staff, end(evidence="no reading, twice"))
    tag = Tag.objects.get(code=CODES["F1"])
    assert (tag.fish.number, tag.ended_on, tag.end_reason) == ("F1", DAY, "lost")
    assert told() == ("staff", "tag ended", "fish F1", DAY, "test")
    assert last().reason == "no reading, twice"


def test_who_may_handle_tags(river: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: attach_tag(by, attachment()))
    only_those_who_may(ENTERING, lambda by: record_tag_lost(by, end()))
    only_those_who_may(ENTERING, lambda by: replace_tag(by, TagReplacement(old=OF_F1, new=NEW, replaced_on=DAY)))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"fish": "F9"}, "There is no fish F9 in the register."),
        ({"attached_on": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"ended_on": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"ended_on": date(2011, 5, 1)}, "Taken out 1 May 2011, before it was put in (1 June 2011). Correct it."),
        (
            {"code": TagCode("iso", CODES["F2"])},
            f"Tag {CODES['F2']} is active on fish F2 since 5 April 2000. End that tag first, or check the last digits.",
        ),
        ({"code": OF_F1}, f"Tag {CODES['F1']} is active on this fish since 5 April 2000."),
        ({"site": "\x1b"}, "holds a control character (U+001B) that no one can see. Type it again."),
    ],
)
def test_a_code_that_cannot_be_on_that_fish_is_refused(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        attach_tag(staff, attachment(**changes))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"code": NEW}, f"Code {NEW.code} is not active on any fish."),
        ({"ended_on": date(1999, 1, 1)}, "This tag was put in on 5 April 2000; it cannot have ended before."),
        ({"ended_on": date(2999, 1, 1)}, "1 January 2999 lies in the future. Correct the day."),
        ({"end_reason": "bored"}, "Choose why the tag is no longer on the fish."),
    ],
)
def test_a_tag_that_cannot_have_ended_goes_on(
    river: SimpleNamespace, staff: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        record_tag_lost(staff, end(**changes))


def test_a_dead_fish_is_not_tagged(river: SimpleNamespace, staff: Actor) -> None:
    record_departure(staff, Departure(fish="F1", left="died", left_on=Day(date(2011, 1, 1))))
    with refused("Fish F1 died 1 January 2011; it cannot be tagged after that."):
        attach_tag(staff, attachment())


def test_a_code_may_pass_to_another_fish_once_it_is_free(river: SimpleNamespace, staff: Actor) -> None:
    record_tag_lost(staff, end(end_reason="removed"))
    attach_tag(staff, attachment(fish="F2", code=OF_F1))
    spans = Tag.objects.filter(code=CODES["F1"]).order_by("pk").values_list("fish__number", "attached_on", "ended_on")
    assert list(spans) == [("F1", date(2000, 4, 5), DAY), ("F2", DAY, None)]


def test_a_code_was_on_one_fish_only_in_the_past_too(river: SimpleNamespace, staff: Actor) -> None:
    record_tag_lost(staff, end(end_reason="removed"))
    earlier = attachment(fish="F2", code=OF_F1, attached_on=date(2005, 1, 1), ended_on=date(2006, 1, 1))
    with refused(f"Tag {CODES['F1']} is active on fish F1 since 5 April 2000."):
        attach_tag(staff, earlier)


def test_the_code_of_a_dead_fish_is_asked_about_before_it_is_used_again(river: SimpleNamespace, staff: Actor) -> None:
    record_departure(staff, Departure(fish="F1", left="died", left_on=Day(date(2011, 1, 1))))
    again = attachment(fish="F2", code=OF_F1)
    with refused(f"Tag {CODES['F1']} was on fish F1, which died 1 January 2011. Make sure it is a new tag."):
        attach_tag(staff, again, confirmed=False)
    assert attach_tag(staff, again).fish.number == "F2"


def test_a_released_fish_keeps_its_tag_and_its_code_cannot_go_to_another(
    river: SimpleNamespace, staff: Actor, manager: Actor
) -> None:
    release(manager, ReleaseMade(released_on=date(2011, 5, 1), place="Alder Ford", fish=("F1",)))
    assert Tag.objects.get(code=CODES["F1"]).ended_on is None
    with refused(f"Tag {CODES['F1']} is active on fish F1 since 5 April 2000."):
        attach_tag(staff, attachment(fish="F2", code=OF_F1))


def test_a_tag_noted_after_the_death_of_its_fish_ended_with_it(river: SimpleNamespace, staff: Actor) -> None:
    record_departure(staff, Departure(fish="F1", left="died", left_on=Day(date(2012, 1, 1))))
    tag = attach_tag(staff, attachment())
    assert (tag.ended_on, tag.end_reason) == (date(2012, 1, 1), "fish left")


def test_a_tag_whose_day_was_not_known_gets_its_day_later(river: SimpleNamespace, staff: Actor) -> None:
    entry = founder("F3")
    undated = type(entry)(**{**{n: getattr(entry, n) for n in entry.__dataclass_fields__}, "tag": NEW})
    admit_fish(staff, undated)
    attach_tag(staff, attachment(fish="F3"))
    rows = Tag.objects.filter(code=NEW.code).order_by("pk")
    assert [(row.attached_known, row.withdrawn_id) for row in rows] == [(False, last().seq), (True, None)]
    assert rows[1].attached_on == DAY


def test_a_replaced_tag_ends_as_the_new_one_begins(river: SimpleNamespace, staff: Actor) -> None:
    replace_tag(staff, TagReplacement(old=OF_F1, new=NEW, replaced_on=DAY, evidence="scute pattern"))
    old, new = Tag.objects.filter(fish__number="F1").order_by("pk")
    assert (old.ended_on, old.end_reason, new.attached_on, new.evidence) == (DAY, "replaced", DAY, "scute pattern")
    entries = JournalEntry.objects.order_by("-seq")[:2]
    assert [entry.what for entry in entries] == ["tag attached", "tag ended"]


def test_a_tag_is_replaced_wholly_or_not_at_all(river: SimpleNamespace, staff: Actor) -> None:
    taken = TagReplacement(old=OF_F1, new=TagCode("iso", CODES["M1"]), replaced_on=DAY)
    with refused(f"Tag {CODES['M1']} is active on fish M1 since 5 April 2000."):
        replace_tag(staff, taken)
    with refused(f"Code {NEW.code} is not active on any fish."):
        replace_tag(staff, TagReplacement(old=NEW, new=OF_F1, replaced_on=DAY))
