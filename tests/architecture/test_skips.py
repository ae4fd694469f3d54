"""Where CI is set, nothing is left out but what tests/skips.py lists."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.skips import MAY_SKIP

TESTS = Path(__file__).parents[1]
LISTED = next(iter(MAY_SKIP))
LEFT_OUT = f"""
import pytest
@pytest.mark.skip(reason="{LISTED}")
def test_listed(): ...
@pytest.mark.skip(reason="no time")
def test_marked(): ...
def test_half_way(): pytest.skip("nobody home")
@pytest.mark.xfail(reason="known", strict=True)
def test_known(): assert False
"""
WHOLE = 'import pytest\npytest.skip("not today", allow_module_level=True)\n'


def run(folder: Path, *more: str) -> str:
    (folder / "conftest.py").write_text("from tests.skips import *\n")
    line = [sys.executable, "-m", "pytest", "-q", "-rA", "-p", "no:cacheprovider", str(folder)]
    done = subprocess.run(
        [*line, *more, "--rootdir", str(folder)],
        cwd=TESTS.parent,
        env={"PATH": "", "PYTHONPATH": str(TESTS.parent)},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.stdout + done.stderr


def test_a_skip_without_its_line_fails(tmp_path: Path) -> None:
    (tmp_path / "test_left_out.py").write_text(LEFT_OUT)
    says = run(tmp_path, "--strict-skips")
    assert "1 failed, 1 skipped, 1 xfailed, 1 error" in says
    assert "this was: Skipped: no time" in says
    assert "this was: Skipped: nobody home" in says


def test_a_file_that_skips_itself_fails(tmp_path: Path) -> None:
    (tmp_path / "test_whole.py").write_text(WHOLE)
    says = run(tmp_path, "--strict-skips")
    assert "this was: Skipped: not today" in says
    assert "1 error" in says


def test_without_it_a_skip_is_a_skip(tmp_path: Path) -> None:
    (tmp_path / "test_left_out.py").write_text(LEFT_OUT)
    assert "3 skipped, 1 xfailed" in run(tmp_path)


@pytest.mark.parametrize("reason", MAY_SKIP)
def test_what_is_listed_is_still_skipped_somewhere(reason: str) -> None:
    found = [p for p in TESTS.rglob("test_*.py") if re.search(f'skip.*"{reason}"', p.read_text())]
    assert found, f"no test gives the reason {reason!r} any more"
