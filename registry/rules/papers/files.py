"""What a file is by its content, whatever its name says, and whether the register takes it."""

import unicodedata
import zipfile
from collections.abc import Collection
from dataclasses import dataclass
from io import BytesIO

from registry.rules.reading import Reading, refusal, shown

LARGEST_FILE = 20 * 2**20
TOO_LARGE = (
    f"The file is larger than {LARGEST_FILE // 2**20} MB, the most that is kept of one. "
    "Scan it again in grey or with fewer dots, or split it."
)
LONGEST_NAME = 100
# Where the standard (ISO 32000-1, annex H) looks for the mark that ends a PDF.
_TAIL = 1024
_NOT_IN_NAMES = frozenset('<>:"|?*/\\')
_MACROS = "vbaproject.bin"


@dataclass(frozen=True, slots=True)
class FileKind:
    """A kind of file that the register keeps: `endings` are those its name may have, the first is given to it."""

    key: str
    words: str
    media_type: str
    endings: tuple[str, ...]


PDF = FileKind("pdf", "PDF", "application/pdf", (".pdf",))
JPEG = FileKind("jpeg", "JPEG picture", "image/jpeg", (".jpg", ".jpeg"))
PNG = FileKind("png", "PNG picture", "image/png", (".png",))
TIFF = FileKind("tiff", "TIFF picture", "image/tiff", (".tif", ".tiff"))
WEBP = FileKind("webp", "WebP picture", "image/webp", (".webp",))
XLSX = FileKind(
    "xlsx", "XLSX workbook", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", (".xlsx",)
)
CSV = FileKind("csv", "CSV table", "text/csv", (".csv", ".tsv"))
TEXT = FileKind("text", "plain text", "text/plain", (".txt", ".md", ".log"))

KINDS = {kind.key: kind for kind in (PDF, JPEG, PNG, TIFF, WEBP, XLSX, CSV, TEXT)}
PICTURES = (JPEG, PNG, TIFF, WEBP)
_SIGNATURES = (
    (b"%PDF-", PDF),
    (b"\xff\xd8\xff", JPEG),
    (b"\x89PNG\r\n\x1a\n", PNG),
    (b"II*\x00", TIFF),
    (b"MM\x00*", TIFF),
)


def kind_of(content: bytes, name: str = "") -> FileKind | None:
    """Return what a file is by its content; a name only tells a table from other text. None: nothing that is kept."""
    for signature, kind in _SIGNATURES:
        if content.startswith(signature):
            return kind
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return WEBP
    if content.startswith(b"PK\x03\x04"):
        return XLSX if _is_workbook(content) else None
    if not _is_text(content):
        return None
    return CSV if ending_of(name) in CSV.endings else TEXT


def read_file(content: bytes, name: str, taken: Collection[FileKind] = tuple(KINDS.values())) -> Reading[FileKind]:
    """Return the kind of a file that is to be kept, or why it is not taken."""
    called = shown(name)
    if not content:
        return refusal("empty_file", f"“{called}” is empty. Choose the file again; it may not have been saved.", name)
    if len(content) > LARGEST_FILE:
        return refusal("too_large", TOO_LARGE, name)
    kind = kind_of(content, name)
    if kind is None or kind not in taken:
        listed = ", ".join(one.words for one in taken)
        found = kind.words if kind else "nothing that is kept"
        return refusal("bad_file", f"“{called}” is {found}, by its content. Kept are: {listed}. Save it as one.", name)
    if kind is PDF and b"%%EOF" not in content[-_TAIL:]:
        return refusal("broken_file", f"“{called}” breaks off: the end of the PDF is missing. Fetch it again.", name)
    if ending_of(name) not in ("", *kind.endings):
        text = f"“{called}” is {kind.words} by its content, which its ending does not say. Name it …{kind.endings[0]}."
        return refusal("wrong_ending", text, name)
    return Reading(kind)


def ending_of(name: str) -> str:
    """Return the ending of a file's name in small letters, with its dot; "" when it has none."""
    stem, dot, ending = name.strip().rpartition(".")
    return f".{ending.lower()}" if dot and stem and ending.isalnum() and len(ending) <= 8 else ""


def safe_name(name: str, kind: FileKind) -> str:
    """Return a file's name as it is kept and given out: no folder, no sign that a system takes amiss, its ending."""
    bare = name.replace("\\", "/").rpartition("/")[2]
    seen = "".join("_" if c in _NOT_IN_NAMES else c for c in unicodedata.normalize("NFC", bare) if c.isprintable())
    seen = " ".join(seen.split()).lstrip(". ")
    ending = ending_of(seen) if ending_of(seen) in kind.endings else kind.endings[0]
    stem = seen[: -len(ending)] if ending_of(seen) in kind.endings else seen
    return (stem.strip(". ")[: LONGEST_NAME - len(ending)] or "document") + ending


def _is_workbook(content: bytes) -> bool:
    """Return whether a zip is a workbook without programs in it."""
    try:
        with zipfile.ZipFile(BytesIO(content)) as packed:
            names = {name.lower() for name in packed.namelist()}
    except (zipfile.BadZipFile, ValueError, OSError):
        return False
    programs = any(name.rpartition("/")[2] == _MACROS for name in names)
    return "[content_types].xml" in names and "xl/workbook.xml" in names and not programs


def _is_text(content: bytes) -> bool:
    """Return whether a file is text: UTF-8, or a Western code page, without control characters."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    return not any(unicodedata.category(c) == "Cc" and c not in "\n\r\t\f" for c in set(text))
