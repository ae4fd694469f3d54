"""`quadwright endpoints`: ends of travel and arming ranges."""

from pathlib import Path

from tests.cli.line import ARM, CHANNEL, VERSION, answer, run, write


def test_endpoints_is_the_contract_example(tmp_path: Path) -> None:
    path = write(tmp_path, "radio.json", {"channels": [CHANNEL], "switches": [ARM]})
    assert answer("endpoints", path) == (
        0,
        VERSION
        | {
            "channels": [
                {
                    "channel": "roll",
                    "low_percent": 97.66,
                    "high_percent": 97.66,
                    "trim_us": 0,
                    "reverse": False,
                    "reads": [1000, 1500, 2000],
                    "reaches": True,
                }
            ],
            "switches": [{"switch": "arm", "range": {"low": 1750, "high": 2200}, "margin_us": 250}],
            "findings": [],
        },
    )


def test_an_unsafe_switch_is_1(tmp_path: Path) -> None:
    path = write(tmp_path, "radio.json", {"switches": [ARM | {"radio_off": 2000}]})
    code, document = answer("endpoints", path)
    assert code == 1
    assert document["switches"][0].keys() == {"switch", "refused"}
    assert [f["code"] for f in document["findings"]] == ["arm-range-unsafe"]


def test_the_radio_is_laid_out_as_text(tmp_path: Path) -> None:
    still = CHANNEL | {"channel": "yaw", "high": 1500}
    short = {"channel": "pitch", "low": 1000, "centre": 1500, "high": 1900}
    document = {"channels": [CHANNEL, short, still], "switches": [ARM]}
    code, out = run("endpoints", write(tmp_path, "radio.json", document))
    assert code == 1
    assert "roll  reaches its ends and its centre: change nothing" in out
    assert "pitch  trim +0 µs, low 100 %, high 125 %; reads 1000/1500/2000 µs" in out
    assert "yaw  it has no throw on its high side" in out
    assert "arm  arms at 1750 µs and up, margin 250 µs" in out


def test_a_name_in_brackets_is_printed_as_it_is(tmp_path: Path) -> None:
    path = write(tmp_path, "radio.json", {"channels": [CHANNEL | {"channel": "[bold]x[/bold]"}]})
    assert "[bold]x[/bold]  reaches" in run("endpoints", path)[1]
