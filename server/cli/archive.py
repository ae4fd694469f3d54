"""The rules over the whole archive, from the command line, with progress on standard error."""

import os
from typing import Any

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from server.cli.answer import severity_code
from server.cli.starting import opened, settings_of_environment, told
from server.records import rechecks
from server.records.engine import reading
from server.records.rechecks import RunRow
from server.work.office import recheck as acts
from server.work.shop import Shop

Document = dict[str, Any]


def recheck() -> tuple[Document, int]:
    """What the run newly found, and the exit code: 1 where any of it is at stop.

    Raises Unreadable for a database that cannot be opened, read or written.
    """
    settings = settings_of_environment()
    shop = opened(settings)
    with told(settings):
        run = _run(shop)
        with reading(shop.engine) as connection:
            new = [row._asdict() for row in rechecks.new(connection, run.id)]
        shop.engine.dispose()
    document = {"rules": run.rules_version, "looked": run.looked, "new": new}
    return document, severity_code(new)


def _run(shop: Shop) -> RunRow:
    run_id = acts.start_or_resume(shop, None)
    with reading(shop.engine) as connection:
        run = rechecks.run(connection, run_id)
    with _progress() as shown:
        bar = shown.add_task("Signed builds", total=run.total, completed=run.looked)
        for run in acts.go_on(shop, run_id, workers=os.cpu_count() or 1):
            shown.update(bar, completed=run.looked, total=run.total)
    return run


def _progress() -> Progress:
    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
    )
    return Progress(*columns, console=Console(stderr=True))
