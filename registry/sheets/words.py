"""Words of the trade, in the spellings met: sex, stage, origin, why a tag ended, what happened to a batch."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from registry.rules.reading import Reading, refusal, shown, warning
from registry.sheets.cells import Cell
from registry.sheets.values import opened, plain_text

# The words are common practice, no source.
_SEXES = {
    "F": "f female females fem ♀ hembra femelle weiblich weibchen samica rogner fem.",
    "M": "m male males ♂ macho mâle männlich maennlich männchen samiec milchner milter",
    "U": "u ? ?? - – unknown unk unk. undetermined undet indet indet. unsexed immature juvenile juv na n/a none nd",
}
_ORIGINS = {
    "wild": "wild|wild caught|wild-caught|caught|river|wild fish|captured|w",
    "hatchery": "hatchery|own|hatchery born|hatchery-born|hatchery bred|own breeding|own young|bred here|born here|h",
    "captive": "captive|captive bred|captive-bred|bought|farm|farmed|aquaculture|other hatchery|zoo|c",
    "unknown": "unknown|unk|unk.|?|-|–|not known|na|n/a|u",
}
_TAG_ENDS = {
    "lost": "lost|tag lost|shed|fell out|expelled|dropped|missing|not found",
    "dead tag": "dead tag|dead|not reading|unreadable|not readable|does not read|no signal|broken|faulty|failed|defect",
    "replaced": "replaced|exchanged|changed|retagged|re-tagged|new tag",
    "removed": "removed|taken out|cut out|tag removed",
    "fish died": "fish died|fish dead|died|death|fish death|mortality",
    "released": "released|fish released",
}
_EVENTS = {
    "open": "open|opened|start|started|begin|new|new batch|set up|stocked|hatch|hatched",
    "loss": "loss|losses|lost|dead|deaths|died|mortality|mortalities|morts|culled|removed",
    "census": "count|counted|census|recount|inventory|estimate|estimated|stock count|weighed and counted",
    "split": "split|split from|divided|divided from|taken from|graded from|part of",
    "merge": "merge|merged|merged in|merged into|merged with|merge in|joined|joined with|added from|mixed in",
    "move": "move|moved|moved to|transfer|transferred|to unit|relocated",
    "sample": "sample|sampled|samples|taken for sampling",
}
STAGES = ("I", "II", "III", "IV", "V", "VI")
_SEX_AND_STAGE = re.compile(r"(.*?)[\s,;/\-]*(?:(?:stage|st\.?)\s*)?(\b[IVX]+|\d+)?", re.IGNORECASE)


def _by_word(words: Mapping[str, str], between: str | None) -> dict[str, str]:
    return {word: key for key, listed in words.items() for word in listed.split(between)}


_SEX_OF = _by_word(_SEXES, None)
_ORIGIN_OF = _by_word(_ORIGINS, "|")
_TAG_END_OF = _by_word(_TAG_ENDS, "|")
_EVENT_OF = _by_word(_EVENTS, "|")


@dataclass(frozen=True, slots=True)
class SexAndStage:
    """Sex `F`, `M` or `U` and maturity stage `I` to `VI`, or None where none was noted."""

    sex: str
    stage: str | None


def read_sex(cell: Cell) -> Reading[str]:
    """Return `F`, `M`, or `U` for unknown and blank. Refuses `bad_sex`; warns of `sex_w`."""
    found = opened(cell)
    return found if found.refused else _sex("" if found.value is None else plain_text(found.value), cell)


def _sex(word: str, cell: Cell) -> Reading[str]:
    word = word.casefold()
    if word == "w":
        message = f"{shown(cell)} is read as female. Write F, so that nobody takes it for wild."
        return Reading("F", (warning("sex_w", message, cell),))
    if word and word not in _SEX_OF:
        return refusal("bad_sex", f"{shown(cell)} is not a sex. Write F, M, or ? where it is not known.", cell)
    return Reading(_SEX_OF.get(word, "U"))


def read_sex_and_stage(cell: Cell) -> Reading[SexAndStage]:
    """Return sex and maturity stage of a cell like `F IV`; warns of `stage_arabic` and `sex_w`, refuses `bad_sex`."""
    found = opened(cell)
    if found.refused:
        return found
    parts = _SEX_AND_STAGE.fullmatch("" if found.value is None else plain_text(found.value))
    if parts is None:
        return _sex(plain_text(found.value), cell)
    sex, stage = _sex(parts[1], cell), _stage(parts[2], cell)
    objections = (*sex.objections, *stage.objections)
    if sex.refused or stage.refused:
        return Reading(None, objections)
    return Reading(SexAndStage(sex.value or "U", stage.value), objections)


def read_stage(cell: Cell) -> Reading[str | None]:
    """Return a maturity stage `I` to `VI`, or None for a blank cell; warns of `stage_arabic`, refuses `bad_code`."""
    found = opened(cell)
    return found if found.value is None else _stage(plain_text(found.value), cell)


def _stage(word: str | None, cell: Cell) -> Reading[str | None]:
    if word is None:
        return Reading(None)
    if word.upper() in STAGES:
        return Reading(word.upper())
    if word.isdecimal() and 1 <= int(word) <= len(STAGES):
        stage = STAGES[int(word) - 1]
        message = f"Stage {word} in {shown(cell)} is read as {stage}. Stages are written in Roman figures."
        return Reading(stage, (warning("stage_arabic", message, cell),))
    return refusal("bad_code", f"{shown(cell)} has no maturity stage from I to VI. Check the stage.", cell)


def _read_word(cell: Cell, words: Mapping[str, str], what: str) -> Reading[Any]:
    found = opened(cell)
    if found.value is None:
        return found
    word = plain_text(found.value).casefold().rstrip(":.!")
    if word in words:
        return Reading(words[word])
    choice = ", ".join(dict.fromkeys(words.values()))
    return refusal("bad_code", f"{shown(cell)} is not {what} that the register knows. Write one of: {choice}.", cell)


def read_origin(cell: Cell) -> Reading[str | None]:
    """Return `wild`, `hatchery`, `captive` or `unknown`, or None for a blank cell. Refuses `bad_code`."""
    return _read_word(cell, _ORIGIN_OF, "an origin")


def read_tag_end(cell: Cell) -> Reading[str | None]:
    """Return why a tag ended (`lost`, `dead tag`, `replaced` …), or None for a blank cell. Refuses `bad_code`."""
    return _read_word(cell, _TAG_END_OF, "a reason for a tag's end")


def read_batch_event(cell: Cell) -> Reading[str | None]:
    """Return `open`, `loss`, `census`, `split`, `merge`, `move` or `sample`, or None when blank. Refuses `bad_code`."""
    return _read_word(cell, _EVENT_OF, "something that happens to a batch")
