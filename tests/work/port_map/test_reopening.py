"""What a map says that it re-opens is what it re-opens, for every kind of change."""

import json

import pytest

from server.records.engine import reading
from server.work.bench import recording, signing
from server.work.bench.progress import work_of
from server.work.bench.soldered import entries_now
from server.work.errors import Stale
from server.work.port_map import revisions
from server.work.port_map.facts import facts_of
from server.work.port_map.reopening import Reopens, reopens
from server.work.shop import Person, Shop
from tests import make


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.lead(shop, "Kit Thorne")


def protocol(document):
    document["devices"][0]["links"][0]["set_to"] = "SBUS"


def props_out(document):
    document["craft"]["props"] = "props-out"


def cells(document):
    document["battery"]["cells"] = 4


def outputs(document):
    given = document["esc"]["outputs"]
    given["1"], given["2"] = given["2"], given["1"]


def part_off(document):
    gone = document["devices"].pop()["device"]
    document["wires"] = [w for w in document["wires"] if w["device"] != gone]


def motor_link(document):
    document["esc"]["set_to"] = "DShot600"


def nothing(document):
    document["craft"]["name"] = "Another name"


CHANGES = [
    make.receiver_moved,
    make.swapped,
    make.no_telemetry,
    protocol,
    props_out,
    cells,
    outputs,
    part_off,
    motor_link,
    nothing,
]


def done(shop: Shop, number: int) -> dict[str, bool]:
    """Whether each step that has evidence in force is done."""
    with reading(shop.engine) as connection:
        steps = work_of(connection, make.head(shop, number)).steps
    return {s.step.key: s.done for s in steps if s.entries}


def foretold(shop: Shop, number: int, change) -> Reopens:
    with reading(shop.engine) as connection:
        head = make.head(shop, number)
        work, after = (
            work_of(connection, head),
            facts_of(revisions.sheets.dump_json(make.sheet(change))),
        )
        entries = entries_now(connection, head.id, after.card, head.revision + 1)
    return reopens(work.steps, entries, work.accepted, after)


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_what_is_foretold_is_what_happens(shop, kit, change):
    number = make.to_sign(shop, kit)
    before = done(shop, number)
    told = foretold(shop, number, change)
    make.mapped(shop, kit, number, change)
    after = done(shop, number)
    lost = {key for key in before if before[key] and not after.get(key)}
    assert lost == {step.key for step in (*told.again, *told.gone)}
    assert told.stay == sum(before[key] and after.get(key, False) for key in before)
    assert lost or change in (nothing, make.no_telemetry)


def test_a_map_put_back_says_which_ticks_count_again(shop, kit):
    number = make.to_sign(shop, kit)
    all_done = done(shop, number)
    make.mapped(shop, kit, number, make.receiver_moved)
    lost = all_done.keys() - {key for key, is_done in done(shop, number).items() if is_done}
    told = foretold(shop, number, None)
    joints = {"before/leads", "before/shorts", "motors/first-power"}  # soldered twice since
    assert {step.key for step in told.back} == lost - joints != set()
    make.mapped(shop, kit, number)
    assert done(shop, number).items() == {k: True for k in all_done if k not in joints}.items()


def test_accepted_cautions_are_counted(shop, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    finding = facts_of(make.head(shop, number).sheet).cautions[0].key
    signing.accept(shop, kit, number, finding=finding, reason="By choice.", act_key=make.key())
    assert foretold(shop, number, make.no_telemetry).cautions == 1
    assert foretold(shop, number, None).cautions == 0


def test_what_was_recorded_since_is_asked_about_first(shop, kit):
    number = make.on_the_bench(shop, kit)
    told = foretold(shop, number, make.receiver_moved)
    assert told.keys == frozenset()
    revisions.draw_up(shop, kit, number, sheet=make.sheet(make.receiver_moved), version=0)
    make.work_through(shop, kit, number)
    save = {"version": 1, "act_key": "one"}
    with pytest.raises(Stale, match=r"would re-open .* too"):
        revisions.save(shop, kit, number, **save, asked=told.keys)
    assert make.head(shop, number).revision == 1
    asked = foretold(shop, number, make.receiver_moved).keys
    assert asked
    assert revisions.save(shop, kit, number, **save, asked=asked).revision == 2


def test_another_hands_entry_is_shown_before_it_is_corrected(shop, kit):
    """Two people on one step, for each kind of evidence: the second is told of the first."""
    bo = make.staff(shop, kit, "Bo Larch")
    number = make.to_sign(shop, kit)
    with reading(shop.engine) as connection:
        steps = work_of(connection, make.head(shop, number)).steps
    kinds_seen = set()
    for standing in steps:
        first = standing.entries[-1]
        given = {"answer": json.loads(first.answer), "act_key": make.key()}
        with pytest.raises(Stale) as refused:
            recording.record(shop, bo, number, standing.step.key, **given)
        assert f"Kit Thorne recorded step {standing.step.number} first" in refused.value.says
        assert first.found in refused.value.says
        kinds_seen.add(standing.step.evidence.kind)
    assert len(kinds_seen) >= 7, kinds_seen
