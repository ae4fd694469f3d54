"""Answers that everybody may have and no search engine is to keep."""

from fastapi import Response

HEADERS = {"X-Robots-Tag": "noindex, nofollow", "Cache-Control": "no-store"}


def quiet(answer: Response) -> Response:
    """The answer with these headers."""
    answer.headers.update(HEADERS)
    return answer


def handed_out(name: str, data: bytes) -> Response:
    """A file to keep, byte for byte."""
    headers = {"Content-Disposition": f'attachment; filename="{name}"'} | HEADERS
    return Response(data, media_type="application/json", headers=headers)
