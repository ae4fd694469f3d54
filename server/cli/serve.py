"""`quadwright serve`: the shop that the environment names."""

from typing import Annotated

import typer

from server.cli.answer import AsJson, refusals, tell


def command(
    host: Annotated[str, typer.Option(help="The address to listen on.")] = "127.0.0.1",
    port: Annotated[int, typer.Option(help="The port to listen on.")] = 8000,
    workers: Annotated[int, typer.Option(help="How many processes.")] = 1,
    json: AsJson = False,
) -> None:
    """Serve the shop that the QUADWRIGHT_… settings of the environment name."""
    from server.cli.running import prepare, serve

    with refusals(json):
        prepare()
    shown = f"[{host}]" if ":" in host else host
    address = f"http://{shown}:{port}"
    tell({"address": address, "workers": workers}, json, f"Quadwright runs at {address}")
    serve(host, port, workers)
