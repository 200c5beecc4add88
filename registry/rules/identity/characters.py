"""The characters by which sturgeons are told apart, in the order in which a hand goes over the fish.

What a character is and how it is looked at stands here, beside its drawings; what each species shows is data of the
catalogue, each value with its source.
"""

from dataclasses import dataclass

LEFT, RIGHT = "left", "right"


@dataclass(frozen=True, slots=True)
class State:
    """One look that a character can have."""

    key: str
    words: str


@dataclass(frozen=True, slots=True)
class Character:
    """Something to look at: with `states` a look to choose, without them a number.

    `edge` is how far a careful observer may be out by: one scute or ray (common practice, no source); a share of the
    head is less exact. What is `costly` is looked at last: it is hard on a living fish.
    """

    key: str
    name: str
    how: str
    states: tuple[State, ...] = ()
    unit: str = ""
    both_sides: bool = False
    edge: float = 1.0
    most: int = 100
    costly: bool = False

    def words(self, state: str) -> str:
        """Return what a state is called; a state that is no longer offered keeps its key."""
        return next((one.words for one in self.states if one.key == state), state.replace("_", " "))


def _looks(**states: str) -> tuple[State, ...]:
    return tuple(State(key, words) for key, words in states.items())


ONE_OPENING, PARTLY_FRINGED, PARTLY_CUT = "one", "partly_fringed", "partly"

CHARACTERS: tuple[Character, ...] = (
    Character(
        "mouth", "Mouth", "Turn the fish belly up. Look at the closed mouth from below.",
        _looks(small="small, straight across", crescent="very large, a crescent to the edges of the head"),
    ),
    Character(
        "gill_membranes", "Gill membranes", "From below, behind the mouth: where the two gill membranes end.",
        _looks(
            isthmus="grown to the isthmus between the gills",
            free="joined to each other, a free fold across the isthmus",
        ),
    ),
    Character(
        "lower_lip", "Lower lip", "From below: is the lower lip one band, or cut in the middle?",
        _looks(cut="interrupted in the middle", whole="continuous", partly="cut in part, or unlike on the two sides"),
    ),
    Character(
        "barbel_form", "Barbels, form", "Feel along a barbel and hold it against the light.",
        _looks(
            smooth="smooth and round", fringed="fringed", leaf="flattened, like a leaf",
            partly_fringed="fringed in part, or hardly",
        ),
    ),
    Character(
        "barbel_place", "Barbels, place", "The row of barbels, between the tip of the snout and the mouth.",
        _looks(nearer_tip="nearer the tip of the snout", halfway="half-way", nearer_mouth="nearer the mouth"),
    ),
    Character(
        "nostrils", "Nostrils", "On each side of the snout, before the eye: how many openings?",
        _looks(two="two openings on each side, a bridge of skin between them", one="a single opening on a side"),
    ),
    Character(
        "snout_percent", "Snout, share of the head",
        "Tip of the snout to the front of the eye, as a share of the head (tip to the hind edge of the gill cover). "
        "It drifts with wear: trust counts, lip and barbels more (Debus 1999).",
        unit="%", edge=3.0,
    ),
    Character(
        "first_scute", "First dorsal scute", "The first plate behind the head, beside those that follow.",
        _looks(
            plain="free of the head, much like those behind it", smallest="the smallest of the row",
            joined="the largest, joined to the head at a blunt angle",
        ),
    ),
    Character(
        "dorsal_scutes", "Dorsal scutes",
        "Count from behind the head to the dorsal fin; plates behind the fin are not counted.", most=60,
    ),
    Character(
        "lateral_scutes", "Lateral scutes",
        "The whole row to the base of the tail, each side by itself; a damaged scute counts.",
        both_sides=True, most=150,
    ),
    Character("ventral_scutes", "Ventral scutes", "The row low on the belly, each side by itself.", both_sides=True,
              most=60),
    Character(
        "scute_colour", "Lateral scutes, colour", "Against the skin beside them, in daylight, wet.",
        _looks(lighter="lighter than the body", body="of the body's colour"),
    ),
    Character(
        "skin", "Skin between the rows", "Between the dorsal and the lateral row; feel with a wet finger.",
        _looks(
            bare="no plates to be felt", grains="many small plates or grains", stars="star-shaped plates, sizes mixed",
            rhombs="dense cross rows of rhombic plates",
        ),
    ),
    Character(
        "fin_seams", "Fin seams", "The outer edge of the pectoral, pelvic and anal fins.",
        _looks(white="a white seam", none="no white seam"),
    ),
    Character("dorsal_rays", "Dorsal fin rays", "All rays of the dorsal fin.", most=120),
    Character("anal_rays", "Anal fin rays", "All rays of the anal fin.", most=80),
    Character("gill_rakers", "Gill rakers", "First arch; only on a dead fish or by a practised hand.", costly=True),
    Character(
        "raker_form", "Gill rakers, form", "First arch, with a lens.",
        _looks(rod="like rods", single="one tip", fan="like fans, several knobs", lance="like lances"), costly=True,
    ),
)  # fmt: skip

BY_KEY: dict[str, Character] = {one.key: one for one in CHARACTERS}

# Signs of aquaculture beside the single nostril opening (common practice, no source). Each is a flag, no proof.
FARM_SIGNS: dict[str, str] = {
    "fins": "fins worn, short or eroded",
    "snout": "snout scraped or shortened",
    "scutes": "scutes deformed or missing",
    "spine": "spine bent",
    "pale": "albino, or strangely pale",
    "fat": "body too fat",
}
