"""Cables in a channel never share a stretch, whatever the input, and cross little."""

from itertools import combinations, pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from topodraw.draw.routing import CLEAR, NEAR, Crossing, Leg, LevelRun, _crossed, _Piece, _regrets, lanes

_PITCH = 12.0


@st.composite
def channels(draw: st.DrawFn) -> list[Crossing]:
    """Any cables through a channel: from above to below, and back to the side that they came from."""
    upper = draw(st.permutations(range(12)))
    lower = draw(st.permutations(range(12)))
    legs = [Leg(place * _PITCH, True) for place in upper] + [Leg(place * _PITCH, False) for place in lower]
    mixed = draw(st.permutations(legs))
    count = draw(st.integers(1, 12))
    return [Crossing(f"C{n}", mixed[2 * n], mixed[2 * n + 1]) for n in range(count)]


def _uprights(
    crossings: list[Crossing], runs: dict[str, tuple[LevelRun, ...]]
) -> list[tuple[str, float, int, int]]:
    """Legs and changes of lane as (cable, x, from, to); the borders are lanes -1 and the first unused one."""
    last = 1 + max((run.lane for own in runs.values() for run in own), default=-1)
    found = []
    for crossing in crossings:
        own = runs[crossing.cable]
        if not own:
            found.append((crossing.cable, crossing.first.x, -1, last))
            continue
        assert own[0].first == crossing.first
        assert own[-1].second == crossing.second
        for leg, lane in ((crossing.first, own[0].lane), (crossing.second, own[-1].lane)):
            found.append((crossing.cable, leg.x, *sorted((lane, -1 if leg.up else last))))
        for one, other in pairwise(own):
            assert one.second.x == other.first.x
            found.append((crossing.cable, one.second.x, *sorted((one.lane, other.lane))))
    return found


@given(channels())
@settings(max_examples=400, deadline=None)
def test_no_two_cables_share_a_stretch(crossings: list[Crossing]) -> None:
    runs = lanes(crossings)
    level = [run for own in runs.values() for run in own]
    for one, other in combinations(level, 2):
        if one.cable != other.cable and one.lane == other.lane:
            assert one.right + CLEAR <= other.left or other.right + CLEAR <= one.left
    for one, other in combinations(_uprights(crossings, runs), 2):
        if one[0] != other[0] and abs(one[1] - other[1]) < NEAR:
            assert one[3] <= other[2] or other[3] <= one[2]


def test_a_cable_straight_down_needs_no_lane() -> None:
    assert lanes([Crossing("C1", Leg(10, True), Leg(10, False))]) == {"C1": ()}


def test_cables_that_only_follow_each_other_share_a_lane() -> None:
    runs = lanes(
        [Crossing("C1", Leg(0, True), Leg(40, False)), Crossing("C2", Leg(60, True), Leg(90, False))]
    )
    assert runs["C1"][0].lane == runs["C2"][0].lane == 0


def test_a_fan_to_the_right_crosses_nothing_when_the_leftmost_takes_the_lowest_lane() -> None:
    runs = lanes([Crossing(f"C{n}", Leg(20 * n, True), Leg(200 + 20 * n, False)) for n in range(4)])
    assert [runs[f"C{n}"][0].lane for n in range(4)] == [3, 2, 1, 0]


def test_a_fan_to_the_left_crosses_nothing_when_the_leftmost_takes_the_highest_lane() -> None:
    runs = lanes([Crossing(f"C{n}", Leg(200 + 20 * n, True), Leg(20 * n, False)) for n in range(4)])
    assert [runs[f"C{n}"][0].lane for n in range(4)] == [0, 1, 2, 3]


def test_two_cables_that_change_places_part_by_a_detour() -> None:
    runs = lanes([Crossing("C1", Leg(0, True), Leg(50, False)), Crossing("C2", Leg(50, True), Leg(0, False))])
    assert sorted(len(own) for own in runs.values()) == [1, 2]


def test_the_same_cables_get_the_same_lanes() -> None:
    crossings = [Crossing(f"C{n}", Leg(12 * n, True), Leg(12 * ((n * 5) % 12), False)) for n in range(12)]
    assert lanes(crossings) == lanes(crossings)


@given(channels())
def test_what_a_high_lane_costs_is_counted_as_if_pair_by_pair(crossings: list[Crossing]) -> None:
    pieces = [_Piece(each.cable, each.first, each.second) for each in crossings if not each.straight]
    one_by_one = {
        piece: sum(_crossed(piece, other) - _crossed(other, piece) for other in pieces if other is not piece)
        for piece in pieces
    }
    assert _regrets(pieces) == one_by_one
