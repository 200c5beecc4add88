"""Time zones by the names that records keep: UTC+03:00, UTC, or a place of the tz database."""

from datetime import UTC, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

OFFSETS = tuple(f"UTC{hours:+03}:00" for hours in range(-12, 15) if hours)


def zone_of(name: str) -> tzinfo:
    """Return the zone of a name; UTC for one that this machine's tz database does not hold (any more)."""
    if name in OFFSETS:
        return timezone(timedelta(hours=int(name[3:6])), name)
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return UTC
