"""Shapes to SVG text: the only module that knows svgwrite and the tags.

What comes out has a viewBox, a title and a description, one element a line, numbers with at most two
decimals, no `use`, no `foreignObject`, no script, nothing from outside, and the same bytes for the same
shapes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from xml.etree import ElementTree

import svgwrite
from svgwrite.base import BaseElement

from topodraw.draw import text_metrics
from topodraw.draw.characters import shown
from topodraw.draw.primitives import TEXT_SIZE, Ellipse, Fill, Group, Hatch, Path, Rect, Shape, Text, every

SANS = "'DejaVu Sans Condensed','DejaVu Sans','Liberation Sans','Noto Sans',sans-serif"
MONO = "'DejaVu Sans Mono','Liberation Mono','Noto Sans Mono',monospace"
_SHEET_LINK = re.compile(r"[A-Za-z0-9_.-]+\.svg(#[A-Za-z0-9_.-]+)?")


def svg_text(
    shapes: Iterable[Shape], *, width: float, height: float, title: str, desc: str, ink: str, paper: str
) -> str:
    """A whole SVG document of the given size in px.

    `ink` is the colour of text that states none, `paper` the ground. Raises ValueError for a link that
    doesn't lead to a sheet beside this one.
    """
    content = tuple(shapes)
    root = svgwrite.Drawing(size=(number(width), number(height)), debug=False)
    _set(
        root,
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        aria_labelledby="title desc",
        font_family=SANS,
        font_size=number(TEXT_SIZE),
        fill=ink,
        # By this the drawing command knows its own sheets in a folder that holds other pictures too.
        **{"data-topodraw": "sheet"},
    )
    root.elements.clear()
    for name, words in (("title", title), ("desc", desc)):
        root.add(_words(root, name, words, id=name))
    root.add(_pattern_definitions(root, content))
    root.add(root.rect(("0", "0"), (number(width), number(height)), fill=paper))
    writer = _Writer(root)
    for shape in content:
        root.add(writer.element(shape))
    tree = root.get_xml()
    for name in ("xmlns:ev", "xmlns:xlink", "baseProfile", "version"):
        tree.attrib.pop(name, None)
    ElementTree.indent(tree, space="")
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(tree, encoding="unicode") + "\n"


def number(value: float) -> str:
    """A number as the SVG shows it: at most two decimals, no trailing zeros, no negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class _Writer:
    """Turns shapes into elements; remembers the ids so that no document has one twice."""

    def __init__(self, drawing: svgwrite.Drawing) -> None:
        self._drawing = drawing
        self._times_used: dict[str, int] = {}

    def element(self, shape: Shape) -> BaseElement:
        match shape:
            case Group():
                return self._group(shape)
            case Text():
                return self._text(shape)
            case Rect():
                element = self._drawing.rect(
                    (number(shape.x), number(shape.y)), (number(shape.width), number(shape.height))
                )
                if shape.radius:
                    _set(element, rx=number(shape.radius))
            case Ellipse():
                element = self._drawing.ellipse(
                    (number(shape.x), number(shape.y)), (number(shape.radius_x), number(shape.radius_y))
                )
            case Path():
                element = self._drawing.path(_path_data(shape))
        _set(element, fill=_fill_value(shape.fill))
        if shape.stroke != "none":
            _set(element, stroke=shape.stroke, stroke_width=number(shape.weight))
        if shape.dash:
            _set(element, stroke_dasharray=" ".join(number(length) for length in shape.dash))
        if shape.opacity != 1:
            _set(element, opacity=number(shape.opacity))
        self._identify(element, shape.id, shape.kind)
        return element

    def _group(self, group: Group) -> BaseElement:
        if group.link and not _SHEET_LINK.fullmatch(group.link):
            raise ValueError(f"a sheet may link only to a sheet beside it, not to {group.link!r}")
        element = self._drawing.g()
        self._identify(element, group.id, group.kind)
        _set(element, role=group.role, aria_label=shown(group.aria_label))
        _set(element, **{f"data-{name}": shown(value) for name, value in group.data})
        for name, words in (("title", group.title), ("desc", group.desc)):
            if words:
                element.add(_words(self._drawing, name, words))
        holder = element
        if group.link:
            holder = BaseElement(debug=False)
            holder.elementname = "a"
            _set(holder, href=group.link)
            element.add(holder)
        for shape in group.shapes:
            holder.add(self.element(shape))
        return element

    def _text(self, text: Text) -> BaseElement:
        element = self._drawing.text(shown(text.words), insert=None)
        element.attribs.clear()
        _set(element, x=number(text.x), y=number(text.y))
        if text.fill:
            _set(element, fill=text.fill)
        if text.size != TEXT_SIZE:
            _set(element, font_size=number(text.size))
        if text.style in ("mono", "mono-bold"):
            _set(element, font_family=MONO)
        if text.style in ("bold", "mono-bold"):
            _set(element, font_weight="bold")
        if text.anchor != "start":
            _set(element, text_anchor=text.anchor)
        if text.opacity != 1:
            _set(element, fill_opacity=number(text.opacity))
        # A font that isn't measured may be narrower than reserved; stretching it would only make it ugly.
        if text.words and text_metrics.is_measured(text.words, text.style):
            _set(element, textLength=number(text.width), lengthAdjust="spacingAndGlyphs")
        if text.upright:
            _set(element, transform=f"rotate(-90 {number(text.x)} {number(text.y)})")
        if text.within:
            _set(element, **{"data-within": text.within})
        self._identify(element, "", text.kind)
        return element

    def _identify(self, element: BaseElement, identifier: str, kind: str) -> None:
        if identifier:
            times = self._times_used[identifier] = self._times_used.get(identifier, 0) + 1
            _set(element, id=identifier if times == 1 else f"{identifier}_{times}")
        if kind:
            _set(element, **{"class": kind})


def _set(element: BaseElement, **attributes: str) -> None:
    for name, value in attributes.items():
        if value:
            element.attribs[name if name in ("textLength", "lengthAdjust") else name.replace("_", "-")] = (
                value
            )


def _words(drawing: svgwrite.Drawing, name: str, words: str, **attributes: str) -> BaseElement:
    element = drawing.text(shown(words), insert=None)
    element.attribs.clear()
    element.elementname = name
    _set(element, **attributes)
    return element


def _path_data(path: Path) -> str:
    return "".join(
        "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + ("z" if path.closed else "")
        for points in path.lines
    )


def _fill_value(fill: Fill) -> str:
    return f"url(#{_hatch_id(fill)})" if isinstance(fill, Hatch) else fill


def _hatch_id(hatch: Hatch) -> str:
    numbers = "-".join(number(value) for value in (hatch.opacity, hatch.pitch, hatch.weight))
    return f"hatch-{hatch.form}-{hatch.colour.lstrip('#')}-{numbers}"


def _pattern_definitions(drawing: svgwrite.Drawing, shapes: tuple[Shape, ...]) -> BaseElement:
    definitions = drawing.defs
    definitions.elements.clear()
    hatches = {
        _hatch_id(shape.fill): shape.fill
        for shape in every(shapes)
        if isinstance(shape, Rect | Path | Ellipse) and isinstance(shape.fill, Hatch)
    }
    for identifier, hatch in sorted(hatches.items()):
        pitch = number(hatch.pitch)
        pattern = drawing.pattern()
        pattern.attribs.clear()
        _set(pattern, id=identifier, width=pitch, height=pitch, patternUnits="userSpaceOnUse")
        tile = drawing.path(_path_data(Path(_hatch_lines(hatch))))
        _set(
            tile,
            fill="none",
            stroke=hatch.colour,
            stroke_width=number(hatch.weight),
            opacity=number(hatch.opacity),
        )
        pattern.add(tile)
        definitions.add(pattern)
    return definitions


def _hatch_lines(hatch: Hatch) -> tuple[tuple[tuple[float, float], ...], ...]:
    """The strokes of one square tile; slanting ones run on into the corners, where the neighbouring tiles'
    strokes end."""
    p = hatch.pitch
    h = p / 2
    match hatch.form:
        case "diagonal":
            return (((-1, p + 1), (p + 1, -1)), ((-1, 1), (1, -1)), ((p - 1, p + 1), (p + 1, p - 1)))
        case "counter":
            return (((-1, -1), (p + 1, p + 1)), ((-1, p - 1), (1, p + 1)), ((p - 1, -1), (p + 1, 1)))
        case "horizontal":
            return (((0, h), (p, h)),)
        case "vertical":
            return (((h, 0), (h, p)),)
        case "dots":
            half = hatch.weight / 2
            return tuple(((x - half, x), (x + half, x)) for x in (p / 4, 3 * p / 4))
        case "cross":
            return (((h - p / 4, h), (h + p / 4, h)), ((h, h - p / 4), (h, h + p / 4)))
        case "lattice":
            return (((0, h), (p, h)), ((h, 0), (h, p)))
