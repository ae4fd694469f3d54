"""A row of logs checked as one, as a folder of files is."""

from collections.abc import Iterable
from dataclasses import replace

from server.ledger.checking.report import ChainReport
from server.ledger.checking.verify import row_report, verify_log
from server.ledger.head import Head
from server.ledger.keylist import KeyList


def verify_chain(
    files: Iterable[bytes],
    keys: KeyList | None = None,
    *,
    head: Head | None = None,
    part: bool = False,
) -> ChainReport:
    """Check logs given oldest first. `part`: the row may begin after log 1.

    With `head`, also that the row holds what the head counts, to its end.
    """
    # A row can be long; only what links it is kept.
    reports = [replace(verify_log(data, keys=keys), log=None) for data in files]
    return row_report(reports, keys, heads=(head,) if head else (), part=part)
