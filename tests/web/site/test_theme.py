"""Light or dark is the person's choice and comes back with the page."""

import pytest
from fastapi import FastAPI

from server.web.site import theme as look
from tests.query_counter import Asking


@pytest.fixture
def client():
    app = FastAPI()
    app.state.inline = True
    app.include_router(look.desk)
    return Asking(app)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_choice_is_kept_and_the_page_comes_back(client, theme):
    answer = client.post("/look", data={"theme": theme, "back": "/queue?state=held"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/queue?state=held")
    assert f"theme={theme};" in answer.headers["set-cookie"]


def test_as_the_system_forgets_the_choice(client):
    answer = client.post("/look", data={"theme": "", "back": "/"})
    assert 'theme="";' in answer.headers["set-cookie"]
    assert "Max-Age=0" in answer.headers["set-cookie"]


@pytest.mark.parametrize("back", ["https://elsewhere/", "//elsewhere", "/\\elsewhere", "x", "/a b"])
def test_nobody_is_sent_to_another_site(client, back):
    answer = client.post("/look", data={"theme": "dark", "back": back})
    assert answer.headers["location"] == "/"
