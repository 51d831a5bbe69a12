"""What a rule checks, from its own declaration: for people, and as Markdown for documentation."""

from __future__ import annotations

import json
from typing import Any

from topodraw.report.lines import Line, table_lines
from topodraw.rules.catalogue import families, rules
from topodraw.rules.rule import Rule

FAMILY_TITLES = {
    "addresses": "Addresses",
    "aggregates": "Aggregates",
    "cabling": "Cables and cords",
    "hosting": "Workloads",
    "input": "Input that can't be used",
    "links": "Links",
    "promises": "Promises",
    "racks": "Racks",
    "spanning_tree": "Spanning tree",
    "subnets": "Subnets, gateways and routes",
    "tool": "The tool itself",
    "vlan_ids": "VLANs and their identifiers",
    "vlans": "VLANs on links",
    "waivers": "Waivers",
    "zones": "Zones and conduits",
}


def rule_lines(rule: Rule[Any]) -> list[Line]:
    """One rule for people: question, why, fix, source, and both examples."""
    lines = [Line(rule.name, "bold"), Line(f"Severity: {rule.severity}", rule.severity)]
    for title, text in (
        ("Asks", rule.question),
        ("Why", rule.why),
        ("Do", rule.fix),
        ("Source", rule.source),
    ):
        lines.append(Line(f"{title}: {text}"))
    for title, text in (("Breaks it", rule.breaks), ("Keeps it", rule.keeps)):
        if text:
            lines += [Line(), Line(f"{title}:", "bold")]
            lines += [Line(row, indent=4) for row in text.rstrip("\n").split("\n")]
    return lines


def catalogue_lines() -> list[Line]:
    """Every rule with its severity and question, family by family, for people."""
    lines: list[Line] = []
    for family, declared in families().items():
        lines.append(Line(FAMILY_TITLES.get(family, family), "bold"))
        rows = [("rule", "severity", "asks")] + [
            (rule.name, rule.severity, rule.question) for rule in declared
        ]
        lines += table_lines(rows)[1:]
        lines.append(Line())
    lines.append(Line(f"{len(rules())} rules. `topodraw explain RULE` says more about one."))
    return lines


def rule_markdown(rule: Rule[Any], level: int = 2) -> str:
    """One rule as Markdown, under a heading of that level."""
    parts = [
        f"{'#' * level} {rule.name}",
        f"*{rule.severity}* - {rule.question}",
        f"**Why:** {rule.why}",
        f"**Do:** {rule.fix}",
        f"**Source:** {rule.source}",
    ]
    for title, text in (("Breaks it", rule.breaks), ("Keeps it", rule.keeps)):
        if text:
            parts.append(f"{title}:\n\n```yaml\n{text.rstrip()}\n```")
    return "\n\n".join(parts) + "\n"


def catalogue_markdown() -> str:
    """The whole catalogue as one Markdown page, family by family."""
    parts = [
        "# Rules\n\nEach example stands for a whole site; its first two lines, "
        "`topodraw: 1` and `site: ...`, are left out.\n"
    ]
    for family, declared in families().items():
        parts.append(f"## {FAMILY_TITLES.get(family, family)}\n")
        parts += [rule_markdown(rule, 3) for rule in declared]
    return "\n".join(parts)


def rules_json(chosen: list[Rule[Any]]) -> str:
    """Rules as a JSON list of their declarations."""
    keys = ("name", "severity", "question", "why", "fix", "source", "breaks", "keeps")
    return json.dumps([{key: getattr(rule, key) for key in keys} for rule in chosen], indent=2)
