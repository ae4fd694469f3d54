"""Our app as it is served, over the database of the environment's settings. Its fonts are cut into
a folder that every test process shares.
"""

from pathlib import Path
from tempfile import gettempdir

from fastapi import FastAPI

from server.app import create_app, open_shop
from server.settings import Settings
from server.web.site.requests import set_up_logs


def make() -> FastAPI:
    """The app; its log goes where standard error does."""
    settings = Settings()
    set_up_logs(settings.log_level, as_json=settings.log_json)
    return create_app(open_shop(settings), cache=Path(gettempdir()) / "quadwright-test-fonts")
