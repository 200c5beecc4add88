"""cross_plan: pedigree, candidates and limits in, the best crosses with their proof out, no database."""

import csv
import itertools
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from django.core.management import CommandError, call_command

from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree

ROOT = Path(__file__).parents[3]
# A, B and the male X are full sibs, C is their half sib by the dam, the male Y C's by the sire; Z is a founder.
PARENTS = {"A": "pq", "B": "pq", "C": "pr", "X": "pq", "Y": "sr"}
SEXES = {"p": "F", "s": "F", "A": "F", "B": "F", "C": "F", "q": "M", "r": "M", "X": "M", "Y": "M", "Z": "M"}
FEMALES, MALES = "ABC", "XYZ"

File = Callable[[str, str], Path]


@pytest.fixture
def file(tmp_path: Path) -> File:
    def write(name: str, text: str) -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


@pytest.fixture
def season(file: File, tmp_path: Path) -> dict:
    rows = "".join(f"{fish},{','.join(PARENTS.get(fish, '??'))},{sex}\n" for fish, sex in SEXES.items())
    return {
        "pedigree": file("stock.csv", "id,dam,sire,sex\n" + rows),
        "females": file("females.csv", "id,max_crosses\nA,\nB,\nC,\n"),
        "males": file("males.csv", "id,max_crosses\nX,\nY,2\nZ,\n"),
        "families": 4,
        "out": tmp_path / "plan",
    }


def run(season: dict, **changes: object) -> None:
    asked = season | changes
    call_command("cross_plan", str(asked.pop("pedigree")), **asked)


def summary(season: dict) -> dict:
    return json.loads((season["out"] / "summary.json").read_text(encoding="utf-8"))


def crosses(season: dict) -> list[tuple[str, str, float]]:
    with (season["out"] / "crosses.csv").open(newline="", encoding="utf-8") as opened:
        return [(row["dam"], row["sire"], float(row["kinship"])) for row in csv.DictReader(opened)]


def kinship() -> dict[tuple[str, str], float]:
    pedigree = build_pedigree([ParentRow(fish, *parents) for fish, parents in PARENTS.items()] + [ParentRow("Z")])
    names = list(FEMALES + MALES)
    among = kinship_among(pedigree, names)
    return {(a, b): float(among[i, j]) for i, a in enumerate(names) for j, b in enumerate(names)}


def worth(pairs: tuple, price: float = 0.0) -> float:
    """Return cᵀKc + G · mean kinship of the pairs, written out."""
    between, used = kinship(), [fish for pair in pairs for fish in pair]
    young = np.mean([between[a, b] for a in used for b in used])
    return float(young + price * np.mean([between[pair] for pair in pairs]))


def refused(season: dict, **changes: object) -> str:
    with pytest.raises(CommandError) as caught:
        run(season, **changes)
    assert caught.value.returncode == 1
    assert not (season["out"] / "crosses.csv").exists()
    return str(caught.value)


def test_the_folder_holds_the_crosses_and_their_figures(season: dict) -> None:
    run(season)
    told, made = summary(season), crosses(season)
    plans = [plan for plan in itertools.combinations(itertools.product(FEMALES, MALES), 4)
             if sum(sire == "Y" for _, sire in plan) <= 2]  # fmt: skip
    pairs = tuple((dam, sire) for dam, sire, _ in made)
    assert made == sorted(made)
    assert all(value == kinship()[dam, sire] for dam, sire, value in made)
    assert told["objective"] == told["group_coancestry"] == pytest.approx(worth(pairs), abs=1e-15)
    assert told["objective"] == pytest.approx(min(worth(plan) for plan in plans), abs=1e-12)  # every plan was tried
    assert told["lower_bound"] <= told["objective"]
    assert told["gap"] == 0
    assert told["proven_optimal"] is True
    assert told["mean_offspring_inbreeding"] == pytest.approx(np.mean([value for *_, value in made]))
    assert {"limit": "max_crosses", "id": "Y", "value": 2} in told["binding_limits"]
    assert told["seconds"] >= 0


def test_the_same_files_give_the_same_plan_whatever_their_order(season: dict, file: File) -> None:
    run(season)
    before = crosses(season)
    run(season, females=file("f.csv", "C\nA\nB\n"), males=file("m.csv", "max_crosses,id\n2,Y\n,Z\n,X\n"))
    assert crosses(season) == before


def test_a_kinship_equal_to_the_limit_is_allowed_and_told_as_met(season: dict) -> None:
    run(season, families=5, max_kinship=0.125)
    assert all(value <= 0.125 for *_, value in crosses(season))
    met = [one for one in summary(season)["binding_limits"] if one["limit"] == "max_kinship"]
    assert {one["id"] for one in met} == {f"{dam} × {sire}" for dam, sire, value in crosses(season) if value == 0.125}


def test_forbidden_pairs_and_uses_of_a_fish_are_kept(season: dict, file: File) -> None:
    forbid = file("forbid.csv", "dam,sire\nA,Z\nC,Y\n")
    run(season, families=4, forbid=forbid, max_per_dam=2, max_per_sire=2)
    pairs = [(dam, sire) for dam, sire, _ in crosses(season)]
    assert not {("A", "Z"), ("C", "Y")} & set(pairs)
    for fish in FEMALES + MALES:
        assert sum(fish in pair for pair in pairs) <= 2


def test_a_price_on_inbreeding_prefers_less_related_pairs(season: dict) -> None:
    run(season, inbreeding_price=1.0)
    pairs = tuple((dam, sire) for dam, sire, _ in crosses(season))
    assert summary(season)["objective"] == pytest.approx(worth(pairs, 1.0), abs=1e-15)
    assert summary(season)["mean_pair_kinship"] == pytest.approx(np.mean([kinship()[pair] for pair in pairs]))


def test_the_young_are_judged_beside_the_living(season: dict, file: File) -> None:
    run(season, with_living=file("living.txt", "A\nX\n"), weight_of_young=0.5)
    between, pairs = kinship(), [(dam, sire) for dam, sire, _ in crosses(season)]
    # A and X are full sibs: θ = ½ (½ + ¼).
    with_living = np.mean([(between[fish, "A"] + between[fish, "X"]) / 2 for pair in pairs for fish in pair])
    expected = 0.25 * 0.375 + 0.5 * with_living + 0.25 * worth(tuple(pairs))
    assert summary(season)["objective"] == pytest.approx(expected, abs=1e-15)


def test_inbreeding_of_tetraploid_young_is_that_of_their_ploidy(season: dict, file: File) -> None:
    # Full sibs of unrelated tetraploids without double reduction: F of their young is 1/12 (Hamilton and Kerr 2018).
    run(season, females=file("f.csv", "A\n"), males=file("m.csv", "X\n"), families=1, ploidy=4)
    assert summary(season)["mean_offspring_inbreeding"] == pytest.approx(1 / 12, abs=1e-15)


def test_uncertain_parents_count_by_their_chances(season: dict, file: File) -> None:
    rows = "id,dam,sire,probability\nA,p,q,0.7\nA,p,r,0.3\nX,s,q,\n"
    run(season, pedigree=file("u.csv", rows), females=file("f.csv", "A\n"), males=file("m.csv", "X\n"), families=1)
    assert crosses(season) == [("A", "X", pytest.approx(0.7 * 0.125))]


def test_no_plan_within_the_limits_is_told_with_the_fish_in_the_way(season: dict, capsys) -> None:
    run(season)  # an earlier plan must not stay beside the refusal
    capsys.readouterr()
    message = refused(season, families=5, max_per_sire=1)
    told = json.loads(capsys.readouterr().out)
    assert told["feasible"] is False
    assert {"limit": "max_per_sire", "fish": "X"} in told["blocking"]
    assert {one["fish"] for one in told["blocking"]} == set(MALES)
    assert summary(season) == told
    assert "No plan of 5 crosses lies within the limits; 3 can be made. In the way: max_per_sire." in message


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"females": "A\nQ9\n"}, "females.csv, row 2: Q9 is not in the pedigree. Check the spelling."),
        ({"females": "id\nA\nA\n"}, "row 3: A stands in row 2 already. Name each fish once."),
        ({"females": "A\nX\n"}, "X is recorded as male in stock.csv, row 9; this file lists females."),
        ({"females": "A,two\n"}, "max_crosses is “two”, which is not a number."),
        ({"females": "A,-1\n"}, "max_crosses is -1. It must be a whole number, not negative."),
        ({"females": "A,1,2\n"}, "row 1: has 3 cells. Give id,max_crosses, or a heading."),
        ({"females": ""}, "females.csv: is empty. Give one row each: id,max_crosses."),
        ({"forbid": "dam,sire\nA,Q9\n"}, "forbid.csv, row 2: Q9 is not in the pedigree."),
        ({"forbid": "X,A\n"}, "X × A names a male as dam or a female as sire. Turn them round."),
    ],
)
def test_a_file_that_cannot_be_right_is_refused_with_its_row(
    season: dict, file: File, changes: dict, sentence: str
) -> None:
    files = {name: file(f"{name}.csv", text) for name, text in changes.items()}
    assert sentence in refused(season, **files)


def test_a_fish_in_both_files_is_refused(season: dict, file: File) -> None:
    nobody_sexed = file("stock.csv", "id,dam,sire\nA,p,q\nX,p,q\n")
    females, males = file("females.csv", "A\n"), file("males.csv", "X\nA\n")
    message = refused(season, pedigree=nobody_sexed, females=females, males=males)
    assert message == "males.csv, row 2: A stands in females.csv, row 1, too. Remove one."


def test_a_fish_of_an_odd_number_of_gene_copies_is_refused(season: dict, file: File) -> None:
    rows = "id,dam,sire,dam_copies,sire_copies\nA,p,q,2,1\nX,s,r,1,1\n"
    message = refused(season, pedigree=file("p.csv", rows), females=file("f.csv", "A\n"), males=file("m.csv", "X\n"))
    assert "A has 3 gene copies; a fish of an odd number is not bred from." in message


def test_a_fish_used_as_the_other_sex_is_noted(season: dict, file: File) -> None:
    rows = "id,dam,sire\nA,p,q\n"
    run(season, pedigree=file("p.csv", rows), females=file("f.csv", "q\n"), males=file("m.csv", "A\n"), families=1)
    assert "Among the females, but sire of other fish in the pedigree: q. Check these fish." in summary(season)["notes"]


def test_refusals_are_printed_as_json_when_asked(season: dict, file: File, capsys) -> None:
    refused(season, females=file("females.csv", "Q9\n"), json=True)
    (reason,) = json.loads(capsys.readouterr().out)["refused"]
    assert reason == {"file": "females.csv", "row": 1, "message": "Q9 is not in the pedigree. Check the spelling."}


def test_the_summary_is_printed_as_json_without_a_folder(season: dict, capsys) -> None:
    run(season, out=None, json=True)
    assert json.loads(capsys.readouterr().out)["feasible"] is True


def test_a_person_reads_the_plan_in_words(season: dict, capsys) -> None:
    run(season)
    said = capsys.readouterr().out
    assert said.startswith("4 crosses of ")
    assert "No plan within these limits is better." in said


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        (["--with-living", "living.txt"], "Give --with-living and --weight-of-young together, or neither."),
        (["--weight-of-young", "0.5"], "Give --with-living and --weight-of-young together, or neither."),
        (["--weight-of-young", "0"], "the young would have no weight"),
        (["--families", "0"], "0 is too few; ask for 1 or more"),
        (["--inbreeding-price", "-1"], "-1 is no price; give a number from 0"),
        (["--max-kinship", "2"], "2 does not lie from 0 to 1"),
        (["--seconds", "0"], "0 is no time; give seconds above 0"),
        (["--forbid", "nowhere.csv"], "there is no file nowhere.csv"),
        (["--out", ""], ""),
    ],
)
def test_wrong_use_is_told_before_any_work(season: dict, file: File, more: list[str], sentence: str) -> None:
    living = file("living.txt", "A\n")
    more = [str(living) if one == "living.txt" else one for one in more]
    with pytest.raises(CommandError) as caught:
        call_command(
            "cross_plan", season["pedigree"], "--females", season["females"], "--males", season["males"],
            *([] if "--families" in more else ["--families", "2"]), *(more if sentence else []),
            *(["--json"] if sentence else []),
        )  # fmt: skip
    assert (sentence or "Say where to write with --out FOLDER, or ask for --json.") in str(caught.value)


def test_the_exit_code_tells_success_refusal_and_wrong_use(season: dict) -> None:
    command = [sys.executable, "manage.py", "cross_plan", str(season["pedigree"]), "--females", str(season["females"])]
    command += ["--males", str(season["males"]), "--json"]
    for more, code in ((["--families", "2"], 0), (["--families", "99"], 1), ([], 2)):
        ended = subprocess.run([*command, *more], cwd=ROOT, capture_output=True, text=True, check=False)
        assert ended.returncode == code, ended.stderr


def test_an_interrupt_ends_the_search_and_keeps_the_plan(season: dict, monkeypatch: pytest.MonkeyPatch) -> None:
    before = signal.getsignal(signal.SIGINT)
    monkeypatch.setattr("breeding.management.commands.cross_plan.best_plan", _interrupted)
    run(season, families=4)
    assert len(crosses(season)) == 4
    assert summary(season)["cut_short"] is True
    assert signal.getsignal(signal.SIGINT) is before


def _interrupted(problem, effort):
    from breeding.planning.plan import best_plan  # noqa: PLC0415  (the real one)

    os.kill(os.getpid(), signal.SIGINT)
    return best_plan(problem, effort)
