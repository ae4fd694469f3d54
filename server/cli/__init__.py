"""The command line: the same rules and solvers as the pages, a file a command.

What a command needs is imported when it runs: the line is to answer at once, whichever it is.
"""

import sys
from io import TextIOWrapper

import typer

from server.cli import (
    card,
    check,
    demo,
    endpoints,
    export,
    mounting,
    plan,
    recheck,
    serve,
    spin,
    supervisor,
    verify,
)
from server.cli.answer import Commands

app = typer.Typer(
    cls=Commands, no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False
)


@app.callback()
def quadwright() -> None:
    """Check, plan and prove the electronics of a quadcopter."""


app.command("check")(check.command)
app.command("plan")(plan.command)
app.command("card")(card.command)
app.command("mounting")(mounting.command)
app.command("spin")(spin.command)
app.command("endpoints")(endpoints.command)
app.command("verify")(verify.command)
app.command("export")(export.command)
app.command("recheck")(recheck.command)
app.command("serve")(serve.command)
app.command("demo")(demo.command)
app.command("supervisor")(supervisor.command)


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            # The answer is UTF-8 whatever the terminal's habits; a name that is not stays readable.
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    app()
