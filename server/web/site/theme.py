"""Light or dark: chosen by the person, kept in a cookie so that the server draws it so."""

from typing import Annotated, Literal

from fastapi import Response
from pydantic import BaseModel, Field

from server.web.site import forms
from server.web.site.forms import Posted
from server.web.site.routing import Desk

desk = Desk()
_A_YEAR = 365 * 24 * 3600


class ThemeForm(BaseModel):
    """The choice, and the page to go back to."""

    theme: Annotated[Literal["light", "dark"] | None, Field(description="light or dark")] = None
    back: Annotated[str, Field(pattern=r"^/([^/\\\s][^\\\s]*)?$", max_length=500)] = "/"


@desk.post("/look")
def choose_look(posted: Posted) -> Response:
    """Keep the choice and go back to the page it was made on."""
    chosen = forms.read(ThemeForm, posted).filled or ThemeForm()
    answer = Response(status_code=303, headers={"Location": chosen.back})
    if chosen.theme is None:
        answer.delete_cookie("theme")
    else:
        answer.set_cookie("theme", chosen.theme, max_age=_A_YEAR, samesite="lax")
    return answer
