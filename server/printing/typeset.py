"""One kept Typst compiler: a template of `sheets/` and plain values in, PDF or PNG bytes out.

Values travel as JSON in `sys.inputs` and are only ever shown as text, never read as markup.
No system font is looked at and the time is the caller's, so that the same values give the same
bytes on every machine with the same versions of the packages.
"""

import json
import logging
import threading
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any, Literal

import fontpkg
import typst

SHEETS = Path(__file__).parent / "sheets"
STANDARDS: list[Literal["a-2a", "ua-1"]] = ["a-2a", "ua-1"]

_log = logging.getLogger(__name__)
_one_at_a_time = threading.Lock()


class PrintError(RuntimeError):
    """Typst could not set a sheet. The message is Typst's own, with the line of the template."""


@cache
def _compiler() -> typst.Compiler:
    folders: list[Path] = [
        fontpkg.path("Fira Sans", 400).parent,
        fontpkg.path("Fira Sans Condensed", 600).parent,
    ]
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=folders)
    return typst.Compiler(root=SHEETS, font_paths=fonts)


def pdf(template: str, values: Mapping[str, Any], made: datetime) -> bytes:
    """PDF/A-2a and PDF/UA-1 of `sheets/<template>.typ`. `made` (aware) is its creation time.

    Raises PrintError.
    """
    (whole,) = _set(
        template, values, format="pdf", pdf_standards=STANDARDS, timestamp=int(made.timestamp())
    )
    return whole


def pages(template: str, values: Mapping[str, Any], ppi: float = 144) -> list[bytes]:
    """The same sheet as one PNG a page. Raises PrintError."""
    return _set(template, values, format="png", ppi=ppi)


def _set(template: str, values: Mapping[str, Any], **how: Any) -> list[bytes]:
    told = {"data": json.dumps(values, ensure_ascii=False, sort_keys=True)}
    try:
        with _one_at_a_time:
            out, warnings = _compiler().compile_with_warnings(
                SHEETS / f"{template}.typ", sys_inputs=told, **how
            )
    except typst.TypstError as error:
        raise PrintError(error.diagnostic or error.message) from error
    for warning in warnings:
        _log.warning("typst on %s: %s", template, warning.message)
    if out is None:
        raise PrintError(f"Typst gave nothing for {template}")
    return [out] if isinstance(out, bytes) else list(out)
