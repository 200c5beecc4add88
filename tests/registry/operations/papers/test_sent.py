"""What is sent counts against its permit, fish, milt and samples each for itself; what is held against the holding.

Eggs, milt, fin clips, live fish and larvae are all specimens of CITES, a frozen straw sent abroad needs a permit: from
memory. What counts against which line, and that fish in hand already are only told of: common practice, no source.
"""

from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import pytest

from registry.journal.verify import verify
from registry.models import MiltUse, SampleSent
from registry.operations.crossing.milt import MiltCollected, MiltDiscarded, collect_milt, discard_milt
from registry.operations.fish import record_departure
from registry.operations.identity.returning import record_return
from registry.operations.intake.corrections import TakenBack, take_back
from registry.operations.intake.samples import take_sample
from registry.operations.intake.sendings import send_sample
from registry.operations.papers.permits import enter_permit
from registry.operations.shared.entries import Day, Departure, FishReturn, Taking
from registry.operations.young.batches import record_loss
from registry.permissions import Actor
from registry.queries.papers.permits import current_details, known_permits
from registry.rules.intake.samples import SampleSending, SampleTaken
from registry.rules.papers.acts import Act, Allowance
from registry.rules.papers.paper import PermitGiven
from registry.rules.papers.permits import objections_to_permit
from tests.support.proof import ENTERING, only_those_who_may, refused
from tests.support.river import TANK

P = "BW/2012/1"
SENT = date(2012, 6, 1)
LINES = {
    "fish": Allowance("transfer", "ruthenus", "", 20),
    "milt": Allowance("trade", "ruthenus", "", 3, "milt"),
    "tubes": Allowance("transfer", "", "", 1, "sample"),
    "border": Allowance("trade", "ruthenus", "", 5),
    "held": Allowance("holding", "ruthenus", "", 1004),
}
MILT = MiltDiscarded(lot="K1", used_on=SENT, doses=2, purpose="given away", sent_to="Quern Mill", permit=P, abroad=True)
TUBE = SampleSending(number="T-1", sent_on=SENT, sent_to="the laboratory", permit=P)
FISH = Departure(fish="M2", left="transferred", left_on=Day(SENT), permit=P)
YOUNG = Taking(batch="B1", moved_on=SENT, count=4, event="transfer", permit=P)


@pytest.fixture
def allowed(river: SimpleNamespace) -> SimpleNamespace:
    """Return the river with a lot of milt, a sample of F1, and a permit for a number of each."""
    collect_milt(
        river.by, MiltCollected(number="K1", male="M1", collected_on=date(2012, 5, 1), state="frozen", doses=9)
    )
    take_sample(river.by, SampleTaken(fish="F1", number="T-1", taken_on=date(2012, 5, 1)))
    given = PermitGiven(number=P, issuer="authority", valid_from=date(2012, 1, 1), allowances=tuple(LINES.values()))
    enter_permit(river.by, given)
    return river


def used() -> dict[str, int]:
    (permit,) = known_permits(current_details())
    return {name: permit.used(line) for name, line in LINES.items()}


def test_each_thing_sent_counts_against_the_lines_that_cover_it(allowed: SimpleNamespace) -> None:
    discard_milt(allowed.by, MILT)
    send_sample(allowed.by, TUBE)
    record_departure(allowed.by, replace(FISH, abroad=True))
    record_loss(allowed.by, YOUNG)
    # Four founders and a batch of 1,000: one fish and four young of them are gone.
    assert used() == {"fish": 5, "milt": 2, "tubes": 1, "border": 1, "held": 3 + 996}
    assert MiltUse.objects.get().sent_to == "Quern Mill"
    assert verify().sound


@pytest.mark.parametrize(
    ("act", "sentence"),
    [
        (lambda by: discard_milt(by, replace(MILT, doses=4)), "across a border of 3 doses of milt of Acipenser "
                                                              "ruthenus; 3 are left, and this would take 4."),
        (lambda by: discard_milt(by, replace(MILT, abroad=False)), "does not cover the transfer out of doses of milt "
         "of stock Lower Isendre. It has a line for sending across a border: say so"),
        (lambda by: discard_milt(by, replace(MILT, purpose="discarded")), "named only for what is sent elsewhere."),
        (lambda by: record_loss(by, replace(YOUNG, count=6, abroad=True)), "across a border of 5 fish"),
        (lambda by: record_loss(by, replace(YOUNG, event="loss", permit="", abroad=True)), "only for what is sent"),
        (lambda by: send_sample(by, replace(TUBE, number="T-9")), "There is no sample T-9 in the register."),
        (lambda by: send_sample(by, replace(TUBE, sent_to="")), "Say where it went"),
        (lambda by: send_sample(by, replace(TUBE, sent_on=date(2012, 4, 1))), "was taken on 1 May 2012"),
        (lambda by: send_sample(by, replace(TUBE, sent_on=date(2011, 4, 1))), "holds from 1 January 2012 on"),
    ],
)  # fmt: skip
def test_what_goes_beyond_is_refused_by_name(allowed: SimpleNamespace, act, sentence) -> None:
    with refused(sentence):
        act(allowed.by)


def test_a_second_tube_is_one_too_many_until_the_first_is_taken_back(allowed: SimpleNamespace, manager: Actor) -> None:
    sent = send_sample(allowed.by, TUBE)
    with refused("allows the transfer out of 1 samples; 0 are left, and this would take 1."):
        send_sample(allowed.by, TUBE)
    take_back(manager, TakenBack(record=sent, reason="it stayed in the freezer"))
    assert used()["tubes"] == 0
    assert not SampleSent.objects.current().exists()


def test_a_border_that_the_permit_says_nothing_of_is_told(allowed: SimpleNamespace) -> None:
    with refused("has no line for sending this across a border."):
        send_sample(allowed.by, replace(TUBE, abroad=True), confirmed=False)


def test_a_fish_that_came_back_was_sent_all_the_same(allowed: SimpleNamespace) -> None:
    record_departure(allowed.by, FISH)
    record_return(
        allowed.by,
        FishReturn(
            fish="M2", returned_on=date(2012, 7, 1), unit=TANK, known_by="photograph", evidence="the same scutes"
        ),
    )
    assert (used()["fish"], used()["held"]) == (1, 4 + 1000)


def test_more_fish_than_may_be_held_are_told_when_they_are_caught(allowed: SimpleNamespace) -> None:
    (permit,) = known_permits(current_details())
    permit.allowances += (Allowance("capture", "ruthenus"),)
    caught = [Act("capture", SENT, "ruthenus", "Lower Isendre", 1)]
    known = SimpleNamespace(find_permit=lambda _number: permit, keeps_permits=True, may_overrule=False, species={})
    (told,) = objections_to_permit(P, caught, known)
    assert (
        told.message == f"Permit {P} allows the holding of 1\u202f004 fish of ruthenus; with this, 1\u202f005 are held."
    )
    assert told.warning


def test_who_may_send_a_sample(allowed: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: send_sample(by, TUBE))
