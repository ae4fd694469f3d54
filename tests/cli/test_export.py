"""`quadwright export` writes what `quadwright verify` then checks, with nothing of the shop."""

import json

import pytest
from typer.testing import CliRunner

from server.app import open_shop
from server.cli import app
from server.settings import Settings
from server.work.bench import signing
from server.work.office import trust
from server.work.people import keys
from server.work.shop import Shop
from tests import make


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A shop's data, with two signed logs, a key list and a head."""
    monkeypatch.setenv("QUADWRIGHT_DATA", str(tmp_path))
    monkeypatch.delenv("QUADWRIGHT_DATABASE_URL", raising=False)
    opened = open_shop(Settings())
    shop = Shop(opened.engine, opened.files, now=make.Clock(), quick_phrases=True)
    lead = make.lead(shop)
    for craft in ("Kittiwake", "Dunlin"):
        number = make.to_sign(shop, lead, craft_name=craft)
        signing.sign(shop, lead, number, phrase=make.SIGNING, words="Set up anew.")
    keys.change_phrase(shop, lead, phrase=make.SIGNING, new_phrase="another phrase entirely")
    trust.publish(shop, lead, phrase="another phrase entirely")
    shop.engine.dispose()
    return tmp_path


def run(*line):
    return CliRunner().invoke(app, [*map(str, line)])


def test_what_is_exported_verifies_without_the_shop(folder, tmp_path_factory):
    out = tmp_path_factory.mktemp("elsewhere") / "logs"
    written = json.loads(run("export", out, "--json").stdout)
    assert written == {"folder": str(out), "logs": 2, "lists": 1, "heads": 1}
    names = ["0001.qwlog", "0002.qwlog", "head-0002.qwhead", "keys-0001.qwkeys"]
    assert sorted(path.name for path in out.iterdir()) == names
    lead = json.loads((out / "keys-0001.qwkeys").read_bytes())["keys"]["signed_by"]
    checked = run("verify", out, "--supervisor", lead, "--json")
    document = json.loads(checked.stdout)
    assert (checked.exit_code, document["size"], document["notes"]) == (0, 2, [])
    assert run("export", out).stdout == f"2 logs, 1 key lists, 1 heads in {out}\n"


def test_a_folder_that_cannot_be_made_is_told(folder):
    (folder / "file").write_text("in the way")
    answer = run("export", folder / "file" / "logs", "--json")
    assert answer.exit_code == 2
    assert "cannot be written to" in json.loads(answer.stdout)["error"]["says"]
