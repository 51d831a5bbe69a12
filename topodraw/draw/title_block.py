"""The title block, with the fields of ISO 7200: owner, identification, title, type, issue, sheet, date,
creator, approver."""

from __future__ import annotations

from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.primitives import LINE_PITCH, TEXT_SIZE, Group, Rect, Shape, Text, line
from topodraw.draw.text_metrics import Style
from topodraw.draw.theme import Theme

WIDTH = 440.0
_PAD = 8.0
_NOT_STATED = "not stated"


@dataclass(frozen=True, slots=True)
class Identity:
    """What the site says about its documents; None is what it doesn't state."""

    site: str
    ref: str
    owner: str | None = None
    issue: str | None = None
    date: str | None = None
    creator: str | None = None
    approver: str | None = None


@dataclass(frozen=True, slots=True)
class _Field:
    label: str
    words: str
    share: float
    style: Style = "regular"
    size: float = TEXT_SIZE
    more: str = ""

    def lines(self) -> list[str]:
        return text_metrics.wrap(self.words, self._room(), self.size, self.style)

    def more_lines(self) -> list[str]:
        return text_metrics.wrap(self.more, self._room(), TEXT_SIZE)

    def height(self) -> float:
        words = max(1, len(self.lines())) * (self.size + 3)
        return 22 + words + len(self.more_lines()) * LINE_PITCH + 6

    def _room(self) -> float:
        return self.share * WIDTH - 2 * _PAD


def title_block_rows(
    identity: Identity, *, title: str, kind: str, identification: str, number: int, of: int, scale: str
) -> tuple[tuple[_Field, ...], ...]:
    """The fields by row. The owner, date, creator and approver that ISO 7200 wants are named even where not
    stated."""
    dated = identity.date or _NOT_STATED
    paper = [
        _Field("issue", identity.issue or _NOT_STATED, 0.18, "bold"),
        _Field("sheet", f"{number}/{of}", 0.17),
    ]
    if scale:
        paper.append(_Field("scale", scale, 0.2))
    used = sum(field.share for field in paper)
    return (
        (_Field("title", title, 1, "bold", 20, identity.site),),
        (
            _Field("legal owner", identity.owner or _NOT_STATED, 0.5),
            _Field("identification", identification, 0.5, "mono-bold"),
        ),
        (_Field("document type", kind, 1 - used), *paper),
        (
            _Field("date of issue", dated, 0.3),
            _Field("creator", identity.creator or _NOT_STATED, 0.35),
            _Field("approved by", identity.approver or _NOT_STATED, 0.35),
        ),
    )


def rows_height(rows: tuple[tuple[_Field, ...], ...]) -> float:
    """Height of the title block in px."""
    return sum(max(field.height() for field in row) for row in rows)


def title_block(rows: tuple[tuple[_Field, ...], ...], x: float, y: float, theme: Theme) -> Group:
    """The title block with its top left at (`x`, `y`)."""
    ink = theme.ink
    shapes: list[Shape] = [Rect(x, y, WIDTH, rows_height(rows), theme.plate, ink, 1.2)]
    top = y
    for row in rows:
        height = max(field.height() for field in row)
        if top > y:
            shapes.append(line(x, top, x + WIDTH, top, ink, 0.8))
        left = x
        for field in row:
            if left > x:
                shapes.append(line(left, top, left, top + height, ink, 0.8))
            box = element_id("field", field.label)
            shapes.append(Rect(left, top, field.share * WIDTH, height, id=box))
            shapes.append(Text(left + _PAD, top + 16, field.label, ink, opacity=0.8, within=box))
            opacity = 0.8 if field.words == _NOT_STATED else 1.0
            baseline = top + 19
            style: Style = "regular" if field.words == _NOT_STATED else field.style
            for words in field.lines():
                baseline += field.size + 2
                shapes.append(
                    Text(left + _PAD, baseline, words, ink, field.size, style, opacity=opacity, within=box)
                )
            for words in field.more_lines():
                baseline += LINE_PITCH + 1
                shapes.append(Text(left + _PAD, baseline, words, ink, within=box))
            left += field.share * WIDTH
        top += height
    return Group(tuple(shapes), kind="title-block", title="Title block")
