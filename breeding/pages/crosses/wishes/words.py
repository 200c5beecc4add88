"""Terms and limits of a plan in words."""

from decimal import Decimal

from registry.rules.crossing.limits import LimitInForce, PairLimit
from registry.rules.crossing.wishes import SCHEMES, TermsSet


def terms_in_words(terms: TermsSet) -> list[tuple[str, str]]:
    """Return the terms of a plan, each with its value in words."""
    scheme = SCHEMES[terms.scheme]
    mates = f", {terms.mates} mates a fish" if terms.mates else ""
    price = f"{terms.price.normalize():f}" if terms.price else "0: diversity alone; of equals the least related pairs"
    judged = "on their own"
    if terms.count_living:
        weight = terms.weight_of_young
        share = "by the number expected" if weight is None else f"{weight.normalize():f} of the group"
        judged = f"together with the living stock; share of the young {share}"
    return [
        ("Crosses wanted", str(terms.crosses)),
        ("Scheme", f"{scheme.name}{mates}: {scheme.meaning}"),
        ("Price on inbreeding", price),
        ("The young are judged", judged),
        ("Families already made this season", "count" if terms.count_made else "do not count"),
    ]


def figure_in_words(limit: PairLimit, value: Decimal | None) -> str:
    """Return a limit's figure with its unit, or that it holds or is lifted."""
    if value is None:
        return "lifted"
    if limit.switch:
        return "holds"
    if limit.unit == "relationship":
        return f"relationship {value.normalize():f}"
    return f"{value.normalize():f} {_one(limit.unit) if value == 1 else limit.unit}"


def default_in_words(held: LimitInForce) -> str:
    """Return what a limit is by the policy."""
    if held.default is None:
        return "does not hold" if held.limit.switch else "no figure in the catalogue, so no limit"
    return figure_in_words(held.limit, held.default)


def in_force_in_words(held: LimitInForce) -> str:
    """Return what a limit is in the plan."""
    return figure_in_words(held.limit, held.value) if held.set_off else default_in_words(held)


def _one(unit: str) -> str:
    return unit.removesuffix("es") if unit == "crosses" else unit.removesuffix("s")
