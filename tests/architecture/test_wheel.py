"""A wheel has everything that a checkout has, and runs from an environment without the checkout."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.architecture.sources import ROOT, SERVER, name

PACKED = {"templates": "server/_templates", "static": "server/_static"}
PACKED["migrations"] = "server/_migrations"
ASK = """
import json, pathlib, server
from server import places
from server.app import create_app, open_shop
from server.settings import Settings
from server.web.site.page import House
settings = Settings(data=pathlib.Path("shop"))
app = create_app(open_shop(settings), cache=settings.data / "cache")
print(json.dumps([server.__file__, str(places.TEMPLATES), str(places.STATIC),
                  str(places.MIGRATIONS), len(app.state.pages(House()).env.list_templates())]))
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built without the network by the builder that the test extra brings."""
    out = tmp_path_factory.mktemp("wheel")
    line = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation"]
    done = subprocess.run(
        [*line, "--no-index", "-w", str(out), str(ROOT)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    (built,) = out.glob("*.whl")
    return built


def test_every_file_is_in_it(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    wanted = {name(p) for p in SERVER.rglob("*") if p.suffix in {".py", ".typ"}}
    for folder, packed in PACKED.items():
        files = [p for p in (ROOT / folder).rglob("*") if p.is_file() and p.suffix != ".pyc"]
        assert files, f"{folder} is empty"
        wanted |= {f"{packed}/{p.relative_to(ROOT / folder)}" for p in files}
    assert sorted(wanted - inside) == []


def test_nothing_of_the_tests_is_in_it(wheel: Path) -> None:
    tops = {entry.split("/")[0] for entry in zipfile.ZipFile(wheel).namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"server"}


def test_it_opens_a_shop_without_the_checkout(wheel: Path, tmp_path: Path) -> None:
    zipfile.ZipFile(wheel).extractall(tmp_path / "site")
    environment = {k: v for k, v in os.environ.items() if not k.startswith("QUADWRIGHT_")}
    done = subprocess.run(
        [sys.executable, "-c", ASK],
        cwd=tmp_path,
        env=environment | {"PYTHONPATH": str(tmp_path / "site")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.count(str(tmp_path / "site")) == 4
    assert int(done.stdout.strip().rstrip("]").split(", ")[-1]) > 10
    assert (tmp_path / "shop" / "quadwright.db").stat().st_size > 0
