"""The bench itself at a tiny size: every answer is right. No time is asserted anywhere."""

import asyncio
from pathlib import Path

import pytest

from tests.bench import run
from tests.bench.client import once
from tests.bench.generator import Filled, Size

TINY = Size(builds=30, patterns=2, open=10)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("bench")


@pytest.fixture(scope="module")
def made(folder: Path) -> Filled:
    return run.prepare(folder, TINY)


def test_every_page_answers_with_its_rows(folder: Path, made: Filled) -> None:
    with run.ours(folder) as app:
        answers = [(page, asyncio.run(once(app.port, page.ours(0)))) for page in run.pages(made)]
    for page, answer in answers:
        assert answer.status == (200 if page.holds else 303), page.name
        assert not page.holds or run.holds(page, answer.body), page.name


def test_table_has_each_page_twice(folder: Path, made: Filled) -> None:
    rows = list(run.measure(folder, made, run.Bound(most=4, seconds=5, warm=1)))
    assert [row.lines for row in rows] == [1, 8] * len(run.pages(made))
    assert all(len(row.ours.times) == len(row.floor.times) > 0 for row in rows)
    assert all(row.page in run.table(rows) for row in rows)


def test_kept_folder_is_not_filled_again(folder: Path, made: Filled) -> None:
    assert run.prepare(folder, Size(builds=10**9)) == made
