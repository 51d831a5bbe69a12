"""The schedules of a site: cables, ports and addresses, as text for people and CSV for spreadsheets."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Sequence
from typing import Literal, NamedTuple, get_args

from topodraw.compute.facts import Facts
from topodraw.report import address_register, cable_schedule, port_maps
from topodraw.report.tables import heading

Part = Literal["cables", "ports", "addresses"]
PARTS: tuple[Part, ...] = get_args(Part)


class _Schedule(NamedTuple):
    title: str
    text: Callable[[Facts], str]
    csv_headings: tuple[str, ...]
    records: Callable[[Facts], list[tuple[str, ...]]]


_SCHEDULES: dict[Part, _Schedule] = {
    "cables": _Schedule(
        "Cable schedule", cable_schedule.cable_text, cable_schedule.CSV_HEADINGS, cable_schedule.cable_records
    ),
    "ports": _Schedule("Port maps", port_maps.port_text, port_maps.CSV_HEADINGS, port_maps.port_records),
    "addresses": _Schedule(
        "Address register",
        address_register.address_text,
        address_register.CSV_HEADINGS,
        address_register.address_records,
    ),
}


def schedule_text(facts: Facts, parts: Sequence[Part] = PARTS) -> str:
    """The schedules asked for, one after the other, as plain text tables of at most 100 columns."""
    info = facts.site.info
    of_what = f"{info.name} ({info.ref}{f', issue {info.issue}' if info.issue else ''})"
    sections = []
    for part in parts:
        schedule = _SCHEDULES[part]
        text = schedule.text(facts) or "none\n"
        sections.append(heading(f"{schedule.title}: {of_what}") + text)
    return "\n\n".join(sections)


def schedule_csv(facts: Facts, part: Part) -> str:
    """One schedule as CSV (RFC 4180, but lines end as in text files): headings, then a line a record."""
    schedule = _SCHEDULES[part]
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(schedule.csv_headings)
    writer.writerows(schedule.records(facts))
    return text.getvalue()


def schedule_json(facts: Facts, parts: Sequence[Part] = PARTS) -> str:
    """The schedules asked for as JSON: the records of each part, keyed by the headings of its CSV."""
    records = {
        part: [
            dict(zip(_SCHEDULES[part].csv_headings, record, strict=True))
            for record in _SCHEDULES[part].records(facts)
        ]
        for part in parts
    }
    return json.dumps(records, indent=2)
