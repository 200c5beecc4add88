"""Tag codes: what readers, spreadsheets and hands write, brought to one form, or refused with the reason."""

from registry.rules.tags.codes import DECIMAL, HEX10, ISO, TagCode, read_code
from registry.rules.tags.slips import near_codes, slips, suggestions
from registry.rules.tags.words import formatted, told

__all__ = [
    "DECIMAL",
    "HEX10",
    "ISO",
    "TagCode",
    "formatted",
    "near_codes",
    "read_code",
    "slips",
    "suggestions",
    "told",
]
