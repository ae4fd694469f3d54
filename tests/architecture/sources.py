"""The files that the house rules look at, and what is found in them."""

import subprocess
from collections.abc import Callable, Collection
from pathlib import Path

ROOT = Path(__file__).parents[2]
SERVER = ROOT / "server"


def python(folder: Path = SERVER) -> list[Path]:
    """Every module under `folder`."""
    return sorted(folder.rglob("*.py"))


def offenders(
    look: Callable[[str], list[int]], allowed: Collection[Path], among: list[Path] | None = None
) -> dict[str, list[int]]:
    """By file: the lines that `look` finds in it, those of the allowed files left out."""
    paths = python() if among is None else among
    assert len(paths) > len(allowed), "there is nothing to look at"
    found = {name(path): look(path.read_text("utf-8")) for path in paths if path not in allowed}
    return {file: lines for file, lines in found.items() if lines}


def name(path: Path) -> str:
    """A file as seen from the top, for test names."""
    return str(path.relative_to(ROOT))


def tracked() -> list[Path]:
    """Every file that is committed, pictures and other binary files left out."""
    line = ["git", "-c", "safe.directory=*", "-C", str(ROOT), "ls-files", "-z"]
    listed = subprocess.run(line, check=True, capture_output=True, text=True).stdout.split("\0")
    found = [ROOT / one for one in listed if one]
    return [path for path in found if path.is_file() and b"\0" not in path.read_bytes()]
