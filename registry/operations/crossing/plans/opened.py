"""What operations on plans share: the plan by its number, whether it may change, its pairs, and rows that give way."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Protocol

from django.db.models import QuerySet

from registry.errors import Objection, Refused
from registry.journal.write import Entry
from registry.models import CrossPlan, PlanAnswer, PlannedCross, Record
from registry.operations.crossing.plans.judged import against_crosses, standing
from registry.operations.shared.desk import Desk
from registry.queries.crosses.states import facts_of
from registry.queries.known import Named
from registry.rules.crossing.crosses import PairWanted, objections_to_names
from registry.rules.crossing.plans import Answer, objections_to_change
from registry.rules.known import Known


class OfPlan(Protocol):
    """An entry that names a plan."""

    @property
    def plan(self) -> str: ...


def find_plan(number: str) -> CrossPlan | None:
    """Return the plan of that number."""
    return CrossPlan.objects.current().filter(number=number).select_related("stock__species", "entry").first()


def unknown_plan(number: str) -> Objection:
    """Return that there is no such plan."""
    return Objection("unknown_plan", "plan", f"There is no cross plan {number}.", number)


def against_change(number: str) -> list[Objection]:
    """Return why the plan of that number is not changed; nothing for a draft."""
    plan = find_plan(number)
    return objections_to_change(facts_of(plan)) if plan else [unknown_plan(number)]


def the_plan(number: str) -> CrossPlan:
    """Return the plan of an entry that was judged."""
    plan = find_plan(number)
    if plan is None:
        raise Refused(unknown_plan(number))
    return plan


def known_numbers(pair: PairWanted, known: Known) -> PairWanted:
    """Return the pair as the register writes its fish, whatever the case they were typed in."""
    dam, sire = known.find_fish(pair.dam), known.find_fish(pair.sire)
    numbers = (dam.number if dam else pair.dam, sire.number if sire else pair.sire)
    return PairWanted(dam=numbers[0], sire=numbers[1], kinship=pair.kinship, comment=pair.comment, young=pair.young)


def against_plan(plan: CrossPlan, known: Known) -> list[Objection]:
    """Return what is in the way of all crosses of a plan, by what the register knows today."""
    pairs = standing(plan)
    if not pairs:
        return [Objection("empty_plan", "", f"Plan {plan.number} holds no pair. Put pairs in before you sign.")]
    named = [told for dam, sire in pairs for told in objections_to_names(PairWanted(dam=dam, sire=sire), known)]
    return list(dict.fromkeys(named)) + against_crosses(plan, pairs, known.today)


def planned(desk: Desk, plan: CrossPlan, pair: PairWanted) -> PlannedCross:
    """Return the row of a pair."""
    kinship = pair.kinship.quantize(Decimal("1e-8"))
    dam, sire = desk.fish(pair.dam), desk.fish(pair.sire)
    return PlannedCross(plan=plan, dam=dam, sire=sire, kinship=kinship, comment=pair.comment, young=pair.young)


def give_way(made: Entry, earlier: QuerySet, row: Record | None) -> None:
    """Withdraw what was current and put a row in its place, if there is one."""
    for old in earlier:
        made.withdraw(old)
    if row:
        made.add(row)


def write_answer(made: Entry, plan: CrossPlan, answer: Answer | None) -> None:
    """Write the figures of the crosses as they stand now; without any, those of the earlier crosses go."""
    row = None
    if answer:
        row = PlanAnswer(
            plan=plan,
            objective=_places(answer.objective),
            lower_bound=None if answer.lower_bound is None else _places(answer.lower_bound),
            group_coancestry=_places(answer.group_coancestry),
            mean_inbreeding=_places(answer.mean_inbreeding),
            proven=answer.proven,
            seconds=answer.seconds.quantize(Decimal("0.001")),
            asked=answer.asked,
        )
    give_way(made, plan.answers.current(), row)


def named_by_plan(entry: OfPlan) -> Named:
    """Name all fish of a plan's crosses."""
    rows = PlannedCross.objects.current().filter(plan__number=entry.plan)
    return Named(fish={n for pair in rows.values_list("dam__number", "sire__number") for n in pair})


def named_by_pairs(*pairs: PairWanted) -> Named:
    """Name the fish of some pairs."""
    return Named(fish={n for pair in pairs for n in (pair.dam, pair.sire)})


def note_nothing(_entry: object, _known: Known) -> None:
    """Plans change nothing that later entries are judged by."""


def subject(number: str) -> str:
    """Return what the journal says a plan's entries are about: its history is found by this."""
    return f"plan {number}"


def _places(figure: Decimal) -> Decimal:
    return figure.quantize(Decimal("1e-12"))


def twice(pairs: Iterable[PairWanted]) -> list[Objection]:
    """Return which pairs are named more than once."""
    seen: set[tuple[str, str]] = set()
    found = []
    for pair in pairs:
        if (pair.dam, pair.sire) in seen:
            told = f"{pair.dam} × {pair.sire} is named twice. A pair stands in a plan once."
            found.append(Objection("duplicate_id", "sire", told, pair.sire))
        seen.add((pair.dam, pair.sire))
    return found
