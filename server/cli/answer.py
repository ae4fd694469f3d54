"""What all commands share: reading files, answering, refusing, and the exit codes.

0: done, nothing at stop. 1: done, something at stop. 2: the input cannot be read, with the place
and the reason. `verify` has one more, 3: nothing wrong, but nobody vouched for the keys.
"""

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer
from typer.core import TyperGroup

if TYPE_CHECKING:
    from server.cli.text import Terminal
    from server.trade.sheet import Sheet

FINE, STOPPED, UNREADABLE = 0, 1, 2
MOST_BYTES = 64 * 1024 * 1024

AsJson = Annotated[bool, typer.Option("--json", help="Answer with one JSON document.")]
SheetFile = Annotated[Path, typer.Argument(metavar="SHEET", help="A build sheet, JSON or TOML.")]
Document = dict[str, Any]


class Unreadable(ValueError):
    """A file that cannot be read: `at` is its name, `says` the reason."""

    def __init__(self, at: str, says: str) -> None:
        self.at, self.says = at, says
        super().__init__(f"{at}: {says}")


class Commands(TyperGroup):
    """The commands, with mistakes in the line itself answered as JSON where that is asked for."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        windows_expand_args: bool = True,
        **extra: Any,
    ) -> Any:
        """Run the line and leave with its exit code."""
        line = list(sys.argv[1:] if args is None else args)
        run = super().main
        try:
            code = run(line, prog_name, complete_var, False, windows_expand_args, **extra)
        except typer.TyperException as mistake:
            if "--json" not in line:
                _show(mistake)
            else:
                at = getattr(mistake, "option_name", None) or _parameter(mistake) or "command line"
                _print({"error": {"at": at, "says": mistake.format_message()}})
            sys.exit(UNREADABLE)
        except typer.Abort:
            sys.exit(130)
        sys.exit(code if isinstance(code, int) else FINE)


def _show(mistake: typer.TyperException) -> None:
    # `show` is on all of the library's own mistakes, and writes usage and reason to standard error.
    getattr(mistake, "show", lambda: typer.echo(mistake.format_message(), err=True))()


def _parameter(mistake: typer.TyperException) -> str | None:
    parameter = getattr(mistake, "param", None)
    return parameter.get_error_hint().strip("'") if parameter is not None else None


def finish(
    document: Document, code: int, as_json: bool, layout: "Callable[[Terminal, Document], None]"
) -> NoReturn:
    """Print the answer as JSON, or by `layout` as text, and leave with `code`."""
    if as_json:
        _print(document)
    else:
        from server.cli.text import Terminal

        layout(Terminal(), document)
    raise typer.Exit(code)


def tell(document: Document, as_json: bool, says: str) -> None:
    """Print what a command that goes on, or changes something, has to say; '' says nothing."""
    if as_json:
        _print(document)
    elif says:
        typer.echo(says)
    sys.stdout.flush()


def message(says: str) -> None:
    """What is said on the way: on standard error, which leaves standard output to the answer."""
    typer.echo(says, err=True)


@contextmanager
def refusals(as_json: bool) -> Iterator[None]:
    """Turn what a reader or solver refuses into the answer `{"error": {"at", "says"}}`, exit 2."""
    try:
        yield
    except ValueError as error:
        if not hasattr(error, "at"):
            raise
        _refuse(error, as_json)


def _refuse(error: ValueError, as_json: bool) -> NoReturn:
    refused = error_of(error)
    if as_json:
        _print({"error": refused})
    else:
        typer.echo(f"{refused['at']}: {refused['says']}", err=True)
    raise typer.Exit(UNREADABLE)


def error_of(error: ValueError) -> dict[str, str]:
    """A refusal's place and reason."""
    return {"at": getattr(error, "at", ""), "says": getattr(error, "says", str(error))}


def read_file(path: Path) -> bytes:
    """The bytes of a file. Raises Unreadable: missing, no file, barred, or over 64 MiB."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise Unreadable(str(path), "There is no such file.") from None
    except IsADirectoryError:
        raise Unreadable(str(path), "This is a directory, not a file.") from None
    except PermissionError:
        raise Unreadable(str(path), "Permission to read it is missing.") from None
    except OSError as error:
        raise Unreadable(str(path), f"It cannot be read: {error.strerror}.") from None
    if len(data) > MOST_BYTES:
        raise Unreadable(str(path), "It is over 64 MiB, which is the most that is read.")
    return data


def read_sheet(path: Path) -> "Sheet":
    """The sheet in a file, TOML by its ending, else JSON. Raises Unreadable, SheetError."""
    from server.trade.sheet import read_json, read_toml

    data = read_file(path)
    return read_toml(data) if path.suffix.lower() == ".toml" else read_json(data)


def rules() -> Document:
    """The version of the rules and solvers, as every answer with findings carries it."""
    from server.trade.rules_version import rules_version

    return {"rules": rules_version()}


def sheet_code(sheet: "Sheet") -> int:
    """1 where a rule finds something at stop in the sheet, else 0."""
    from server.trade.rules import check

    return severity_code([finding.as_json() for finding in check(sheet)])


def severity_code(findings: Sequence[Document]) -> int:
    """1 where a finding is at stop, else 0."""
    return STOPPED if any(f["severity"] == "stop" for f in findings) else FINE


def _print(document: Document) -> None:
    typer.echo(json.dumps(document, ensure_ascii=False, indent=2, default=_plain))


def _plain(value: object) -> Any:
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    raise TypeError(f"{type(value).__name__} has no place in JSON")
