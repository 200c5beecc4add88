"""Cross plans: drafted pair by pair, signed once, never changed after."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from registry.models import CrossPlan, PlannedCross, PlanSignature, Role
from registry.operations.catalogue import FigureSet, set_figure
from registry.operations.crossing.crosses import (
    PairAdded,
    PairTakenOut,
    PlanSigned,
    add_pair,
    draft_plan,
    sign_plan,
    take_pair_out,
)
from registry.operations.fish import admit_fish, record_departure
from registry.operations.shared.entries import Admission, Day, Departure, PairWanted, PlanDraft
from registry.permissions import Actor
from tests.support.proof import PLANNING, SIGNING, last, only_those_who_may, refused, told
from tests.support.river import STOCK

FIRST, SECOND = PairWanted(dam="F1", sire="M2"), PairWanted(dam="F2", sire="M1", kinship=Decimal("0.0625"))


def draft(**changes: object) -> PlanDraft:
    return PlanDraft(**{"number": "P11", "stock": STOCK, "season": 2011, "pairs": (FIRST,), **changes})


def added(pair: PairWanted = SECOND) -> PairAdded:
    return PairAdded(plan="P11", pair=pair)


def another() -> Actor:
    user = User.objects.create_user("second geneticist")
    return Actor(user.pk, user.username, frozenset({Role.GENETICIST}), "test")


def nobody_signs_alone(administrator: Actor) -> None:
    figure = {"key": "signer_not_sole_author", "unit": "yes or no", "meaning": "1: nobody signs alone."}
    since = date(2011, 1, 1)
    set_figure(administrator, FigureSet(**figure, value=Decimal(1), source="House rule 4.", in_force_from=since))


def test_a_plan_is_drafted_with_its_pairs(river: SimpleNamespace, geneticist: Actor) -> None:
    plan = draft_plan(geneticist, draft(pairs=(FIRST, SECOND), notes="least kin first"))
    assert (plan.number, plan.stock.name, plan.season, plan.notes) == ("P11", STOCK, 2011, "least kin first")
    rows = PlannedCross.objects.order_by("pk").values_list("dam__number", "sire__number", "kinship")
    assert list(rows) == [("F1", "M2", 0), ("F2", "M1", Decimal("0.0625"))]
    assert told()[:3] == ("geneticist", "cross plan drafted", "plan P11")
    assert plan.entry_id == last().seq


def test_pairs_are_put_in_and_taken_out_of_a_draft(river: SimpleNamespace, geneticist: Actor) -> None:
    draft_plan(geneticist, draft())
    add_pair(geneticist, added())
    assert told()[1:3] == ("pair planned", "plan P11")
    take_pair_out(geneticist, PairTakenOut(plan="P11", dam="F1", sire="M2", reason="she is not ripe"))
    assert told()[1:3] == ("pair taken out", "plan P11")
    assert last().reason == "she is not ripe"
    assert PlannedCross.objects.current().get().dam.number == "F2"
    assert PlannedCross.objects.get(dam__number="F1").withdrawn_id == last().seq


def test_a_signature_says_who_stands_for_the_plan(river: SimpleNamespace, geneticist: Actor) -> None:
    draft_plan(geneticist, draft())
    row = sign_plan(geneticist, PlanSigned(plan="P11", statement="Looked at twice."))
    assert (row.plan.number, row.user.username, row.statement) == ("P11", "geneticist", "Looked at twice.")
    assert row.signed_on == timezone.localdate()
    assert told()[:3] == ("geneticist", "cross plan signed", "plan P11")


def test_a_signed_plan_is_never_changed(river: SimpleNamespace, geneticist: Actor) -> None:
    draft_plan(geneticist, draft())
    sign_plan(geneticist, PlanSigned(plan="P11"))
    sentence = "Plan P11 is signed and is not changed any more. Draft another."
    with refused(sentence):
        add_pair(geneticist, added())
    with refused(sentence):
        take_pair_out(geneticist, PairTakenOut(plan="P11", dam="F1", sire="M2"))
    with refused(sentence):
        sign_plan(geneticist, PlanSigned(plan="P11"))


def test_who_may_plan_and_who_may_sign(river: SimpleNamespace, geneticist: Actor) -> None:
    draft_plan(geneticist, draft())
    only_those_who_may(PLANNING, lambda by: draft_plan(by, draft(number="P12")))
    only_those_who_may(PLANNING, lambda by: add_pair(by, added()))
    only_those_who_may(PLANNING, lambda by: take_pair_out(by, PairTakenOut(plan="P11", dam="F1", sire="M2")))
    only_those_who_may(SIGNING, lambda by: sign_plan(by, PlanSigned(plan="P11")))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"number": ""}, "The plan number is missing."),
        ({"number": "P\x07"}, "holds a control character (U+0007)"),
        ({"stock": "Nowhere"}, "There is no stock “Nowhere”. Choose one."),
        ({"season": 1850}, "Season 1850 is not a year to plan for."),
        ({"season": 2999}, "Season 2999 is not a year to plan for."),
        ({"pairs": (PairWanted(dam="F9", sire="M1"),)}, "There is no fish F9 in the register."),
        ({"pairs": (PairWanted(dam="M1", sire="M2"),)}, "M1 is recorded as male and cannot be a dam."),
        ({"pairs": (PairWanted(dam="F1", sire="F2"),)}, "F2 is recorded as female and cannot be a sire."),
        (
            {"pairs": (PairWanted(dam="F1", sire="M1", kinship=Decimal("0.125")),)},
            "F1 × M1: kinship 0.1250 is not below 0.125.",
        ),
    ],
)
def test_a_plan_that_cannot_be_is_not_drafted(
    river: SimpleNamespace, geneticist: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        draft_plan(geneticist, draft(**changes))


def test_a_plan_number_is_used_once(river: SimpleNamespace, geneticist: Actor) -> None:
    draft_plan(geneticist, draft())
    with refused("Plan p11 is in the register. Take another number."):
        draft_plan(geneticist, draft(number="p11"))


def test_the_doubtful_hybrids_and_other_stocks_are_not_planned(river: SimpleNamespace, geneticist: Actor) -> None:
    admit_fish(geneticist, Admission(number="X1", species="baerii", confidence="doubtful", sex="U"))
    admit_fish(geneticist, Admission(number="H1", species="ruthenus", hybrid=True, sex="M"))
    with refused(
        "X1: sex not known. Check it first.",
        "X1: species in doubt. Have it determined first.",
        "X1 is of stock (none), not Lower Isendre. Stocks are not mixed.",
        "H1 is a hybrid. Hybrids never enter a cross.",
    ):
        draft_plan(geneticist, draft(pairs=(PairWanted(dam="X1", sire="H1"),)))


def test_pairs_that_are_in_or_not_in_the_plan(river: SimpleNamespace, geneticist: Actor) -> None:
    draft_plan(geneticist, draft())
    with refused("F1 × M2 is in plan P11 already."):
        add_pair(geneticist, added(FIRST))
    with refused("F2 × M1 is not in plan P11."):
        take_pair_out(geneticist, PairTakenOut(plan="P11", dam="F2", sire="M1"))
    with refused("There is no cross plan P99."):
        add_pair(geneticist, PairAdded(plan="P99", pair=FIRST))


def test_what_is_signed_can_still_be_made(river: SimpleNamespace, geneticist: Actor) -> None:
    draft_plan(geneticist, draft(pairs=()))
    with refused("Plan P11 holds no pair. Put pairs in before you sign."):
        sign_plan(geneticist, PlanSigned(plan="P11"))
    add_pair(geneticist, added(FIRST))
    record_departure(geneticist, Departure(fish="F1", left="died", left_on=Day(date(2011, 1, 2))))
    with refused("F1 died 2 January 2011."):
        sign_plan(geneticist, PlanSigned(plan="P11"))


def test_where_the_rule_says_so_nobody_signs_a_plan_that_they_alone_wrote(
    river: SimpleNamespace, geneticist: Actor, administrator: Actor
) -> None:
    nobody_signs_alone(administrator)
    draft_plan(geneticist, draft())
    with refused("You alone drafted this plan; the facility's rule asks for another geneticist's signature."):
        sign_plan(geneticist, PlanSigned(plan="P11"))
    sign_plan(another(), PlanSigned(plan="P11"))
    assert PlanSignature.objects.get().plan == CrossPlan.objects.get()


def test_a_plan_written_by_two_is_signed_by_either(
    river: SimpleNamespace, geneticist: Actor, administrator: Actor
) -> None:
    nobody_signs_alone(administrator)
    draft_plan(geneticist, draft())
    add_pair(another(), added())
    assert sign_plan(geneticist, PlanSigned(plan="P11")).user.username == "geneticist"
