"""lineage_report: a pedigree file in, a folder out, no database."""

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

# 1 × 2 → 3, 4;  3 × 4 → 5;  1 × 5 → 6;  unknown × 5 → 7.  Worked by hand.
SMALL = "id,dam,sire,origin\n3,1,2,\n4,1,2,\n5,3,4,\n6,1,5,\n7,,5,\n1,,,wild\n2,,,captive\n"
ROOT = Path(__file__).parents[3]


@pytest.fixture
def file(tmp_path: Path):
    def write(text: str, name: str = "stock.csv") -> str:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "report"


def table(path: Path) -> dict[str, list[str]]:
    with path.open(newline="", encoding="utf-8") as opened:
        return {row[0]: row[1:] for row in csv.reader(opened)}


def summary(out: Path) -> dict:
    return json.loads((out / "summary.json").read_text(encoding="utf-8"))


def test_the_folder_holds_every_table(file, out):
    call_command("lineage_report", file(SMALL), out=out)
    assert sorted(path.name for path in out.iterdir()) == [
        "founders.csv",
        "inbreeding.csv",
        "kinship.csv",
        "mean_kinship.csv",
        "summary.json",
    ]
    inbreeding = table(out / "inbreeding.csv")
    assert inbreeding.pop("id") == ["inbreeding"]
    assert {fish: float(value) for fish, (value,) in inbreeding.items()} == {
        "3": 0, "4": 0, "5": 0.25, "6": 0.25, "7": 0, "1": 0, "2": 0
    }  # fmt: skip
    kinship = table(out / "kinship.csv")
    assert kinship[""] == ["3", "4", "5", "6", "7", "1", "2"]
    assert [float(value) for value in kinship["5"]] == [0.375, 0.375, 0.625, 0.4375, 0.3125, 0.25, 0.25]


def test_the_summary_tells_the_group_in_numbers(file, out):
    call_command("lineage_report", file(SMALL), out=out, living=Path(file("6\n7\n", "living.txt")))
    told = summary(out)
    assert told["fish"] == 7
    assert told["founders"] == 2
    assert told["living"] == 2
    # K(6,6) = 0.625, K(7,7) = 0.5, K(6,7) = 0.21875
    assert told["mean_kinship"] == (0.625 + 0.5 + 2 * 0.21875) / 4
    assert told["mean_kinship_without_self"] == 0.21875
    assert told["gene_diversity"] == 1 - told["mean_kinship"]
    assert told["founder_genome_equivalents"] == 1 / (2 * told["mean_kinship"])
    assert told["mean_inbreeding"] == 0.5 / 7
    assert told["mean_inbreeding_of_living"] == 0.125
    # Fish 6 is ¾ of 1 and ¼ of 2; fish 7 a quarter each, half unknown.
    assert told["founder_equivalents"] == 1 / (0.5**2 + 0.25**2 + 0.25**2)
    assert told["wild_origin"] == {"low": 0.5, "high": 0.75}
    assert told["drops"] == 10_000
    assert told["seed"] == 1
    assert told["largest_standard_error"] == 0
    founders = table(out / "founders.csv")
    assert founders["id"] == ["contribution", "retention"]
    assert {fish: float(row[0]) for fish, row in founders.items() if fish != "id"} == {
        "1": 0.5, "2": 0.25, "unknown-dam:7": 0.25
    }  # fmt: skip
    assert float(founders["unknown-dam:7"][1]) == 0.5
    assert {fish: float(row[0]) for fish, row in table(out / "mean_kinship.csv").items() if fish != "id"} == {
        "6": (0.625 + 0.21875) / 2, "7": (0.5 + 0.21875) / 2
    }  # fmt: skip


def test_the_summary_is_printed_as_json(file, capsys):
    call_command("lineage_report", file(SMALL), "--json")
    told = json.loads(capsys.readouterr().out)
    assert told["fish"] == 7
    assert told["effective_ancestors"] > 1


def test_pooled_milt_and_one_unknown_male_are_told_apart(file, out):
    rows = "".join(f"{x},d,{sire},{p},{{draw}}\n" for x in "xy" for sire, p in (("a", 0.7), ("b", 0.3)))
    for draw, expected in (("", 0.1975), ("night 3", 0.25)):
        call_command("lineage_report", file("id,dam,sire,probability,draw\n" + rows.format(draw=draw)), out=out)
        assert float(table(out / "kinship.csv")["x"][1]) == pytest.approx(expected, abs=1e-15)
        assert summary(out)["effective_ancestors"] is None


def test_polysomic_inheritance_is_an_option(file, out):
    call_command("lineage_report", file(SMALL), out=out, ploidy=4, double_reduction=0.1)
    assert float(table(out / "inbreeding.csv")["5"][0]) == pytest.approx(1 / 7)
    assert summary(out)["founder_genome_equivalents"] == pytest.approx(1 / (4 * summary(out)["mean_kinship"]))


def test_founders_may_be_related(file, out):
    related = Path(file("a,b,kinship\n1,2,0.125\n", "founders.csv"))
    call_command("lineage_report", file(SMALL), out=out, founder_kinship=related)
    assert float(table(out / "inbreeding.csv")["3"][0]) == 0.125
    assert summary(out)["largest_change_of_founder_kinship"] == 0


def test_founder_kinships_that_no_population_can_have_are_mended_and_it_is_said_by_how_much(file, out):
    """1 and 3 unrelated, both 0.4 with 2: the smallest eigenvalue, 0.5 - 0.4√2, is below zero (by hand)."""
    related = Path(file("a,b,kinship\n1,2,0.4\n2,3,0.4\n", "founders.csv"))
    call_command("lineage_report", file("id,dam,sire\n1,,\n2,,\n3,,\n4,1,2\n"), out=out, founder_kinship=related)
    change = summary(out)["largest_change_of_founder_kinship"]
    assert 0.01 < change < 0.1
    assert float(table(out / "inbreeding.csv")["4"][0]) == pytest.approx(0.4, abs=change + 1e-12)
    assert any(f"changed by {change:.4f}" in note for note in summary(out)["notes"])


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("id,dam,sire\nx,d,s\ny,d,d\n", "row 3: names d as dam and sire of y. Correct the row, or leave out"),
        ("id,dam,sire,dam_copies,sire_copies\nx,d,,2,0\n", "row 2: gives x all gene copies from one parent"),
    ],
)
def test_selfing_and_clones_are_refused_where_that_is_set(file, out, text, sentence):
    call_command("lineage_report", file(text), out=out)
    with pytest.raises(CommandError, match=sentence):
        call_command("lineage_report", file(text), out=out, two_parents=True)


def test_a_parent_without_a_row_is_reported_as_a_founder(file, out):
    call_command("lineage_report", file("id,dam,sire\nx,d,s\n"), out=out)
    assert summary(out)["only_as_parents"] == ["d", "s"]
    assert summary(out)["founders"] == 2
    assert "d" in table(out / "inbreeding.csv")


def test_a_large_kinship_square_is_left_out_and_said_so(file, out):
    call_command("lineage_report", file(SMALL), out=out)
    many = "id,dam,sire\n" + "".join(f"x{n},d,s\n" for n in range(2_001))
    call_command("lineage_report", file(many), out=out, drops=2)
    assert not (out / "kinship.csv").exists(), "that of the earlier run contradicts this summary"
    assert any("kinship.csv is left out" in note for note in summary(out)["notes"])
    call_command("lineage_report", file(many), out=out, drops=2, kinship_of=Path(file("x1\nd\n", "some.txt")))
    assert list(table(out / "kinship.csv")) == ["", "x1", "d"]


def test_a_square_that_cannot_fit_is_refused_before_it_is_begun(file, out, monkeypatch):
    monkeypatch.setattr("breeding.genetics.csv_files.lineage.BYTES_A_NUMBER", 2**60)
    with pytest.raises(CommandError, match=r"Kinship of 7 fish would take about .* Name fewer fish") as refusal:
        call_command("lineage_report", file(SMALL), out=out)
    assert refusal.value.returncode == 1
    assert list(out.iterdir()) == []


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("id,dam,sire\na,b,\nb,a,\nc,,\n", r"row 2: A fish is its own ancestor: .*b in row 3; a in row 2"),
        ("id,dam,sire\na,a,\n", r"row 2: A fish is its own ancestor: a → a"),
        ("id,dam,sire\nx,d,s\ny,,\nx,d,t\n", r"row 2: .*of x add up to 2, more than 1.*x in rows 2, 4"),
        ("id,dam,sire,dam_copies\nx,d,s,3\n", r"row 2: Dam d is said to give 3 gene copies to x, more than it has"),
        ("id,dam,sire\nx,d\n", r"row 2: has 2 cells"),
    ],
)
def test_bad_data_are_refused_with_their_rows_and_nothing_is_written(file, out, text, sentence):
    with pytest.raises(CommandError, match=sentence) as refusal:
        call_command("lineage_report", file(text), out=out)
    assert refusal.value.returncode == 1
    assert not out.exists()


@pytest.mark.parametrize(
    ("option", "text", "sentence"),
    [
        ("living", "6\n9\n", r"living, row 2: 9 is not in the pedigree"),
        ("living", "6\n7\n6\n", r"living, row 3: 6 stands in row 1 already"),
        ("living", "\n\n", r"living: names no fish"),
        ("kinship_of", "6,7\n", r"kinship_of, row 1: has 2 cells. Give one id a line"),
        ("founder_kinship", "a,b,kinship\n1,3,0.1\n", r"row 2: 3 has a known parent, so it is no founder"),
        ("founder_kinship", "a,b,kinship\n1,9,0.1\n", r"row 2: 9 is not in the pedigree"),
        ("founder_kinship", "a,b,kinship\n1,2,x\n", r"row 2: kinship is “x”, which is not a number"),
        ("founder_kinship", "a,b,kinship\n1,2,0.1\n2,1,0.2\n", r"row 3: kinship of 2 and 1 is 0.2, but 0.1 in row 2"),
        ("founder_kinship", "a,b,kinship\n1,2,0.6\n", r"row 2: Kinship of 1 with 2 is 0.6. It must lie from 0 to 0.5"),
        ("founder_kinship", "a,b,kinship\n1,1,0.4\n", r"Kinship of 1 with itself is 0.4. It must lie from 0.5"),
    ],
)
def test_bad_lists_are_refused_with_their_rows(file, out, option, text, sentence):
    with pytest.raises(CommandError, match=sentence) as refusal:
        call_command("lineage_report", file(SMALL), out=out, **{option: Path(file(text, option))})
    assert refusal.value.returncode == 1


def test_reasons_are_printed_as_json_too(file, capsys):
    with pytest.raises(CommandError, match="row 2"):
        call_command("lineage_report", file("id,dam,sire\nx,d\n"), "--json")
    (reason,) = json.loads(capsys.readouterr().out)["refused"]
    assert reason["row"] == 2
    assert reason["message"].startswith("has 2 cells")


def test_selfing_is_computed_and_pointed_out(file, out):
    call_command("lineage_report", file("id,dam,sire\nx,d,d\n"), out=out)
    assert float(table(out / "inbreeding.csv")["x"][0]) == 0.5
    assert any("d is dam and sire of the same fish" in note for note in summary(out)["notes"])


def test_the_same_seed_writes_the_same_files(file, tmp_path):
    rows = "".join(f"x{n},d,s{n % 3}\n" for n in range(6)) + "".join(f"y{n},x{n % 6},s{n % 2}\n" for n in range(30))
    path = file("id,dam,sire\n" + rows)
    for folder in ("one", "two"):
        call_command("lineage_report", path, out=tmp_path / folder, seed=5, drops=500)
    for name in ("founders.csv", "summary.json", "kinship.csv"):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()


def test_a_fish_that_is_dam_here_and_sire_there_is_pointed_out(file, out):
    call_command("lineage_report", file("id,dam,sire\nx,d,s\ny,s,t\n"), out=out)
    assert summary(out)["notes"] == ["Dam of some fish and sire of others: s. Check these rows."]


def test_a_single_founder_is_a_report_too(file, out):
    call_command("lineage_report", file("id,dam,sire\nx,,\n"), out=out)
    told = summary(out)
    assert (told["mean_kinship"], told["mean_kinship_without_self"], told["effective_ancestors"]) == (0.5, None, 1)
    assert table(out / "founders.csv")["x"] == ["1.0", "1.0"]


def test_an_output_folder_that_is_a_file_is_wrong_use(file):
    with pytest.raises(CommandError, match=r"Cannot use .*living: File exists") as refusal:
        call_command("lineage_report", file(SMALL), out=Path(file("", "living")))
    assert refusal.value.returncode == 2


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["absent.csv", "--json"], "there is no file absent.csv"),
        (["{stock}"], "Say where to write with --out FOLDER"),
        (["{stock}", "--json", "--ploidy", "3"], "invalid choice: 3"),
        (["{stock}", "--json", "--double-reduction", "2"], "2 does not lie from 0 to 1"),
        (["{stock}", "--json", "--drops", "1"], "1 drops are too few"),
        (["{stock}", "--json", "--seed", "-1"], "-1 is negative"),
    ],
)
def test_wrong_use_is_told_apart_from_bad_data(file, arguments, sentence):
    with pytest.raises(CommandError, match=sentence):
        call_command("lineage_report", *(word.format(stock=file(SMALL)) for word in arguments))


@pytest.mark.parametrize(
    ("text", "arguments", "code"),
    [(SMALL, ["--json"], 0), ("id,dam,sire\na,a,\n", ["--json"], 1), (SMALL, ["--drops", "x"], 2), (SMALL, [], 2)],
)
def test_exit_codes_from_the_shell(file, text, arguments, code):
    command = [sys.executable, "manage.py", "lineage_report", file(text), *arguments]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, check=False)
    assert done.returncode == code, done.stderr.decode()
