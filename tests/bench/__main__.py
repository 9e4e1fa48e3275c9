"""`make bench`: the demo's check, build and PDF, growth with the number of circuits, and edit-to-page time in `serve`."""

from __future__ import annotations

import json
import os
import platform
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

ROOT = Path(__file__).parents[2]
SIZES = (250, 500, 1000, 2000)


def run(*words: str, cwd: Path = ROOT, **env: str) -> tuple[float, str]:
    """Wall time [s] and output of a command; a failing command ends the bench."""
    start = time.perf_counter()
    done = subprocess.run(words, cwd=cwd, env={**os.environ, **env}, capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"{' '.join(words)} ended with status {done.returncode}\n{done.stderr[-3000:]}")
    return time.perf_counter() - start, done.stdout


def best(count: int, *words: str, **env: str) -> float:
    """The shortest of several runs [s]: what the work itself takes."""
    return min(run(*words, **env)[0] for _ in range(count))


def machine() -> None:
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    print(f"machine: {os.cpu_count()} cores, {memory:.0f} GiB, Python {platform.python_version()}")


def check() -> None:
    command = "from loombook.cli import main; main()"
    seconds = best(5, sys.executable, "-c", command, "check")
    print(f"check, demo: {seconds:.2f} s (target under 1 s)")


def build_beside_plain() -> None:
    """The demo's whole build beside MkDocs building the same pages from plain files."""
    with tempfile.TemporaryDirectory() as scratch:
        site = Path(scratch, "site")
        build = [sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(site)]
        whole = best(3, *build, LOOMBOOK_PDF="false")
        printed = best(1, *build, LOOMBOOK_PDF="true")
        pages = len(list(site.rglob("*.html")))
        plain = best(3, sys.executable, "-m", "tests.bench.plain", scratch)
    print(
        f"build, demo: {whole:.2f} s for {pages} pages; the same pages from plain files {plain:.2f} s; ratio {whole / plain:.2f} (target 2)"
    )
    print(f"build with the PDF and the cards beside it, demo: {printed:.2f} s")


def paper() -> None:
    """The bound manual alone, from the finished pages."""
    out = run(sys.executable, "-m", "tests.bench.paper")[1]
    print(out, end="")


def growth() -> None:
    """Processor seconds of the stages, and of the study's parts, with the number of circuits."""
    measured = {}
    for size in SIZES:
        _, out = run(sys.executable, "-m", "tests.bench.stages", str(size))
        measured[size] = json.loads(out.splitlines()[-1])
    stages = {size: {n: s for n, (s, _) in found["stages"].items()} for size, found in measured.items()}
    _table("stage", stages)
    for name in ("study", "manual"):
        peaks = ", ".join(f"{found['stages'][name][1]:.0f}" for found in measured.values())
        print(f"most memory up to the end of the {name}: {peaks} MB")
    print("targets at 2,000 circuits: the study 5 s and 500 MB, all 1,000 MB")
    _table("part of the study", {size: found["study"] for size, found in measured.items()})


def _table(head: str, columns: dict[int, dict[str, float]]) -> None:
    """A line for each name, the largest first, a column for each size, and how many times the first the last is."""
    first, last = columns[SIZES[0]], columns[SIZES[-1]]
    sums = {size: sum(column.values()) for size, column in columns.items()}
    print(f"\n{head:<20}" + "".join(f"{size:>10}" for size in SIZES) + f"{f'× {SIZES[-1] // SIZES[0]} grow':>12}")
    for name in sorted(last, key=lambda name: -last[name]):
        grown = f"× {last[name] / first[name]:.1f}" if first.get(name, 0) >= 0.005 else "–"
        print(f"{name:<20}" + "".join(f"{columns[size].get(name, 0):>8.3f} s" for size in SIZES) + f"{grown:>12}")
    print(
        f"{'all':<20}"
        + "".join(f"{sums[size]:>8.3f} s" for size in SIZES)
        + f"{f'× {sums[SIZES[-1]] / sums[SIZES[0]]:.1f}':>12}"
    )


def whole_site(size: int) -> None:
    from tests.bench.many import vessel

    with tempfile.TemporaryDirectory() as scratch:
        boat = Path(scratch, "boat")
        boat.mkdir()
        (boat / "boat.yaml").write_text(vessel(size), encoding="utf-8")
        seconds = best(
            1, sys.executable, "-m", "mkdocs", "build", "-q", "--site-dir", f"{scratch}/site", LOOMBOOK_VESSEL=str(boat)
        )
    print(f"\nwhole site, {size} circuits: {seconds:.1f} s")


def serve() -> None:
    """From saving a file to the new page being served."""
    with tempfile.TemporaryDirectory() as scratch:
        for name in ("mkdocs.yml", "docs", "vessel"):
            source = ROOT / name
            (shutil.copytree if source.is_dir() else shutil.copy)(source, Path(scratch, name))
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        words = [sys.executable, "-m", "mkdocs", "serve", "--livereload", "--dirty", "--dev-addr", f"127.0.0.1:{port}"]
        server = subprocess.Popen(words, cwd=scratch, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            _wait(port, "Depth sounder", 120)
            file = next(
                p
                for p in sorted(Path(scratch, "vessel").glob("*.yaml"))
                if "name: Depth sounder" in p.read_text(encoding="utf-8")
            )
            times = []
            for turn in range(3):
                old, new = ("Depth sounder", "Depth teller")[:: 1 if turn % 2 == 0 else -1]
                time.sleep(1.5)
                start = time.perf_counter()
                file.write_text(
                    file.read_text(encoding="utf-8").replace(f"name: {old}", f"name: {new}"), encoding="utf-8"
                )
                _wait(port, new, 60)
                times.append(time.perf_counter() - start)
        finally:
            server.terminate()
            server.wait()
    print(f"\nedit (a consumer's name) to page in serve, demo: {min(times):.2f} s (target 2 s)")


def look_up() -> None:
    from tests.bench.finder import report

    report(SIZES[-1])


def pleasantness() -> None:
    """The sheets of random vessels; ends the bench where they got worse than recorded."""
    print("\nsheets of random vessels")
    print(run(sys.executable, "-m", "tests.bench.pleasant")[1], end="")


def _wait(port: int, words: str, seconds: float) -> None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/circuits/C41.html", timeout=30) as page:
                if f">{words}" in page.read().decode("utf-8"):
                    return
        except OSError:
            pass
        time.sleep(0.05)
    sys.exit(f"serve did not show `{words}` within {seconds:.0f} s")


if __name__ == "__main__":
    machine()
    check()
    build_beside_plain()
    paper()
    growth()
    whole_site(SIZES[-1])
    serve()
    look_up()
    pleasantness()
