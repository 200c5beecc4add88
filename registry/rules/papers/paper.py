"""What may be entered of a permit."""

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.known import Known
from registry.rules.papers.acts import ACTS, SPECIMENS, Allowance
from registry.rules.papers.permits import SPOKEN, UNITS, named, names_in
from registry.rules.texts import objections_to_texts

LENGTHS = {"number": 60, "places": 1000}


@dataclass(frozen=True, slots=True, kw_only=True)
class PermitGiven:
    """A permit as the authority gave it. `purpose` and `source` are CITES codes; `places` one a line."""

    number: str
    issuer: str
    valid_from: date
    valid_until: date | None = None
    allowances: tuple[Allowance, ...] = ()
    places: str = ""
    purpose: str = ""
    source: str = ""
    notes: str = ""


def objections_to_paper(entry: PermitGiven, known: Known, codes: Mapping[str, Collection[str]]) -> list[Objection]:
    """Return what is in the way of entering this permit; `codes` are the CITES lists of purposes and sources."""
    found = objections_to_texts(entry, LENGTHS)
    if not entry.number:
        found.append(Objection("missing_id", "number", "The number of the permit is missing. It stands on the paper."))
    if not entry.issuer:
        found.append(Objection("missing_issuer", "issuer", "Say which authority gave the permit."))
    if entry.valid_until and entry.valid_until < entry.valid_from:
        text = f"It would end on {spoken(entry.valid_until)}, before it begins. Correct one of the days."
        found.append(Objection("out_before_in", "valid_until", text))
    for name, value in (("purpose", entry.purpose), ("source", entry.source)):
        if value and value not in codes[name]:
            text = f"“{value}” is no CITES {name} code. The list has: {', '.join(codes[name])}."
            found.append(Objection("bad_code", name, text, value))
    if not entry.allowances:
        found.append(Objection("missing_kind", "allowances", "Say what the permit allows: at least one line."))
    return found + _objections_to_lines(entry, known)


def _objections_to_lines(entry: PermitGiven, known: Known) -> list[Objection]:
    found = [one for line in entry.allowances for one in _objections_to_line(line, known)]
    repeated = Counter((line.act, line.specimen, line.species, line.stock) for line in entry.allowances)
    for (act, specimen, species, stock), times in repeated.items():
        if times > 1:
            of = f"{UNITS.get(specimen, specimen)} of " if specimen else ""
            what = f"{SPOKEN.get(act, act)} of {of}{named(species, stock, names_in(known))}"
            text = f"Two lines are for {what}. Write one line for it."
            found.append(Objection("duplicate_id", "allowances", text))
    return found


def _objections_to_line(line: Allowance, known: Known) -> list[Objection]:
    found = []
    if line.act not in ACTS:
        found.append(Objection("bad_kind", "act", f"“{line.act}” is not one of {', '.join(ACTS)}.", line.act))
    if line.specimen and line.act not in ("transfer", "trade"):
        text = "Milt and samples are sent: choose “Transfer out” or “Across a border” for them."
        found.append(Objection("bad_kind", "act", text, line.act))
    if line.specimen not in SPECIMENS:
        text = f"“{line.specimen}” is not one of fish, milt, sample."
        found.append(Objection("bad_kind", "specimen", text, line.specimen))
    if line.species and line.species not in known.species:
        found.append(Objection("bad_species", "species", f"“{line.species}” is not in the catalogue.", line.species))
    if line.stock and line.stock not in known.stocks:
        text = f"There is no stock {line.stock} in the register."
        found.append(Objection("bad_stock", "stock", text, line.stock))
    elif line.stock and line.species not in ("", known.stocks[line.stock]):
        text = f"Stock {line.stock} is of species {known.stocks[line.stock]}, not {line.species}. Name one of the two."
        found.append(Objection("wrong_species", "stock", text, line.stock))
    if line.most is not None and line.most < 1:
        text = "A permit for no fish allows nothing. Leave the number empty where none is stated."
        found.append(Objection("negative", "most", text, str(line.most)))
    return found
