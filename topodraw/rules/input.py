"""What makes an input unusable. Reading judges these while it reads; here they are explained."""

from __future__ import annotations

from collections.abc import Iterator

from topodraw.rules.rule import EXAMPLE_HEADER, Outcome, rule

_LANGUAGE = "the source language"
_VLAN = "vlans: {science: {id: 20}}\n"
_GEAR = """\
hardware:
  cam: {function: camera, ports: {eth: {jack: RJ45, speeds: [100M]}}}
gear:
  cam-1: {model: cam}
"""


def _judged_while_reading(_: object) -> Iterator[Outcome]:
    return iter(())


no_site = rule(
    name="no-site",
    severity="error",
    question="Is there a site file that can be read?",
    why="Without the first file there is nothing to check or to draw.",
    fix="Name a site file, or a folder that holds `site.yaml`; `topodraw new DIR` makes one.",
    source=_LANGUAGE,
    breaks="",
    keeps="",
    about="input",
)(_judged_while_reading)

bad_yaml = rule(
    name="bad-yaml",
    severity="error",
    question="Is the text YAML, without the parts of it that a site doesn't take?",
    why="What can't be parsed can't be understood. Aliases, tags and merge keys are refused: "
    "they hide where a "
    "value stands, and a few lines of them can grow without end.",
    fix="Mend the line that is named; set in with blanks, never with tabs.",
    source="YAML 1.2.2",
    breaks="vlans: {science: {id: 20}\n",
    keeps=_VLAN,
    about="input",
)(_judged_while_reading)

unknown_version = rule(
    name="unknown-version",
    severity="error",
    question="Does the first file say which version of the source language it is written in?",
    why="A later version may mean something else by the same words.",
    fix="Begin the first file with `topodraw: 1`.",
    source=_LANGUAGE,
    breaks="topodraw: 9\nsite: {name: Example, ref: EX}\n",
    keeps=EXAMPLE_HEADER,
    about="input",
)(_judged_while_reading)

unknown_key = rule(
    name="unknown-key",
    severity="error",
    question="Is each key one that may stand where it stands?",
    why="A misspelt key would be passed over in silence, and what it says with it.",
    fix="Write one of the keys that the message names.",
    source=_LANGUAGE,
    breaks="vlans: {science: {id: 20, subnett: 192.0.2.0/26}}\n",
    keeps="vlans: {science: {id: 20, subnet: 192.0.2.0/26}}\n",
    about="input",
)(_judged_while_reading)

missing_key = rule(
    name="missing-key",
    severity="error",
    question="Is everything stated that must be?",
    why="Without it the entry has no meaning, and a guess would be taken for the truth.",
    fix="Add the key that the message names.",
    source=_LANGUAGE,
    breaks="vlans: {science: {subnet: 192.0.2.0/26}}\n",
    keeps="vlans: {science: {id: 20, subnet: 192.0.2.0/26}}\n",
    about="input",
)(_judged_while_reading)

bad_value = rule(
    name="bad-value",
    severity="error",
    question="Is each value of the kind, and in the unit, that its key takes?",
    why="A number without its unit, or a word that isn't known, can't be computed with.",
    fix="Write it as the message shows: quantities carry their unit, such as 0.5m, 48W or 2.5G.",
    source=_LANGUAGE,
    breaks="vlans: {science: {id: 20, subnet: 192.0.2.7/26}}\n",
    keeps="vlans: {science: {id: 20, subnet: 192.0.2.0/26}}\n",
    about="input",
)(_judged_while_reading)

missing_reference = rule(
    name="missing-reference",
    severity="error",
    question="Does each name that is referred to exist?",
    why="What refers to nothing can't be followed.",
    fix="Correct the name, or describe the thing.",
    source=_LANGUAGE,
    breaks=_GEAR.replace("model: cam}", "model: camm}"),
    keeps=_GEAR,
    about="input",
)(_judged_while_reading)

ambiguous_name = rule(
    name="ambiguous-name",
    severity="error",
    question="Does each name mean one thing where it stands?",
    why="Where a name could mean two things, a guess would sometimes be the wrong one.",
    fix="Say the kind, such as `vlan:watch` or `gear:watch`.",
    source=_LANGUAGE,
    breaks=_VLAN + "remotes: {science: {kind: internet}}\nexpect: [{never: science -> internet}]\n",
    keeps=_VLAN + "remotes: {science: {kind: internet}}\nexpect: [{never: vlan:science -> internet}]\n",
    about="input",
)(_judged_while_reading)

name_used_twice = rule(
    name="name-used-twice",
    severity="error",
    question="Does each name stand once in its section?",
    why="Of two descriptions under one name only one could count, and nobody would see which.",
    fix="Give one of them another name, or take it out.",
    source=_LANGUAGE,
    breaks="vlans:\n  science: {id: 20}\n  science: {id: 21}\n",
    keeps="vlans:\n  science: {id: 20}\n  watch: {id: 21}\n",
    about="input",
)(_judged_while_reading)

bad_name = rule(
    name="bad-name",
    severity="error",
    question="Can each name be written in a reference?",
    why="References use `/`, `:` and `->` for themselves: a name that holds them could not be referred to.",
    fix="Use letters, digits, blanks, `-`, `_`, `.` and `+`.",
    source=_LANGUAGE,
    breaks=_GEAR.replace("cam-1", "cam/1"),
    keeps=_GEAR,
    about="input",
)(_judged_while_reading)

range_mismatch = rule(
    name="range-mismatch",
    severity="error",
    question="Have all ranges of one entry the same number of members?",
    why="Ranges expand in step: the third name gets the third end. With unequal ranges somebody "
    "is left over.",
    fix="Make the ranges equally long.",
    source=_LANGUAGE,
    breaks=_GEAR.replace("cam-1", "cam-1..cam-3")
    + "cables: {C1..C2: {ends: [cam-1/eth, cam-1..cam-3/eth], medium: Cat6A}}\n",
    keeps=_GEAR.replace("cam-1", "cam-1..cam-4")
    + "cables: {C1..C2: {ends: [cam-1..cam-2/eth, cam-3..cam-4/eth], medium: Cat6A}}\n",
    about="input",
)(_judged_while_reading)

include_refused = rule(
    name="include-refused",
    severity="error",
    question="Does each include name a file inside the site's folder, once?",
    why="A site must read the same on every machine, so it can't depend on what lies outside its folder.",
    fix="Put the file into the site's folder and give its path from there.",
    source=_LANGUAGE,
    breaks=EXAMPLE_HEADER + "include: [../elsewhere.yaml]\n",
    keeps=_VLAN,
    about="input",
)(_judged_while_reading)
