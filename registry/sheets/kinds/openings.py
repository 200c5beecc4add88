"""Stocks and holding units that a sheet names for the first time: opened with the first row that is taken."""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from registry.operations.catalogue import StockOpened
from registry.operations.places import UnitOpened
from registry.rules.reading import warning
from registry.sheets.kinds.shared import Book, Verdict

_KINDS = ("trough", "jar", "pond", "cage", "tank")


@dataclass(slots=True)
class Openings:
    """What is to be opened before the rows are written; `species` is the commonest one of each new stock."""

    species: dict[str, str] = field(default_factory=dict)
    units_there: frozenset[str] = frozenset()
    stocks: list[StockOpened] = field(default_factory=list)
    units: list[UnitOpened] = field(default_factory=list)

    def offer(self, verdict: Verdict, book: Book) -> None:
        """Let a row be judged as if what it names for the first time were there."""
        stock, unit = _named(verdict)
        if stock and stock not in book.known.stocks and stock in self.species:
            book.known.stocks[stock] = self.species[stock]
        if unit:
            book.known.units.add(unit)

    def keep(self, verdict: Verdict, book: Book, taken: bool) -> None:
        """Open what a taken row named for the first time, with a warning; forget it if the row was refused."""
        stock, unit = _named(verdict)
        if stock in self.species and stock not in {opened.name for opened in self.stocks}:
            self._stock(stock, verdict, book, taken)
        if unit and unit not in self.units_there and unit not in {opened.name for opened in self.units}:
            self._unit(unit, verdict, book, taken)

    def _stock(self, name: str, verdict: Verdict, book: Book, taken: bool) -> None:
        if not taken:
            del book.known.stocks[name]
            return
        species = self.species[name]
        self.stocks.append(StockOpened(name=name, species=species))
        message = f"Stock {name} is new: it is opened with this row, of species {species}."
        verdict.object([warning("new_stock", message, name).on("stock")])

    def _unit(self, name: str, verdict: Verdict, book: Book, taken: bool) -> None:
        if not taken:
            book.known.units.discard(name)
            return
        kind = next((word for word in _KINDS if re.search(rf"\b{word}", name, re.IGNORECASE)), "tank")
        self.units.append(UnitOpened(name=name, kind=kind, facility=""))
        message = f"Holding unit {name} is new: it is opened with this row, as a {kind}."
        verdict.object([warning("new_unit", message, name).on("unit")])


def openings_for(verdicts: Iterable[Verdict], book: Book) -> Openings:
    """Return where new stocks and units of a sheet are noted; those already known never are."""
    counts: dict[str, Counter[str]] = {}
    for verdict in verdicts:
        stock, species = _named(verdict)[0], getattr(verdict.entry, "species", "")
        if stock and species and stock not in book.known.stocks:
            counts.setdefault(stock, Counter())[species] += 1
    species = {stock: count.most_common(1)[0][0] for stock, count in counts.items()}
    return Openings(species, frozenset(book.known.units))


def _named(verdict: Verdict) -> tuple[str, str]:
    return getattr(verdict.entry, "stock", ""), getattr(verdict.entry, "unit", "")
