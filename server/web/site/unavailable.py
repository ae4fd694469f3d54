"""When the shop's records cannot be written or read: the disk is full, the database is away.

Nothing of the act is kept then, since an act is one transaction. So the page gives back what was
typed, and a button that sends it again under the same key.
"""

import errno
import logging
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request, Response
from starlette.datastructures import FormData

from server.web.site.offline_answer import is_kept, not_taken
from server.web.site.page import View, by_htmx, render

log = logging.getLogger("quadwright")

STATUS = 503
SAYS = "This could not be written down."
LOST = "Nothing of it was kept. What was recorded before is safe."
UNREAD = "The shop’s records cannot be read."
DO = "The disk may be full, or the database busy or away: the server’s log has the cause."
SECRET = ("phrase", "new_phrase")
CARRIED = ("csrf", "act_key", "basis", "seen", "under", "made_at", "version", "kept", "again")
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EROFS)


@dataclass(frozen=True)
class UnwrittenPage(View):
    """What was typed, to read, and with a button to send it again where it can be.

    `sends` are the form's own fields; empty where a phrase or a file was among them.
    """

    template: ClassVar[str] = "site/unavailable.html"

    says_what: str
    lost: str
    do: str
    typed: tuple[tuple[str, str], ...]
    action: str
    sends: tuple[tuple[str, str], ...]

    def titled(self) -> str:
        """What could not be done."""
        return self.says_what


async def database(request: Request, error: Exception) -> Response:
    """The database refused to work."""
    return _page(request, error)


async def disk(request: Request, error: Exception) -> Response:
    """A full disk; any other fault of the system is one of ours."""
    if not isinstance(error, OSError) or error.errno not in FULL:
        raise error
    return _page(request, error)


def _page(request: Request, error: Exception) -> Response:
    told = {"request": request.state.request_id, "path": request.url.path}
    log.error("unwritten", exc_info=error, extra={"told": told})
    if is_kept(request):
        return not_taken(f"{SAYS} {DO}", STATUS)
    posted = getattr(request.state, "posted", None) or FormData()
    texts = tuple((n, v) for n, v in posted.multi_items() if isinstance(v, str))
    names = {name for name, _ in posted.multi_items()}
    whole = len(texts) == len(posted.multi_items()) and not names & set(SECRET)
    view = (
        UnwrittenPage(UNREAD, "", DO, (), "", ())
        if request.method == "GET"
        else UnwrittenPage(SAYS, LOST, DO, _typed(texts), request.url.path, texts if whole else ())
    )
    answer = render(request, view, STATUS)
    if by_htmx(request):
        answer.headers["HX-Retarget"], answer.headers["HX-Reswap"] = "body", "innerHTML"
    return answer


def _typed(texts: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """The answers by a name that reads well: 'values[amps]' is 'amps'."""
    return tuple(
        (name.partition("[")[2].rstrip("]") or name.replace("_", " "), text)
        for name, text in texts
        if text and name not in (*CARRIED, *SECRET)
    )
