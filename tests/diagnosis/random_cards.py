"""Random job cards on random vehicles: whatever is in them, an answer comes out, and every figure in it makes sense.

python -m tests.diagnosis.random_cards [COUNT] [FIRST SEED]
"""

import sys
import time
from functools import lru_cache
from math import isfinite
from random import Random

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.diagnosis.cards import circuit as sample
from tests.platforms_strategy import _made_up, read

VEHICLES = 300
SAMPLES = {20: "motorhome", 90: "truck", 160: "motorcycle", 230: "motorhome"}


@lru_cache(maxsize=40)
def vehicle(number: int) -> Circuit:
    """Most are made up; a few are the samples, which have options, main switches and several batteries."""
    if number in SAMPLES:
        return sample(SAMPLES[number])
    return circuit_of(read(_made_up(Random(number), 1 + number % 2)))


def random_card(random: Random, circuit: Circuit) -> str:
    """A card of some entries, most of them sensible, some not."""
    parts = sorted(circuit.platform.parts)
    places = [p.name for p in circuit.platform.parts.values() if p.kind in ("fuse", "battery", "box", "link")]
    networks = sorted(circuit.platform.networks) or ["NONE"]
    switches = [p.name for p in circuit.platform.parts.values() if p.kind == "switch"] or ["NONE"]
    optional = [*circuit.platform.options, random.choice(parts)]
    minutes = 8 * 60

    def amount() -> str:
        return random.choice([
            "0A", "0.0mV", f"{random.uniform(0, 3):.2f}A", f"{random.lognormvariate(-3, 2):.3f}A",
            f"{random.uniform(0, 9):.1f}mV", "-0.30A", "draws", "quiet", "1000A", "0.001mV", "999mV", "x", "1.0", "1,5A", "0.0000001A",
        ])  # fmt: skip

    def some(names: list[str]) -> str:
        return ", ".join(random.sample(names, min(len(names), random.randint(1, 3)))) if names else "NOBODY"

    lines = ["entries:"]
    for _ in range(random.randint(1, 9)):
        minutes += random.choice((1, 5, 40, 90, 600))
        fields = [f'at: "{minutes // 60 % 24:02d}:{minutes % 60:02d}"']
        for _ in range(random.randint(1, 2)):
            read = ", ".join(f"{place}: {amount()}" for place in random.sample(places, min(len(places), 3)))
            line = random.choice(["awake", "asleep", "2.5V", "0.1V", "1.2V"])
            period = random.randint(1, 90)
            part, other = random.choice(parts), random.choice(parts)
            fields.append(random.choice([
                "state: locked", "state: opened", "state: key on", f"total: {amount()}", f"read: {{{read}}}",
                f"network: {{{random.choice(networks)}: {line}}}",
                f"scan: {{silent: [{some(parts)}], unsteady: [{some(parts)}]}}",
                f"out: [{some(parts)}]", f"back: [{some(parts)}]", "zeroed: yes", "steady: yes", "looked: yes",
                "meter: " + random.choice(["clamp", "series", "low current clamp", "thumb"]),
                f"stands: {{{random.choice(switches)}: {random.choice(['on', 'off', 'open', 'run', 'x'])}}}",
                f"absent: [{random.choice(optional)}]", f"fitted: [{random.choice(optional)}]",
                f"inputs: {{{part}: {random.choice(['right', 'wrong'])}}}",
                f"relays: {{{part}: {random.choice(['held', 'stuck', 'open'])}}}",
                f"log: {{floor: {amount()}, peak: {amount()}, mean: {amount()}, period: {period}min}}",
                f"codes: [U0140 back {part} about {other}, P0562 low-voltage]", "struck: slipped",
            ]))  # fmt: skip
        known: dict[str, str] = {}
        for field in fields:
            known.setdefault(field.partition(":")[0], field)
        lines.append("  - {" + ", ".join(known.values()) + "}")
    absent = f"absent: [{random.choice(parts)}]\n" if random.random() < 0.1 else ""
    added = f"added: {{camera: {random.choice(parts)}}}\n" if random.random() < 0.1 else ""
    return absent + added + "\n".join(lines) + "\n"


def check(diagnosis: Diagnosis) -> None:
    """Fails for a figure that makes no sense: a NaN, a probability outside 0..1, decibans that do not add up."""
    figures = [diagnosis.something_wrong, diagnosis.two_faults, *(p.probability for p in diagnosis.parts)]
    figures += [s.probability for s in diagnosis.subjects] + [r.probability for r in diagnosis.rows]
    figures += [b.probability for t in diagnosis.tests.choices for b in t.branches]
    figures += [min(b.then, 1.0) for t in diagnosis.tests.choices for b in t.branches]
    figures += [figure for world in diagnosis.worlds for figure in (world.probability, world.subject.probability)]
    figures += [sum(world.probability for world in diagnosis.worlds)]
    assert all(isfinite(figure) and -1e-12 <= figure <= 1.0 + 1e-9 for figure in figures), figures
    for row in diagnosis.rows:
        told = [line.decibans for line in row.argument.lines]
        assert all(map(isfinite, told)) and abs(sum(told) - row.argument.total) < 0.006
    for test in diagnosis.tests.choices:
        if test.action.doing in ("zero-again", "leads-again", "finer-clamp"):
            assert not test.branches  # nobody foretells what another meter, or zero, shows
            continue
        assert isfinite(test.bits) and test.bits >= 0.0 and test.action.minutes > 0.0
        if test.action.doing == "read-box" and not test.branches:
            continue  # owed to what is missing there, whatever it tells of what is supposed
        assert abs(sum(branch.probability for branch in test.branches) - 1.0) < 1e-6
    singles = sum(row.probability for row in diagnosis.rows)
    assert singles <= 1.0 + 1e-6


def one(seed: int) -> None:
    """Make up a card, read it, diagnose, write it out."""
    random = Random(seed)
    circuit = vehicle(seed // 40 % VEHICLES)
    source = SourceFile("card.yaml", random_card(random, circuit))
    card, _ = read_card(source)
    evidence, _ = evidence_on(circuit.platform, card)
    diagnosis = diagnose(circuit, evidence)
    check(diagnosis)
    assert suspects_text(circuit.platform, diagnosis)
    assert suspects_json(circuit.platform, diagnosis, 5)


def main(count: int, first: int) -> int:
    start, failed = time.perf_counter(), 0
    for seed in range(first, first + count):
        try:
            one(seed)
        except Exception as error:
            failed += 1
            print(f"seed {seed}: {type(error).__name__}: {error}", flush=True)
        if (seed - first + 1) % 5000 == 0:
            print(f"{seed - first + 1} cards, {failed} failed, {time.perf_counter() - start:.0f} s", flush=True)
    print(f"{count} cards, {failed} failed, {time.perf_counter() - start:.0f} s")
    return min(failed, 1)


if __name__ == "__main__":
    words = sys.argv[1:]
    raise SystemExit(main(int(words[0]) if words else 1000, int(words[1]) if len(words) > 1 else 0))
