"""One measurement in a process of its own: processor seconds and peak memory of one step on one site.

Called by `__main__.py` as `python -m tests.benchmarks.measure STEP SITE TIMES`; prints one JSON object.
"""

from __future__ import annotations

import contextlib
import gc
import json
import os
import resource
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import yaml


def processor_s() -> float:
    """Processor time of this process and of the children it has waited for, in s."""
    both = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(used.ru_utime + used.ru_stime for used in both)


def compose(site: Path) -> None:
    """The measuring rod: PyYAML's composer in C on the same bytes."""
    yaml.compose((site / "site.yaml").read_bytes(), Loader=yaml.CLoader)


def command(*words: str) -> None:
    """A topodraw command in this process, its output thrown away; any exit status but 2 will do."""
    from topodraw.cli import main as topodraw

    sys.argv = ["topodraw", *words]
    with open(os.devnull, "w", encoding="utf-8") as nowhere, contextlib.redirect_stdout(nowhere):
        try:
            topodraw()
        except SystemExit as end:
            if end.code == 2:
                raise SystemExit(f"topodraw {words[0]} can't be measured: see above") from end


def steps(site: Path, folder: Path) -> dict[str, Callable[[], None]]:
    """What can be measured, by name."""
    return {
        "compose": lambda: compose(site),
        "check": lambda: command("check", str(site)),
        "facts": lambda: command("facts", str(site)),
        "draw": lambda: command("draw", str(site), "-o", str(folder)),
    }


def main(step: str, site: str, times: str) -> None:
    """Measure `step` on `site`, the best of `times` runs, after a first run on a small site that imports."""
    starter = Path(__file__).parents[2] / "examples" / "shelf"
    with tempfile.TemporaryDirectory() as folder:
        steps(starter, Path(folder) / "warm")[step]()
        if step == "compose":
            gc.disable()
        run = steps(Path(site), Path(folder) / "out")[step]
        seconds = []
        for _ in range(int(times)):
            before = processor_s()
            run()
            seconds.append(processor_s() - before)
            gc.collect()
    peak_mib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(json.dumps({"seconds": min(seconds), "peak_mib": peak_mib}))


if __name__ == "__main__":
    main(*sys.argv[1:])
