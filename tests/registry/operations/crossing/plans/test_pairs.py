"""Cross plans: drafted pair by pair, or all crosses taken at once."""

from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import CrossPlan, PlannedCross
from registry.operations.crossing.plans.drafts import draft_plan
from registry.operations.crossing.plans.pairs import add_pair, swap_pair, take_crosses, take_pair_out
from registry.operations.crossing.plans.wishes import set_plan_fish, set_plan_pair
from registry.operations.fish import admit_fish
from registry.operations.shared.entries import (
    Admission,
    Answer,
    CrossesTaken,
    FishStand,
    PairAdded,
    PairStand,
    PairSwapped,
    PairTakenOut,
    PairWanted,
    PlanDraft,
)
from registry.permissions import Actor
from tests.support.broodstock import lift, put_in, young
from tests.support.proof import PLANNING, last, only_those_who_may, refused, told
from tests.support.river import STOCK

FIRST, SECOND = PairWanted(dam="F1", sire="M2"), PairWanted(dam="F2", sire="M1", kinship=Decimal("0.0625"))


def draft(**changes: object) -> PlanDraft:
    return PlanDraft(**{"number": "P11", "stock": STOCK, "season": 2011, **changes})


def drafted(by: Actor, pairs: tuple[PairWanted, ...] = (FIRST,)) -> CrossPlan:
    plan = draft_plan(by, draft())
    lift(plan.number)
    put_in(plan.number, *pairs, by=by)
    return plan


def swapped(**changes: object) -> PairSwapped:
    return PairSwapped(**{"plan": "P11", "dam": "F1", "sire": "M2", "pair": SECOND, **changes})


def answered(objective: str) -> Answer:
    return Answer(objective=Decimal(objective), group_coancestry=Decimal("0.1"), mean_inbreeding=Decimal("0.01"))


def pairs() -> list[tuple[str, str]]:
    return list(PlannedCross.objects.current().order_by("pk").values_list("dam__number", "sire__number"))


def added(pair: PairWanted = SECOND) -> PairAdded:
    return PairAdded(plan="P11", pair=pair)


def test_a_plan_is_drafted_and_filled(river: SimpleNamespace, geneticist: Actor) -> None:
    plan = draft_plan(geneticist, draft(notes="least kin first"))
    assert (plan.number, plan.stock.name, plan.season, plan.notes) == ("P11", STOCK, 2011, "least kin first")
    assert told()[:3] == ("geneticist", "cross plan drafted", "plan P11")
    assert plan.entry_id == last().seq
    lift("P11")
    take_crosses(geneticist, CrossesTaken(plan="P11", pairs=(FIRST, SECOND)))
    rows = PlannedCross.objects.order_by("pk").values_list("dam__number", "sire__number", "kinship")
    assert list(rows) == [("F1", "M2", 0), ("F2", "M1", Decimal("0.0625"))]


def test_pairs_are_put_in_and_taken_out_of_a_draft(river: SimpleNamespace, geneticist: Actor) -> None:
    drafted(geneticist)
    add_pair(geneticist, added())
    assert told()[1:3] == ("pair planned", "plan P11")
    take_pair_out(geneticist, PairTakenOut(plan="P11", dam="F1", sire="M2", reason="she is not ripe"))
    assert told()[1:3] == ("pair taken out", "plan P11")
    assert last().reason == "she is not ripe"
    assert PlannedCross.objects.current().get().dam.number == "F2"
    assert PlannedCross.objects.get(dam__number="F1").withdrawn_id == last().seq


def test_who_may_plan(river: SimpleNamespace, geneticist: Actor) -> None:
    drafted(geneticist)
    only_those_who_may(PLANNING, lambda by: draft_plan(by, draft(number="P12")))
    only_those_who_may(PLANNING, lambda by: add_pair(by, added()))
    only_those_who_may(PLANNING, lambda by: take_pair_out(by, PairTakenOut(plan="P11", dam="F1", sire="M2")))
    only_those_who_may(PLANNING, lambda by: swap_pair(by, swapped()))
    only_those_who_may(PLANNING, lambda by: take_crosses(by, CrossesTaken(plan="P11", pairs=(SECOND,))))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"number": ""}, "The plan number is missing."),
        ({"number": "P\x07"}, "holds a control character (U+0007)"),
        ({"stock": "Nowhere"}, "There is no stock “Nowhere”. Choose one."),
        ({"season": 1850}, "Season 1850 is not a year to plan for."),
        ({"season": 2999}, "Season 2999 is not a year to plan for."),
    ],
)
def test_a_plan_that_cannot_be_is_not_drafted(
    river: SimpleNamespace, geneticist: Actor, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        draft_plan(geneticist, draft(**changes))


@pytest.mark.parametrize(
    ("pair", "sentence"),
    [
        (PairWanted(dam="F9", sire="M1"), "There is no fish F9 in the register."),
        (PairWanted(dam="M1", sire="M2"), "M1 is recorded as male and cannot be a dam."),
        (PairWanted(dam="F1", sire="F2"), "F2 is recorded as female and cannot be a sire."),
    ],
)
def test_a_pair_that_cannot_be_is_not_planned(
    river: SimpleNamespace, geneticist: Actor, pair: PairWanted, sentence: str
) -> None:
    drafted(geneticist)
    with refused(sentence):
        add_pair(geneticist, added(pair))


def test_a_plan_number_is_used_once(river: SimpleNamespace, geneticist: Actor) -> None:
    drafted(geneticist)
    with refused("Plan p11 is in the register. Take another number."):
        draft_plan(geneticist, draft(number="p11"))


def test_the_doubtful_hybrids_and_other_stocks_are_not_planned(river: SimpleNamespace, geneticist: Actor) -> None:
    drafted(geneticist)
    admit_fish(geneticist, Admission(number="X1", species="baerii", confidence="doubtful", sex="U"))
    admit_fish(geneticist, Admission(number="H1", species="ruthenus", hybrid=True, sex="M"))
    with refused(
        "X1: sex not known. Check it first.",
        "X1: species in doubt. Have it determined first.",
        "X1 is of stock (none), not Lower Isendre. Stocks are not mixed.",
        "H1 is a hybrid. Hybrids never enter a cross.",
    ):
        add_pair(geneticist, added(PairWanted(dam="X1", sire="H1")))


def test_pairs_that_are_in_or_not_in_the_plan(river: SimpleNamespace, geneticist: Actor) -> None:
    drafted(geneticist)
    with refused("F1 × M2 is in plan P11 already."):
        add_pair(geneticist, added(FIRST))
    with refused("F2 × M1 is not in plan P11."):
        take_pair_out(geneticist, PairTakenOut(plan="P11", dam="F2", sire="M1"))
    with refused("There is no cross plan P99."):
        add_pair(geneticist, PairAdded(plan="P99", pair=FIRST))


def test_a_swap_is_one_entry(river: SimpleNamespace, geneticist: Actor) -> None:
    drafted(geneticist)
    swap_pair(geneticist, swapped(reason="M2 has no milt"))
    assert pairs() == [("F2", "M1")]
    assert told()[1:3] == ("pair swapped", "plan P11")
    assert last().reason == "M2 has no milt"
    with refused("F1 × M2 is not in plan P11."):
        swap_pair(geneticist, swapped(pair=FIRST))
    with refused("F2 × M1 is in plan P11 already."):
        swap_pair(geneticist, swapped(dam="F2", sire="M1"))


def test_crosses_are_taken_in_one_entry_and_those_that_stay_keep_their_rows(
    river: SimpleNamespace, geneticist: Actor
) -> None:
    drafted(geneticist, pairs=(FIRST, PairWanted(dam="F1", sire="M1")))
    kept = PlannedCross.objects.get(sire__number="M2").pk
    take_crosses(geneticist, CrossesTaken(plan="P11", pairs=(SECOND, FIRST), answer=answered("0.1")))
    assert pairs() == [("F1", "M2"), ("F2", "M1")]
    assert PlannedCross.objects.current().get(sire__number="M2").pk == kept
    assert told()[1:3] == ("crosses taken", "plan P11")
    assert CrossPlan.objects.get().answers.current().get().objective == Decimal("0.1")


def test_crosses_that_cannot_be_are_not_taken(river: SimpleNamespace, geneticist: Actor) -> None:
    drafted(geneticist)
    young("D1", "F", "10-1")
    # The kinship that an entry brings has no say: F1 and M1 are the parents of D1 (Falconer & Mackay 1996).
    close = PairWanted(dam="D1", sire="M1", kinship=Decimal(0))
    with refused("F1 × M2 is named twice. A pair stands in a plan once.", "D1 × M1: relationship 0.5000"):
        take_crosses(geneticist, CrossesTaken(plan="P11", pairs=(FIRST, PairWanted(dam="f1", sire="m2"), close)))
    with refused("There is no cross to take. Name at least one pair."):
        take_crosses(geneticist, CrossesTaken(plan="P11", pairs=()))


def test_figures_go_when_the_crosses_change_and_nobody_computed_them_anew(
    river: SimpleNamespace, geneticist: Actor
) -> None:
    plan = drafted(geneticist)
    take_crosses(geneticist, CrossesTaken(plan="P11", pairs=(FIRST,), answer=answered("0.1")))
    add_pair(geneticist, PairAdded(plan="P11", pair=SECOND, answer=answered("0.2")))
    assert plan.answers.current().get().objective == Decimal("0.2")
    assert plan.answers.count() == 2
    take_pair_out(geneticist, PairTakenOut(plan="P11", dam="F1", sire="M2"))
    assert not plan.answers.current().exists()


def test_what_the_geneticist_ruled_out_is_not_put_in(river: SimpleNamespace, geneticist: Actor) -> None:
    drafted(geneticist)
    set_plan_fish(geneticist, FishStand(plan="P11", fish="F2", stand="out", reason="a wound on the belly"))
    set_plan_pair(geneticist, PairStand(plan="P11", dam="F1", sire="M1", stand="forbidden", reason="crossed in 2010"))
    with refused("F2 is left out of this plan: a wound on the belly"):
        add_pair(geneticist, added(PairWanted(dam="f2", sire="M1")))
    with refused("F1 × M1 is forbidden in plan P11: crossed in 2010"):
        add_pair(geneticist, added(PairWanted(dam="F1", sire="M1")))
