"""Reference data: species, stocks, stages, policy figures. Comes from `fixtures/` by command, and from forms."""

import json
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from registry.errors import Objection, Refused
from registry.journal.write import Entry
from registry.journal.write import entry as journal_entry
from registry.models import MaturityStage, PolicyFigure, Species, SpeciesName, Stock, StockInheritance
from registry.operations.shared.desk import Desk
from registry.permissions import ADMINISTER, Actor, require
from registry.rules.inheritance import InheritanceSet, objections_to_inheritance
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
        for earlier in StockInheritance.objects.current().filter(stock=stock):
            made.withdraw(earlier)
        row = StockInheritance(stock=stock, ploidy=entry.ploidy, double_reduction=entry.double_reduction)
        row.reason = entry.reason
        return made.add(row)
