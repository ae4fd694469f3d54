"""One module a kind of result. Every module in this package is imported here.

A module that registers no view of its own name is refused, and so is a kind without a view.
"""

import pkgutil
from importlib import import_module
from typing import Any

from server.trade.card import KINDS, Step, UnknownKind
from server.web.bench.found import Result
from server.web.bench.kind_view import VIEWS, Here, KindView

for _module in pkgutil.iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")
    if _module.name.replace("_", "-") not in VIEWS:
        raise UnknownKind(_module.name)
if _odd := KINDS.keys() ^ VIEWS.keys():
    raise UnknownKind(", ".join(sorted(_odd)))


def view_of(step: Step) -> KindView[Any, Any, Any]:
    """The view of a step's kind. Raises UnknownKind."""
    try:
        return VIEWS[step.evidence.kind]
    except KeyError:
        raise UnknownKind(step.evidence.kind) from None


def found_of(here: Here) -> Result | None:
    """The result to show of a step; None without entries, or with none that can be read."""
    answer, judgement = here.standing.answer, here.judgement
    if answer is None or judgement is None:
        return None
    return view_of(here.step).found(here.step.evidence, answer, judgement, here)
