"""The command line: the same acts as the pages."""

import typer

app = typer.Typer(no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False)


@app.callback()
def quadwright() -> None:
    """Check, plan and prove the electronics of a quadcopter."""


def main() -> None:
    """Run the command line."""
    app()
