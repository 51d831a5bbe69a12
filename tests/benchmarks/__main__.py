"""How long the commands take and how much memory, beside the C YAML composer on the same bytes.

    python -m tests.benchmarks                      # 100, 1,000 and 10,000 gear
    python -m tests.benchmarks --sizes 100 1000 --steps compose check

Each figure is processor time in a process of its own (the best of several runs for small sites), so that
other work on the machine disturbs little. Nothing here passes or fails: the aims stand beside the figures.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

from tests.benchmarks.generate import CABLES_A_GEAR, site_text

STEPS = ("compose", "check", "facts", "draw")
AIMS = "check at most 10 x compose at 1,000 gear; growth from 100 to 1,000 at most 13 x; start-up at most 2 x"
_IMPORTS = "import click, yaml, pydantic\nclass Model(pydantic.BaseModel):\n    name: str\n"
_COMMAND = "from topodraw.cli import main\nmain()"
"""What the installed `topodraw` script does."""
_ROOT = Path(__file__).parents[2]


class Figure(NamedTuple):
    """What one step took: processor seconds and peak memory, or why there is no figure."""

    seconds: float | None
    peak_mib: float | None
    why: str = ""


def measure(step: str, site: Path, times: int, limit_s: float) -> Figure:
    """Run one step in a new process, for at most `limit_s`."""
    call = [sys.executable, "-m", "tests.benchmarks.measure", step, str(site), str(times)]
    try:
        done = subprocess.run(call, capture_output=True, text=True, timeout=limit_s, check=False, cwd=_ROOT)
    except subprocess.TimeoutExpired:
        return Figure(None, None, f"over {limit_s:g} s")
    if done.returncode:
        return Figure(None, None, f"failed: {' / '.join(done.stderr.strip().splitlines()[-2:])}")
    return Figure(**json.loads(done.stdout))


def start_up_s(call: list[str], times: int = 7) -> float:
    """Processor time of a whole process in s, the best of several."""
    seconds = []
    for _ in range(times):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(call, capture_output=True, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        seconds.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(seconds)


def table(figures: dict[int, dict[str, Figure]]) -> str:
    """The figures of every size: seconds, how many times the composer, peak memory, growth since the last."""
    lines = []
    for step in next(iter(figures.values())):
        cells = [f"{step:8}"]
        before: float | None = None
        for size, row in figures.items():
            seconds, peak_mib, why = row[step]
            if seconds is None:
                cells.append(f"{size:6} gear: {why}")
                continue
            rod = row["compose"].seconds if "compose" in row else None
            ratio = f"{seconds / rod:6.1f} x" if rod else ""
            growth = f"grew {seconds / before:5.1f} x" if before else ""
            cells.append(f"{size:6} gear: {seconds:8.3f} s {ratio} {peak_mib:5.0f} MiB {growth}")
            before = seconds
        lines.append("\n         ".join(cells))
    return "\n".join(lines)


def main() -> None:
    """Generate the sites, measure every step on each, and print it."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--sizes", type=int, nargs="+", default=[100, 1000, 10_000], help="gear, rising")
    parser.add_argument("--steps", nargs="+", choices=STEPS, default=list(STEPS))
    parser.add_argument("--limit", type=float, default=300, help="most seconds that one step may take")
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        figures: dict[int, dict[str, Figure]] = {}
        for size in chosen.sizes:
            site = Path(folder) / str(size)
            site.mkdir()
            (site / "site.yaml").write_text(site_text(size), encoding="utf-8")
            times = 5 if size <= 100 else 3 if size <= 1000 else 1
            figures[size] = {step: measure(step, site, times, chosen.limit) for step in chosen.steps}
    print(f"Sites of {', '.join(f'{size:,}' for size in chosen.sizes)} gear, {CABLES_A_GEAR} cables each")
    print(table(figures))
    starter = str(_ROOT / "examples" / "shelf")
    ours = start_up_s([sys.executable, "-c", _COMMAND, "check", starter])
    rod = start_up_s([sys.executable, "-c", _IMPORTS])
    print(
        f"start-up {ours:.3f} s for check examples/shelf; the imports alone {rod:.3f} s: {ours / rod:.2f} x"
    )
    print(f"aims     {AIMS}")


if __name__ == "__main__":
    main()
