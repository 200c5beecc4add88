"""Captures, marks looked for and looks at a fish corrected; the earlier rows stay readable."""

from datetime import date, datetime
from decimal import Decimal
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest

from registry.models import Capture, FishDetails, HealthLook, MarkSearch
from registry.models.record import Record
from registry.operations.corrections import Correction, correct
from registry.operations.intake.arrivals import take_in
from registry.operations.intake.corrections import TakenBack, take_back
from registry.operations.papers.permits import enter_permit
from registry.operations.shared.entries import Admission, Day
from registry.permissions import Actor
from registry.queries.papers.use import acts_under
from registry.rules.intake.arrivals import Arrival
from registry.rules.intake.captures import CaptureMade, HealthSeen, MarkLooked
from registry.rules.papers.acts import Allowance
from registry.rules.papers.paper import PermitGiven
from tests.support.proof import last, refused, told
from tests.support.river import STOCK

HERE = ZoneInfo("Asia/Tbilisi")
CAUGHT = datetime(2011, 5, 3, 0, 40, tzinfo=HERE)
REASON = "Read from the field book."


@pytest.fixture
def caught(river: SimpleNamespace, staff: Actor, manager: Actor) -> Capture:
    """Take N1 in, caught under a permit for one fish of May 2011."""
    allowed = (Allowance("capture", most=1),)
    days = {"valid_from": date(2011, 5, 1), "valid_until": date(2011, 5, 31)}
    enter_permit(manager, PermitGiven(number="BW/2011/2", issuer="the authority", allowances=allowed, **days))
    admission = Admission(
        number="N1",
        species="ruthenus",
        stock=STOCK,
        origin="wild",
        caught=Day(date(2011, 5, 3)),
        caught_at="Alder Ford",
    )  # fmt: skip
    capture = CaptureMade(fish="N1", caught_at=CAUGHT, zone="Asia/Tbilisi", place="Alder Ford", permit="BW/2011/2")
    marks = (MarkLooked(way="pit", looked=True), MarkLooked(way="scar", looked=False))
    looked = HealthSeen(fish="N1", looked_on=date(2011, 5, 3), score=4)
    take_in(staff, Arrival(admission=admission, capture=capture, marks=marks, health=looked))
    return Capture.objects.get()


def wrong(record: Record, **changes: object) -> Correction:
    return Correction(record=record, changes=changes, reason=REASON)


def test_a_corrected_capture_takes_its_marks_and_the_fish_s_own_day_along(caught: Capture, manager: Actor) -> None:
    correct(manager, wrong(caught, caught_at=datetime(2011, 5, 4, 2, 0, tzinfo=HERE), place="Stony Reach"))
    now = Capture.objects.current().get()
    assert (now.place, now.caught_at.astimezone(HERE).day, now.permit) == ("Stony Reach", 4, "BW/2011/2")
    assert sorted(now.mark_searches.values_list("way", "looked")) == [("pit", True), ("scar", False)]
    details = FishDetails.objects.current().get(fish__number="N1")
    assert (details.caught_on, details.caught_at) == (date(2011, 5, 4), "Stony Reach")
    before = Capture.objects.get(withdrawn=last())
    assert (before.place, before.mark_searches.count()) == ("Alder Ford", 2)
    assert told()[:3] == ("manager", "capture corrected", "fish N1")
    assert (last().reason, last().corrects_id) == (REASON, caught.entry_id)
    assert [act.place for act in acts_under(["BW/2011/2"])["bw/2011/2"]] == ["Stony Reach"]


def test_a_capture_is_corrected_within_its_permit(caught: Capture, staff: Actor, manager: Actor) -> None:
    with refused("Permit BW/2011/2 ended on 31 May 2011, before 2 June 2011."):
        correct(manager, wrong(caught, caught_at=datetime(2011, 6, 2, 2, 0, tzinfo=HERE)), confirmed=False)
    with refused("61 mg/L is not possible"):
        correct(manager, wrong(caught, oxygen_mg_l=Decimal(61)))
    with refused("lies in the future"):
        correct(manager, wrong(caught, caught_at=datetime(2999, 1, 1, tzinfo=HERE)))


def test_a_mark_is_found_only_where_it_was_looked_for(caught: Capture, manager: Actor) -> None:
    scar = MarkSearch.objects.get(way="scar")
    with refused("Scars: something was found where nobody looked. Tick that it was."):
        correct(manager, wrong(scar, found="left side, old"))
    now = correct(manager, wrong(scar, looked=True, found="left side, old"))
    assert (now.capture_id, str(now)) == (caught.pk, "Scar of a tag or of surgery: left side, old")
    assert told()[1:3] == ("mark search corrected", "fish N1")


def test_a_look_at_a_fish_is_corrected_by_the_rules_of_a_new_one(caught: Capture, manager: Actor) -> None:
    look = HealthLook.objects.get()
    with refused("Fish N1 came 3 May 2011, after 2 May 2011"):
        correct(manager, wrong(look, looked_on=date(2011, 5, 2)))
    now = correct(manager, wrong(look, score=2, injuries="gill torn"))
    assert (now.score, now.injuries, now.looked_on) == (2, "gill torn", date(2011, 5, 3))
    assert told()[1:3] == ("health look corrected", "fish N1")


def test_a_capture_of_another_fish_is_taken_back_with_its_marks(caught: Capture, manager: Actor) -> None:
    take_back(manager, TakenBack(record=caught, reason="It was another fish."))
    assert not Capture.objects.current().exists()
    assert not MarkSearch.objects.current().exists()
    assert told()[1:3] == ("capture taken back", "fish N1")
