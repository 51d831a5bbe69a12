"""Whether a sheet can be read: measured from its shapes with the shipped text widths."""

from topodraw.draw.primitives import Rect, Text, every, texts
from topodraw.draw.sheet import Sheet

_TOUCH = 0.3


def overlapping_texts(sheet: Sheet) -> list[tuple[str, str]]:
    """Pairs of texts whose ink would meet."""
    found: list[tuple[str, str]] = []
    above: list[Text] = []
    for text in sorted((text for text in texts(sheet.shapes) if text.words), key=lambda text: text.box[1]):
        left, top, right, _ = text.box
        above = [other for other in above if other.box[3] > top + _TOUCH]
        for other in above:
            if min(right, other.box[2]) - max(left, other.box[0]) > _TOUCH:
                found.append((other.words, text.words))
        above.append(text)
    return found


def stray_texts(sheet: Sheet) -> list[str]:
    """Texts that leave the sheet or the box that they say they are in, and texts that are too small."""
    boxes = {shape.id: shape for shape in every(sheet.shapes) if isinstance(shape, Rect) and shape.id}
    found = []
    for text in texts(sheet.shapes):
        left, top, right, bottom = text.box
        room = Rect(8, 8, sheet.width - 16, sheet.height - 16)
        box = boxes[text.within] if text.within else room
        inside = (
            box.x - 0.5 <= left
            and right <= box.x + box.width + 0.5
            and box.y - 0.5 <= top
            and bottom <= box.y + box.height + 0.5
        )
        if not inside or text.size < 13.1:
            found.append(text.words)
    return found
