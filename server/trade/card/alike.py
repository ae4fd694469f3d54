"""Speeds that should be alike: each against the median, and the likely causes of the odd one."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from statistics import median
from typing import Any

from server.trade.card.text import plain
from server.trade.motors.speeds import modified_z, odd_ones
from server.trade.motors.spin_findings import CAUSES


def compared(read: Mapping[str, Decimal]) -> dict[str, Any]:
    """Median, modified z-scores by output, and what stands out; fields are 'output-<n>'."""
    speeds = {int(name.rpartition("-")[2]): float(number) for name, number in read.items()}
    middle = median(speeds.values())
    scores = zip(map(str, speeds), modified_z(tuple(speeds.values())), strict=True)
    odd = [
        {
            "output": n,
            "kind": "slow" if speeds[n] < middle else "fast",
            "rpm": plain(read[f"output-{n}"]),
        }
        for n in odd_ones(speeds)
    ]
    likely = [_likely(each) for each in odd]
    return {"median": middle, "scores": dict(scores), "odd": odd, "likely": likely}


def _likely(odd: Mapping[str, Any]) -> dict[str, Any]:
    rows = [{"cause": c.cause, "look": c.look} for c in CAUSES[odd["kind"]]]
    return {"title": f"Output {odd['output']} is the {odd['kind']} one", "rows": rows}


def faults(odd: Iterable[Mapping[str, Any]]) -> list[tuple[str, str]]:
    """What is to be said of each output whose speed stands out, and the first thing to look at."""
    return [
        (
            f"Output {each['output']} stands out as {each['kind']}: {each['rpm']} rpm.",
            f"{CAUSES[each['kind']][0].look} Then measure all four again.",
        )
        for each in odd
    ]
