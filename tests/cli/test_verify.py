"""Checking signed logs from the command line, with nothing but their files."""

import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from server.cli import app
from server.ledger.head import head, membership
from server.ledger.headfile import sign_head
from server.ledger.proofs import proof_file
from server.ledger.public import fingerprint
from tests.ledger.forgeries import FORGERIES, GENUINE, Files
from tests.ledger.samples import key, key_file, listed, row

ROW = row(3)


def answer(*line: object) -> tuple[int, Any]:
    result = CliRunner().invoke(app, ["verify", *map(str, line), "--json"])
    assert result.exception is None or isinstance(result.exception, SystemExit)
    return result.exit_code, json.loads(result.stdout)


@pytest.fixture
def logs(tmp_path: Path) -> list[Path]:
    paths = [tmp_path / f"{number:04}.qwlog" for number in (1, 2, 3)]
    for path, made in zip(paths, ROW, strict=True):
        path.write_bytes(made.data)
    return paths


@pytest.fixture
def keys(tmp_path: Path) -> Path:
    path = tmp_path / "shop.qwkeys"
    path.write_bytes(key_file(listed("Ines Prado")))
    return path


def test_a_whole_row_is_0(logs: list[Path]) -> None:
    code, document = answer(*logs)
    assert (code, document["ok"], document["problems"]) == (0, True, [])
    assert [log["file"] for log in document["logs"]] == [str(path) for path in logs]
    assert document["first"] is None
    assert [log["number"] for log in document["logs"]] == [1, 2, 3]
    assert document["size"] == 3


def test_the_order_on_the_line_does_not_matter(logs: list[Path]) -> None:
    code, document = answer(*reversed(logs))
    assert (code, document["problems"]) == (0, [])
    assert [log["number"] for log in document["logs"]] == [1, 2, 3]


def test_a_later_log_alone_says_what_was_not_seen(logs: list[Path]) -> None:
    code, document = answer(logs[2])
    assert code == 0
    assert any("Logs before 3" in note for note in document["notes"])


def test_a_missing_log_between_is_1(logs: list[Path]) -> None:
    code, document = answer(logs[0], logs[2])
    assert code == 1
    assert document["problems"][0]["at"] == "log 2"


def test_a_changed_word_is_1_with_its_place(logs: list[Path]) -> None:
    logs[1].write_bytes(logs[1].read_bytes().replace(b"Kittiwake", b"Kittiwoke", 1))
    code, document = answer(*logs)
    assert code == 1
    changed = document["logs"][1]
    assert not changed["ok"]
    assert "craft" in changed["problems"][0]["at"]
    assert document["logs"][0]["ok"]


def test_every_changed_byte_is_found(logs: list[Path]) -> None:
    data = logs[0].read_bytes()
    for at in range(0, len(data), 211):
        logs[0].write_bytes(data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :])
        assert answer(logs[0])[0] in (1, 2)


def test_what_is_no_log_is_2_and_the_others_answered(logs: list[Path], tmp_path: Path) -> None:
    odd = tmp_path / "odd.qwlog.txt"
    odd.write_text("nothing of the kind")
    (tmp_path / "empty").mkdir()
    code, document = answer(odd, tmp_path / "gone.qwlog", tmp_path / "empty", *logs)
    assert code == 2
    assert document["ok"] is False
    assert ["error" in log for log in document["logs"]] == [True, True, True, False, False, False]
    assert all(log["error"]["says"] for log in document["logs"][:3])
    assert all(log["ok"] for log in document["logs"][3:])


def test_a_key_list_names_the_signer(logs: list[Path], keys: Path) -> None:
    code, document = answer(*logs, "--keys", keys)
    assert code == 0
    assert {log["signer"] for log in document["logs"]} == {"Ines Prado"}


def test_a_head_shows_a_log_taken_off_the_end(logs: list[Path], keys: Path, tmp_path: Path) -> None:
    top = head([made.digest for made in ROW], "Harbour Bench", "2030-03-02T00:00:00Z")
    path = tmp_path / "shop.qwhead"
    path.write_bytes(sign_head(top, key("Omar Haddad")))
    assert answer(*logs, "--keys", keys, "--head", path)[0] == 0
    code, document = answer(*logs[:2], "--keys", keys, "--head", path)
    assert code == 1
    assert document["problems"][0]["at"] == "head"


@pytest.mark.parametrize("option", ["--keys", "--head", "--supervisor"])
def test_a_key_list_that_cannot_be_used_is_2(logs: list[Path], option: str) -> None:
    code, document = answer(logs[0], option, logs[0])
    assert code == 2
    assert document["error"].keys() == {"at", "says"}


def test_a_log_is_laid_out_as_text(logs: list[Path]) -> None:
    result = CliRunner().invoke(app, ["verify", *map(str, logs[:2])])
    assert result.exit_code == 0
    assert "log 1, ticket 1041, signed 2030-03-01T12:01:00Z" in result.stdout
    assert "by Ines Prado" in result.stdout
    assert "each log follows the one before it" in result.stdout


def test_a_folder_is_checked_with_all_that_lies_in_it(logs: list[Path], keys: Path) -> None:
    folder = keys.parent
    (folder / "notes.txt").write_text("hello")
    top = head([made.digest for made in ROW], "Harbour Bench", "2030-03-02T00:00:00Z")
    (folder / "shop.qwhead").write_bytes(sign_head(top, key("Omar Haddad")))
    code, document = answer(folder, "--supervisor", key("Omar Haddad").kid)
    assert (code, document["size"], document["first"]) == (0, 3, None)
    assert {log["signer"] for log in document["logs"]} == {"Ines Prado"}
    assert [other["kind"] for other in document["others"]] == ["key list", "head"]
    assert document["notes"] == ["1 other file was passed over."]
    logs[2].unlink()
    code, document = answer(folder)
    assert code == 1
    assert document["first"]["at"] == "head"


def test_an_archive_is_checked_like_its_folder(logs: list[Path], keys: Path) -> None:
    packed = keys.parent / "all.zip"
    with zipfile.ZipFile(packed, "w") as archive:
        for path in (*logs, keys):
            archive.write(path, path.name)
    code, document = answer(packed, "--supervisor", key("Omar Haddad").kid)
    assert (code, document["size"], document["vouched"]) == (0, 3, True)
    packed.write_bytes(packed.read_bytes()[:-9])
    code, document = answer(packed)
    assert code == 2
    assert "damaged or locked" in document["logs"][0]["error"]["says"]


def test_the_leads_thumbprint_is_held_against_a_list_in_the_folder(keys: Path) -> None:
    (keys.parent / "1.qwlog").write_bytes(ROW[0].data)
    assert answer(keys.parent, "--supervisor", key("Omar Haddad").kid)[0] == 0
    code, document = answer(keys.parent, "--supervisor", key("Ines Prado").kid)
    assert code == 1
    assert document["first"]["at"] == "signed_by"
    assert document["logs"][0]["signer"] is None


def test_one_log_with_its_proof_is_among_those_of_the_head(
    logs: list[Path], keys: Path, tmp_path: Path
) -> None:
    digests = [made.digest for made in ROW]
    top = head(digests, "Harbour Bench", "2030-03-02T00:00:00Z")
    (tmp_path / "shop.qwhead").write_bytes(sign_head(top, key("Omar Haddad")))
    (tmp_path / "2.qwproof").write_bytes(proof_file(membership(digests, 2)))
    files = logs[1], keys, tmp_path / "shop.qwhead", tmp_path / "2.qwproof"
    code, document = answer(*files, "--supervisor", key("Omar Haddad").kid)
    assert code == 0
    assert document["others"][-1]["says"].startswith("Log 2 is among the 3")


def test_the_first_thing_wrong_is_in_the_text(logs: list[Path]) -> None:
    logs[1].write_bytes(logs[1].read_bytes().replace(b"Kittiwake", b"Kittiwoke", 1))
    result = CliRunner().invoke(app, ["verify", *map(str, logs)])
    assert result.exit_code == 1
    assert f"The first thing wrong: {logs[1]}, at craft.name" in result.stdout.replace("\n", "")


GENUINE_LIST = "shop-itself.qwkeys"


def laid_out(files: Files, folder: Path) -> Path:
    for name, data in files.items():
        path = folder / "brought" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder / "brought"


def zipped(files: Files, folder: Path) -> Path:
    path = folder / "brought.zip"
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return path


@pytest.mark.parametrize("pack", [laid_out, zipped], ids=["folder", "zip"])
@pytest.mark.parametrize("kind", FORGERIES)
def test_a_forged_bundle_is_found_beside_the_named_list(
    kind: str, pack: Callable[[Files, Path], Path], tmp_path: Path
) -> None:
    forgery = FORGERIES[kind]
    named = tmp_path / GENUINE_LIST
    named.write_bytes(GENUINE.list_file)
    code, document = answer(pack(forgery.make(GENUINE), tmp_path), "--keys", named)
    assert code == (2 if kind == "renamed list" else 1)
    assert (document["ok"], document["checked"]) == (False, "by the key list that was named")
    first = document["first"]
    assert (Path(first["file"]).name, first["at"]) == (forgery.file, forgery.at)
    assert forgery.says in first["says"]


def test_the_genuine_bundle_is_0_beside_the_named_list(tmp_path: Path) -> None:
    named = tmp_path / GENUINE_LIST
    named.write_bytes(GENUINE.list_file)
    code, document = answer(laid_out(GENUINE.files, tmp_path), "--keys", named)
    assert (code, document["ok"], document["vouched"], document["notes"]) == (0, True, True, [])


def test_a_forged_bundle_with_its_own_list_is_3_and_says_why(tmp_path: Path) -> None:
    folder = laid_out(FORGERIES["own list"].make(GENUINE), tmp_path)
    code, document = answer(folder)
    assert (code, document["ok"], document["vouched"], document["first"]) == (3, False, False, None)
    words = "by a key list that came with the files, which nobody vouched for"
    assert document["checked"] == words
    assert "Ask the shop for its supervisor's thumbprint" in document["notes"][0]
    text = " ".join(CliRunner().invoke(app, ["verify", str(folder)]).stdout.split())
    assert f"Nothing wrong was found, {words}." in text
    assert "by Ines Prado (nobody vouched for that)" in text


def test_two_lists_by_different_roots_are_1_without_a_named_one(tmp_path: Path) -> None:
    code, document = answer(laid_out(FORGERIES["younger list"].make(GENUINE), tmp_path))
    assert code == 1
    assert "different root keys" in document["first"]["says"]
    assert {log["signer"] for log in document["logs"]} == {None}


def test_without_a_list_the_name_is_the_logs_own_word(logs: list[Path]) -> None:
    text = CliRunner().invoke(app, ["verify", str(logs[0])]).stdout
    assert "says that it is by Ines Prado" in text
    assert "Nothing wrong was found, without a key list." in text
    code, document = answer(logs[0])
    assert (code, document["vouched"], document["logs"][0]["signer"]) == (0, False, None)


@pytest.mark.parametrize("named", [True, False])
def test_the_short_form_of_a_thumbprint_is_refused(
    logs: list[Path], keys: Path, named: bool
) -> None:
    short = fingerprint(key("Omar Haddad").kid)
    code, document = answer(
        logs[0], *(("--keys", keys) if named else (keys,)), "--supervisor", short
    )
    assert (code, document["error"]["at"]) == (2, "--supervisor")
    assert "Give the whole thumbprint, 43 characters." in document["error"]["says"]
