"""Problems that cannot be are refused when they are stated."""

import numpy as np
import pytest

from breeding.planning.problem import NO_LIMIT, LivingShare, Problem

KINSHIP = np.eye(4) / 2
TWO = {"dams": ("D1", "D2"), "sires": ("S1", "S2"), "kinship": KINSHIP, "crosses": 2}


def asked(**changes: object) -> Problem:
    return Problem(**(TWO | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"dams": ()}, "There are 0 dams and 2 sires; a cross needs one of each"),
        ({"dams": ("D2", "D1")}, "The dams must be sorted and named once each"),
        ({"sires": ("D1", "S2")}, "Fish D1 stands among the dams and among the sires"),
        ({"crosses": 0}, "A plan of 0 crosses is none"),
        ({"fixed": ((0, 0), (0, 0))}, "2 crosses are fixed where 2 are wanted; each pair can be made once"),
        ({"price": -1.0}, "The price of inbreeding is -1.0; give 0 or more"),
        ({"living": LivingShare(0.1, np.zeros(4), 0.0)}, "The weight of the young is 0.0; it must be above 0"),
        ({"kinship": np.eye(3)}, r"The kinship has shape \(3, 3\); \(4, 4\) was expected"),
        ({"most": {"milt": np.ones(3)}}, r"The limit milt has shape \(3,\); \(4,\) was expected"),
        ({"ruled_out": {"forbid": np.ones((4, 4))}}, r"The limit forbid has shape"),
        ({"kinship": np.triu(np.ones((4, 4)))}, "must be finite and symmetric"),
    ],
)
def test_a_question_that_makes_no_sense_is_refused(changes: dict, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        asked(**changes)


def test_what_is_made_already_is_taken_off_the_limits() -> None:
    problem = asked(fixed=((0, 1),), most={"eggs": np.array([2, NO_LIMIT, 1, 1])}, least=np.array([1, 1, 0, 0]))
    assert problem.free == 1
    assert problem.capacity.tolist() == [1, NO_LIMIT, 1, 0]
    assert problem.room.tolist() == [1, 1, 1, 0]
    assert problem.needed.tolist() == [0, 1, 0, 0]
    assert not problem.allowed[0, 1]
