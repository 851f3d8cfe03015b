"""The style of the tree is checked by the same command as everything else."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize("checker", [["ruff", "check", "."], ["mypy", "--strict"]])
def test_checker_finds_nothing(checker: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-m", *checker], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
