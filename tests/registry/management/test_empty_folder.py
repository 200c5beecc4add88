"""Commands on a data folder that holds no register say so, instead of failing."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]


@pytest.mark.parametrize("command", [["verify_journal"], ["trace", "F1"]], ids=["verify_journal", "trace"])
def test_an_empty_data_folder_is_told_in_words(command: list[str], tmp_path: Path) -> None:
    environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    told = subprocess.run(
        [sys.executable, "manage.py", *command],
        cwd=ROOT,
        env=environment | {"SCUTE_DATA": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert told.returncode == 1
    assert "This data folder holds no register yet. Run `manage.py demo` or `manage.py prepare` first." in told.stderr
