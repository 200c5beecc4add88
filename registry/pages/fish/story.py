"""A fish's life told in order: one item for each thing that happened to it, with the journal entry it stands on."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils import timezone

from registry.models import Check, Confidence, FishDetails, Origin, Parentage, Record, Sex, Tag
from registry.queries.fish.life import Head, Life
from registry.rules.days import Day
from registry.rules.tags import TagCode, formatted
from registry.web.links import address


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the story. `taken_back` is the later entry that took it back; `why` its reason."""

    day: Day
    what: str
    detail: str = ""
    seq: int | None = None
    taken_back: Head | None = None
    why: str = ""
    page: str = ""
    number: str = ""
    correct: str = ""  # where it is corrected, if it stands
    back: str = ""  # where it is taken back, if it stands
    latin: str = ""  # a scientific name before the detail

    @property
    def address(self) -> str:
        """Return where the item's own record is shown, if it has a page."""
        return address(self.page, self.number) if self.page else ""


def story(life: Life, more: Iterable[Item] = ()) -> list[Item]:
    """Return every item of a fish's life, and `more`, in order of happening, those taken back among them."""
    items = [*more, *_coming(life), *_changes(life), *_tags(life), *_places(life), *_checks(life), *_breeding(life)]
    items += [
        Item(
            Day(one.recaptured_on),
            "Recaptured",
            f"at {one.place}" + ("" if one.alive else ", dead"),
            *stands(life, one),
            page="recapture",
            number=one.number,
        )
        for one in life.recaptures
    ]
    return sorted(items, key=lambda item: (item.day.first, item.seq or 0))


def stands(life: Life, row: Record) -> tuple[int, Head | None]:
    """Return the entry that wrote a row, and the later one that took it back, if any."""
    return row.entry_id, life.heads.get(row.withdrawn_id) if row.withdrawn_id else None


def _coming(life: Life) -> Iterator[Item]:
    """Hatched, caught, left: each as it was first written and as it was corrected."""
    for name in ("caught", "hatched", "left"):
        told: tuple[Day, str, FishDetails] | None = None
        for version in life.versions:
            now = _dated(version, name)
            before = told[:2] if told else None
            if now == before:
                continue
            if told:
                yield _came(name, told, life.heads.get(version.entry_id))
            told = (*now, version) if now else None
        if told:
            yield _came(name, told, None)
    first = life.versions[0]
    if first.from_batch:
        entered = life.heads[first.entry_id].happened_at
        day = Day(timezone.localtime(entered).date())
        batch = first.from_batch.number
        yield Item(day, "Registered out of a batch", f"batch {batch}", first.entry_id, page="batch", number=batch)


def _dated(version: FishDetails, name: str) -> tuple[Day, str] | None:
    first = getattr(version, f"{name}_on")
    if not first:
        return None
    detail = {"caught": version.caught_at, "hatched": "", "left": version.left_note}[name]
    return Day(first, getattr(version, f"{name}_precision") or "day"), detail


def _came(name: str, told: tuple[Day, str, FishDetails], corrected: Head | None) -> Item:
    day, detail, version = told
    what = {"caught": "Caught", "hatched": "Hatched", "left": version.get_left_display()}[name]
    page, number = ("release", version.release.number) if name == "left" and version.release else ("", "")
    if name == "hatched" and version.family:
        page, number, detail = "family", version.family.number, f"family {version.family.number}"
    return Item(day, what, detail or (f"release {number}" if page == "release" else ""), version.entry_id,
                corrected, page=page, number=number)  # fmt: skip


PLAIN = (
    ("species_id", "Species", lambda v: v.species.scientific_name if v.species else ""),
    ("confidence", "Species known by", lambda v: Confidence(v.confidence).label),
    ("hybrid", "Hybrid", lambda v: "yes" if v.hybrid else "no"),
    ("stock_id", "Stock", lambda v: v.stock.name if v.stock else ""),
    ("sex", "Sex", lambda v: Sex(v.sex).label),
    ("origin", "Origin", lambda v: Origin(v.origin).label),
    ("tissue_sample", "Tissue sample", lambda v: v.tissue_sample),
    ("notes", "Notes", lambda v: v.notes),
)


def _changes(life: Life) -> Iterator[Item]:
    """What later entries changed in the plain facts and in the parents."""
    for before, after in zip(life.versions, life.versions[1:], strict=False):
        head = life.heads.get(after.entry_id)
        changed = [
            f"{label}: {words(before) or 'not known'} → {words(after) or 'not known'}"
            for column, label, words in PLAIN
            if getattr(before, column) != getattr(after, column)
        ]
        if before.parentage_id != after.parentage_id:
            changed.append(f"Parents: {parents_in_words(life, before)} → {parents_in_words(life, after)}")
        if changed and head:
            day = Day(timezone.localtime(head.happened_at).date())
            yield Item(day, head.what[:1].upper() + head.what[1:], "; ".join(changed), head.seq, why=head.reason)


def parents_in_words(life: Life, version: FishDetails) -> str:
    """Return F1 × M1, or the possible pairs with their probabilities, or founder."""
    pairs = life.pairs.get(version.parentage_id or 0, [])
    if not pairs:
        return "founder"
    if len(pairs) == 1:
        return str(pairs[0])
    basis = Parentage.Basis(version.parentage.basis).label.lower() if version.parentage else ""
    return ", ".join(f"{pair} ({pair.probability.normalize():.3g})" for pair in pairs) + f" by {basis}"


def _tags(life: Life) -> Iterator[Item]:
    for tag in life.tags:
        seq, taken_back = stands(life, tag)
        where = f", {tag.site}" if tag.site else ""
        what = "Tag attached" if tag.attached_known else "Tag known to be on the fish"
        known_by = tag.get_known_by_display().lower() if tag.known_by else ""
        said = "; ".join(part for part in (known_by, tag.evidence) if part)
        evidence = f" ({said})" if said else ""
        yield Item(Day(tag.attached_on), what, f"{code_of(tag)}{where}{evidence}", seq, taken_back)
        if tag.ended_on:
            why = tag.get_end_reason_display() or "No longer on the fish"
            ended = life.tag_ends.get(tag.pk, _leaving(life) if tag.end_reason == Tag.EndReason.FISH_LEFT else seq)
            yield Item(Day(tag.ended_on), f"Tag ended: {why.lower()}", code_of(tag), ended, taken_back)


def _leaving(life: Life) -> int | None:
    """Return the entry that says that the fish left."""
    return next((version.entry_id for version in life.versions if version.left), None)


def code_of(tag: Tag) -> str:
    """Return a tag's code in groups, for reading aloud."""
    return formatted(TagCode(tag.system, tag.code))


def _places(life: Life) -> Iterator[Item]:
    first = min((stay.since for stay in life.stays if stay.withdrawn_id is None), default=None)
    for stay in life.stays:
        moved = first is not None and stay.since > first
        yield Item(
            Day(stay.since), "Moved" if moved else "Put into its unit",
            f"to {stay.unit.name}" if moved else stay.unit.name,
            *stands(life, stay), page="unit", number=stay.unit.name,
            correct=address("stay_correct", stay.pk) if stay.withdrawn_id is None else "",
        )  # fmt: skip


def _checks(life: Life) -> Iterator[Item]:
    for check in life.checks:
        yield Item(Day(check.checked_on), "Checked", findings(check), *stands(life, check))


def findings(check: Check) -> str:
    """Return what a check found, with units."""
    parts = [
        f"{check.total_length_mm.normalize():f} mm" if check.total_length_mm else "",
        f"{check.mass_g.normalize():f} g" if check.mass_g else "",
        f"found {check.get_sex_found_display().lower()}" if check.sex_found else "",
        f"stage {check.stage}" if check.stage else "",
        f"by {check.method}" if check.method else "",
        f"polarisation index {check.polarisation_index}" if check.polarisation_index is not None else "",
        f"{check.oocytes_measured} oocytes" if check.oocytes_measured else "",
        f"water {check.water_c} °C" if check.water_c is not None else "",
        check.notes,
    ]
    return " · ".join(part for part in parts if part)


def _breeding(life: Life) -> Iterator[Item]:
    for one in life.inductions:
        day = Day(timezone.localtime(one.given_at).date())
        yield Item(day, "Induced", f"{one.agent}, {one.dose}", *stands(life, one), page="spawning",
                   number=one.spawning.number)  # fmt: skip
    for cross in life.as_dam:
        sires = ", ".join(str(sire) for sire in cross.sires.all()) or "unknown"
        yield Item(
            Day(cross.spawning.spawned_on), "Stripped", f"eggs with milt of {sires}, family {cross.family}",
            *stands(life, cross), page="spawning", number=cross.spawning.number,
        )  # fmt: skip
    for sire in life.as_sire:
        cross = sire.cross
        yield Item(
            Day(cross.spawning.spawned_on), "Milt used", f"on eggs of {cross.dam}, family {cross.family}",
            *stands(life, sire), page="spawning", number=cross.spawning.number,
        )  # fmt: skip
    for lot in life.lots:
        yield Item(
            Day(lot.collected_on), "Milt collected", f"lot {lot.number}, {lot.doses} doses, {lot.state}",
            *stands(life, lot), page="milt_lot", number=lot.number,
        )  # fmt: skip
