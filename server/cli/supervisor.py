"""`quadwright supervisor`: the shop and its first supervisor, in a database that has none."""

from typing import Annotated

import typer

from server.cli.answer import AsJson, refusals, tell


def command(
    shop_name: Annotated[str | None, typer.Option(help="The shop's name.")] = None,
    name: Annotated[str | None, typer.Option(help="Your name.")] = None,
    initials: Annotated[str | None, typer.Option(help="Your initials.")] = None,
    sign_in: Annotated[str | None, typer.Option(help="The name to sign in with.")] = None,
    password: Annotated[str | None, typer.Option(help="The password to sign in with.")] = None,
    json: AsJson = False,
) -> None:
    """Make the shop and its first supervisor, in a database that has none. Asks for the rest."""
    from server.cli.running import first_supervisor

    shop_name = shop_name or _asked("The shop's name")
    name = name or _asked("Your name")
    initials = initials or _asked("Your initials")
    sign_in = sign_in or _asked("Sign-in name")
    password = password or _asked("Password", secret=True)
    with refusals(json):
        first_supervisor(shop_name, name, initials, sign_in, password)
    document = {"shop": shop_name, "name": name, "sign_in": sign_in}
    tell(document, json, f"{name} can sign in as {sign_in}.")


def _asked(what: str, secret: bool = False) -> str:
    # On standard error: standard output is for the answer alone.
    return str(typer.prompt(what, hide_input=secret, confirmation_prompt=secret, err=True))
