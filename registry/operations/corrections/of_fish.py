"""What is asked of a fish's details, tags and checks as they should stand."""

from typing import Any

from registry.errors import Objection
from registry.models import Check, FishDetails, ParentPair, Tag
from registry.operations.corrections.asked import Correction
from registry.queries.fish.ancestry import parts_played
from registry.queries.known import Named, day_of, learn
from registry.rules.fish import Admission, as_known, objections_to_facts
from registry.rules.intake.checks import Measurement, objections_to_measurement
from registry.rules.known import Known
from registry.rules.parents import objections_to_parents, objections_to_parts
from registry.rules.tagging import TagAttachment, objections_to_attachment
from registry.rules.tags import TagCode

CHECKED = (
    "checked_on", "total_length_mm", "fork_length_mm", "girth_mm", "mass_g", "sex_found", "stage", "notes",
)  # fmt: skip


def named_by_row_of_fish(entry: Correction) -> Named:
    """Return what a row of a fish names."""
    record: Any = entry.record
    return Named(fish={record.fish.number})


def named_by_tag(entry: Correction) -> Named:
    """Return what a tag names."""
    record: Any = entry.record
    code = str(entry.changes.get("code", record.code))
    return Named(fish={record.fish.number}, codes={code}, near=True)


def named_by_details(entry: Correction) -> Named:
    """Return what a fish's details name."""
    record: Any = entry.record
    return Named(fish={record.fish.number}, families={record.family.number} if record.family else set())


def judge_check(_entry: Correction, row: Check, known: Known) -> list[Objection]:
    """Return what is in the way of a check as it should stand."""
    told = {name: getattr(row, name) for name in CHECKED}
    return objections_to_measurement(Measurement(fish=row.fish.number, **told), known)


def judge_tag(entry: Correction, row: Tag, known: Known) -> list[Objection]:
    """Return what is in the way of a tag as it should stand."""
    code = TagCode(row.system, row.code)
    for tags in known.tags.values():
        tags[:] = [tag for tag in tags if tag.pk != entry.record.pk]
    return objections_to_attachment(
        TagAttachment(
            fish=row.fish.number, code=code, attached_on=row.attached_on, ended_on=row.ended_on,
            known_by=row.known_by, probability=row.probability,
        ),
        known,
    )  # fmt: skip


def judge_details(entry: Correction, row: FishDetails, known: Known) -> list[Objection]:
    """Return what is in the way of a fish's details as they should stand."""
    return objections_to_details(row, entry.record, known)


def objections_to_details(row: FishDetails, record: Any, known: Known) -> list[Objection]:
    """Return what is in the way of `row` standing for `record`."""
    held = known.find_fish(row.fish.number)
    pairs = held.pairs if held else ()
    learn(known, Named(fish={n for p in pairs for n in (p.dam, p.sire) if n}))
    facts = Admission(
        number=row.fish.number,
        species=row.species.key if row.species else "",
        confidence=row.confidence,
        hybrid=row.hybrid,
        stock=row.stock.name if row.stock else "",
        sex=row.sex,
        origin=row.origin,
        caught=day_of(row.caught_on, row.caught_precision),
        hatched=day_of(row.hatched_on, row.hatched_precision),
        left=row.left,
        left_on=day_of(row.left_on, row.left_precision),
        pairs=pairs,
    )
    found = objections_to_facts(facts, known) + objections_to_parents(as_known(facts), known)
    found += objections_to_parts(as_known(facts), parts_played(row.fish_id))
    return found + (_objections_to_sex_of_a_parent(row) if row.sex != record.sex else [])


def _objections_to_sex_of_a_parent(row: FishDetails) -> list[Objection]:
    role = {"F": "sire", "M": "dam"}.get(row.sex)
    if role is None or not ParentPair.objects.current().filter(**{role: row.fish_id}).exists():
        return []
    text = f"{row.fish.number} is on record as a {role}. Look again, or determine the parentage of its young anew."
    return [Objection("wrong_sex", "sex", text, row.sex, warning=True)]
