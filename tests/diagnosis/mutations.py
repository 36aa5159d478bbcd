"""Errors of reasoning put into the code on purpose, one at a time: each must be caught by some test.

    python tests/diagnosis/mutations.py [NAME...]

Works on a copy of the package and its tests in a temporary folder; prints a table and exits with the number of
mutations that no test caught.
"""

import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
FOLDERS = ("circuitmap", "tests", "grammar", "sample_vehicles")


@dataclass(frozen=True)
class Mutation:
    """`before` stands exactly once in `file`; `tests` are the ones that should notice."""

    name: str
    file: str
    before: str
    after: str
    tests: tuple[str, ...]


D = "circuitmap/diagnosis"
MUTATIONS = (
    Mutation(
        "no network model", f"{D}/faults/candidates_waking.py",
        "        for module, answer in members_of(parked, network).items():\n            woken = _kept_by(",
        "        for module, answer in {}.items():\n            woken = _kept_by(",
        ("tests/diagnosis/test_job_cards.py", "tests/diagnosis/test_laws.py"),
    ),
    Mutation(
        "unread = 0 A", f"{D}/case.py",
        "    nets = netted(\n"
        "        readings, ready.tree, ready.routes, evidence.tries, ready.joins, evidence.other_state, evidence.gone\n"
        "    )  # fmt: skip\n",
        "    from circuitmap.evidence.meters import meter_named\n"
        "    from circuitmap.evidence.readings import Reading\n"
        "    read = {r.place for r in evidence.readings}\n"
        "    zeros = [Reading(place=f.name, meter=meter_named('series'), amps=0.0)\n"
        "             for f in circuit.platform.fuses if f.name not in read]\n"
        "    nets = netted((*readings, *zeros), ready.tree, ready.routes, evidence.tries, ready.joins)\n",
        ("tests/diagnosis/test_laws.py", "tests/diagnosis/test_job_cards.py"),
    ),
    Mutation(
        "additive instead of OR", f"{D}/weighing/ways.py",
        "            mean[block] -= (marks * self.shared_mean) @ marks.T\n",
        "            mean[block] -= 0.0\n",
        ("tests/diagnosis/test_against_listing.py",),
    ),
    Mutation(
        "no resolution", "circuitmap/evidence/readings.py",
        "            return hidden_below(self.resistance, self.meter.step, self.meter.counts)\n",
        "            return 1e-6\n",
        ("tests/evidence", "tests/diagnosis/test_laws.py"),
    ),
    Mutation(
        "no zero error", "circuitmap/evidence/readings.py",
        "            return self.meter.zero\n",
        "            return 0.0\n",
        ("tests/evidence", "tests/diagnosis/test_laws.py"),
    ),
    Mutation(
        "zero not shared between readings", f"{D}/weighing/tables.py",
        "        if len(together) == 1:\n",
        "        if together:\n            tables += [_table_of_current(_with_own_zero(t), faults) for t in together]\n"
        "        elif len(together) == 1:\n",
        ("tests/diagnosis/test_against_listing.py",),
    ),
    Mutation(
        "no cost in the score", f"{D}/next_test/ranking.py",
        "    rates = [b / m for b, m in zip(bits, minutes, strict=True)]\n",
        "    rates = list(bits)\n",
        ("tests/diagnosis/test_next_test.py", "tests/diagnosis/test_job_cards.py"),
    ),
    Mutation(
        "no contamination", f"{D}/weighing/reading_chance.py",
        "MISREAD = 0.02\n", "MISREAD = 1e-9\n",
        ("tests/diagnosis/test_toy_meter.py",),
    ),
    Mutation(
        "parent and child both counted", f"{D}/weighing/sightings.py",
        "            amps = (own.lowest + own.highest) / 2.0 - sum(branch.amps for branch in off)\n",
        "            amps = (own.lowest + own.highest) / 2.0\n",
        ("tests/diagnosis/test_netting.py", "tests/diagnosis/test_laws.py"),
    ),
    Mutation(
        "marginals not summed over pairs", f"{D}/weighing/weights.py",
        "        weight = self.singles + self.odds * (partners[self.row_of] - self.odds * own)\n",
        "        weight = self.singles + 0.0 * own\n",
        ("tests/diagnosis/test_toy_network.py",),
    ),
    Mutation(
        "culprit only among drawing fuses", f"{D}/case.py",
        "    odds = np.array([fault.odds for fault in everyone])\n",
        "    parked = ready.parked\n"
        "    drawing = {r.place for r in evidence.readings if r.shows_current}\n"
        "    on = [not f.module or any(p in drawing for _, _, w in parked.pins_of(f.module) for p in w.places[:1])\n"
        "          for f in everyone]\n"
        "    odds = np.array([fault.odds if its else fault.odds * 1e-9 for fault, its in zip(everyone, on)])\n",
        ("tests/diagnosis/test_job_cards.py", "tests/diagnosis/test_laws.py"),
    ),
    Mutation(
        "odds not shared", f"{D}/faults/candidates.py",
        "candidate.weight / max(in_all[fault.kind], kind.usual) * candidate.factor",
        "candidate.weight * candidate.factor",
        ("tests/diagnosis/test_candidates.py",),
    ),
    Mutation(
        "both together and both side by side", f"{D}/weighing/weights.py",
        "(real - union))",
        "real)",
        ("tests/diagnosis/test_joint.py",),
    ),
    Mutation(
        "a coil has a plus end", "circuitmap/power/settle.py",
        "if supply[plus] & ground[minus] or supply[minus] & ground[plus]:",
        "if supply[plus] & ground[minus]:",
        ("tests/power/test_settle.py",),
    ),
    Mutation(
        "relays move together where they should take turns", "circuitmap/power/settle.py",
        "                relays[moves] = wanted.relays[moves]\n",
        "                relays = list(wanted.relays)\n",
        ("tests/power/test_settle.py",),
    ),
    Mutation(
        "early by the shortest time to sleep", "circuitmap/evidence/asleep.py",
        'return ("early" if minutes < self.sleep.high else "parked"), minutes',
        'return ("early" if minutes < self.sleep.low else "parked"), minutes',
        ("tests/evidence/test_job_card.py",),
    ),
    Mutation(
        "a scan wakes nobody", "circuitmap/evidence/timeline.py",
        "        if self.checks.entry(entry, self.car.names_added, self.out, self.now, early=early):\n"
        "            self.asleep.woken(self.now)\n",
        "        self.checks.entry(entry, self.car.names_added, self.out, self.now, early=early)\n",
        ("tests/evidence/test_job_card.py",),
    ),
    Mutation(
        "quiet fuses do not count in the order", "circuitmap/circuit/common.py",
        "(len(entry.missing), len(entry.quiet), entry.kind, entry.name)",
        "(len(entry.missing), entry.kind, entry.name)",
        ("tests/circuit/test_common.py",),
    ),
    Mutation(
        "sixteen digits", "circuitmap/quantities.py",
        "_MOST_DIGITS = 15\n",
        "_MOST_DIGITS = 16\n",
        ("tests/test_quantities.py",),
    ),
    Mutation(
        "what is left over goes at once", "circuitmap/saving.py",
        "hour_ago = time.time() - 3600\n",
        "hour_ago = time.time()\n",
        ("tests/saving/test_saving.py",),
    ),
)  # fmt: skip


def caught_by(mutation: Mutation, folder: Path) -> str:
    """The first test that fails with the mutation in place; empty if none does."""
    path = folder / mutation.file
    text = path.read_text("utf-8")
    if text.count(mutation.before) != 1:
        times = text.count(mutation.before)
        raise SystemExit(f"{mutation.name}: the text to change stands {times} times in {path.name}")
    path.write_text(text.replace(mutation.before, mutation.after), "utf-8")
    try:
        run = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-x", "--no-header", "-p", "no:cacheprovider", *mutation.tests],
            cwd=folder, capture_output=True, text=True, timeout=900, check=False,
        )  # fmt: skip
    finally:
        path.write_text(text, "utf-8")
    failed = [line for line in run.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return failed[0].partition(" - ")[0].partition(" ")[2] if run.returncode == 1 and failed else ""


def main(names: list[str]) -> int:
    chosen = [m for m in MUTATIONS if not names or m.name in names]
    survivors = 0
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        for name in FOLDERS:
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        shutil.copy(ROOT / "pyproject.toml", folder)
        for mutation in chosen:
            start = time.perf_counter()
            test = caught_by(mutation, folder)
            survivors += not test
            took = time.perf_counter() - start
            print(f"{mutation.name:36} {'caught by ' + test if test else 'NOT CAUGHT'}  ({took:.0f} s)", flush=True)
    print(f"{len(chosen) - survivors} of {len(chosen)} caught")
    return survivors


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
