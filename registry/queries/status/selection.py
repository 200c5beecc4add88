"""Any selection out of a stock: by hatch year, sex, origin, or by number; the figures of the fish that fit."""

from collections import Counter
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from django.db.models import QuerySet

from breeding.genetics.ancestry import GenerationInterval, generation_interval
from breeding.genetics.engine.parts import ancestry_of
from breeding.genetics.kinship import breeder_kinship, kinship_of_positions
from breeding.genetics.pedigree import Pedigree
from registry.models import Fish, FishDetails, Stock, Tag
from registry.queries.catalogue import Inherits, inheritance_of
from registry.queries.chunks import chunks
from registry.queries.identity.same import standing
from registry.queries.pedigree import breeders, pedigree_with_sibs
from registry.queries.status.census import origins_of
from registry.queries.status.figures import hatching_times
from registry.queries.status.founders import FounderFigures, founder_figures
from registry.queries.status.group import GroupFigures, group_figures
from registry.rules.tags import read_code


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Which fish of a stock are looked at; `fish` are their keys where they were named, and narrow what fits."""

    stock: Stock
    since: int | None = None
    until: int | None = None
    sex: str = ""
    origin: str = ""
    gone_too: bool = False
    fish: frozenset[int] | None = None


@dataclass(frozen=True, eq=False)
class Selection:
    """The fish chosen: by key, or ("sibs", parentage key) with how many, in the order of every array of `figures`."""

    choice: Choice
    pedigree: Pedigree
    chosen: dict[Hashable, int]
    inherits: Inherits
    figures: GroupFigures
    founders: tuple[FounderFigures, ...]
    interval: GenerationInterval


class Member(NamedTuple):
    """One fish of a selection, and what stands for it in the pedigree."""

    number: str
    name: Hashable
    inbreeding: float
    mean_kinship: float


def selection_of(choice: Choice) -> Selection | None:
    """Compute the figures of a selection; None if no fish fits.

    Raises
    ------
    PedigreeError
        The records contradict each other, such as a fish that is its own ancestor.
    """
    chosen = _chosen(choice)
    if not chosen:
        return None
    inherits = inheritance_of(choice.stock)
    alone = [name for name in chosen if isinstance(name, int)]
    whole = pedigree_with_sibs(alone, [name[1] for name in chosen if isinstance(name, tuple)], inherits)
    pedigree, _ = ancestry_of(whole, whole.positions(chosen))
    figures = group_figures(pedigree, chosen, _origins, inherits)
    born = hatching_times({}, (name for name in pedigree.ids if isinstance(name, int)))
    told = founder_figures(pedigree, chosen, figures.found, figures.kept)
    founders = tuple(one for one in told if one.share)  # founders that are related stand in every pedigree
    return Selection(choice, pedigree, chosen, inherits, figures, founders, generation_interval(pedigree, born))


def members(selection: Selection) -> list[Member]:
    """Return every fish of a selection, those of lowest mean kinship within it first."""
    figures = selection.figures
    columns = selection.chosen, figures.inbreeding.tolist(), figures.mean_kinship.tolist()
    told = {name: each for name, *each in zip(*columns, strict=True)}
    found = []
    for number, fish, parentage in _fitting(selection.choice).values_list("fish__number", "fish_id", "parentage_id"):
        name = fish if fish in told else ("sibs", parentage)
        found.append(Member(number, name, *told[name]))
    return sorted(found, key=lambda one: (round(one.mean_kinship, 12), one.number))


def square(selection: Selection, among: Sequence[Member]) -> np.ndarray:
    """Return the kinship of each of some members with each, (members, members), with itself on the diagonal."""
    pedigree = selection.pedigree
    at = pedigree.positions(one.name for one in among)
    kinship = kinship_of_positions(pedigree, at)
    apart = breeder_kinship(pedigree).line_residual[pedigree.family[at]]
    sibs = (at[:, None] == at) & ~np.eye(len(at), dtype=bool)
    found: np.ndarray = kinship - sibs * apart
    return found


def _origins(founders: list[Hashable]) -> dict[int, str]:
    return origins_of(one for one in founders if isinstance(one, int))


def _chosen(choice: Choice) -> dict[Hashable, int]:
    """Return the fish that fit: founders and fish that bred one by one, others with their sibs."""
    rows = _fitting(choice)
    alone = dict(rows.filter(parentage__isnull=True).values_list("fish_id", "fish_id"))
    sibs: Counter[int] = Counter(rows.filter(parentage__isnull=False).values_list("parentage_id", flat=True))
    for part in chunks(breeders() - set(alone)):
        for fish, parentage in rows.filter(fish__in=part).values_list("fish_id", "parentage_id"):
            alone[fish] = fish
            sibs[parentage] -= 1
    found: dict[Hashable, int] = dict.fromkeys(sorted(alone), 1)
    return found | {("sibs", parentage): count for parentage, count in sorted(sibs.items()) if count}


def _fitting(choice: Choice) -> QuerySet:
    rows = FishDetails.objects.current().filter(stock=choice.stock)
    asked = {
        "left": None if choice.gone_too else "",
        "sex": choice.sex or None,
        "origin": choice.origin or None,
        "hatched_on__year__gte": choice.since,
        "hatched_on__year__lte": choice.until,
        "fish__in": choice.fish,
    }
    return rows.filter(**{name: value for name, value in asked.items() if value is not None})


def fish_named(words: Iterable[str]) -> tuple[frozenset[int], list[str]]:
    """Return the keys of fish by register number or by a tag they bear now, and the words that name none."""
    asked = list(dict.fromkeys(words))
    found = dict(Fish.objects.filter(number__in={*asked, *map(str.upper, asked)}).values_list("number", "pk"))
    codes = {word: read_code(word).value for word in asked if word not in found and word.upper() not in found}
    of_code = {word: code.code for word, code in codes.items() if code}
    tags = Tag.objects.current().filter(code__in={*of_code.values(), *asked}, ended_on__isnull=True)
    bearers = dict(tags.values_list("code", "fish_id"))
    keys = {word: found.get(word) or found.get(word.upper()) or bearers.get(of_code.get(word, word)) for word in asked}
    named = {key for key in keys.values() if key}
    joined = standing(named)
    return frozenset(joined.get(key, key) for key in named), [word for word, key in keys.items() if not key]
