"""Hostile platforms of switches, relays, outputs, options: what may be closed."""

from tests.limits.hostile import HEAD, Hostile, last, numbered, one_file


def self_holding(n: int) -> list[str]:
    """Relays in a cascade, each started by a switch and held by its own contact."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [
            f"relay K{k} make", f"switch S{k} positions off, on closes 1 to 2 in on",
            f"SP{k} -> K{k}.30", f"SP{k} -> S{k}.1",
            f"S{k}.2 -> SPC{k} -> K{k}.86 -> SPH{k}", f"K{k}.85 -> G0", f"K{k}.87 -> SP{k + 1} -> SPH{k}",
        ]  # fmt: skip
    return [*lines, "lamp L", f"SP{n} -> L -> G0"]


def nested_relays(n: int) -> list[str]:
    """The coil of each relay hangs on the contact of the one before."""
    lines = ["switch S positions off, on closes 1 to 2 in on", "SPMAIN -> S.1", "S.2 -> SP0"]
    for k in range(n):
        lines += [
            f"relay K{k} make", f"lamp L{k}", f"SP{k} -> K{k}.86", f"K{k}.85 -> G0",
            f"SPMAIN -> K{k}.30", f"K{k}.87 -> SP{k + 1}", f"SP{k + 1} -> L{k} -> G0",
        ]  # fmt: skip
    return lines


def buzzing(n: int) -> list[str]:
    """Rings of relays that switch one another off, of lengths that have no common divisor."""
    lines: list[str] = []
    lengths = [3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47]
    done = ring = 0
    while done < n:
        length = min(lengths[ring % len(lengths)], n - done)
        for k in range(length):
            here, there = f"{ring}_{k}", f"{ring}_{(k + 1) % length}"
            lines += [
                f"relay K{here} break",
                f"SPMAIN -> K{here}.30",
                f"K{here}.87 -> K{there}.86",
                f"K{here}.85 -> G0",
            ]
        done += length
        ring += 1
    return lines


def waking_one_another(n: int) -> list[str]:
    """Modules in a ring, each with an output that wakes the next."""
    lines = []
    for k in range(n):
        lines += [
            f"module M{k} supply 1 ground 2 wake 3", f"output M{k}.4 feeds from 1 while awake",
            f"SPMAIN -> M{k}.1", f"M{k}.2 -> G0", f"M{k}.4 -> M{(k + 1) % n}.3",
        ]  # fmt: skip
    return lines


def waking_at_random(n: int) -> list[str]:
    """Like `waking_one_another`, each waking three others."""
    lines = []
    for k in range(n):
        lines += [
            f"module M{k} supply 1 ground 2 wake 3", f"output M{k}.4, M{k}.5, M{k}.6 feeds from 1 while awake",
            f"SPMAIN -> M{k}.1", f"M{k}.2 -> G0", f"M{k}.4 -> SPW{(k + 1) % n}", f"M{k}.5 -> SPW{(7 * k + 3) % n}",
            f"M{k}.6 -> SPW{(k * k + 5) % n}", f"SPW{k} -> M{k}.3",
        ]  # fmt: skip
    return lines


def switches_in_a_row(n: int) -> list[str]:
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [f"switch S{k} positions off, on closes 1 to 2 in on", f"SP{k} -> S{k}.1", f"S{k}.2 -> SP{k + 1}"]
    return [*lines, "lamp L", f"SP{n} -> L -> G0"]


def switches_and_lamps_in_a_row(n: int) -> list[str]:
    """The same, with a lamp behind each switch."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [
            f"switch S{k} positions off, on closes 1 to 2 in on", f"SP{k} -> S{k}.1", f"S{k}.2 -> SP{k + 1}",
            f"lamp L{k}", f"SP{k + 1} -> L{k} -> G0",
        ]  # fmt: skip
    return lines


def ladder_of_switches(n: int) -> list[str]:
    """Two switches side by side, then the next two: with each rung twice as many ways."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [
            f"switch S{k} positions off, on closes 1 to 2 in on", f"switch T{k} positions off, on closes 1 to 2 in on",
            f"SP{k} -> S{k}.1", f"S{k}.2 -> SP{k + 1}", f"SP{k} -> T{k}.1", f"T{k}.2 -> SP{k + 1}",
        ]  # fmt: skip
    return [*lines, "lamp L", f"SP{n} -> L -> G0"]


def _grid(n: int) -> list[tuple[str, str, str]]:
    """About `n` edges of a square grid: a name, and the two splices that it lies between."""
    side = max(2, round((n / 2) ** 0.5))
    edges = []
    for row in range(side):
        for column in range(side):
            if column + 1 < side:
                edges.append((f"H{row}_{column}", f"SP{row}_{column}", f"SP{row}_{column + 1}"))
            if row + 1 < side:
                edges.append((f"V{row}_{column}", f"SP{row}_{column}", f"SP{row + 1}_{column}"))
    return edges


def _last_of_grid(n: int) -> str:
    side = max(2, round((n / 2) ** 0.5))
    return f"SP{side - 1}_{side - 1}"


def mesh_of_switches(n: int) -> list[str]:
    lines = ["SPMAIN -> SP0_0"]
    for name, a, b in _grid(n):
        lines += [f"switch {name} positions off, on closes 1 to 2 in on", f"{a} -> {name}.1", f"{name}.2 -> {b}"]
    return [*lines, "lamp L", f"{_last_of_grid(n)} -> L -> G0"]


def mesh_of_changeovers(n: int) -> list[str]:
    """A grid of changeover relays, each coil on a switch of its own row."""
    lines = ["SPMAIN -> SP0_0", *(f"switch S{k} positions off, on closes 1 to 2 in on" for k in range(50))]
    lines += [f"SPMAIN -> S{k}.1" for k in range(50)]
    for number, (name, a, b) in enumerate(_grid(n)):
        lines += [
            f"relay {name} changeover", f"{a} -> {name}.30", f"{name}.{'87' if number % 2 else '87a'} -> {b}",
            f"S{number % 50}.2 -> {name}.86", f"{name}.85 -> G0",
        ]  # fmt: skip
    return [*lines, "lamp L", f"{_last_of_grid(n)} -> L -> G0"]


def mesh_of_lamps(n: int) -> list[str]:
    lines = ["SPMAIN -> SP0_0", f"{_last_of_grid(n)} -> G0"]
    for name, a, b in _grid(n):
        lines += [f"lamp {name}", f"{a} -> {name} -> {b}"]
    return lines


def mesh_of_diodes(n: int) -> list[str]:
    lines = ["SPMAIN -> SP0_0"]
    for number, (name, a, b) in enumerate(_grid(n)):
        a, b = (b, a) if number % 5 == 0 else (a, b)
        lines += [f"diode {name}", f"{a} -> {name} -> {b}"]
    return [*lines, "lamp L", f"{_last_of_grid(n)} -> L -> G0"]


def lamps_and_diodes(n: int) -> list[str]:
    """A grid in which every other edge is a lamp and the others are diodes."""
    lines = ["SPMAIN -> SP0_0", f"{_last_of_grid(n)} -> G0"]
    for number, (name, a, b) in enumerate(_grid(n)):
        lines += [f"{'lamp' if number % 2 else 'diode'} {name}", f"{a} -> {name} -> {b}"]
    return lines


def options_in_a_row(n: int) -> list[str]:
    """A chain with a lamp at each splice; each wire is there only with an option of its own."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [
            f'option O{k} "equipment {k}"',
            f"SP{k} -> SP{k + 1} if O{k}",
            f"lamp L{k}",
            f"SP{k + 1} -> L{k} -> G0",
        ]
    return lines


def options_side_by_side(n: int) -> list[str]:
    """Two wires between every two neighbouring splices, one with an option and one without it."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [
            f'option O{k} "equipment {k}"', f"connector X{k}",
            f"SP{k} -> SP{k + 1} if O{k}", f"SP{k} -> X{k}.1 -> SP{k + 1} if not O{k}",
        ]  # fmt: skip
    return [*lines, "lamp L", f"SP{n} -> L -> G0"]


def options_of_parts(n: int) -> list[str]:
    """Lamps that each depend on two of seventy options, no two on the same."""
    count = 70
    lines = [f"option O{k}" for k in range(count)]
    pairs = [(a, b) for a in range(count) for b in range(a)]
    for k in range(n):
        a, b = pairs[k % len(pairs)]
        lines += [
            f"lamp L{k} if O{a} if not O{b}", f"switch S{k} positions off, on closes 1 to 2 in on",
            f"SPMAIN -> S{k}.1", f"S{k}.2 -> L{k} -> G0",
        ]  # fmt: skip
    return lines


def hundred_contacts(n: int) -> list[str]:
    """Switches of a hundred positions and a hundred contacts, each of which leads on to the next switch."""
    positions = ", ".join(f"p{k}" for k in range(100))
    lines = [f"key IGN positions {positions} " + " ".join(f"closes 30 to {k} in p{k}" for k in range(1, 100))]
    lines.append("SPMAIN -> IGN.30")
    for k in range(n):
        contacts = " ".join(f"closes 1 to {c} in p{c % 100}, p{(c * 7 + k) % 100}" for c in range(2, 102))
        lines += [f"switch S{k} positions {positions} {contacts}"]
        lines += [f"IGN.{c % 99 + 1} -> S{k}.1" for c in range(k % 7, 100, 25)]
        lines += [f"S{k}.{c} -> SPL{c % 50}" for c in range(2 + k % 3, 102, 10)]
    lines += [line for c in range(50) for line in (f"lamp L{c}", f"SPL{c} -> L{c} -> G0")]
    return lines


def batteries(n: int) -> list[str]:
    """Batteries joined by switches, each with a lamp."""
    lines = []
    for k in range(n):
        lines += [
            f"battery B{k}", f"B{k}.- -> G0", f"B{k}.+ -> SPB{k}", f"lamp L{k}", f"SPB{k} -> L{k} -> G0",
            f"switch S{k} positions off, on closes 1 to 2 in on", f"SPB{k} -> S{k}.1", f"S{k}.2 -> SPB{(k + 1) % n}",
            f"fuse F{k}", f"SPB{k} -> F{k} -> SPB{(k * 7 + 3) % n}",
        ]  # fmt: skip
    return lines


def grounds_by_switches(n: int) -> list[str]:
    """A lamp whose ground goes through a ladder of switches; a lamp at each rung."""
    lines = ["G0 -> SP0"]
    for k in range(n):
        lines += [
            f"switch S{k} positions off, on closes 1 to 2 in on", f"switch T{k} positions off, on closes 1 to 2 in on",
            f"S{k}.1 -> SP{k}", f"SP{k + 1} -> S{k}.2", f"T{k}.1 -> SP{k}", f"SP{k + 1} -> T{k}.2",
            f"lamp L{k}", f"SPMAIN -> L{k} -> SP{k + 1}",
        ]  # fmt: skip
    return lines


def lamps_in_series(n: int) -> list[str]:
    """One lamp behind another, with a switch between every two."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [
            f"lamp L{k}", f"switch S{k} positions off, on closes 1 to 2 in on",
            f"SP{k} -> L{k} -> S{k}.1", f"S{k}.2 -> SP{k + 1}",
        ]  # fmt: skip
    return [*lines, f"SP{n} -> G0"]


def outputs_of_one_module(n: int) -> list[str]:
    """A module with as many outputs on request, each for a relay whose contact feeds the next lamp."""
    lines = ["module M supply 1 ground 2", "SPMAIN -> M.1", "M.2 -> G0"]
    for k in range(n):
        lines += [
            f"output M.O{k} grounds", f"relay K{k} make", f"lamp L{k}", f"SPMAIN -> K{k}.86", f"K{k}.85 -> M.O{k}",
            f"SPMAIN -> K{k}.30", f"K{k}.87 -> L{k} -> G0",
        ]  # fmt: skip
    return lines


SWITCHING = (
    Hostile("self-holding relays in a cascade", one_file(self_holding), 6, 700, last("K#", "L", "MAIN")),
    Hostile("nested relays", one_file(nested_relays), 6, 700, last("K#", "L#", "S")),
    Hostile("rings of relays that buzz", one_file(buzzing), 8, 1200, lambda n: ("K0_0", "MAIN")),
    Hostile("modules that wake one another", one_file(waking_one_another), 6, 990, last("M#", "M0", "MAIN")),
    Hostile("modules that wake three others", one_file(waking_at_random), 6, 620, last("M#", "M0", "MAIN")),
    Hostile("switches in a row", one_file(switches_in_a_row), 8, 1600, last("S#", "L", "MAIN")),
    Hostile("switches and lamps in a row", one_file(switches_and_lamps_in_a_row), 8, 990, last("S0", "L#", "MAIN"),
            setting=lambda n: ("--set", "S0=on")),
    Hostile("a ladder of switches", one_file(ladder_of_switches), 5, 830, last("S#", "L", "MAIN")),
    Hostile("a mesh of switches", one_file(mesh_of_switches), 12, 1650, lambda n: ("H0_0", "L", "MAIN")),
    Hostile("a mesh of changeover relays", one_file(mesh_of_changeovers), 12, 950, lambda n: ("H0_0", "L", "S0")),
    Hostile("a mesh of lamps", one_file(mesh_of_lamps), 12, 2450, lambda n: ("H0_0", "V0_0", "MAIN")),
    Hostile("a mesh of diodes", one_file(mesh_of_diodes), 12, 2450, lambda n: ("H0_0", "L", "MAIN")),
    Hostile("a mesh of lamps and diodes", one_file(lamps_and_diodes), 12, 2450, lambda n: ("H0_0", "V0_0", "MAIN")),
    Hostile("options in a row", one_file(options_in_a_row), 8, 1240, last("L#", "L0", "MAIN")),
    Hostile("options side by side", one_file(options_side_by_side), 8, 1240, last("L", "SP1", "MAIN")),
    Hostile("parts of many options", one_file(options_of_parts), 12, 1230, last("L#", "S#", "MAIN")),
    Hostile("switches of a hundred contacts", one_file(hundred_contacts), 2, 300, last("S#", "L0", "IGN"),
            setting=lambda n: ("--key", "p7")),
    Hostile("batteries joined by switches", one_file(batteries), 5, 490, last("L#", "S0", "F0"),
            fuses=numbered("F")),
    Hostile("grounds through a ladder of switches", one_file(grounds_by_switches), 4, 620, last("L#", "S0", "MAIN")),
    Hostile("lamps in series", one_file(lamps_in_series), 6, 1240, last("L#", "L0", "MAIN")),
    Hostile("outputs of one module", one_file(outputs_of_one_module), 6, 700, last("K#", "M", "MAIN")),
)  # fmt: skip

assert HEAD
