"""Every command that writes a file, and what it starts from: one row each.

A command that is not in this table fails `test_every_writer_is_in_the_table`.
"""

import subprocess
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from circuitmap.evidence.job_card import read_card
from circuitmap.source import SourceFile

Files = Mapping[str, bytes]
"""Names below a folder, and what the files hold."""

CARD = (
    b"job: '1'\nplatform: van\ncomplaint: flat after a weekend\nentries:\n"
    b"  - at: 10:02\n    state: locked\n  - at: 10:40\n    total: 1.2A\n"
)
FUSES = "\n".join(f'fuse CAB.F{n} 10A mini "spare place {n} of the cab fuse box"' for n in range(30, 130))
SHOP: Files = {
    "van/boxes.circuit": b'platform "Marlow Linnet"\nbattery   BAT 72Ah\nbox CAB\nfuse CAB.F1 60A maxi\nfuse   CAB.F22 20A mini\n'
    b'motor WASHER "washer pump"\nground G1\nbar CAB.B1 feeds CAB.F22\n' + FUSES.encode() + b"\n",
    "van/feeds.circuit": b'sheet "1"   "Feeds"\nBAT.+ -> CAB.F1 -> CAB.B1 in RD 16mm2\nCAB.F22 -> WASHER.1 in OG\nWASHER.2 -> G1 in BN\n',
    "job.yaml": CARD,
    "night.csv": b"time,A\n18:00,0.5\n18:01,0.5\n18:02,0.4\n18:03,0.03\n",
    "base.circuit": b"fuse CAB.F1 10A mini\nfuse CAB.F2 15A mini\n",
    "ours.circuit": b"fuse CAB.F1 20A mini\nfuse CAB.F2 15A mini\n",
    "theirs.circuit": b"fuse CAB.F1 10A mini\nfuse CAB.F2 25A mini\n",
    "chart.csv": b"CAB.F900;10A\n",
    "lines.txt": b"f1 washer.1 ogbk .75\n",
    ".circuitmap-phones": b'[{"name": "Ida", "hash": "0", "since": "2026-02-03"}]',
}
OLD_OUTPUT = b"the output of the last time\n" * 3000


def all_written(_old: Files, new: Files, now: Files) -> bool:
    """Whether the command left what it leaves when nothing disturbs it."""
    return now == new


def one_or_two_entries_more(old: Files, _new: Files, now: Files) -> bool:
    """Whether an entry was added to the card; a second one if the killed command had already written its own."""
    found, problems = read_card(SourceFile("job.yaml", now["shop/job.yaml"].decode()))
    return now["shop/job.yaml"].startswith(old["shop/job.yaml"]) and not problems and len(found.entries) in (3, 4)


def the_lines_once_or_twice(_old: Files, new: Files, now: Files) -> bool:
    """Whether the lines were added; a second time if the killed command had already added them."""
    name = "shop/van/feeds.circuit"
    line = new[name].splitlines(keepends=True)[-1]
    return {**new, name: now[name]} == now and now[name] in (new[name], new[name] + line)


def the_chart_once(_old: Files, new: Files, now: Files) -> bool:
    """Whether the fuse was added, and not a second time: what is declared is left as it is."""
    return now.keys() == new.keys() and now["shop/van/feeds.circuit"].count(b"CAB.F900") == 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Writer:
    """`words`: the command line, in a folder with the files of `SHOP` and, before it begins, `there`.

    `again`: what the same command may end with when it is given once more after it was killed, and `then` what must be
    there afterwards. `cache`: it writes to the cache: it is run once before, then a file of the platform is changed;
    nothing in a cache is ever promised. `git`: the folder is a repository.
    """

    words: str
    there: tuple[str, ...] = ()
    again: tuple[int, ...] = (0,)
    then: Callable[[Files, Files, Files], bool] = all_written
    cache: bool = False
    git: bool = False

    def lay_out(self, shop: Path) -> None:
        for name, content in (*SHOP.items(), *((name, OLD_OUTPUT) for name in self.there)):
            (shop / name).parent.mkdir(parents=True, exist_ok=True)
            (shop / name).write_bytes(content)
        if self.git:
            subprocess.run(["git", "init", "-q", str(shop)], check=True)

    def change(self, shop: Path) -> None:
        with open(shop / "van/boxes.circuit", "ab") as file:
            file.write(b"fuse CAB.F23 5A mini\n")


WRITERS = {
    "tidy": Writer(words="tidy van"),
    "transcribe lines": Writer(words="transcribe lines van lines.txt --sheet 1", then=the_lines_once_or_twice),
    "transcribe sister": Writer(words="transcribe sister van new --name Linnet"),
    "transcribe table": Writer(
        words="transcribe table van chart.csv --sheet 1 --columns slot,rating", then=the_chart_once, again=(0, 1)
    ),
    "merge": Writer(words="merge base.circuit ours.circuit theirs.circuit"),
    "merge -o": Writer(words="merge base.circuit ours.circuit theirs.circuit -o all.circuit", there=("all.circuit",)),
    "merge --set-up": Writer(words="merge --set-up", there=(".gitattributes",), git=True),
    "logged svg": Writer(words="logged night.csv -o night.svg", there=("night.svg",)),
    "card new": Writer(words="card new van new.yaml", again=(0, 2)),
    "card add": Writer(words="card add job.yaml F22=0.46A --at 10:50", then=one_or_two_entries_more),
    "card strike": Writer(words="card strike job.yaml 1 wrong-van", again=(0, 2)),
    "report html": Writer(words="report job.yaml -o job.html", there=("job.html",)),
    "report pdf": Writer(words="report job.yaml -o job.pdf", there=("job.pdf",)),
    "report md": Writer(words="report job.yaml -o job.md", there=("job.md",)),
    "report, the first": Writer(words="report job.yaml -o job.html"),
    "share platform": Writer(words="share van -o van.html", there=("van.html",)),
    "share card": Writer(words="share job.yaml -o job.html", there=("job.html",)),
    "diagram svg": Writer(words="diagram van WASHER -o w.svg", there=("w.svg",)),
    "diagram png": Writer(words="diagram van WASHER -o w.png", there=("w.png",)),
    "diagram pdf": Writer(words="diagram van WASHER -o w.pdf", there=("w.pdf",)),
    "diagram dot": Writer(words="diagram van WASHER -o w.dot", there=("w.dot",)),
    "worksheet pdf": Writer(words="worksheet van -o w.pdf", there=("w.pdf",)),
    "worksheet html": Writer(words="worksheet van -o w.html", there=("w.html",)),
    "worksheet txt": Writer(words="worksheet van -o w.txt", there=("w.txt",)),
    "bay, a phone forgotten": Writer(words="bay . --revoke Ida", again=(0, 2)),
    "platform remembered": Writer(words="check van", cache=True),
    "index of the shelf": Writer(words="library .", cache=True),
}
"""A name for each row, and how it is run."""
