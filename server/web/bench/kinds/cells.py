"""The pack: its cells and volts asked for, and what else the volts may be."""

from dataclasses import dataclass
from typing import Any, ClassVar

from server.drawing.cell_zones import cell_zones
from server.trade.battery.readings import MOST_CELLS, zone
from server.trade.card import Judgement
from server.trade.card.kinds.cells import Cells, Pack
from server.trade.card.text import plain, tie
from server.web.bench.found import Grid, Result
from server.web.bench.hidden_fields import Carried
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view


class CellsForm(Carried):
    """A pack's cells and volts."""

    cells: str = ""
    volts: str = ""


@dataclass(frozen=True, kw_only=True)
class CellsResult(Result):
    """The counts about the one that was counted, and which of them the volts may be."""

    drawing: str
    grid: Grid


@register_view
class CellsView(KindView[Cells, Pack, CellsForm]):
    name = "cells"
    form = CellsForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=True,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: Cells, given: CellsForm) -> Posted:
        return {"cells": given.cells, "volts": given.volts}

    def field(self, path: list[str], given: CellsForm) -> str:
        return path[0]

    def typed(self, answer: Pack) -> dict[str, Any]:
        return {"cells": str(answer.cells), "volts": plain(answer.volts)}

    def ask(self, spec: Cells, here: Here) -> Asking:
        return Asking(spec)

    def found(self, spec: Cells, answer: Pack, judgement: Judgement, here: Here) -> CellsResult:
        counted, volts = answer.cells, answer.volts
        possible = judgement.result["possible"]
        near = sorted({*possible, *range(max(1, counted - 2), min(MOST_CELLS, counted + 2) + 1)})
        zones = [(cells, *zone(cells, spec.chemistry)) for cells in near]
        rows = tuple(
            (
                f"{cells}S",
                tie(f"{plain(flat)} to {plain(full)} V"),
                "may be" if cells in possible else "cannot be",
            )
            for cells, flat, full in zones
        )
        return CellsResult(
            worth=judgement,
            drawing=cell_zones(zones, volts, counted, "result"),
            grid=Grid(("Cells", "Flat to full", f"{plain(volts)} V"), rows),
        )
