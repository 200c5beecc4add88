"""Every typed entry that operations take, in one place for the faces that build them."""

from registry.rules.batches import (
    BatchMove,
    BatchOpening,
    Census,
    FamilyShare,
    Merge,
    Registration,
    Split,
    Taking,
)
from registry.rules.checks import Measurement
from registry.rules.crosses import PairWanted, PlanDraft
from registry.rules.days import Day
from registry.rules.fish import Admission, Departure
from registry.rules.known import Pair
from registry.rules.releases import BatchPart, RecaptureMade, ReleaseMade
from registry.rules.spawning import CrossMade, SireShare, SpawningNight
from registry.rules.tagging import BatchMarking, TagAttachment, TagEnd
from registry.rules.tags import TagCode

__all__ = [
    "Admission", "BatchMarking", "BatchMove", "BatchOpening", "BatchPart", "Census", "CrossMade", "Day",
    "Departure", "FamilyShare", "Measurement", "Merge", "Pair", "PairWanted", "PlanDraft", "RecaptureMade",
    "Registration", "ReleaseMade", "SireShare", "SpawningNight", "Split", "TagAttachment", "TagCode", "TagEnd",
    "Taking",
]  # fmt: skip
