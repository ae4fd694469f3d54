"""The desks of the app: every router that a module of these folders calls `desk`."""

from importlib import import_module
from pkgutil import walk_packages

from server import web
from server.web.site.routing import Desk


def _found() -> tuple[Desk, ...]:
    names = sorted(m.name for m in walk_packages(web.__path__, "server.web.") if not m.ispkg)
    modules = (import_module(name) for name in names if name != __name__)
    desks = (getattr(module, "desk", None) for module in modules)
    return tuple(desk for desk in desks if isinstance(desk, Desk))


DESKS = _found()
