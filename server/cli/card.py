"""`quadwright card`: the bench card of a sheet."""

from typing import TYPE_CHECKING

from server.cli.answer import AsJson, Document, SheetFile, finish, read_sheet, refusals, sheet_code

if TYPE_CHECKING:
    from server.cli.text import Terminal


def command(sheet: SheetFile, json: AsJson = False) -> None:
    """The bench card: what to do, in which order and power state, with which evidence."""
    from server.trade.card import derive

    with refusals(json):
        read = read_sheet(sheet)
    finish(derive(read).as_json(), sheet_code(read), json, layout)


def layout(out: "Terminal", document: Document) -> None:
    """The bench card, stage by stage."""
    for stage in document["stages"]:
        out.bold(f"\n{stage['number']}  {stage['title']}")
        for step in stage["steps"]:
            _step(out, step)
    if "ends_with" in document:
        out.line(f"\n{document['ends_with']}")


def _step(out: "Terminal", step: Document) -> None:
    out.line(f"\n{step['number']}  {step['title']}  [{', '.join(step['states'])}]")
    if step["hazard"]:
        out.line(f"    {step['hazard']['word']}: {step['hazard']['says']}", "bold red")
    for line in step["do"]:
        out.line(f"    - {line}")
    out.line(f"    Target: {step['target']}")
    out.line(f"    Why: {step['why']}")
    out.line(f"    Evidence: {step['evidence']['kind']}")
    out.dim(f"    Source: {step['source']}")
