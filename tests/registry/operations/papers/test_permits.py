"""Permits: entered, corrected by a later row, taken back; what is done under them counts by itself."""

from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import pytest

from registry.journal.verify import verify
from registry.models import FishDetails, Permit, PermitAllowance, PermitDetails, ReleaseDetails, Transfer
from registry.operations.corrections import Correction, correct
from registry.operations.fish import record_departure
from registry.operations.papers.permits import (
    PermitCorrected,
    PermitTakenBack,
    correct_permit,
    enter_permit,
    standing_permit,
    take_permit_back,
)
from registry.operations.shared.entries import BatchPart, Day, Departure, ReleaseMade, Taking
from registry.operations.young.batches import record_loss
from registry.operations.young.releases import release
from registry.queries.papers.codes import code_sources, trade_codes
from registry.queries.papers.permits import current_details, known_permits
from registry.rules.papers.acts import Allowance
from registry.rules.papers.paper import PermitGiven
from tests.support.people import person
from tests.support.proof import last, only_those_who_may, refused, told
from tests.support.river import STOCK

KEEPING = ("keep permits, and let an entry stand against one", "administrator, manager")
GIVEN = PermitGiven(
    number="BW/2011/7", issuer="fisheries authority", valid_from=date(2011, 1, 1), valid_until=date(2011, 12, 31),
    allowances=(Allowance("release", "ruthenus", STOCK, 500), Allowance("transfer", "ruthenus", "", 20)),
    places="Alder Ford\nMaroway mouth", purpose="N", source="F",
)  # fmt: skip
PART = BatchPart(batch="B1", count=400)


def released(**changes: object) -> ReleaseMade:
    entry = {"released_on": date(2011, 9, 3), "place": "Alder Ford", "batches": (PART,), "permit": "BW/2011/7"}
    return ReleaseMade(**entry | changes)


def used() -> list[int]:
    (permit,) = known_permits(current_details())
    return [permit.used(line) for line in permit.allowances]


def test_a_permit_is_entered_as_the_authority_gave_it(river: SimpleNamespace) -> None:
    permit = enter_permit(river.by, GIVEN)
    assert standing_permit("BW/2011/7") == GIVEN
    assert told()[:3] == ("hall", "permit entered", "permit BW/2011/7")
    assert str(permit) == "BW/2011/7"
    assert verify().sound


def test_only_managers_and_administrators_keep_permits(river: SimpleNamespace) -> None:
    only_those_who_may(KEEPING, lambda by: enter_permit(by, GIVEN))


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"number": ""}, "The number of the permit is missing. It stands on the paper."),
        ({"issuer": ""}, "Say which authority gave the permit."),
        ({"valid_until": date(2010, 1, 1)}, "It would end on 1 January 2010, before it begins."),
        ({"purpose": "K"}, "“K” is no CITES purpose code. The list has: T, Z, G, Q, S, H, P, M, E, N, B, L."),
        ({"source": "B"}, "“B” is no CITES source code. The list has: W, X, R, D, A, C, F, U, I, O, Y."),
        ({"allowances": ()}, "Say what the permit allows: at least one line."),
        ({"allowances": (Allowance("release", "sterlet"),)}, "“sterlet” is not in the catalogue."),
        ({"allowances": (Allowance("release", "", "Delta"),)}, "There is no stock Delta in the register."),
        ({"allowances": (Allowance("release", "huso", STOCK),)},
         f"Stock {STOCK} is of species ruthenus, not huso. Name one of the two."),
        ({"allowances": (Allowance("release", most=0),)}, "A permit for no fish allows nothing."),
        ({"allowances": (Allowance("sell"),)}, "“sell” is not one of capture, holding, transfer, release, trade."),
        ({"allowances": (Allowance("release"), Allowance("release", most=5))},
         "Two lines are for the release of fish of unknown species. Write one line for it."),
        ({"number": "bw/2011/7"}, "Permit bw/2011/7 is in the register already."),
        ({"notes": "x\x00"}, "holds a control character"),
    ],
)  # fmt: skip
def test_a_paper_that_cannot_be_is_refused(river: SimpleNamespace, change: dict[str, object], sentence: str) -> None:
    enter_permit(river.by, GIVEN)
    with refused(sentence):
        enter_permit(river.by, replace(GIVEN, **{"number": "BW/2011/8"} | change))


def test_the_lists_of_codes_are_those_of_cites() -> None:
    # Purposes: CITES Res. Conf. 12.3 (Rev. CoP18), glossary of cites.org. Sources: from memory, the same resolution.
    codes = trade_codes()
    assert "".join(codes["purpose"]) == "TZGQSHPMEN" + "BL"
    assert "".join(codes["source"]) == "WXRDACFUIOY"
    assert codes["purpose"]["N"] == "reintroduction or introduction into the wild"
    assert all("12.3" in text for text in code_sources().values())


def test_releases_and_transfers_count_against_the_permit_that_they_name(river: SimpleNamespace) -> None:
    enter_permit(river.by, GIVEN)
    assert used() == [0, 0]
    release(river.by, released(fish=("F1",), permit="bw/2011/7"))
    assert ReleaseDetails.objects.get().permit == "BW/2011/7"
    record_loss(river.by, Taking(batch="B1", moved_on=date(2011, 5, 1), count=12, event="transfer", permit="BW/2011/7"))
    away = Departure(fish="F2", left="transferred", left_on=Day(date(2011, 6, 1)), permit="bw/2011/7")
    record_departure(river.by, away)
    assert used() == [401, 13]
    assert Transfer.objects.get(event="transfer").permit == "BW/2011/7"
    assert FishDetails.objects.current().get(fish__number="F2").left_permit == "BW/2011/7"
    assert verify().sound


def test_a_release_entered_before_its_permit_counts_once_the_permit_is_entered(river: SimpleNamespace) -> None:
    release(river.by, released(permit="BW/2011/7"))
    enter_permit(river.by, GIVEN)
    assert used() == [400, 0]


def test_a_release_over_the_limit_is_refused_until_a_manager_says_why(river: SimpleNamespace) -> None:
    enter_permit(river.by, GIVEN)
    with refused("Permit BW/2011/7 allows the release of 500 fish of stock Lower Isendre; 500 are left"):
        release(river.by, released(batches=(BatchPart(batch="B1", count=501),)))
    more = released(batches=(BatchPart(batch="B1", count=501),), permit_reason="Raised to 600 by telephone, letter 12.")
    with refused("and this would take 501."):
        release(river.by, more, confirmed=False)
    release(river.by, more)
    assert last().reason == "Raised to 600 by telephone, letter 12."
    (permit,) = known_permits(current_details())
    assert permit.excess() == [(permit.allowances[0], 1)]


def test_young_are_not_sent_away_beyond_the_permit(river: SimpleNamespace) -> None:
    enter_permit(river.by, GIVEN)
    sent = Taking(batch="B1", moved_on=date(2011, 5, 1), count=21, event="transfer", permit="BW/2011/7")
    with refused("allows the transfer out of 20 fish of Acipenser ruthenus; 20 are left, and this would take 21."):
        record_loss(river.by, sent)
    record_loss(river.by, replace(sent, permit_reason="Five more by letter 12."))
    assert last().reason == "Five more by letter 12."


def test_staff_cannot_send_fish_away_against_a_permit(river: SimpleNamespace) -> None:
    enter_permit(river.by, GIVEN)
    away = Departure(fish="F2", left="transferred", left_on=Day(date(2012, 6, 1)), permit="BW/2011/7")
    with refused("Permit BW/2011/7 ended on 31 December 2011, before 1 June 2012."):
        record_departure(person("staff"), away)
    with refused("Only a manager lets an entry stand against its permit."):
        record_departure(person("staff"), replace(away, permit_reason="It was urgent."))
    record_departure(river.by, replace(away, permit_reason="It was urgent."))
    assert last().reason == "It was urgent."


def test_a_correction_of_a_release_moves_its_use(river: SimpleNamespace) -> None:
    enter_permit(river.by, GIVEN)
    release(river.by, released())
    correct(
        river.by, Correction(record=ReleaseDetails.objects.get(), changes={"permit": "BW/2011/9"}, reason="misread")
    )
    assert used() == [0, 0]


def test_a_corrected_permit_says_the_new_and_keeps_the_old(river: SimpleNamespace) -> None:
    enter_permit(river.by, GIVEN)
    first = last()
    more = replace(GIVEN, allowances=(replace(GIVEN.allowances[0], most=600),))
    correct_permit(river.by, PermitCorrected(given=more, reason="Raised by letter 12."))
    assert standing_permit("BW/2011/7") == more
    assert (last().corrects_id, last().reason) == (first.seq, "Raised by letter 12.")
    assert PermitDetails.objects.count() == 2
    assert [line.most for line in PermitAllowance.objects.order_by("pk")] == [500, 20, 600]
    assert verify().sound


def test_a_correction_says_why_and_changes_something(river: SimpleNamespace) -> None:
    enter_permit(river.by, GIVEN)
    with refused("Say why: the reason stands in the journal beside the correction."):
        correct_permit(river.by, PermitCorrected(given=replace(GIVEN, issuer="port authority"), reason=" "))
    with refused("Nothing is different from what stands. Change something first."):
        other_way_round = replace(GIVEN, allowances=GIVEN.allowances[::-1])
        correct_permit(river.by, PermitCorrected(given=other_way_round, reason="order"))
    with refused("There is no permit BW/1 in the register."):
        correct_permit(river.by, PermitCorrected(given=replace(GIVEN, number="BW/1"), reason="why"))


def test_a_permit_entered_in_error_is_taken_back_and_its_number_is_free_again(river: SimpleNamespace) -> None:
    enter_permit(river.by, GIVEN)
    with refused("Say why"):
        take_permit_back(river.by, PermitTakenBack(number="BW/2011/7", reason=""))
    take_permit_back(river.by, PermitTakenBack(number="BW/2011/7", reason="The number belongs to another hatchery."))
    assert standing_permit("BW/2011/7") is None
    assert not PermitAllowance.objects.current().exists()
    enter_permit(river.by, GIVEN)
    assert standing_permit("BW/2011/7") == GIVEN
    assert Permit.objects.count() == 1
    assert verify().sound
