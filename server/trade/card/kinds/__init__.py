"""One module a kind of result. Every module in this package is imported here.

A module that registers no kind of its own name is refused.
"""

import pkgutil
from importlib import import_module

from server.trade.card.kind import KINDS, UnknownKind

for _module in pkgutil.iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")
    if _module.name.replace("_", "-") not in KINDS:
        raise UnknownKind(_module.name)
