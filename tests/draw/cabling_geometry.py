"""What must hold for the lines of any cabling sheet, measured from where its parts stand."""

import itertools

from topodraw.draw.cabling.sheets import LaidOut

Segment = tuple[str, float, float, float]
"""A wire, the coordinate that stays, and from where to where the other one goes."""
_APART = 4.0


def segments(laid: LaidOut) -> tuple[list[Segment], list[Segment]]:
    """Level and upright segments of all lines; every segment is one or the other."""
    level: list[Segment] = []
    upright: list[Segment] = []
    for key, points in laid.found.lines.items():
        for (x0, y0), (x1, y1) in itertools.pairwise(points):
            assert x0 == x1 or y0 == y1, f"{key} runs askew"
            if x0 == x1:
                upright.append((key, x0, min(y0, y1), max(y0, y1)))
            else:
                level.append((key, y0, min(x0, x1), max(x0, x1)))
    return level, upright


def shared_stretches(laid: LaidOut) -> list[tuple[str, str]]:
    """Pairs of cables that run on or hard beside each other."""
    found = []
    for kind in segments(laid):
        kind.sort(key=lambda segment: segment[1])
        for place, (one, at, start, end) in enumerate(kind):
            for other, there, begin, stop in kind[place + 1 :]:
                if there - at >= _APART:
                    break
                if one != other and start < stop - 0.01 and begin < end - 0.01:
                    found.append((one, other))
    return found


def through_boxes(laid: LaidOut) -> list[tuple[str, str]]:
    """Cables that run through or touch a box which they don't end on."""
    ends = {wire.key: {end.box for end in wire.ends} for wire in laid.built.plan.wires}
    level, upright = segments(laid)
    found = []
    for box in laid.built.plan.boxes:
        left, top = laid.found.boxes[box.key]
        right, bottom = left + box.width, top + box.height
        for wire, x, start, end in upright:
            if box.key not in ends[wire] and left - 2 < x < right + 2 and start < bottom and end > top:
                found.append((wire, box.key))
        for wire, y, start, end in level:
            if box.key not in ends[wire] and top - 1 < y < bottom + 1 and start < right and end > left:
                found.append((wire, box.key))
    return found


def overlapping_boxes(laid: LaidOut) -> list[tuple[str, str]]:
    """Boxes that overlap."""
    boxes = [(box.key, *laid.found.boxes[box.key], box.width, box.height) for box in laid.built.plan.boxes]
    return [
        (one[0], other[0])
        for place, one in enumerate(boxes)
        for other in boxes[:place]
        if one[1] < other[1] + other[3]
        and other[1] < one[1] + one[3]
        and one[2] < other[2] + other[4]
        and other[2] < one[2] + one[4]
    ]


def loose_ends(laid: LaidOut) -> list[str]:
    """Cables that don't begin and end at the port they are plugged into, at most its size away."""
    boxes = {box.key: box for box in laid.built.plan.boxes}
    found = []
    for wire in laid.built.plan.wires:
        points = laid.found.lines[wire.key]
        for end, (x, y) in zip(wire.ends, (points[0], points[-1]), strict=True):
            box = boxes[end.box]
            left, top = laid.found.boxes[end.box]
            socket = box.sockets[end.socket]
            port_y = top if socket.edge == "top" else top + box.height
            if abs(x - left - socket.x) > 9 or abs(y - port_y) > 10:
                found.append(wire.key)
    return found


def straight_crossings(laid: LaidOut) -> int:
    """How often straight lines from port to port would cross in the same placement."""
    lines = [(points[0], points[-1]) for points in laid.found.lines.values()]
    return sum(_cross(one, other) for place, one in enumerate(lines) for other in lines[:place])


def _cross(one: tuple[tuple[float, float], ...], other: tuple[tuple[float, float], ...]) -> bool:
    def side(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, other
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
