"""Reference data: species, stocks, stages, policy figures. Comes from `fixtures/` by command, and from forms."""

import json
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from breeding.genetics.errors import FounderKinshipError
from registry.errors import Objection, Refused
from registry.journal.write import Entry
from registry.journal.write import entry as journal_entry
from registry.models import (
    Fish,
    FishDetails,
    FounderPair,
    FounderSet,
    MaturityStage,
    PolicyFigure,
    Species,
    SpeciesName,
    Stock,
    StockInheritance,
)
from registry.operations.shared.desk import Desk, refuse_if_any
from registry.permissions import ADMINISTER, RELATE_FOUNDERS, Actor, require
from registry.queries.catalogue import Inherits, inheritance_set_for
from registry.queries.catalogue.founders import Given, founder_pairs, refuse_impossible, related_by
from registry.queries.identity.same import standing
from registry.rules.inheritance import (
    FoundersRelated,
    InheritanceSet,
    objections_to_founders,
    objections_to_inheritance,
)
from registry.rules.texts import objections_to_texts

# Names in use; no list was seen for them.
SHIPPED = "Common practice, no source."
FIXTURES = Path(__file__).resolve().parent.parent.parent / "fixtures"


@dataclass(frozen=True, slots=True, kw_only=True)
class StockOpened:
    """A management unit bred on its own."""

    name: str
    species: str
    river: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureSet:
    """A policy figure in force from a day on."""

    key: str
    value: Decimal
    unit: str
    meaning: str
    source: str
    in_force_from: date


def load_catalogue(by: Actor) -> int:
    """Take in the catalogue that ships with the register, once; return how many species it has now.

    A later release of the program may rest on policy figures that an older register lacks: these are added.
    """
    if Species.objects.exists():
        _add_figures(by)
        return Species.objects.count()
    with journal_entry(by, "catalogue loaded", permission=ADMINISTER, subject="catalogue") as made:
        for row in shipped("species.json"):
            add_species(made, row)
        for row in shipped("maturity_stages.json"):
            made.add(MaturityStage(**row))
        for row in shipped("policy_figures.json"):
            made.add(PolicyFigure(**{**row, "value": Decimal(row["value"])}))
    return Species.objects.count()


def _add_figures(by: Actor) -> None:
    """Add the policy figures that ship and that the register has none of."""
    known = set(PolicyFigure.objects.values_list("key", flat=True))
    lacking = [row for row in shipped("policy_figures.json") if row["key"] not in known]
    if lacking:
        with journal_entry(by, "policy figures added", permission=ADMINISTER, subject="catalogue") as made:
            for row in lacking:
                made.add(PolicyFigure(**{**row, "value": Decimal(row["value"])}))


def add_species(made: Entry, row: dict[str, Any]) -> Species:
    """Add a species as it ships, with its names."""
    species = made.add(Species(**{key: value for key, value in row.items() if key != "names"}))
    for kind, listed in row["names"].items():
        for name in listed:
            made.add(SpeciesName(species=species, name=name, kind=kind, source=SHIPPED))
    return species


def shipped(name: str) -> Any:
    """Return what a file of `fixtures/` holds."""
    return json.loads((FIXTURES / name).read_text(encoding="utf-8"))


def open_stock(by: Actor, entry: StockOpened) -> Stock:
    """Open a stock. Refused: name in use, no such species."""
    found = objections_to_texts(entry)
    species = Species.objects.filter(key=entry.species).first()
    if species is None:
        found.append(Objection("bad_species", "species", f"“{entry.species}” is not in the catalogue.", entry.species))
    if Stock.objects.filter(name__iexact=entry.name).exists() or not entry.name:
        found.append(
            Objection("duplicate_id", "name", f"A stock named “{entry.name}” cannot be opened. Take another name.")
        )
    if found:
        raise Refused(found)
    with journal_entry(by, "stock opened", permission=ADMINISTER, subject=f"stock {entry.name}") as made:
        return made.add(Stock(name=entry.name, species=species, river=entry.river))


def write_stock(desk: Desk, entry: StockOpened, source: str) -> Stock:
    """Open a stock at a desk, so that the sheet rows written there may name it."""
    require(desk.door.by, ADMINISTER)
    made = desk.door.open("stock opened", f"stock {entry.name}", source=source)
    row = made.add(Stock(name=entry.name, species=desk.species(entry.species), river=entry.river))
    desk.stocks[entry.name] = row
    desk.known.stocks[entry.name] = entry.species
    return row


def set_figure(by: Actor, entry: FigureSet) -> PolicyFigure:
    """Put a policy figure in force from a day on; earlier ones stay readable. Refused: no source named."""
    found = objections_to_texts(entry, {"meaning": 1000, "source": 1000})
    if not entry.source:
        found.append(
            Objection("no_source", "source", "Every figure needs its source: who decided it, or where it is printed.")
        )
    if found:
        raise Refused(found)
    with journal_entry(by, "policy figure set", permission=ADMINISTER, subject=f"figure {entry.key}") as made:
        for earlier in PolicyFigure.objects.current().filter(key=entry.key, in_force_from=entry.in_force_from):
            made.withdraw(earlier)
        return made.add(
            PolicyFigure(
                key=entry.key,
                value=entry.value,
                unit=entry.unit,
                meaning=entry.meaning,
                source=entry.source,
                in_force_from=entry.in_force_from,
            )
        )


def set_inheritance(by: Actor, entry: InheritanceSet) -> StockInheritance:
    """Set how a stock inherits; the earlier setting stays readable, and every figure follows at once.

    Refused: no such stock, no reason, gene copies or double reduction that cannot be.
    """
    found = objections_to_inheritance(entry)
    stock = Stock.objects.current().filter(name=entry.stock).first()
    if stock is None:
        found.append(Objection("bad_stock", "stock", f"“{entry.stock}” is no stock of the register.", entry.stock))
    if found or stock is None:
        raise Refused(found)
    subject = f"stock {stock.name}"
    with journal_entry(by, "inheritance set", permission=ADMINISTER, subject=subject, reason=entry.reason) as made:
        refuse_if_any(_against_founders(founder_pairs(stock), entry))
        for earlier in StockInheritance.objects.current().filter(stock=stock):
            made.withdraw(earlier)
        row = StockInheritance(stock=stock, ploidy=entry.ploidy, double_reduction=entry.double_reduction)
        row.reason = entry.reason
        return made.add(row)


def relate_founders(by: Actor, entry: FoundersRelated, *, confirmed: bool = True) -> FounderSet:
    """Enter how founders of a stock are related; the earlier set stays readable, and every figure follows at once.

    Refused: no such stock or fish, no source, a fish with parents on record, a kinship that cannot be. Warned of:
    values that no population can have together, of which the nearest possible are used.
    """
    stock = Stock.objects.current().filter(name=entry.stock).select_related("species").first()
    if stock is None:
        raise Refused([Objection("bad_stock", "stock", f"“{entry.stock}” is no stock of the register.", entry.stock)])
    subject = f"stock {stock.name}"
    with journal_entry(by, "founders related", permission=RELATE_FOUNDERS, subject=subject) as made:
        details = _details_of({name for pair in entry.pairs for name in (pair.one, pair.other)})
        refuse_if_any(objections_to_founders(entry, {name: bool(row.parentage_id) for name, row in details.items()}))
        fish = {name: row.fish for name, row in details.items()}
        given = [(fish[pair.one].pk, fish[pair.other].pk, float(pair.kinship)) for pair in entry.pairs]
        names = {one.pk: one.number for one in fish.values()}
        refuse_if_any(_of_matrix(given, names, inheritance_set_for(stock)), confirmed)
        for earlier in FounderSet.objects.current().filter(stock=stock):
            for row in FounderPair.objects.current().filter(founders=earlier):
                made.withdraw(row)
            made.withdraw(earlier)
        kept = made.add(FounderSet(stock=stock, source=entry.source))
        kinships = {tuple(sorted((pair.one, pair.other))): pair.kinship for pair in entry.pairs}
        for (one, other), kinship in kinships.items():
            made.add(FounderPair(founders=kept, one=fish[one], other=fish[other], kinship=kinship))
        return kept


def _details_of(numbers: set[str]) -> dict[str, FishDetails]:
    """Return what is known of the fish of these numbers; of joined numbers, that of the fish they proved to be."""
    keys = dict(Fish.objects.filter(number__in=numbers).values_list("number", "pk"))
    joined = standing(keys.values())
    wanted = {number: joined.get(key, key) for number, key in keys.items()}
    rows = FishDetails.objects.current().filter(fish__in=wanted.values()).select_related("fish")
    details = {row.fish_id: row for row in rows}
    return {number: details[key] for number, key in wanted.items()}


def _of_matrix(given: list[Given], names: dict[int, str], inherits: Inherits) -> list[Objection]:
    """Return what is impossible of kinships taken together, or a warning of what is mended."""
    if not given:
        return []
    try:
        refuse_impossible(given, names, inherits.ploidy, inherits.double_reduction)
    except FounderKinshipError as error:
        return [Objection("bad_kinship", "pairs", str(error))]
    related = related_by(given, inherits.alone, inherits.ploidy)
    if not related.change:
        return []
    one, other = (names[related.keys[place]] for place in related.most_changed)
    told = (
        "No population can have these kinships together. The nearest possible will be used: the value that changes "
        f"most, {one} with {other}, becomes {related.kinship[related.most_changed]:.4f}, by {related.change:.4f}."
    )
    return [Objection("kinship_mended", "pairs", told, warning=True)]


def _against_founders(given: list[Given], entry: InheritanceSet) -> list[Objection]:
    """Return why the founders' kinship that stands cannot be with this inheritance."""
    names = dict(Fish.objects.filter(pk__in={key for pair in given for key in pair[:2]}).values_list("pk", "number"))
    try:
        refuse_impossible(given, names, entry.ploidy, float(entry.double_reduction))
    except FounderKinshipError as error:
        told = f"The founders' kinship on record does not fit: {error} Enter it anew for these gene copies first."
        return [Objection("founders_do_not_fit", "ploidy", told, str(entry.ploidy))]
    return []
