"""Whether a fish can have been in hand on a day."""

from datetime import date

from registry.errors import Objection
from registry.rules.days import Day, spoken, surely_before
from registry.rules.known import Known


def objections_to_being_in_hand(
    number: str, field: str, day: date | None, known: Known, dead_too: bool = False
) -> list[Objection]:
    """Return why the fish was not in hand that day; `dead_too` where a carcass serves as well. None: day not known."""
    fish = known.find_fish(number)
    if fish is None:
        return [Objection("unknown_fish", "fish", f"There is no fish {number} in the register.", number)]
    if day is None:
        return []
    found = []
    if day > known.today:
        found.append(Objection("future_date", field, f"{spoken(day)} lies in the future. Correct the day.", str(day)))
    if fish.came and day < fish.came.first:
        text = f"Fish {fish.number} came {fish.came}, after {spoken(day)}. Correct the day."
        found.append(Objection("before_start", field, text, str(day)))
    gone = fish.left_on and surely_before(fish.left_on, Day(day))
    if gone and not (dead_too and fish.left == "died"):
        text = f"Fish {fish.number} {fish.left} {fish.left_on}, before {spoken(day)}. Correct the day."
        found.append(Objection("after_end", field, text, str(day)))
    return found
