"""How many young are planned of a family, where it is to be larger or smaller than the others."""

from dataclasses import dataclass

from registry.errors import Objection
from registry.rules.crossing.plans import Answer

# A female of the largest species gives some millions of eggs in a night; more young of one family is a slip of the pen.
MOST_YOUNG = 10_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilySized:
    """The young planned of one cross of a draft; None: as many as of each of the others. With the figures then."""

    plan: str
    dam: str
    sire: str
    young: int | None = None
    answer: Answer | None = None


def objections_to_size(entry: FamilySized) -> list[Objection]:
    """Return what is wrong with the size of a family."""
    if entry.young is None or 0 < entry.young <= MOST_YOUNG:
        return []
    told = (
        f"{entry.dam} × {entry.sire}: a family of 0 young is none. Take the cross out of the plan instead."
        if entry.young < 1
        else f"{entry.young} young are more than one family has. Write at most {MOST_YOUNG}."
    )
    return [Objection("bad_value", "young", told, str(entry.young))]
