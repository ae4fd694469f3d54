"""Where templates, static files and migrations lie: beside the package in a checkout, in it once
installed from a wheel."""

from pathlib import Path

_HERE = Path(__file__).parent


def _place(name: str) -> Path:
    packed = _HERE / f"_{name}"
    return packed if packed.is_dir() else _HERE.parent / name


TEMPLATES = _place("templates")
STATIC = _place("static")
MIGRATIONS = _place("migrations")
