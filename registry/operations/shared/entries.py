"""Every typed entry that operations take, in one place for the faces that build them."""

from registry.rules.crossing.at_tank import OffPlanAcknowledged
from registry.rules.crossing.crosses import PairWanted, PlanDraft
from registry.rules.crossing.limits import LimitRestored, LimitSet
from registry.rules.crossing.plans import (
    Answer,
    CrossesTaken,
    NotMade,
    PairAdded,
    PairSwapped,
    PairTakenOut,
    PlanAmended,
    PlanClosed,
    PlanReturned,
    PlanSigned,
    PlanSubmitted,
    RemarkMade,
)
from registry.rules.crossing.spawning import CrossMade, SireShare, SpawningNight
from registry.rules.crossing.wishes import FishChosen, FishStand, PairStand, TermsSet
from registry.rules.days import Day
from registry.rules.fish import Admission
from registry.rules.identity.joining import Joining, Parting
from registry.rules.identity.returning import FishReturn
from registry.rules.identity.set_aside import AsideResolved, CodeAside
from registry.rules.intake.checks import Measurement
from registry.rules.intake.moves import Departure
from registry.rules.known import Pair
from registry.rules.tagging import BatchMarking, TagAttachment, TagEnd
from registry.rules.tags import TagCode
from registry.rules.young.batches import (
    BatchOpening,
    Census,
    FamilyShare,
    Merge,
    Registration,
    Split,
    Taking,
)
from registry.rules.young.releases import BatchPart, RecaptureMade, ReleaseMade
from registry.rules.young.units import BatchMove

__all__ = [
    "Admission", "Answer", "AsideResolved", "BatchMarking", "BatchMove", "BatchOpening", "BatchPart", "Census",
    "CodeAside", "CrossMade", "CrossesTaken", "Day", "Departure", "FamilyShare", "FishChosen", "FishReturn",
    "FishStand", "Joining", "LimitRestored", "LimitSet", "Measurement", "Merge", "NotMade",
    "OffPlanAcknowledged", "Pair",
    "PairAdded", "PairStand", "PairSwapped", "PairTakenOut", "PairWanted", "Parting", "PlanAmended",
    "PlanClosed", "PlanDraft", "PlanReturned", "PlanSigned", "PlanSubmitted", "RecaptureMade", "Registration",
    "ReleaseMade", "RemarkMade", "SireShare", "SpawningNight", "Split", "TagAttachment", "TagCode", "TagEnd",
    "Taking", "TermsSet",
]  # fmt: skip
