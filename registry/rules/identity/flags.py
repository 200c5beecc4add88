"""What to be wary of beside the fit: not native, perhaps a hybrid, perhaps farmed, larger than any known. No proof."""

from collections.abc import Sequence
from dataclasses import dataclass

from registry.rules.identity.characters import BY_KEY, FARM_SIGNS, ONE_OPENING, PARTLY_CUT, PARTLY_FRINGED
from registry.rules.identity.fit import Fit, alike
from registry.rules.identity.profile import Profile, Seen

NOT_NATIVE, HYBRID, FARMED, TOO_LARGE, NO_FIT = "not_native", "hybrid", "farmed", "too_large", "no_fit"
NATIVE = "native"


@dataclass(frozen=True, slots=True)
class Flag:
    """One thing to be wary of, with its reason in words."""

    code: str
    title: str
    words: str


def flags(seen: Seen, found: Sequence[Fit]) -> list[Flag]:
    """Return everything to be wary of, `found` being the species with the best fit first."""
    if not found:
        return []
    best = alike(found)
    return [
        *_not_native(seen, best),
        *_hybrid(seen, found),
        *_no_fit(found, best),
        *_farmed(seen),
        *_too_large(seen, best),
    ]


def called(profile: Profile) -> str:
    """Return what a species is called in a sentence."""
    return profile.common or profile.name


def _not_native(seen: Seen, best: Sequence[Fit]) -> list[Flag]:
    if not seen.river or not seen.characters:
        return []
    strangers = [called(one.profile) for one in best if one.profile.rivers.get(seen.river, NATIVE) != NATIVE]
    if not strangers:
        return []
    who = " and ".join(strangers)
    words = (
        f"{who} {'is' if len(strangers) == 1 else 'are'} not native to the {seen.river}: an escape or a stocked fish."
    )
    return [Flag(NOT_NATIVE, "Not native", words)]


def _hybrid(seen: Seen, found: Sequence[Fit]) -> list[Flag]:
    cues = []
    if seen.looks.get("barbel_form") == PARTLY_FRINGED and not found[0].profile.looks.get("barbel_form", {}).get(
        PARTLY_FRINGED
    ):
        cues.append("barbels fringed in part")
    if seen.looks.get("lower_lip") == PARTLY_CUT:
        cues.append("lower lip cut in part")
    mixed = _between(found)
    if mixed:
        cues.append(mixed)
    if not cues:
        return []
    words = f"{'; '.join(cues)}. Maternal DNA alone cannot show a hybrid: ask for nuclear markers."
    return [Flag(HYBRID, "Perhaps a hybrid", words[:1].upper() + words[1:])]


def _between(found: Sequence[Fit]) -> str:
    """Return in words which two species share the characters out between them, if one has what the other lacks."""
    first = found[0]
    lacking = set(first.disagreeing)
    if not lacking:
        return ""
    for other in found[1:]:
        agreeing = {term.character for term in other.terms if term.known and not term.against}
        missed = set(other.disagreeing)
        if lacking <= agreeing and missed and missed.isdisjoint(lacking):
            one, two = (_named(keys) for keys in (missed, lacking))
            return f"{one}: as in {called(first.profile)}; {two}: as in {called(other.profile)}"
    return ""


def _named(keys: set[str]) -> str:
    return ", ".join(one.name.lower() for key, one in BY_KEY.items() if key in keys)


def _no_fit(found: Sequence[Fit], best: Sequence[Fit]) -> list[Flag]:
    if any(len(fit.disagreeing) < 2 for fit in best) or len(found[0].terms) < 2:
        return []
    words = "No species of the catalogue shows all this. Look again, photograph it, and think of a hybrid."
    return [Flag(NO_FIT, "No species fits well", words)]


def _farmed(seen: Seen) -> list[Flag]:
    cues = []
    if seen.looks.get("nostrils") == ONE_OPENING:
        cues.append("a single nostril opening on a side")
    cues += [words for key, words in FARM_SIGNS.items() if key in seen.signs]
    if not cues:
        return []
    words = f"{'; '.join(cues)}. The fish may come from a farm; look for marks and ask for its papers."
    return [Flag(FARMED, "Perhaps from aquaculture", words[:1].upper() + words[1:])]


def _too_large(seen: Seen, best: Sequence[Fit]) -> list[Flag]:
    if not seen.characters:
        return []
    found = []
    for profile in (one.profile for one in best):
        for value, largest, unit, what in (
            (seen.length_mm, profile.max_length_mm, "mm", "longest"),
            (seen.mass_g, profile.max_mass_g, "g", "heaviest"),
        ):
            if value is not None and largest is not None and value > largest:
                words = f"{value:g} {unit} is more than the {what} {called(profile)} known ({largest:g} {unit})."
                found.append(Flag(TOO_LARGE, "Too large", f"{words} Measure again, or think of another species."))
    return found
