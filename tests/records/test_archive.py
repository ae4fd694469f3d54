"""Past builds are found by board, by what is on which pad or port, and by what was wrong."""

import pytest

from server.demo.bench import work_through
from server.records import archive
from server.records.archive import Wanted
from server.records.engine import reading
from server.work.bench import signing
from server.work.people import keys
from tests import make


def other_board(document):
    """The same craft on a board of another name, its receiver on UART2."""
    document["board"] |= {"maker": "Quay Works", "model": "Tessera 50%", "mcu": "STM32F722"}
    make.receiver_moved(document)


def signed(shop, by, number):
    work_through(shop, by, number)
    signing.sign(shop, by, number, phrase=make.SIGNING, words="Settings put back.")


@pytest.fixture
def builds(shop):
    """Four builds: swapped then put right; another board; and one that is not signed."""
    by = make.lead(shop)
    keys.make_key(shop, by, phrase=make.SIGNING)
    first = make.on_the_bench(shop, by, make.swapped, craft_name="Kittiwake")
    make.mapped(shop, by, first)
    signed(shop, by, first)
    second = make.on_the_bench(shop, by, other_board, craft_name="Gannet", symptoms=["drifts"])
    signed(shop, by, second)
    make.on_the_bench(shop, by, craft_name="Knot")
    return shop


def found(shop, **wanted):
    with reading(shop.engine) as connection:
        return archive.ids(connection, Wanted(**wanted))


def boards(shop):
    with reading(shop.engine) as connection:
        return {row.model: row.id for row in archive.boards(connection)}


# Builds by id: 1 is Kittiwake's first map, 2 its signed one, 3 Gannet's, 4 not signed.
ASKED = [
    ({}, [3, 2]),
    ({"before": 3}, [2]),
    ({"before": 2}, []),
    ({"port": "UART1"}, [2]),
    ({"port": "UART2"}, [3]),
    ({"pad": "R4"}, [3, 2]),
    ({"pad": "R4", "device": "receiver"}, []),
    ({"port": "UART2", "device": "receiver"}, [3]),
    ({"device": "lark nano"}, [3, 2]),
    ({"device": "l%k"}, []),
    ({"device": "l_rk"}, []),
    ({"symptom": "wiped"}, [2]),
    ({"symptom": "drifts"}, [3]),
    ({"finding": "lines-swapped"}, [2]),
    ({"finding": "ground-missing"}, []),
    ({"boards": ()}, []),
    ({"port": "UART1", "symptom": "drifts"}, []),
]


def test_signed_builds_match_what_is_asked(builds):
    # One shop for all that is asked: filling it takes far longer than asking.
    told = {str(wanted): found(builds, **wanted) for wanted, _ in ASKED}
    assert told == {str(wanted): ids for wanted, ids in ASKED}


def test_board_narrows_by_its_row(builds):
    ids = boards(builds)
    assert found(builds, boards=(ids["Brindle F7"],)) == [2]
    assert found(builds, boards=tuple(ids.values())) == [3, 2]


def test_no_more_come_than_asked_for(builds):
    with reading(builds.engine) as connection:
        assert archive.ids(connection, Wanted(), 1) == [3]


def test_rows_tell_ticket_craft_and_log(builds):
    with reading(builds.engine) as connection:
        rows = archive.past(connection, [1, 2, 3, 4])
    assert [(row.id, row.first_id, row.craft) for row in rows] == [
        (3, 3, "Gannet"),
        (2, 1, "Kittiwake"),
    ]
    assert {row.signer for row in rows} == {"Sunniva Oake"}
    assert len({row.digest for row in rows}) == 2


def test_counts_are_of_builds_not_of_wires(builds):
    with reading(builds.engine) as connection:
        ports = archive.on_ports(connection, [2, 3])
        symptoms = archive.with_symptom(connection, [2, 3])
        wrong = archive.with_finding(connection, [2, 3])
        on_boards = archive.on_boards(connection)
    assert {(c.port, c.name): c.builds for c in ports} == {
        ("UART1", "receiver"): 1,
        ("UART2", "receiver"): 1,
        ("UART4", "video"): 2,
    }
    assert {(c.name, c.builds) for c in symptoms} == {("wiped", 1), ("drifts", 1)}
    assert ("lines-swapped", 1) in {(c.name, c.builds) for c in wrong}
    assert sorted(on_boards.values()) == [1, 1]


def test_first_maps_findings_and_leads_are_kept(builds):
    with reading(builds.engine) as connection:
        wrong = archive.findings(connection, [1, 2])
        leads = archive.leads(connection, [1, 2])
        taken = archive.taken(connection, [1, 2, 3])
    assert ("lines-swapped", "video unit") in wrong[1]
    assert 2 not in wrong
    assert ("video unit", "TX", "T4") in leads[1]
    assert ("video unit", "TX", "R4") in leads[2]
    assert sorted(taken) == [1, 2, 3]
