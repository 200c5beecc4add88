"""Codes that may differ from one named by a slip of the pen."""

from registry.models import Tag
from registry.rules.known import Known, KnownTag
from registry.rules.tags import TagCode, slips

CHUNK = 10_000
# One code has some 135 neighbours (ISO) or 150 (older hex): look these up for so many codes, else read all.
FEW_CODES = 30


def load_near_codes(found: Known, codes: set[str]) -> None:
    """Note codes that may differ from those named by one digit: looked up for a few, all codes for a long sheet."""
    tags = Tag.objects.current()
    if len(codes) <= FEW_CODES:
        named = [TagCode(system, code) for code in codes for system in Tag.System.values]
        tags = tags.filter(code__in={text for code in named for text in slips(code)})
    rows = tags.values_list("system", "code", "fish__number", "attached_on", "ended_on", "pk")
    for system, code, fish, attached_on, ended_on, pk in rows.iterator(chunk_size=CHUNK):
        key = TagCode(system, code)
        if key not in found.tags:
            found.tags[key] = [KnownTag(key, fish, attached_on, ended_on, pk=pk)]
