"""What no route is given: texts with a NUL or half a character, and addresses cut in half.

No database, file name or page can hold them, and no browser of ours sends them. Middleware asks
this of a request's head, and whoever reads a form of what it holds.
"""

import re
from collections.abc import Iterable, Iterator
from urllib.parse import urlsplit

from starlette.datastructures import FormData, Headers
from starlette.types import Scope

from server.work.errors import Refused

MOST_NUMBER = 2**31 - 1  # what PostgreSQL's integer holds
_ESCAPED = ("cookie", "hx-current-url", "referer")  # percent escapes are read out of these
_ADDRESSES = ("origin", "hx-current-url", "referer")


class Odd(Refused):
    """The request cannot be read as text, or as an address."""

    status = 400


def require_head(scope: Scope) -> None:
    """Raises Odd where path, query or a header cannot be read."""
    headers = Headers(scope=scope)
    escaped = [scope["query_string"].decode("latin-1"), *_of(headers, _ESCAPED)]
    if any("%00" in text for text in escaped) or _damaged(
        [scope["path"], *escaped, *headers.values()]
    ):
        raise Odd("The address or a header has a character in it that is no text.", _AGAIN)
    if not all(map(_whole, [*_of(headers, _ADDRESSES), *_hosts(headers)])):
        raise Odd("The address that this came from is cut off.", _AGAIN)


def require_texts(form: FormData) -> None:
    """Raises Odd where a name, a text or a file's name in a form cannot be read."""
    for name, value in form.multi_items():
        text = value if isinstance(value, str) else value.filename or ""
        if _damaged((name, text)):
            raise Odd("A text in this form has a character in it that is no text.", _RETYPE)


_NO_TEXT = re.compile("[\0\ud800-\udfff]")
_AGAIN = "Start from the queue."
_RETYPE = "Go back, type it anew instead of pasting it, and send it again."


def _of(headers: Headers, names: Iterable[str]) -> Iterator[str]:
    return (value for name in names for value in headers.getlist(name))


def _hosts(headers: Headers) -> Iterator[str]:
    return (f"//{host}" for host in headers.getlist("host"))


def _damaged(texts: Iterable[str]) -> bool:
    return any(map(_NO_TEXT.search, texts))


def _whole(address: str) -> bool:
    try:
        urlsplit(address).port  # noqa: B018  # raises for one that is no number
    except ValueError:
        return False
    return True
