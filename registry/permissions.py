"""Who may do what. Asked by the journal for every entry; pages ask it only to hide what would be refused."""

from dataclasses import dataclass, replace

from registry.errors import NotAllowed, Objection
from registry.models import Role

ENTER = "enter what was done in the hatchery"
IMPORT = "take in spreadsheets"
PLAN = "draft cross plans"
SIGN = "sign cross plans"
ACKNOWLEDGE = "acknowledge crosses made outside the plan"
RELEASE = "release fish"
CORRECT = "correct what is in the register"
END_QUARANTINE = "enter that the veterinarian ended a quarantine"
KEEP_PERMITS = "keep permits, and let an entry stand against one"
RELATE_FOUNDERS = "say how founders are related"
ADMINISTER = "keep accounts, catalogue and places"
READ_JOURNAL = "read the journal"

_HALL = frozenset({Role.STAFF, Role.MANAGER, Role.ADMINISTRATOR})
COVERED: dict[str, frozenset[str]] = {
    ENTER: _HALL | {Role.GENETICIST},
    IMPORT: _HALL,
    PLAN: frozenset({Role.GENETICIST}),
    SIGN: frozenset({Role.GENETICIST}),
    ACKNOWLEDGE: frozenset({Role.GENETICIST, Role.MANAGER}),
    RELEASE: frozenset({Role.MANAGER, Role.ADMINISTRATOR}),
    CORRECT: frozenset({Role.MANAGER, Role.ADMINISTRATOR}),
    END_QUARANTINE: frozenset({Role.MANAGER, Role.ADMINISTRATOR}),
    KEEP_PERMITS: frozenset({Role.MANAGER, Role.ADMINISTRATOR}),
    RELATE_FOUNDERS: frozenset({Role.GENETICIST, Role.ADMINISTRATOR}),
    ADMINISTER: frozenset({Role.ADMINISTRATOR}),
    READ_JOURNAL: frozenset({Role.AUDITOR, Role.MANAGER, Role.ADMINISTRATOR, Role.GENETICIST}),
}


@dataclass(frozen=True, slots=True)
class Actor:
    """Who acts, in which roles, through which face."""

    user_id: int | None
    name: str
    roles: frozenset[str]
    source: str

    def through(self, source: str) -> "Actor":
        """Return the same person acting through another face, such as one row of an import file."""
        return replace(self, source=source[:200])


def may(who: Actor, what: str) -> bool:
    """Return whether any of the person's roles covers `what`."""
    return bool(COVERED[what] & who.roles)


def require(who: Actor, what: str) -> None:
    """Raise NotAllowed, naming the roles that may, when the person's roles do not cover `what`."""
    if may(who, what):
        return
    roles = ", ".join(sorted(Role(role).label.lower() for role in COVERED[what]))
    held = ", ".join(sorted(Role(role).label.lower() for role in who.roles)) or "no role"
    raise NotAllowed(
        Objection("not_allowed", "", f"{who.name} ({held}) may not {what}. Ask someone with the role: {roles}.")
    )
