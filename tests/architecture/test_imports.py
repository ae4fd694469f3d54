"""Arrows between rooms run downwards; the rules themselves are in pyproject.toml."""

import subprocess
import sys
import tomllib
from pathlib import Path

from tests.architecture.sources import ROOT, SERVER

CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]
RUN = "import sys; from importlinter.cli import lint_imports_command; lint_imports_command()"


def linted(folder: Path, config: Path) -> subprocess.CompletedProcess[str]:
    line = [sys.executable, "-c", RUN, "--no-cache", str(config)]
    return subprocess.run(line, cwd=folder, capture_output=True, text=True, check=False)


def test_every_contract_is_kept() -> None:
    done = linted(ROOT, ROOT / "pyproject.toml")
    assert done.returncode == 0, done.stdout + done.stderr
    kept = len(CONTRACTS["contracts"])
    assert kept >= 3
    assert f"Contracts: {kept} kept, 0 broken." in done.stdout


def test_every_room_has_its_layer() -> None:
    rows = next(c for c in CONTRACTS["contracts"] if c["type"] == "layers")["layers"]
    named = {room.strip().removeprefix("server.") for row in rows for room in row.split("|")}
    rooms = {p.name for p in SERVER.iterdir() if (p / "__init__.py").exists()}
    assert len(rooms) > 6
    assert rooms <= named


def test_an_arrow_upwards_is_seen(tmp_path: Path) -> None:
    for room in ("web", "trade"):
        (tmp_path / "house" / room).mkdir(parents=True)
        (tmp_path / "house" / room / "__init__.py").write_text("")
    (tmp_path / "house" / "__init__.py").write_text("")
    (tmp_path / "house" / "trade" / "rule.py").write_text("import house.web\n")
    config = tmp_path / "rules.toml"
    config.write_text(
        '[tool.importlinter]\nroot_package = "house"\n[[tool.importlinter.contracts]]\n'
        'name = "down"\ntype = "layers"\nlayers = ["house.web", "house.trade"]\n'
    )
    done = linted(tmp_path, config)
    assert done.returncode == 1
    assert "house.trade.rule -> house.web" in done.stdout
