"""Each place that a command reads or writes in a small shop, with the commands that do so."""

from pathlib import Path

CARD = "job: '1'\nplatform: van\ncomplaint: flat\nentries:\n  - at: 2026-02-03 10:02\n    state: locked\n"
AT = ("--at", "2026-02-03 11:00")


ADD = ("card", "add", "job.yaml", "F2=0.4A", *AT)
LINES = ("transcribe", "lines", "van", "lines.txt", "--sheet", "9")
TABLE = ("transcribe", "table", "van", "chart.csv", "--sheet", "9", "--columns", "slot,rating")
MERGE = ("merge", "base.circuit", "ours.circuit", "theirs.circuit")
READERS: dict[str, tuple[tuple[str, ...], ...]] = {
    "van/van.circuit": (
        ("check", "van"), ("list", "van"), ("trace", "van", "HEATER"), ("live", "van"), ("tidy", "van"),
        ("tidy", "van", "--check"), ("worksheet", "van", "-o", "out.txt"), ("share", "van", "-o", "out.html"),
        ("diagram", "van", "HEATER", "-o", "out.svg"), ("suspects", "van", "F2=0.4A"), ("diff", "van", "van"),
        ("card", "new", "van", "new.yaml"), ("card", "show", "job.yaml"), ADD,
        LINES, TABLE, ("transcribe", "sister", "van", "new", "--name", "N"), ("transcribe", "checked", "van"),
    ),
    "van": (("check", "van"), ("card", "new", "van", "new.yaml"), ("card", "show", "job.yaml"), ("share", "van", "-o", "out.html"),
            ("library", "van"), ("diff", "van", "van"), ("diff", "van", "--git", "HEAD")),
    "job.yaml": (
        ("card", "show", "job.yaml"), ADD, ("card", "strike", "job.yaml", "1", "wrong"), ("share", "job.yaml", "-o", "out.html"),
        ("report", "job.yaml", "-o", "out.html"), ("suspects", "van", "--card", "job.yaml"),
    ),
    "lines.txt": (LINES,), "chart.csv": (TABLE,), "night.csv": (("logged", "night.csv"),),
    "base.circuit": (MERGE,), "ours.circuit": (MERGE,), "theirs.circuit": (MERGE,),
}  # fmt: skip
"""Each place that is read, and the commands that read it."""
READ = [(place, words) for place, commands in READERS.items() for words in commands]

WRITTEN: dict[str, tuple[str, ...]] = {
    "job.yaml": ADD,
    "job.yaml, struck": ("card", "strike", "job.yaml", "1", "wrong van"),
    "new.yaml": ("card", "new", "van", "new.yaml"),
    "van/more.circuit": ("tidy", "van"),
    "van/more.circuit, typed into": LINES,
    "ours.circuit": MERGE,
    "all.circuit": (*MERGE, "-o", "all.circuit"),
    "out.svg": ("diagram", "van", "HEATER", "-o", "out.svg"),
    "out.png": ("diagram", "van", "HEATER", "-o", "out.png"),
    "out.txt": ("worksheet", "van", "-o", "out.txt"),
    "night.svg": ("logged", "night.csv", "-o", "night.svg"),
    "out.html": ("report", "job.yaml", "-o", "out.html"),
    "page.html": ("share", "van", "-o", "page.html"),
}
"""Each place that is written, and the command that writes it."""


def place_of(shop: Path, name: str) -> Path:
    return shop / name.partition(",")[0]
