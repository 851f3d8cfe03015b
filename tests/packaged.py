"""The program as others get it: ``python -m tests.packaged [PYTHON ...] [--lowest]``.

A wheel and a source archive are built, each is installed into an environment of its own for every
Python named (this one unless said), and the program is run there, in an empty folder with no
checkout in reach. With ``--lowest`` every library has the lowest version that pyproject.toml
allows, and some of the tests run too. Needs the network; no part of pytest.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tarfile
import tomllib
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

ROOT: Final = Path(__file__).parents[1]
HALL: Final = "6 uF -- (9 uF || 5 uF), across 15 V"
RUNS: Final = (  # what is run, what is typed, and what must be told
    (("--version",), "", "platewalk 0"),
    (("explain", HALL), "", "C = 4.2 µF"),
    (("explain", "2C -- (C || C/2), across V", "--brief"), "", "C"),
    (("walk", HALL, "--plain"), "C2 C3\nstop\n", "those two can become one"),
    (("lessons",), "", "32  "),
    (("picture", HALL, "--out", "net.svg"), "", ""),
    (("sheet", "lesson", "10", "--out", "sheet.pdf"), "", ""),
    (("completion", "bash"), "", "platewalk"),
    (("arrange", "5 uF from 2 uF, 3 uF, 6 uF"), "", "exactly"),
)
TESTED: Final = (
    "tests/grammar", "tests/circuit/test_published.py", "tests/front/test_terminal.py",
    "tests/desk/test_pictures.py", "tests/desk/test_page.py", "tests/practice/test_lesson_own.py",
)


def built(folder: Path) -> tuple[Path, Path]:
    """A wheel and a source archive, made in an environment of their own."""
    python = environment(folder / "builder", sys.executable)
    run([python, "-m", "pip", "install", "-q", "build"], folder)
    run([python, "-m", "build", "-q", "--outdir", str(folder / "dist"), str(ROOT)], folder)
    (wheel,), (archive,) = (
        list((folder / "dist").glob(ending)) for ending in ("*.whl", "*.tar.gz")
    )
    return wheel, archive


def environment(folder: Path, python: str) -> str:
    """A new environment; its Python."""
    run([python, "-m", "venv", str(folder)], folder.parent)
    return str(folder / ("Scripts" if os.name == "nt" else "bin") / "python")


def faults(python: str, folder: Path) -> Iterator[str]:
    """Run the program by its two names in an empty folder, and tell what is otherwise."""
    folder.mkdir()
    program = str(Path(python).with_name("platewalk"))
    for begin in ([program], [python, "-m", "tutor"]):
        for arguments, typed, told in RUNS:
            done = run([*begin, *arguments], folder, typed, check=False)
            if done.returncode or told not in done.stdout or done.stderr:
                yield f"{' '.join(arguments)}: {done.returncode} {done.stderr or done.stdout}"[:300]


def lowest() -> list[str]:
    """Every library at its lowest version."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [re.sub(r">=([0-9.]+).*", r"==\1", each) for each in project["dependencies"]]


def tests_fail(python: str, archive: Path, folder: Path) -> Iterator[str]:
    """Run some of the tests of the archive against what is installed."""
    with tarfile.open(archive) as source:
        source.extractall(folder, filter="data")
    (inside,) = folder.iterdir()
    run([python, "-m", "pip", "install", "-q", "pytest", "pytest-xdist", "hypothesis", "httpx",
         "interegular", "pint"], folder)
    # An old library warns of new Pythons and of what has become of its own libraries.
    quiet = ("-o", "filterwarnings=")
    done = run([python, "-m", "pytest", "-q", "-n0", *quiet, *TESTED], inside, check=False)
    print(f"    {done.stdout.strip().splitlines()[-1]}")
    if done.returncode:
        yield done.stdout[-2000:]


def run(
    command: list[str], folder: Path, typed: str = "", check: bool = True
) -> subprocess.CompletedProcess[str]:
    env = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    return subprocess.run(
        command, cwd=folder, input=typed, capture_output=True, text=True, check=check,
        encoding="utf-8", env={**env, "PYTHONUTF8": "1", "XDG_CONFIG_HOME": str(folder),
                               "XDG_DATA_HOME": str(folder)},
    )  # fmt: skip


def main() -> int:
    """Build, install and run all; 1 if anything was otherwise than it must be."""
    wants_lowest = "--lowest" in sys.argv
    pythons = [each for each in sys.argv[1:] if each != "--lowest"] or [sys.executable]
    found: list[str] = []
    with TemporaryDirectory() as name:
        folder = Path(name)
        files = built(folder)
        for number, python in enumerate(pythons):
            for file in files[:1] if wants_lowest else files:
                place = folder / f"{number} {file.suffix[1:]}"
                own = environment(place, python)
                pinned = lowest() if wants_lowest else []
                run([own, "-m", "pip", "install", "-q", str(file), *pinned], folder)
                wrong = list(faults(own, place / "empty"))
                if wants_lowest:
                    wrong += tests_fail(own, files[1], place / "tests")
                version = run([own, "--version"], folder).stdout.strip()
                print(f"{version}, {file.name}: {len(wrong)} faults", flush=True)
                found += wrong
    print("\n".join(found))
    return int(bool(found))


if __name__ == "__main__":
    sys.exit(main())
