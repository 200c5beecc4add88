"""A permit covers so many fish of what it names, for the days it holds; all else is refused or stood for by a manager.

What a release or capture is checked for (permit and its limits by species, number, place and dates; over it only with
the manager) is common practice, no source.
"""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.rules.known import Known
from registry.rules.papers.acts import Act, Allowance, KnownPermit
from registry.rules.papers.permits import WAY_OUT, objections_to_permit, objections_to_sending
from registry.rules.young.batches import Taking, objections_to_taking_out
from registry.rules.young.releases import BatchPart, ReleaseMade, objections_to_release

DAY = date(2011, 9, 3)
UPPER = Act("release", DAY, "ruthenus", "Upper", 400)
STERLET = Allowance("release", "ruthenus", "", 1000)


@pytest.fixture
def known(known: Known) -> Known:
    """The register in memory, with permit BW/2011/7: release of 1,000 sterlet in 2011, 600 of them of stock Upper."""
    lines = (STERLET, Allowance("release", "", "Upper", 600), Allowance("transfer", "oxyrinchus"))
    known.permits["bw/2011/7"] = KnownPermit(
        "BW/2011/7", date(2011, 1, 1), date(2011, 12, 31), lines, ("Alder Ford", "Maroway mouth")
    )
    known.keeps_permits = True
    return known


def said(known: Known, *acts: Act, number: str = "BW/2011/7", why: str = "") -> list[tuple[str, bool]]:
    return [(o.message, o.warning) for o in objections_to_permit(number, acts, known, why=why)]


def test_what_a_permit_covers_is_done_without_a_word(known: Known) -> None:
    assert said(known, replace(UPPER, place="alder ford"), number="bw/2011/7") == []
    assert said(known, replace(UPPER, count=600)) == []


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"day": date(2010, 12, 31)}, "Permit BW/2011/7 holds from 1 January 2011 on, after 31 December 2010."),
        ({"day": date(2012, 1, 1)}, "Permit BW/2011/7 ended on 31 December 2011, before 1 January 2012."),
        ({"kind": "capture"}, "Permit BW/2011/7 does not cover the capture of stock Upper."),
        ({"species": "oxyrinchus", "stock": ""},
         "Permit BW/2011/7 does not cover the release of Acipenser oxyrinchus."),
        ({"species": "", "stock": ""}, "Permit BW/2011/7 does not cover the release of fish of unknown species."),
        ({"count": 601}, "Permit BW/2011/7 allows the release of 600 fish of stock Upper; 600 are left, and this would "
                         "take 601."),
        ({"count": 1001, "stock": "Lower"}, "Permit BW/2011/7 allows the release of 1\u202f000 fish of "
                                            "Acipenser ruthenus; 1\u202f000 are left, and this would take 1\u202f001."),
    ],
)  # fmt: skip
def test_what_it_does_not_cover_is_refused_with_the_way_out(
    known: Known, change: dict[str, object], sentence: str
) -> None:
    assert said(known, replace(UPPER, **change)) == [(f"{sentence} {WAY_OUT}", False)]


@pytest.mark.parametrize("day", [date(2011, 1, 1), date(2011, 12, 31)])
def test_the_first_and_the_last_day_of_a_permit_count(known: Known, day: date) -> None:
    assert said(known, replace(UPPER, day=day)) == []


def test_what_was_done_before_counts_and_several_acts_of_one_entry_count_together(known: Known) -> None:
    known.note_acts("BW/2011/7", [replace(UPPER, count=450)])
    assert said(known, replace(UPPER, count=150)) == []
    left = "Permit BW/2011/7 allows the release of 600 fish of stock Upper; 150 are left, and this would take 151."
    assert said(known, replace(UPPER, count=150), replace(UPPER, count=1)) == [(f"{left} {WAY_OUT}", False)]
    known.note_acts("bw/2011/7", [replace(UPPER, count=200)])
    assert said(known, replace(UPPER, count=1))[0][0].startswith(
        "Permit BW/2011/7 allows the release of 600 fish of stock Upper; 0 are left, and this would take 1."
    )


def test_a_manager_who_says_why_lets_it_stand_and_nobody_else(known: Known) -> None:
    over = replace(UPPER, count=700)
    sentence = "Permit BW/2011/7 allows the release of 600 fish of stock Upper; 600 are left, and this would take 700."
    assert said(known, over, why="Agreed by telephone.") == [
        (sentence, False),
        ("Only a manager lets an entry stand against its permit. Take the reason out, or ask a manager.", False),
    ]
    known.may_overrule = True
    assert said(known, over)[0] == (f"{sentence} {WAY_OUT}", False)
    assert said(known, over, why="Agreed by telephone.") == [(sentence, True)]


def test_an_unlisted_number_is_a_warning_where_permits_are_kept(known: Known) -> None:
    text = "Permit BW/1999/1 is not among the permits of the register. Check the number, or enter the permit there."
    assert said(known, UPPER, number="BW/1999/1") == [(text, True)]
    known.keeps_permits = False
    assert said(known, UPPER, number="BW/1999/1") == []
    assert said(known, UPPER, number="") == []


def test_a_place_that_the_permit_does_not_name_is_a_warning(known: Known) -> None:
    text = "Permit BW/2011/7 names other places: Alder Ford; Maroway mouth. Check whether “Quern Mill” is one of them."
    assert said(known, replace(UPPER, place="Quern Mill")) == [(text, True)]


def test_a_release_is_judged_by_its_batches_and_its_fish(known: Known) -> None:
    entry = ReleaseMade(
        released_on=DAY, place="Alder Ford", permit="BW/2011/7", batches=(BatchPart(batch="B1", count=599),),
        fish=("D1", "S1"),
    )  # fmt: skip
    (only,) = [o for o in objections_to_release(entry, known) if not o.warning]
    assert "600 are left, and this would take 601." in only.message
    assert only.field == "permit"


def test_fish_sent_away_go_under_a_permit_and_a_loss_names_none(known: Known) -> None:
    sent = Taking(batch="B1", moved_on=DAY, count=10, event="transfer")
    (warned,) = objections_to_taking_out(sent, known)
    assert (warned.warning, warned.message) == (
        True,
        "No permit number was given. Moving protected fish usually needs one; ask the authority under local law.",
    )
    (refused,) = objections_to_taking_out(replace(sent, permit="BW/2011/7"), known)
    assert refused.message == f"Permit BW/2011/7 does not cover the transfer out of stock Upper. {WAY_OUT}"
    (refused,) = objections_to_sending(replace(sent, permit="BW/2011/7", event="loss"), False, [], known)
    assert refused.message.startswith("A permit or a border is named only for what is sent elsewhere.")


LINES = st.builds(
    Allowance, st.sampled_from(["release", "capture"]), st.sampled_from(["", "ruthenus", "oxyrinchus"]),
    st.sampled_from(["", "Upper"]), st.none() | st.integers(1, 50),
)  # fmt: skip
DEEDS = st.builds(
    Act, st.sampled_from(["release", "capture"]), st.just(DAY), st.sampled_from(["ruthenus", "oxyrinchus"]),
    st.sampled_from(["Upper", "Maroway"]), st.integers(1, 30),
)  # fmt: skip


@given(st.lists(LINES, min_size=1, max_size=4), st.lists(DEEDS, max_size=8))
def test_acts_that_were_let_in_one_by_one_never_exceed_or_stray(lines: list[Allowance], acts: list[Act]) -> None:
    permit = KnownPermit("P", date(2011, 1, 1), None, tuple(lines))
    known = Known(permits={"p": permit}, keeps_permits=True)
    for act in acts:
        if not objections_to_permit("P", [act], known):
            known.note_acts("P", [act])
    assert permit.excess() == []
    assert permit.astray() == []
    for line in lines:
        assert permit.used(line) == sum(a.count for a in permit.acts if line.covers(a))
