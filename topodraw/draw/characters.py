"""What a name may put on a sheet: text made safe for XML and for the eye, and ids made from names.

Names come from people's files and may hold anything. Characters that XML 1.0 (section 2.2, `Char`) refuses
can't be written even as references, and the bidirectional controls of Unicode (UAX #9) can make a name read
as another one, so both are shown as an escape instead of being passed on.
"""

from __future__ import annotations

import re

_SPACES = re.compile(r"[ \t\r\n\u0085\u2028\u2029]+")
# Controls, surrogates and non-characters (XML 1.0, 2.2), then the embedding, override and isolate controls
# (UAX #9, 2.).
_REFUSED = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff\u202a-\u202e\u2066-\u2069]"
)
_KEPT_IN_IDS = re.compile(r"[A-Za-z0-9-]")


def shown(text: str) -> str:
    """The text as a sheet shows it: runs of white space become one space, unsafe characters an escape like
    `\\u202e`."""
    single_line = _SPACES.sub(" ", text).strip(" ")
    return _REFUSED.sub(lambda match: f"\\u{ord(match.group()):04x}", single_line)


def element_id(kind: str, *names: str) -> str:
    """An id for a thing of one kind: `element_id("gear", "core")` is `gear-core`, of a port `port-core.x1`.

    Two different lists of names never share an id: letters, digits and single hyphens stay, `/` becomes `.`,
    any other character its code point between underscores, and several names are joined by a double hyphen.
    `kind` is one word.
    """
    return f"{kind}-" + "--".join(_encoded(name) for name in names)


def file_stem(name: str) -> str:
    """A name as part of a file's name: safe on every file system and for links, and different for different
    names."""
    return _encoded(name)


def _encoded(name: str) -> str:
    parts: list[str] = []
    for place, character in enumerate(name):
        outer_hyphen = character == "-" and (place in (0, len(name) - 1) or name[place - 1] == "-")
        if character == "/":
            parts.append(".")
        elif _KEPT_IN_IDS.match(character) and not outer_hyphen:
            parts.append(character)
        else:
            parts.append(f"_{ord(character):x}_")
    return "".join(parts)
