"""The code lists of CITES as they ship with the register: data, each list with its source."""

import json
from functools import cache
from pathlib import Path

_LISTS = Path(__file__).resolve().parents[3] / "fixtures" / "cites.json"


@cache
def trade_codes() -> dict[str, dict[str, str]]:
    """Return the meaning of each code in the lists of purposes and of sources."""
    lists = json.loads(_LISTS.read_text(encoding="utf-8"))
    return {name: {row["code"]: row["meaning"] for row in lists[name]["codes"]} for name in ("purpose", "source")}


@cache
def code_sources() -> dict[str, str]:
    """Return where each list is printed."""
    lists = json.loads(_LISTS.read_text(encoding="utf-8"))
    return {name: lists[name]["source"] for name in ("purpose", "source")}
