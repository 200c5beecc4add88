"""Their headings to our fields."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from registry.errors import Objection, Refused
from registry.rules.reading import shown, warning
from registry.sheets.cells import Row, is_blank, tidy
from registry.sheets.numbers import G_PER, MM_PER, unit_of

_NOTES = "notes|remarks|remark|note|comment|comments|observations|bemerkung|bemerkungen"
_DATE = "date|day|on|when|datum"
_TAG = "tag|pit|pit tag|code|tag code|pit code|chip|transponder|tag no|tag number|pit no|pit number|tag id|microchip"
_FISH = "fish|fish no|fish number|fish id|id|register number|register no|reg no|no|nr|number|name"
_DAM = "dam|female|mother|dam no|dam id|mother id|female no"
_SIRE = "sire|male|father|sire no|sire id|father id|male no|males|sires"
_COUNT = "count|number|fish count|n|quantity|how many|no of fish|number of fish|amount"

# Headings are compared by `heading_key`: small letters, units and full stops taken away.
_FIELDS: dict[str, dict[str, str]] = {
    "fish": {
        "id": _FISH, "species": "species|taxon|sp|kind", "stock": "stock|population|strain|run|river",
        "tag": _TAG, "sex": "sex|gender|m/f|f/m", "origin": "origin|source|from|provenance",
        "caught": "caught|date caught|capture date|captured|date of capture|intake|intake date",
        "hatched": "hatched|hatch date|date hatched|born|birth|date of hatch|birth date|date of birth|year class|hatch",
        "dam": _DAM, "sire": _SIRE, "family": "family|family no|fam|family id|cross",
        "died": "died|dead|death|date of death|death date|date died|died on", "age": "age|age (years)|years",
        "notes": _NOTES,
    },
    "tags": {
        "fish": _FISH, "code": _TAG, "put_in": f"put in|in|tagged|date in|attached|from|implanted|{_DATE}",
        "taken_out": "taken out|out|date out|ended|lost on|until|to|removed|end",
        "why": "why|reason|why out|cause|end reason", "evidence": "how known|evidence|known by|how recognised|proof",
        "aside": "set aside|aside|set aside because|why another fish|duplicate code", "notes": _NOTES,
    },
    "spawnings": {
        "date": f"spawning date|stripped|date stripped|{_DATE}", "dam": _DAM, "sire": _SIRE,
        "egg_weight_g": "egg weight|eggs|weight of eggs|egg mass|mass of eggs|eggs weight",
        "eggs_per_g": "eggs per g|eggs/g|eggs per gram|eggs in 1 g|egg count per g|eggs per gramme",
        "portion": "portion|egg portion|part|share", "motility": "milt motility|motility|sperm motility",
        "fertilisation": "fertilisation|fertilization|fertilisation rate|fertilization rate|fertilised|fertilized",
        "family": "family|family no|fam|family id|cross", "off_plan": "off plan|why off plan|outside the plan",
        "notes": _NOTES,
    },
    "batches": {
        "batch": "batch|batch no|batch number|lot|batch id", "date": _DATE, "event": "what|event|what happened|action",
        "from": "from|from (families or batch)|from families or batch|families|family|source|from batch|origin",
        "unit": "unit|tank|where|holding unit|place", "stage": "stage|life stage", "count": _COUNT, "notes": _NOTES,
    },
    "releases": {
        "date": f"release date|released|{_DATE}", "place": "place|site|location|where|release site|river place",
        "lat": "lat|latitude|lat n|north", "lon": "lon|long|lng|longitude|east",
        "source": f"batch / tags|batch/tags|batch or tags|source|batch|batches|fish|{_TAG}|tags", "count": _COUNT,
        "mean_weight_g": "mean weight|weight|average weight|avg weight|mean mass|mw",
        "mark": "mark|marks|marking|marked", "permit": "permit no|permit|permit number|licence|license",
        "notes": _NOTES,
    },
    "measurements": {
        "tag": _TAG, "date": f"measured|{_DATE}", "tl_mm": "tl|total length|length|l|lt",
        "weight_g": "weight|mass|w|wt|body weight|body mass",
        "sexstage": "sex/stage|sex and stage|sex + stage|sex & stage|sex stage", "sex": "sex|gender|m/f|f/m",
        "stage": "stage|maturity|maturity stage|gonad stage", "notes": _NOTES,
    },
}  # fmt: skip
_REQUIRED = {
    "fish": ("id", "species"),
    "tags": ("fish", "code", "put_in"),
    "spawnings": ("date", "dam", "sire", "family"),
    "batches": ("batch", "date", "event", "count"),
    "releases": ("date", "source", "count"),
    "measurements": ("tag", "date"),
}
KINDS = tuple(_FIELDS)
_FIELD_OF = {
    kind: {word: field for field, words in fields.items() for word in words.split("|")}
    for kind, fields in _FIELDS.items()
}
_UNITS = {*MM_PER, *G_PER, "%", "percent", "years"}
_BRACKETED = re.compile(r"\s*[(\[]\s*([^)\]]*?)\s*[)\]]\s*$")
_UNIT_BEHIND = re.compile(r"^(.*?\S)(?:\s*,\s*|\s+in\s+|[\s_]+)([^\W\d_]+\.?|%)$")


@dataclass(frozen=True, slots=True)
class Heading:
    """A column: its place from 0, its heading as in the file, our field (None: not used) and the unit it names."""

    index: int
    text: str
    field: str | None = None
    unit: str | None = None


def fields_of(kind: str) -> tuple[str, ...]:
    """Return our field names of a kind of sheet."""
    return tuple(_FIELDS[kind])


def heading_key(text: str) -> str:
    """Return a heading in the form by which headings are compared."""
    return tidy(text.replace("_", " ")).casefold().rstrip(".:*# ")


def _split(text: str) -> tuple[str, str | None]:
    """Part a heading into its words and the unit that it ends in, if any."""
    tidied = tidy(text)
    for pattern in (_BRACKETED, _UNIT_BEHIND):
        if found := pattern.search(tidied):
            words, unit = (tidied[: found.start()], found[1]) if pattern is _BRACKETED else (found[1], found[2])
            if unit_of(unit) in _UNITS:
                return heading_key(words), unit_of(unit)
    return heading_key(tidied), None


def field_of(kind: str, text: str, own: Mapping[str, str] | None = None) -> str | None:
    """Return our field for a heading; `own`, a person's own headings to ours, goes first ("" for a column to leave)."""
    mine = {heading_key(heading): field for heading, field in (own or {}).items()}
    words, _ = _split(text)
    for key in (heading_key(text), words):
        if key in mine:
            return mine[key] or None
    known = _FIELD_OF[kind]
    return known.get(heading_key(text)) or known.get(words)


def knows(kind: str, own: Mapping[str, str] | None = None) -> Callable[[str], bool]:
    """Return the test for a known heading that `read_sheet` asks for."""
    return lambda text: len(text) <= 100 and field_of(kind, text, own) is not None


def headings_of(kind: str, headings: Sequence[str], own: Mapping[str, str] | None = None) -> list[Heading]:
    """Return the columns of a sheet.

    Raises Refused with all of: `missing_heading` for fields that the kind needs, `double_heading` for two columns
    of one field, `unknown_heading` for an own heading that is not there or a field that does not exist.
    """
    columns = [
        Heading(index, text, field_of(kind, text, own), _split(text)[1]) if tidy(text) else Heading(index, "")
        for index, text in enumerate(headings)
    ]
    objections = [*_wrong_mapping(kind, columns, own or {}), *_doubles(columns), *_missing(kind, columns)]
    if objections:
        raise Refused(objections)
    return columns


def _wrong_mapping(kind: str, columns: list[Heading], own: Mapping[str, str]) -> list[Objection]:
    there = {key for column in columns for key in (heading_key(column.text), _split(column.text)[0])}
    found = ", ".join(column.text for column in columns if column.text)
    objections = []
    for heading, field in own.items():
        if field and field not in _FIELDS[kind]:
            message = f"{field!r} is not a field of {kind}. The fields are {', '.join(_FIELDS[kind])}."
            objections.append(Objection("unknown_heading", field, message, heading))
        if heading_key(heading) not in there:
            message = f"The sheet has no column {heading!r}. Its columns are {found}."
            objections.append(Objection("unknown_heading", field, message, heading))
    return objections


def _doubles(columns: list[Heading]) -> list[Objection]:
    by_field: dict[str, list[str]] = {}
    for column in columns:
        if column.field:
            by_field.setdefault(column.field, []).append(column.text)
    advice = "Rename one of them, or say with --columns which is meant."
    return [
        Objection(
            "double_heading", field, f"The columns {' and '.join(texts)} both stand for {field}. {advice}", texts[1]
        )
        for field, texts in by_field.items()
        if len(texts) > 1
    ]


def _missing(kind: str, columns: list[Heading]) -> list[Objection]:
    there = {column.field for column in columns}
    found = ", ".join(column.text for column in columns if column.text)
    return [
        Objection(
            "missing_heading",
            field,
            f"A sheet of {kind} needs a column for {field} ({_FIELDS[kind][field].split('|')[0]}). "
            f"The columns found are {found}. Name the column, or give --columns.",
        )
        for field in _REQUIRED[kind]
        if field not in there
    ]


def unused(columns: Sequence[Heading]) -> list[Objection]:
    """Return a warning for every named column that stands for no field and is left out."""
    return [
        warning("unknown_heading", f"The column {shown(column.text)} is not used; its cells are left out.", column.text)
        for column in columns
        if column.text and column.field is None
    ]


def surplus(row: Row, columns: Sequence[Heading]) -> Objection | None:
    """Return the refusal of a row that holds something where there is no heading: its cells may have slipped."""
    nameless = {column.index for column in columns if not column.text}
    cells = [cell for at, cell in enumerate(row.cells) if (at >= len(columns) or at in nameless) and not is_blank(cell)]
    if not cells:
        return None
    seen = ", ".join(shown(cell) for cell in cells)
    message = (
        f"The row has more cells than there are headings: {seen} stands under none. Perhaps a comma in a number "
        "or a remark has split a cell. Mend the row, or give the column a heading."
    )
    last = next((column.field for column in reversed(columns) if column.field), "")
    return Objection("too_many_cells", last, message, seen)
