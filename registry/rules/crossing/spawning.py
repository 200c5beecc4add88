"""What may be entered of a spawning night."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from registry.errors import Objection
from registry.rules.crossing.at_tank import objections_by_limits, objections_off_plan, objections_since_signed
from registry.rules.days import DAY, Day, spoken, surely_before
from registry.rules.intake.holds import objections_to_use
from registry.rules.known import Known, KnownFish, Pair
from registry.rules.parents import objections_to_dead_parent, objections_to_sex
from registry.rules.texts import objections_to_texts

# A female that ovulates late is stripped a day or two after the night began; common practice, no source.
LONGEST_NIGHT_DAYS = 2
# Beyond any sturgeon's eggs, and beyond water in which one is stripped; common practice, no source.
MOST = {"egg_mass_g": (Decimal(300_000), "g"), "eggs_per_g": (Decimal(1_000), "eggs per g")}
WATER_C = Decimal(-2), Decimal(40)


@dataclass(frozen=True, slots=True, kw_only=True)
class SireShare:
    """One male of a cross; `share` of the milt, motility in per cent."""

    sire: str
    share: Decimal = Decimal(1)
    motility_percent: Decimal | None = None
    milt_lot: str = ""
    doses: int | None = None
    frozen_milt: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossMade:
    """Eggs of one female with milt of one male, or of several pooled. Mass in g.

    `one_male_only`: the milt was of just one of the males named, and nobody knows of which: one draw for all young.
    """

    dam: str
    sires: tuple[SireShare, ...]
    family: str
    portion: str = ""
    made_at: datetime | None = None
    egg_mass_g: Decimal | None = None
    eggs_per_g: Decimal | None = None
    fertilisation_percent: Decimal | None = None
    off_plan_reason: str = ""
    one_male_only: bool = False
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpawningNight:
    """A night's crosses. `number` empty: the register gives one."""

    spawned_on: date
    crosses: tuple[CrossMade, ...]
    number: str = ""
    stock: str = ""
    water_c: Decimal | None = None
    notes: str = ""


def pairs_of(cross: CrossMade) -> tuple[Pair, ...]:
    """Return the parentage that the cross gives its young."""
    return tuple(Pair(cross.dam, s.sire, s.share) for s in cross.sires)


def equal_shares(sires: Sequence[str]) -> list[Decimal]:
    """Return equal shares that sum to exactly 1 at twelve places; the first takes the remainder."""
    if not sires:
        return []
    part = (Decimal(1) / len(sires)).quantize(Decimal("1e-12"))
    return [1 - part * (len(sires) - 1), *[part] * (len(sires) - 1)]


def objections_to_night(entry: SpawningNight, known: Known) -> list[Objection]:
    """Return what is in the way of this night, cross by cross."""
    found = objections_to_texts(entry)
    if not entry.crosses:
        found.append(
            Objection("missing_cross", "crosses", "No cross was entered. Enter at least one female with one male.")
        )
    if entry.spawned_on > known.today:
        told = f"{spoken(entry.spawned_on)} lies in the future. Correct the day."
        found.append(Objection("future_date", "spawned_on", told, str(entry.spawned_on)))
    if entry.water_c is not None and not WATER_C[0] <= entry.water_c <= WATER_C[1]:
        told = f"{entry.water_c} °C is no water to spawn in. Read the thermometer again."
        found.append(Objection("implausible", "water_c", told, str(entry.water_c)))
    if entry.stock and entry.stock not in known.stocks:
        found.append(Objection("bad_stock", "stock", f"There is no stock “{entry.stock}”. Choose one.", entry.stock))
    repeated = [number for number, times in Counter(c.family.casefold() for c in entry.crosses).items() if times > 1]
    found += [
        Objection("duplicate_id", "family", f"Family {n} is named twice. Each cross has its own family.", n)
        for n in repeated
    ]
    for cross in entry.crosses:
        found += objections_to_cross_made(cross, entry.spawned_on, known)
        found += objections_by_plan(cross, entry.stock, entry.spawned_on, known)
    return found


def objections_by_plan(cross: CrossMade, stock: str, day: date, known: Known) -> list[Objection]:
    """Return what the signed plan of the night's stock, or of the female's, has to say about a cross."""
    dam, sires = known.find_fish(cross.dam), [known.find_fish(share.sire) for share in cross.sires]
    pairs = [(dam.number, sire.number) for sire in sires if dam and sire]
    stock = stock or (dam.stock if dam else "")
    found = objections_off_plan(pairs, cross.off_plan_reason, stock, day, known)
    found += objections_since_signed(pairs, stock, day, known)
    for pair in ((dam, sire) for sire in sires if dam and sire):
        found += objections_by_limits(pair, stock, day, known)
    return list(dict.fromkeys(found))


def objections_to_cross_made(cross: CrossMade, day: date, known: Known) -> list[Objection]:
    """Return what is in the way of one cross."""
    found = _objections_to_figures(cross) + _objections_to_clock(cross.made_at, day, known.today)
    dam = known.find_fish(cross.dam)
    found += _objections_to_parent(cross.dam, "dam", day, known)
    if not cross.sires:
        found.append(Objection("unknown_parent", "sire", "No male was entered. Enter at least one."))
    for share in cross.sires:
        sire = known.find_fish(share.sire)
        frozen = share.frozen_milt or bool(share.milt_lot)
        found += _objections_to_parent(share.sire, "sire", day, known, frozen)
        if dam and sire:
            found += _objections_to_mixture(dam, sire)
    found += _objections_to_milt(cross)
    if len(cross.sires) > 1:
        names = " or ".join(s.sire for s in cross.sires)
        text = f"Milt was pooled: each of the young has {names} as its sire."
        if cross.one_male_only:
            text = f"One male's milt was used, nobody knows whose: all the young have the same sire, {names}."
        found.append(Objection("pooled_parent", "sire", text, names, warning=True))
    return found + _objections_to_family(cross, known)


def _objections_to_figures(cross: CrossMade) -> list[Objection]:
    found = []
    for field, (most, unit) in MOST.items():
        value = getattr(cross, field)
        if value is not None and value < 0:
            told = f"{value} {unit} is below zero. Weigh or count again."
            found.append(Objection("negative", field, told, str(value)))
        elif value is not None and value > most:
            told = f"{value} {unit} is beyond any sturgeon. Check the unit, weigh or count again."
            found.append(Objection("implausible", field, told, str(value)))
    percents = [("fertilisation_percent", cross.fertilisation_percent)]
    percents += [("motility_percent", s.motility_percent) for s in cross.sires]
    for field, value in percents:
        if value is not None and not 0 <= value <= 100:
            found.append(Objection("percent_range", field, f"{value} is not between 0 and 100 per cent.", str(value)))
    return found


def _objections_to_milt(cross: CrossMade) -> list[Objection]:
    found = []
    if sum((s.share for s in cross.sires), Decimal(0)) != 1 and cross.sires:
        found.append(Objection("probability", "sire", "The shares of the males do not sum to 1. Correct them."))
    for sire, times in Counter(s.sire for s in cross.sires).items():
        if times > 1:
            told = f"{sire} is named twice as a male of this cross. Name each male once."
            found.append(Objection("duplicate_id", "sire", told, sire))
    for share in cross.sires:
        if share.doses is not None and share.doses < 1:
            found.append(
                Objection("negative", "doses", f"{share.doses} doses cannot be taken. Count again.", share.sire)
            )
        elif share.doses and not share.milt_lot:
            told = f"{share.doses} doses of {share.sire}: write the milt lot that they were taken from."
            found.append(Objection("unknown_lot", "milt_lot", told, share.sire))
    return found


def _objections_to_clock(made_at: datetime | None, day: date, today: date) -> list[Objection]:
    """A night runs past midnight, so a cross falls on its day or a day or two later, and never in the future."""
    if made_at is None:
        return []
    told = f"{spoken(made_at.date())}, {made_at:%H:%M}"
    if made_at.date() > today:
        return [Objection("future_date", "made_at", f"{told} lies in the future. Correct the clock time.", told)]
    if not day <= made_at.date() <= day + timedelta(days=LONGEST_NIGHT_DAYS):
        message = f"{told} is not in the night that began on {spoken(day)}. Correct one of the two."
        return [Objection("bad_clock", "made_at", message, told)]
    return []


def _objections_to_parent(number: str, role: str, day: date, known: Known, frozen: bool = False) -> list[Objection]:
    fish = known.find_fish(number)
    if fish is None:
        return [Objection("unknown_parent", role, f"There is no fish {number or '(empty)'} in the register.", number)]
    found = objections_to_sex(fish, role)
    found += objections_to_dead_parent(fish, role, Day(day), known, frozen)
    if not frozen:
        found += objections_to_use(fish, role, day)
    if fish.came and surely_before(Day(day, DAY), fish.came):
        found.append(
            Objection(
                "parent_younger",
                role,
                f"{fish.number} came {fish.came}, after {spoken(day)}. Correct the day or the {role}.",
                number,
            )
        )
    return found


def _objections_to_mixture(dam: KnownFish, sire: KnownFish) -> list[Objection]:
    same = dam.species and dam.species == sire.species
    if same and not (dam.hybrid or sire.hybrid or dam.doubtful or sire.doubtful):
        return []
    return [
        Objection(
            "hybrid_cross",
            "sire",
            f"{dam.number} × {sire.number}: species differ or are in doubt. Do not breed from or release such young.",
            sire.number,
            warning=True,
        )
    ]


def _objections_to_family(cross: CrossMade, known: Known) -> list[Objection]:
    if not cross.family:
        return [Objection("missing_id", "family", "The family number is missing. Every cross founds a family.")]
    family = known.find_family(cross.family)
    if family is None:
        return []
    same = {(p.dam, p.sire) for p in family.pairs} == {(p.dam, p.sire) for p in pairs_of(cross)}
    if same and not family.has_cross:
        return []
    return [
        Objection(
            "duplicate_id",
            "family",
            f"Family {family.number} is already in the register"
            + (
                " with its cross. Take another number."
                if same
                else " with other parents. Correct the parents or the number."
            ),
            cross.family,
        )
    ]
