"""PoE against IEEE 802.3 clauses 33 and 145, and against Ohm's law."""

import pytest

from topodraw.standards import poe_classes
from topodraw.standards.published import UnknownEntryError


# IEEE 802.3 clauses 33 and 145, as a PoE cable tester's manual and switch manuals print the classes.
def test_published_classes() -> None:
    table = [
        (row.number, row.source_w, row.load_w, row.type_number) for row in poe_classes.POE_CLASSES.values()
    ]
    assert table == [
        (0, 15.4, 12.95, 1),
        (1, 4.0, 3.84, 1),
        (2, 7.0, 6.49, 1),
        (3, 15.4, 12.95, 1),
        (4, 30.0, 25.5, 2),
        (5, 45.0, 40.0, 3),
        (6, 60.0, 51.0, 3),
        (7, 75.0, 62.0, 4),
        (8, 90.0, 71.3, 4),
    ]


# What is lost on the cable is I^2 R: the source's power at its least voltage drives the current of each pair
# set through the loop (20 ohm for Type 1, 12.5 ohm after; ohms from memory). The standard rounds.
@pytest.mark.parametrize("number", range(9))
def test_a_class_loses_in_the_cable_what_ohms_law_says(number: int) -> None:
    row = poe_classes.poe_class(number)
    limits = poe_classes.poe_type(row.type_number)
    pair_sets = row.pairs // 2
    current_a = row.source_w / limits.source_least_v / pair_sets
    assert current_a <= limits.current_a + 1e-9
    lost_w = pair_sets * current_a**2 * limits.loop_ohm
    assert row.source_w - lost_w == pytest.approx(row.load_w, abs=0.07)


# Tester's manual: Type 1 15.4 W at 0.35 A and Type 2 30 W at 0.6 A leave 12.95 W and 25.5 W.
@pytest.mark.parametrize(
    ("number", "source_w", "current_a", "load_w"), [(1, 15.4, 0.35, 12.95), (2, 30, 0.6, 25.5)]
)
def test_the_two_worked_examples(number: int, source_w: float, current_a: float, load_w: float) -> None:
    limits = poe_classes.poe_type(number)
    assert limits.current_a == current_a
    assert source_w - current_a**2 * limits.loop_ohm == pytest.approx(load_w)


# Older switch manual: 24 ports of 15.4 W are about 370 W, which a budget of 400 W carries.
def test_24_class_3_ports_take_about_370_w() -> None:
    assert 24 * poe_classes.poe_class(3).source_w == pytest.approx(369.6)


# Industrial router manual, examples 1 and 2: three Type 1 ports or one Type 2 port beside 15 W of own use in
# 65 W; four Type 2 ports beside 15 W need 135 W.
def test_a_small_supply() -> None:
    type_1, type_2 = (poe_classes.highest_class_of_type(number).source_w for number in (1, 2))
    assert 15 + 3 * type_1 == pytest.approx(61.2)
    assert 15 + type_2 == 45
    assert 15 + 4 * type_2 == 135


@pytest.mark.parametrize(("type_number", "class_number"), [(1, 3), (2, 4), (3, 6), (4, 8)])
def test_each_type_gives_up_to_a_class(type_number: int, class_number: int) -> None:
    assert poe_classes.highest_class_of_type(type_number).number == class_number


# IEEE 802.3 clause 145, from memory: a load above the source's class is demoted to it.
@pytest.mark.parametrize(
    ("load", "source", "granted"),
    [(2, 4, 2), (4, 4, 4), (6, 4, 4), (8, 3, 3), (0, 3, 0), (0, 2, 2), (5, 8, 5)],
)
def test_a_source_grants_no_more_than_it_has(load: int, source: int, granted: int) -> None:
    assert poe_classes.granted_class(load, source).number == granted


def test_class_9_does_not_exist() -> None:
    with pytest.raises(UnknownEntryError, match="no PoE class 9"):
        poe_classes.poe_class(9)
    with pytest.raises(UnknownEntryError, match="no PoE type 5"):
        poe_classes.poe_type(5)


# IEEE 802.3 clauses 33 and 145, as a tester's manual prints them; ohms, Cat3 and type 4's cable from memory.
def test_published_types() -> None:
    assert [row[:8] for row in poe_classes.POE_TYPES.values()] == [
        (1, 3, 0.350, 44, 37, 57, 20, "Cat3"),
        (2, 4, 0.600, 50, 42.5, 57, 12.5, "Cat5"),
        (3, 6, 0.600, 50, 42.5, 57, 12.5, "Cat5e"),
        (4, 8, 0.960, 52, 41.1, 57, 12.5, "Cat5e"),
    ]


# IEEE 802.3 clause 145: classes 5 to 8 need all four pairs.
def test_above_30_w_all_four_pairs_carry() -> None:
    assert [row.pairs for row in poe_classes.POE_CLASSES.values()] == [2, 2, 2, 2, 2, 4, 4, 4, 4]


# The load's least voltage is the source's less what its current loses in the loop (Ohm), within 0.1 V.
@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_loop_takes_the_voltage_between_source_and_load(number: int) -> None:
    row = poe_classes.poe_type(number)
    assert row.source_least_v - row.current_a * row.loop_ohm == pytest.approx(row.load_least_v, abs=0.1)
