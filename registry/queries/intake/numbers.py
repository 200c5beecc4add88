"""Register numbers for fish that come from outside: W26-01, W26-02 …"""

from registry.models import Fish


def free_number(year: int) -> str:
    """Return the next free number of a year's fish from outside; a gap is not filled, its number may be on paper."""
    stem = f"W{year % 100:02}-"
    used = Fish.objects.filter(number__startswith=stem).values_list("number", flat=True)
    taken = [int(number.removeprefix(stem)) for number in used if number.removeprefix(stem).isdecimal()]
    return f"{stem}{max(taken, default=0) + 1:02}"
