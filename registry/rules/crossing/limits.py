"""The limits that a plan keeps to: each has a name and a default in the policy, and is set off only with a reason."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from registry.errors import Objection

# Kinships are sums of powers of one half: computed in binary fractions half sibs may come out a hair under the limit,
# and still reach it.
ROUNDING = Decimal("1e-12")
MOST = Decimal(10_000)
ON = Decimal(1)


@dataclass(frozen=True, slots=True)
class PairLimit:
    """One limit. `policy` is the key of the policy figure that is its default, and that names its source.

    A `switch` is in force or lifted and has no figure. A limit of `identity` guards what the stock is. `least`: the
    figure is a minimum. `whole`: judged over the whole plan, not pair by pair.
    """

    key: str
    name: str
    unit: str
    policy: str
    meaning: str
    switch: bool = False
    identity: bool = False
    least: bool = False
    whole: bool = False


PAIR_LIMITS: tuple[PairLimit, ...] = (
    PairLimit(
        "relationship", "closeness of a pair", "relationship", "max_pair_relationship",
        "A pair related as closely as this, or closer, is not planned. Relationship is ploidy × kinship: half sibs "
        "0.25, full sibs 0.5, at any ploidy.",
    ),
    PairLimit("crosses_per_dam", "crosses per female", "crosses", "max_crosses_per_dam",
              "A female stands in so many crosses of the plan at most.", whole=True),
    PairLimit("crosses_per_sire", "crosses per male", "crosses", "max_crosses_per_sire",
              "A male stands in so many crosses of the plan at most.", whole=True),
    PairLimit("least_dams", "females used", "females", "min_dams",
              "The plan uses so many females at least.", least=True, whole=True),
    PairLimit("least_sires", "males used", "males", "min_sires",
              "The plan uses so many males at least.", least=True, whole=True),
    PairLimit("egg_portion", "smallest portion of eggs", "eggs", "smallest_egg_portion",
              "A female's expected eggs are cut into portions no smaller than this; each cross takes one portion.",
              least=True, whole=True),
    PairLimit("milt_doses", "milt doses per cross", "doses", "milt_doses_per_cross",
              "Each cross with milt out of a lot takes so many doses of those that are left.", whole=True),
    PairLimit("incubators", "crosses per free incubator", "crosses", "crosses_per_incubator",
              "Every incubator without young in it takes so many crosses.", whole=True),
    PairLimit("repeat_years", "years until a pair is repeated", "years", "pair_repeat_years",
              "A pair that was crossed less than so many years before the season is not planned again.", least=True),
    PairLimit("dam_rest_years", "rest of a female", "years", "dam_rest_years",
              "A female spawned less than so many years before the season is not planned.", least=True),
    PairLimit("sire_rest_years", "rest of a male", "years", "sire_rest_years",
              "A male spawned less than so many years before the season is not planned.", least=True),
    PairLimit("ripe", "ripe by the last check", "", "plan_only_ripe",
              "Only fish that the last check found ripe, or of which frozen milt is left.", switch=True),
    PairLimit("same_stock", "one stock", "", "plan_same_stock",
              "Both fish are of the plan's stock.", switch=True, identity=True),
    PairLimit("sure_species", "sure species", "", "plan_sure_species",
              "The species of both fish is known and not in doubt.", switch=True, identity=True),
    PairLimit("no_hybrid", "no hybrid", "", "plan_no_hybrid",
              "Neither fish is a hybrid.", switch=True, identity=True),
    PairLimit("even_ploidy", "no odd ploidy", "", "plan_even_ploidy",
              "Neither fish was found to be of odd ploidy, as a triploid is.", switch=True, identity=True),
    PairLimit("no_quarantine", "out of quarantine", "", "plan_no_quarantine",
              "Neither fish is in quarantine.", switch=True),
    PairLimit("no_withdrawal", "withdrawal over", "", "plan_no_withdrawal",
              "No treatment's withdrawal time is running for either fish.", switch=True),
    PairLimit("tissue", "tissue sample", "", "plan_tissue_sample",
              "A tissue sample of both fish is kept.", switch=True),
)  # fmt: skip
BY_KEY: dict[str, PairLimit] = {limit.key: limit for limit in PAIR_LIMITS}


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitSet:
    """A limit of a plan set off from its default; `value` None lifts it."""

    plan: str
    key: str
    value: Decimal | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRestored:
    """A limit of a plan that has its default again."""

    plan: str
    key: str


@dataclass(frozen=True, slots=True)
class LimitInForce:
    """A limit as it holds in a plan; `value` None: lifted, or no default in force."""

    limit: PairLimit
    value: Decimal | None
    default: Decimal | None
    set_off: bool = False
    reason: str = ""

    @property
    def relaxed(self) -> bool:
        """Return whether the plan allows more than the policy does."""
        if not self.set_off or self.default is None:
            return False
        if self.value is None:
            return True
        return self.value < self.default if self.limit.least else self.value > self.default


@dataclass(frozen=True, slots=True)
class LimitsInForce:
    """All limits of a plan, by key."""

    all: Mapping[str, LimitInForce] = field(default_factory=dict)

    def on(self, key: str) -> bool:
        """Return whether a switch is in force."""
        return self.all[key].value is not None

    def figure(self, key: str) -> Decimal | None:
        """Return the figure in force; None while the limit is lifted."""
        return self.all[key].value

    def relaxed(self) -> list[LimitInForce]:
        """Return the limits that are relaxed, those that guard the stock's identity first."""
        found = [one for one in self.all.values() if one.relaxed]
        return sorted(found, key=lambda one: not one.limit.identity)


def limits_in_force(policy: Mapping[str, Decimal], set_off: Iterable[LimitSet] = ()) -> LimitsInForce:
    """Return every limit by the policy's figures and by what the plan set off.

    A switch of which the policy says nothing is on; a figure of which it says nothing limits nothing.
    """
    changed = {one.key: one for one in set_off}
    found = {}
    for limit in PAIR_LIMITS:
        default = policy.get(limit.policy, ON if limit.switch else None)
        if limit.switch and default == 0:
            default = None
        change = changed.get(limit.key)
        value = change.value if change else default
        found[limit.key] = LimitInForce(limit, value, default, change is not None, change.reason if change else "")
    return LimitsInForce(found)


ALL_SWITCHES_ON = limits_in_force({})


def relationship(kinship: Decimal, ploidy: int) -> Decimal:
    """Return the relationship of a pair: ploidy × kinship, 0.25 for half sibs of unrelated parents at any ploidy."""
    return ploidy * kinship


def objections_to_limit(entry: LimitSet) -> list[Objection]:
    """Return what is wrong with setting this limit off."""
    limit = BY_KEY.get(entry.key)
    if limit is None:
        return [Objection("unknown_limit", "key", f"There is no limit “{entry.key}”. Choose one.", entry.key)]
    found = []
    if not entry.reason.strip():
        told = f"The limit “{limit.name}” is set off from its default only with a reason. Write it."
        found.append(Objection("missing_reason", "reason", told))
    if entry.value is not None and not limit.switch:
        found += _objections_to_figure(limit, entry.value)
    if entry.value is not None and limit.switch:
        told = f"The limit “{limit.name}” has no figure: lift it, or restore it to its default."
        found.append(Objection("bad_value", "value", told, str(entry.value)))
    return found


def _objections_to_figure(limit: PairLimit, value: Decimal) -> list[Objection]:
    told = ""
    if not 0 <= value <= MOST:
        told = f"{value} is no figure for the limit “{limit.name}”. Write one from 0 to {MOST}."
    elif limit.unit == "relationship" and value > 1:
        told = f"{value} is no relationship: full sibs have 0.5. Write a figure from 0 to 1."
    elif limit.unit != "relationship" and value != value.to_integral_value():
        told = f"The limit “{limit.name}” is counted in whole {limit.unit}, not {value}."
    elif value == 0 and limit.key in ("milt_doses", "egg_portion"):
        told = f"The limit “{limit.name}” cannot be 0. Lift it if it is not to hold."
    return [Objection("bad_value", "value", told, str(value))] if told else []
