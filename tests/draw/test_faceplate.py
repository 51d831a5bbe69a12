"""Ports stand on a faceplate as the trade builds and numbers it (common practice, no published source)."""

import pytest

from topodraw.draw.faceplate import CABLING, RACK, PortFace, PortLayout, lay_out_ports


def _range(prefix: str, count: int, group: int = 0, rows: int | None = None) -> list[PortFace]:
    return [PortFace(f"{prefix}{n}", "jack", group=group, rows=rows) for n in range(1, count + 1)]


def _at(layout: PortLayout) -> dict[str, tuple[float, str]]:
    return {spot.face.name: (spot.x, spot.row) for spot in layout.spots}


def _no_ports_overlap(layout: PortLayout) -> bool:
    return not any(
        a.x < b.x + b.width - 0.01
        and b.x < a.x + a.width - 0.01
        and a.y < b.y + b.height - 0.01
        and b.y < a.y + a.height - 0.01
        for place, a in enumerate(layout.spots)
        for b in layout.spots[:place]
    )


def test_many_ports_stand_in_two_rows_odd_above_even() -> None:
    at = _at(lay_out_ports(_range("p", 24), RACK))
    assert {at[f"p{n}"][1] for n in range(1, 24, 2)} == {"top"}
    assert {at[f"p{n}"][1] for n in range(2, 25, 2)} == {"bottom"}
    assert at["p1"][0] == at["p2"][0] < at["p3"][0] == at["p4"][0]


def test_there_is_more_air_after_every_six() -> None:
    at = _at(lay_out_ports(_range("p", 24), RACK))
    steps = [at[f"p{n + 2}"][0] - at[f"p{n}"][0] for n in range(1, 23, 2)]
    assert [place for place, step in enumerate(steps) if step > min(steps) + 1] == [2, 5, 8]


def test_few_ports_stand_in_one_row_and_stated_rows_decide() -> None:
    assert {row for _, row in _at(lay_out_ports(_range("e", 4), RACK)).values()} == {"middle"}
    stated = lay_out_ports(_range("p", 12, rows=1), RACK)
    assert len({spot.y for spot in stated.spots}) == 1
    assert len({spot.y for spot in lay_out_ports(_range("p", 12, rows=3), RACK).spots}) == 3


@pytest.mark.parametrize("room", [400, 300, 200, 90, 40])
@pytest.mark.parametrize("counts", [(24, 4, 1), (48, 6, 1), (2, 1), (96,)])
def test_ports_move_closer_until_they_fit(room: float, counts: tuple[int, ...]) -> None:
    faces = [face for group, count in enumerate(counts) for face in _range("abc"[group], count, group)]
    layout = lay_out_ports(faces, RACK, room=room)
    assert len(layout.spots) == sum(counts)
    assert all(spot.x >= -0.01 and spot.x + spot.width <= room + 0.01 for spot in layout.spots)
    assert all(spot.y >= 0 and spot.y + spot.height <= 37.01 for spot in layout.spots)
    assert _no_ports_overlap(layout)


def test_numbers_that_all_fit_are_written_inside() -> None:
    layout = lay_out_ports(_range("p", 12), RACK)
    assert [spot.label for spot in layout.spots] == [str(n) for n in range(1, 13)]
    assert [spot.label for spot in lay_out_ports(_range("e", 2), RACK).spots] == ["e1", "e2"]


def test_a_port_named_like_a_path_shows_its_last_number() -> None:
    layout = lay_out_ports(_range("1/0/", 24), RACK)
    assert layout.spots[-1].label == "24"


def test_seen_from_behind_the_first_port_is_at_the_right() -> None:
    layout = lay_out_ports(_range("", 24), RACK)
    front, rear = layout.at(0, 0), layout.at(0, 0, mirrored=True)
    assert min(front, key=lambda spot: spot.x).face.name == "1"
    assert max(rear, key=lambda spot: spot.x).face.name in ("1", "2")
    assert [spot.y for spot in front] == [spot.y for spot in rear]


def test_cables_leave_upward_from_the_top_row_and_downward_from_the_bottom_row() -> None:
    upper, lower = lay_out_ports(_range("p", 8), CABLING).at(100, 200)[:2]
    assert upper.outer_y == 200
    assert lower.outer_y == lower.y + lower.height == 200 + lay_out_ports(_range("p", 8), CABLING).height
    assert upper.middle_x == lower.middle_x


def test_on_cabling_sheets_two_rows_are_the_most() -> None:
    rows = {spot.row for spot in lay_out_ports(_range("p", 24, rows=4), CABLING).spots}
    assert rows == {"top", "bottom"}
