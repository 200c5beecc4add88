"""A sheet of fish, one a row: parents are judged before their young, whatever the order of rows."""

import re
from collections import defaultdict
from dataclasses import replace

import networkx as nx

from registry.errors import Objection
from registry.operations.fish import ADMISSION
from registry.queries.known import Named
from registry.rules.crossing.spawning import equal_shares
from registry.rules.fish import Admission, as_known
from registry.rules.known import Pair, fold
from registry.rules.parents import loops
from registry.sheets.dates import read_day
from registry.sheets.kinds.shared import (
    REFUSED,
    UNCHANGED,
    Book,
    Draft,
    Kind,
    RowReader,
    Verdict,
    spelt,
    waiting,
)
from registry.sheets.species import read_species
from registry.sheets.values import read_id, read_key, read_note, read_parents, read_text
from registry.sheets.words import read_origin, read_sex

FIELDS = {
    "number": "id", "left_on": "died", "code": "tag", "attached_on": "tag", "tagged_on": "tag", "pairs": "sire",
    "confidence": "species", "hybrid": "species",
}  # fmt: skip
_FROZEN = re.compile(r"\b(?:frozen|cryo\w*|thawed)\b", re.IGNORECASE)


def _gather(row: RowReader, named: Named) -> None:
    named.fish |= spelt([read_id(row.cell("id")).value])
    for role in ("dam", "sire"):
        named.fish |= spelt(read_parents(row.cell(role)).value or ())
    named.families |= spelt([read_id(row.cell("family")).value])
    if not row.blank("tag") and (code := row.tag("tag").value):
        named.codes.add(code.code)
        named.near = True


def _read(row: RowReader, book: Book) -> Draft | None:
    number = row.take("id", read_key(row.cell("id"), book.fish))
    species = row.take("species", read_species(row.cell("species"), book.species))
    stock = row.take("stock", read_text(row.cell("stock")))
    tag = None if row.blank("tag") else row.take("tag", row.tag("tag"))
    sex = row.take("sex", read_sex(row.cell("sex")))
    origin = row.take("origin", read_origin(row.cell("origin")))
    caught, hatched, died = (
        row.take(name, read_day(row.cell(name), book.options.as_of, book.options.date_order))
        for name in ("caught", "hatched", "died")
    )
    dams = row.take("dam", read_parents(row.cell("dam"), book.fish))
    sires = row.take("sire", read_parents(row.cell("sire"), book.fish))
    family = row.take("family", read_id(row.cell("family"), book.families))
    notes = row.take("notes", read_note(row.cell("notes")))
    if row.refused:
        return None
    pairs = _pairs(dams, sires)
    entry = Admission(
        number=number,
        species=species.key or "",
        confidence="doubtful" if species.doubtful else "field",
        hybrid=_is_hybrid(row),
        stock=_spelling_of_stock(stock, book),
        sex=sex,
        origin=origin or "unknown",
        caught=caught,
        hatched=hatched,
        pairs=pairs,
        basis="pooled" if len(pairs) > 1 else "recorded",
        family=family or "",
        frozen_milt=bool(notes and _FROZEN.search(notes)),
        tag=tag,
        left="died" if died else "",
        left_on=died,
        notes=notes or "",
    )
    return Draft(ADMISSION, entry, FIELDS)


def _is_hybrid(row: RowReader) -> bool:
    return any(objection.code == "hybrid" for objection in row.objections)


def _pairs(dams: tuple[str | None, ...], sires: tuple[str | None, ...]) -> tuple[Pair, ...]:
    """Return every possible pair in equal shares; no pair at all where both parents are unknown."""
    both = [(dam, sire) for dam in dams or (None,) for sire in sires or (None,)]
    if both == [(None, None)]:
        return ()
    return tuple(Pair(*pair, share) for pair, share in zip(both, equal_shares(both), strict=True))


def _spelling_of_stock(name: str | None, book: Book) -> str:
    return next((own for own in book.known.stocks if own.casefold() == (name or "").casefold()), name or "")


def _order(verdicts: list[Verdict], book: Book) -> list[Verdict]:
    """Refuse second rows of one number and loops; put parents before young."""
    _refuse_second_rows(verdicts)
    _parents_from_families(waiting(verdicts), book)
    _refuse_loops(waiting(verdicts))
    fish = {fold(verdict.founds): verdict for verdict in waiting(verdicts)}
    graph = nx.DiGraph()
    graph.add_nodes_from(verdict.number for verdict in fish.values())
    for number, verdict in fish.items():
        parents = {fold(parent) for pair in verdict.entry.pairs for parent in (pair.dam, pair.sire) if parent}
        graph.add_edges_from((fish[parent].number, verdict.number) for parent in parents - {number} if parent in fish)
    by_number = {verdict.number: verdict for verdict in fish.values()}
    return [by_number[number] for number in nx.lexicographical_topological_sort(graph)]


def _refuse_second_rows(verdicts: list[Verdict]) -> None:
    first: dict[str, Verdict] = {}
    for verdict in verdicts:
        if verdict.status == UNCHANGED or not verdict.founds:
            continue
        earlier = first.setdefault(fold(verdict.founds), verdict)
        if earlier is not verdict:
            message = (
                f"Row {earlier.number} has fish {verdict.founds} too, with other values. Every fish has its own "
                "number: correct one of the two."
            )
            verdict.object([Objection("duplicate_id", "id", message, verdict.founds)])
            verdict.status = REFUSED


def _refuse_loops(verdicts: list[Verdict]) -> None:
    of_number = {fold(verdict.founds): verdict for verdict in verdicts}
    for loop in loops(as_known(verdict.entry) for verdict in verdicts):
        names = ", ".join(of_number[number].founds for number in loop if number in of_number)
        for verdict in (of_number[number] for number in loop if number in of_number):
            for role in ("dam", "sire"):
                parents = {fold(parent) for pair in verdict.entry.pairs if (parent := getattr(pair, role))}
                if parents & set(loop):
                    message = (
                        f"By this {role}, fish {verdict.founds} is its own ancestor ({names}). Correct one of them."
                    )
                    verdict.object([Objection("cycle", role, message, names)])
            verdict.status = REFUSED


def _parents_from_families(verdicts: list[Verdict], book: Book) -> None:
    """Give fish of a known family, whose row names no parents, the parents of that family."""
    parents: dict[str, tuple[Pair, ...]] = defaultdict(tuple)
    for verdict in verdicts:
        if verdict.entry.pairs:
            parents.setdefault(fold(verdict.entry.family), verdict.entry.pairs)
    parents.update({fold(one.number): one.pairs for one in book.known.families.values()})
    for verdict in verdicts:
        pairs = parents[fold(verdict.entry.family)] if verdict.entry.family else ()
        if not verdict.entry.pairs and pairs:
            verdict.entry = replace(verdict.entry, pairs=pairs, basis="pooled" if len(pairs) > 1 else "recorded")


def _founds(row: RowReader) -> str:
    return row.values.get("id") or ""


FISH = Kind("fish", "id", _gather, _read, _founds, _order)
