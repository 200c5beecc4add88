"""Every typed entry that operations take, in one place for the faces that build them."""

from registry.rules.crossing.crosses import PairWanted, PlanDraft
from registry.rules.crossing.spawning import CrossMade, SireShare, SpawningNight
from registry.rules.days import Day
from registry.rules.fish import Admission
from registry.rules.intake.checks import Measurement
from registry.rules.intake.moves import Departure
from registry.rules.known import Pair
from registry.rules.tagging import BatchMarking, TagAttachment, TagEnd
from registry.rules.tags import TagCode
from registry.rules.young.batches import (
    BatchMove,
    BatchOpening,
    Census,
    FamilyShare,
    Merge,
    Registration,
    Split,
    Taking,
)
from registry.rules.young.releases import BatchPart, RecaptureMade, ReleaseMade

__all__ = [
    "Admission", "BatchMarking", "BatchMove", "BatchOpening", "BatchPart", "Census", "CrossMade", "Day",
    "Departure", "FamilyShare", "Measurement", "Merge", "Pair", "PairWanted", "PlanDraft", "RecaptureMade",
    "Registration", "ReleaseMade", "SireShare", "SpawningNight", "Split", "TagAttachment", "TagCode", "TagEnd",
    "Taking",
]  # fmt: skip
