"""`quadwright spin`: order, direction and exit codes."""

from tests.cli.line import SPIN, answer


def test_spin_in_the_wrong_order_is_1() -> None:
    code, document = answer(*SPIN, "--expect", "1=FL,2=RR,3=RL,4=FR")
    assert code == 1
    assert document["table"] == {"1": "FL", "2": "RL", "3": "RR", "4": "FR"}
    assert document["exchange"] == {"2": 3, "3": 2}
    assert document["verdict"]["crossed"] == ["roll", "yaw"]
    assert [f["code"] for f in document["findings"]] == ["motor-order"]


def test_spin_without_an_order_is_open() -> None:
    code, document = answer(*SPIN)
    assert (code, document["verdict"]["ok"], document["findings"]) == (0, None, [])


def test_spin_in_the_right_order_is_0() -> None:
    code, document = answer(*SPIN, "--expect", "1=FL,2=RL,3=RR,4=FR")
    assert (code, document["verdict"]["ok"]) == (0, True)
