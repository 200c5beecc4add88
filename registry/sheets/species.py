"""Species as written in a hatchery's sheets: Latin, abbreviated, in the vernacular, misspelt, in doubt, crossed."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import lru_cache

from registry.errors import Objection
from registry.rules.reading import Reading, refusal, shown, warning
from registry.sheets.cells import Cell
from registry.sheets.values import opened, plain_text

_DOUBT = re.compile(r"\?|\b(?:cf|aff|prob|probably|possibly|perhaps|likely|suspected|maybe)\b\.?", re.IGNORECASE)
_CROSS = re.compile(r"\s+[x×]\s+|\s*×\s*", re.IGNORECASE)
_HYBRID_WORDS = {"hybrid", "hybrids", "hybr", "hybr.", "bastard", "cross", "bester"}
_NO_SPECIES = {"", "unknown", "unk", "sp", "spp", "sturgeon", "acipenser", "acipenser sp", "acipenser spp", "-", "n/a"}
_ALIKE = 0.84
_CLEARLY_BETTER = 0.03


@dataclass(frozen=True, slots=True)
class SpeciesName:
    """What a cell says of a fish's species: `key` is the catalogue's, None for a hybrid or an unknown one."""

    key: str | None
    doubtful: bool = False
    parents: tuple[str, ...] = ()


def names_with_short_forms(catalogue: Mapping[str, str]) -> dict[str, str]:
    """Return a catalogue (name → key) in small letters, with `A. ruthenus` and `ruthenus` for each binomial.

    A short form that two species share is left out.
    """
    names = {_bare(name): key for name, key in catalogue.items()}
    short: dict[str, set[str]] = {}
    for name, key in catalogue.items():
        if binomial := re.fullmatch(r"([A-Z])[a-z]+ ([a-z]{4,})", name.strip()):
            for form in (f"{binomial[1]} {binomial[2]}".lower(), binomial[2]):
                short.setdefault(form, set()).add(key)
    return {form: min(keys) for form, keys in short.items() if len(keys) == 1} | names


def _bare(name: str) -> str:
    return " ".join(re.sub(r"[.,()\"']", " ", name.casefold()).split())


def read_species(cell: Cell, names: Mapping[str, str]) -> Reading[SpeciesName]:
    """Return the species of a cell, by `names` from `names_with_short_forms`.

    Warns of `doubtful_species`, `hybrid` and `species_spelling`; refuses `doubtful_species` when the
    catalogue has no such name.
    """
    found = opened(cell)
    if found.refused:
        return found
    text = "" if found.value is None else plain_text(found.value)
    if _bare(text.rstrip(" ?")) in _HYBRID_WORDS or _CROSS.search(text):
        return _hybrid(text, names)
    bare = _bare(_DOUBT.sub(" ", text))
    if bare in _NO_SPECIES:
        message = f"{shown(text) or 'An empty cell'} names no species; the fish is entered as of doubtful species."
        return Reading(SpeciesName(None, doubtful=True), (warning("doubtful_species", message, text),))
    key, objections = _matched(bare, text, names)
    if key is None:
        message = f"{shown(text)} is not in the species catalogue. Check the spelling, or add the species there first."
        return refusal("doubtful_species", message, text)
    if _DOUBT.search(text) is None:
        return Reading(SpeciesName(key), objections)
    message = f"{shown(text)} is entered as {key}, in doubt. A fish in doubt is not crossed; a genetic test decides."
    return Reading(SpeciesName(key, doubtful=True), (*objections, warning("doubtful_species", message, text)))


def _hybrid(text: str, names: Mapping[str, str]) -> Reading[SpeciesName]:
    parents = [_matched(_bare(_DOUBT.sub(" ", part)), text, names)[0] for part in _CROSS.split(text)]
    known = tuple(key for key in parents if key is not None)
    message = f"{shown(text)} is entered as a hybrid. Hybrids are not crossed by default."
    return Reading(SpeciesName(None, doubtful=True, parents=known), (warning("hybrid", message, text),))


def _matched(bare: str, text: str, names: Mapping[str, str]) -> tuple[str | None, tuple[Objection, ...]]:
    """Return the key of a name, exact or of the one clearly most alike, with the warning for the latter."""
    if bare in names:
        return names[bare], ()
    closest = _closest(bare, tuple(names.items()))
    if closest is None:
        return None, ()
    return closest, (warning("species_spelling", f"{shown(text)} is read as {closest}. Check the spelling.", text),)


# A sheet repeats its misspellings row by row, and comparing with the whole catalogue is slow.
@lru_cache(maxsize=1_000)
def _closest(bare: str, names: tuple[tuple[str, str], ...]) -> str | None:
    """Return the key of the name most like a word, if it is alike and clearly more so than any other species' name."""
    likeness: dict[str, float] = {}
    for name, key in names:
        likeness[key] = max(likeness.get(key, 0.0), SequenceMatcher(None, bare, name).ratio())
    ranked = sorted(likeness.items(), key=lambda pair: pair[1], reverse=True)
    if not ranked or ranked[0][1] < _ALIKE:
        return None
    if len(ranked) > 1 and ranked[1][1] > ranked[0][1] - _CLEARLY_BETTER:
        return None
    return ranked[0][0]
