"""The species that ship with the register, as determination takes them, and a typical fish of each."""

import json

from registry.rules.identity.characters import CHARACTERS
from registry.rules.identity.profile import Profile, Seen, Span
from tests.support.sources import ROOT

ENDS = ("low", "usual_low", "usual_high", "high")


def catalogue() -> dict[str, Profile]:
    """Return every species as it ships, by its key."""
    told = json.loads((ROOT / "fixtures" / "characters.json").read_text(encoding="utf-8"))
    species = json.loads((ROOT / "fixtures" / "species.json").read_text(encoding="utf-8"))
    found = {}
    for one in species:
        figures = [row for row in told["figures"] if row["species"] == one["key"] and row.get("scored", True)]
        looks: dict[str, dict[str, float]] = {}
        for row in told["looks"]:
            if row["species"] == one["key"] and row.get("scored", True):
                looks.setdefault(row["character"], {})[row["look"]] = row["share"]
        spans = {row["figure"]: Span(*(row.get(end) for end in ENDS)) for row in figures}
        found[one["key"]] = Profile(
            one["key"], one["scientific_name"], one["common_name"], spans, looks,
            spans["max_length_mm"].high, spans["max_mass_g"].high,
        )  # fmt: skip
    return found


def typical(profile: Profile) -> Seen:
    """Return a fish that shows the middle of every usual range and the commonest of every look."""
    numbers = {
        one.key: (float(round(middle(profile.spans[one.key]))),) for one in CHARACTERS if one.key in profile.spans
    }
    return Seen(numbers, {key: max(shares, key=lambda look: shares[look]) for key, shares in profile.looks.items()})


def middle(span: Span) -> float:
    """Return the middle of the usual range; a range with one end is met at that end."""
    low = span.usual_low if span.usual_low is not None else span.low
    high = span.usual_high if span.usual_high is not None else span.high
    ends = [end for end in (low, high) if end is not None]
    return sum(ends) / len(ends)
