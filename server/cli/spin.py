"""`quadwright spin`: order and direction of the motors, from one spin of each."""

from typing import TYPE_CHECKING, Annotated

import typer

from server.cli.answer import AsJson, Document, finish, refusals, rules, severity_code

if TYPE_CHECKING:
    from server.cli.text import Terminal


def command(
    outputs: Annotated[str, typer.Option(help='As "1=FL:cw,2=RL:ccw,3=none,4=FR:ccw".')],
    props: Annotated[str, typer.Option(help="props-in or props-out.")],
    expect: Annotated[
        str | None, typer.Option(help='The firmware\'s own order, as "1=FL,2=RR,3=RL,4=FR".')
    ] = None,
    json: AsJson = False,
) -> None:
    """What each output drives, what to exchange and to reverse, and what the craft would do."""
    from server.trade.motors.spins import read_order, read_outputs, solve

    with refusals(json):
        order = None if expect is None else read_order(expect)
        document = solve(read_outputs(outputs), props, order).as_json()
    finish(document | rules(), severity_code(document["findings"]), json, layout)


def layout(out: "Terminal", document: Document) -> None:
    """What each output drives and what to do about it."""
    for output, corner in document["table"].items():
        out.line(f"output {output}  {corner or 'unknown'}{_marks(document, int(output))}")
    if document["other_plan"]:
        out.bold("All four turn as the other plan of propellers wants it: is the craft built so?")
    out.bold(document["verdict"]["says"])
    out.findings(document["findings"])


def _marks(document: Document, output: int) -> str:
    marks = [word for word in ("reverse", "dead", "doubled") if output in document[word]]
    to = document["exchange"].get(str(output))
    marks += [f"belongs on output {to}"] if to else []
    return f"  ({', '.join(marks)})" if marks else ""
