"""Read a tag code: any notation, or the raw bits of a reader under a stated order; and which fish bears it."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from registry.queries.identity.find import LONGEST, find
from registry.rules.reading import Reading
from registry.rules.tags import ISO, TagCode, formatted, read_code, suggestions, told
from registry.rules.tags.crc import crc_of_code
from registry.rules.tags.raw import PROFILES, read_raw
from registry.web.links import address

LONGEST_RAW = 200


@dataclass(frozen=True, slots=True)
class Notations:
    """One code in the notations of readers."""

    digits: str
    dotted: str
    bits: str
    check_sum: str


def codes(request: HttpRequest) -> HttpResponse:
    """Show what was typed as a code in every notation, what it says of itself, and the fish that bear it."""
    text, profile = request.GET.get("q", "").strip()[:LONGEST_RAW], request.GET.get("order", "")
    reading = (read_raw(text, profile) if profile else read_code(text[:LONGEST])) if text else None
    code = reading.value if reading and not reading.refused else None
    shown: dict[str, Any] = {
        "title": "Read a tag code",
        "text": text,
        "order": profile,
        "profiles": PROFILES,
        "reading": reading,
        "code": code,
        "said": formatted(code) if code else "",
        "told": told(code) if code else "",
        "notations": notations(code) if code and code.system == ISO else None,
        "meant": _meant(text, profile, reading),
        "fish": _bearers(code) if code else [],
    }
    status = 422 if reading and reading.refused else 200
    return render(request, "registry/fish/identity/codes.html", shown, status=status)


def notations(code: TagCode) -> Notations:
    """Return a code of ISO 11784 as readers print it; the 64 bits with the animal flag and its retag counter."""
    country, number = int(code.code[:3]), int(code.code[3:])
    bits = 1 << 63 | code.retag << 60 | country << 38 | number
    return Notations(formatted(code), f"{country:03X}.{number:010X}", f"{bits:016X}", f"{crc_of_code(bits):04X}")


def _meant(text: str, profile: str, reading: Reading[TagCode] | None) -> list[dict[str, str]]:
    if profile or reading is None or not reading.refused:
        return []
    return [{"code": one.code, "said": formatted(one)} for one in suggestions(text)]


def _bearers(code: TagCode) -> list[dict[str, str]]:
    hits = [hit for hit in find(code.code).hits if hit.kind == "fish"]
    return [{"text": f"Fish {hit.number}", "detail": hit.why, "address": address("fish", hit.number)} for hit in hits]
