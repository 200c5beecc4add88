"""Every model, once."""

from registry.models.catalogue import (
    FounderPair,
    FounderSet,
    MaturityStage,
    PolicyFigure,
    Species,
    SpeciesName,
    Stock,
    StockInheritance,
)
from registry.models.checks import Check
from registry.models.crossing.crosses import Family, FamilyParents
from registry.models.crossing.milt import MiltLot, MiltUse
from registry.models.crossing.plans import CrossPlan, PlanAnswer, PlannedCross
from registry.models.crossing.reviews import CrossNotMade, OffPlanSeen, PlanRemark, PlanReview, PlanSignature
from registry.models.crossing.spawning import Cross, CrossSire, Induction, Spawning
from registry.models.crossing.wishes import PlanFish, PlanLimit, PlanPair, PlanTerms
from registry.models.fish import Confidence, Fish, FishDetails, Left, Origin, Precision, Sex
from registry.models.identity.determinations import CharacterSeen, Determination, SpeciesFit
from registry.models.identity.same_fish import HeldApart, Rewritten, SameFish, SetAside
from registry.models.identity.species_facts import AcceptedName, RiverStanding, SpeciesFigure, SpeciesLook
from registry.models.intake.captures import Capture, HealthLook, MarkSearch
from registry.models.intake.photos import Photo
from registry.models.intake.ploidy import PloidyFound
from registry.models.intake.quarantine import Quarantine, QuarantineUse
from registry.models.intake.samples import SampleSent, TissueSample
from registry.models.intake.treatments import Treatment
from registry.models.journal import ImportedRow, JournalEntry
from registry.models.papers.documents import Document, DocumentSubject
from registry.models.papers.permits import Permit, PermitAct, PermitAllowance, PermitDetails, Specimen
from registry.models.parentage import Parentage, ParentPair
from registry.models.people import Role, RoleGrant
from registry.models.places import Facility, HoldingUnit, Stay, Temperature, UnitKind, WaterSystem
from registry.models.record import Record, WrittenPastTheJournal
from registry.models.tags import Evidence, Tag
from registry.models.young.batches import Batch, BatchMark
from registry.models.young.ledger import Account, Transfer
from registry.models.young.releases import Recapture, Release, ReleaseDetails

__all__ = [
    "AcceptedName",
    "Account",
    "Batch",
    "BatchMark",
    "Capture",
    "CharacterSeen",
    "Check",
    "Confidence",
    "Cross",
    "CrossNotMade",
    "CrossPlan",
    "CrossSire",
    "Determination",
    "Document",
    "DocumentSubject",
    "Evidence",
    "Facility",
    "Family",
    "FamilyParents",
    "Fish",
    "FishDetails",
    "FounderPair",
    "FounderSet",
    "HealthLook",
    "HeldApart",
    "HoldingUnit",
    "ImportedRow",
    "Induction",
    "JournalEntry",
    "Left",
    "MarkSearch",
    "MaturityStage",
    "MiltLot",
    "MiltUse",
    "OffPlanSeen",
    "Origin",
    "ParentPair",
    "Parentage",
    "Permit",
    "PermitAct",
    "PermitAllowance",
    "PermitDetails",
    "Photo",
    "PlanAnswer",
    "PlanFish",
    "PlanLimit",
    "PlanPair",
    "PlanRemark",
    "PlanReview",
    "PlanSignature",
    "PlanTerms",
    "PlannedCross",
    "PloidyFound",
    "PolicyFigure",
    "Precision",
    "Quarantine",
    "QuarantineUse",
    "Recapture",
    "Record",
    "Release",
    "ReleaseDetails",
    "Rewritten",
    "RiverStanding",
    "Role",
    "RoleGrant",
    "SameFish",
    "SampleSent",
    "SetAside",
    "Sex",
    "Spawning",
    "Species",
    "SpeciesFigure",
    "SpeciesFit",
    "SpeciesLook",
    "SpeciesName",
    "Specimen",
    "Stay",
    "Stock",
    "StockInheritance",
    "Tag",
    "Temperature",
    "TissueSample",
    "Transfer",
    "Treatment",
    "UnitKind",
    "WaterSystem",
    "WrittenPastTheJournal",
]
