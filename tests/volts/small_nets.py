"""Nets built from numbers alone: nodes are counted from 0, which is the black lead."""

import math
import random
import re
import subprocess
from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any, cast

from circuitmap.quantities import Band
from circuitmap.volts.closed import Closed
from circuitmap.volts.net import CurrentTaker, Resistance, ResistanceNet, SourceCell
from circuitmap.volts.ohms import OhmBand
from circuitmap.volts.takers import Takes
from circuitmap.wiring.parts import Terminal


def band(usual: float, low: float | None = None, high: float | None = None) -> OhmBand:
    return OhmBand(low or usual, usual, high or usual, "judgement", "made up")


def net_from(
    count: int,
    ohms: Sequence[tuple[int, int, OhmBand]],
    cells: Sequence[tuple[int, int, float, float]],
    takers: Sequence[tuple[int, int, Takes]] = (),
) -> ResistanceNet:
    """`cells` are (plus, minus, volts, inner ohms)."""
    nodes = tuple(Terminal(f"N{n}") for n in range(count))
    circuit = cast(Any, SimpleNamespace(nodes=nodes, links=(), number={t: n for n, t in enumerate(nodes)}))
    return ResistanceNet(
        circuit, 0,
        tuple(Resistance(a, b, n, its) for n, (a, b, its) in enumerate(ohms)),
        tuple(CurrentTaker(a, b, f"L{n}", its, 1.0) for n, (a, b, its) in enumerate(takers)),
        tuple(SourceCell(p, m, "BAT", Band(v, v), v, band(r)) for p, m, v, r in cells),
        Closed(frozenset(), (), (), ()),
    )  # fmt: skip


def row(volts: float, inner: float, ohms: Sequence[float]) -> ResistanceNet:
    """A battery, and resistances one behind the other back to its minus; node n stands before the n-th of them."""
    count = len(ohms)
    ends = [(n + 1, (n + 2) if n + 1 < count else 0) for n in range(count)]
    return net_from(count + 1, [(a, b, band(r)) for (a, b), r in zip(ends, ohms, strict=True)], [(1, 0, volts, inner)])


def random_net(seed: int, count: int, cross: int, *, curved: bool = False, spread: float = 1.0) -> ResistanceNet:
    """A tree of resistances from the battery, with cross links and loads to ground."""
    drawn = random.Random(seed)
    ohms = [(drawn.randint(1, n - 1) if n > 1 else 0, n) for n in range(2, count)]
    joined = [(a, b) for a, b in ohms if a]
    joined += [tuple(drawn.sample(range(1, count), 2)) for _ in range(cross)]
    bands = []
    for a, b in joined:
        usual = math.exp(drawn.uniform(math.log(0.002), math.log(0.3)))
        bands.append((a, b, band(usual, usual / spread, usual * spread)))
    takers = []
    for n in range(2, count):
        if drawn.random() < 0.5 or n == count - 1:
            manner = drawn.choice(("resistance", "filament", "steady")) if curved else "resistance"
            amps = drawn.uniform(0.2, 4.0)
            takes = Takes(cast(Any, manner), 12.0, amps / spread**0.5, amps, amps * spread**0.5, True, "made up")
            takers.append((n, 0, takes))
    return net_from(count, bands, [(1, 0, 12.6, 0.006)], takers)


def by_ngspice(binary: str, net: ResistanceNet) -> list[float]:
    """The volts of each node by ngspice, an operating point."""
    lines = ["made up"]
    for n, r in enumerate(net.resistances):
        lines.append(f"R{n} {r.a} {r.b} {r.ohms.usual!r}")
    for n, c in enumerate(net.cells):
        lines += [f"V{n} x{n} {c.minus} {c.usual!r}", f"RI{n} x{n} {c.plus} {c.ohms.usual!r}"]
    for n, t in enumerate(net.takers):
        amps, nominal = t.takes.usual, t.takes.volts
        across = f"(v({t.a})-v({t.b}))" if t.b else f"v({t.a})"
        match t.takes.manner:
            case "resistance":
                lines.append(f"RL{n} {t.a} {t.b} {nominal / amps!r}")
            case "filament":  # above a twentieth of its nominal volts
                lines.append(f"B{n} {t.a} {t.b} I={amps!r}*pow(max(abs({across}),{0.05 * nominal})/{nominal},0.55)")
            case "steady":
                lines.append(f"B{n} {t.a} {t.b} I={amps!r}*min(1,{across}/{0.5 * nominal})")
    lines += [".options reltol=1e-9 vntol=1e-10 abstol=1e-12 gmin=1e-15", ".control", "op", "set numdgt=12"]
    lines += [f"print v({n})" for n in range(1, len(net.circuit.nodes))]
    lines += [".endc", ".end"]
    done = subprocess.run([binary, "-b"], input="\n".join(lines), capture_output=True, text=True, check=False)
    found = {int(n): float(v) for n, v in re.findall(r"v\((\d+)\) = (\S+)", done.stdout)}
    return [0.0, *(found[n] for n in range(1, len(net.circuit.nodes)))]
