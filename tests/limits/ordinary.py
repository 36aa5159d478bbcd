"""A vehicle that is merely large: boxes, relays, door switches, modules with outputs on networks, options."""

from tests.limits.hostile import Hostile, one_file

_KEY = """key IGN "ignition switch" positions off, acc, run, start
    closes 30 to 75 in acc, run   closes 30 to 15 in run, start   closes 30 to 50 in start"""
_OPTIONS = ("TOW", "HEATED", "LIFT", "SECOND")


def large_vehicle(n: int) -> list[str]:
    """`n` groups of circuits, thirty-odd statements each: nothing in it is unusual except how much there is."""
    lines = [_KEY, *(f'option {name} "{name.lower()}"' for name in _OPTIONS), "SPMAIN -> IGN.30"]
    lines += [
        "relay KRUN make",
        "IGN.15 -> KRUN.86",
        "KRUN.85 -> G0",
        "SPMAIN -> KRUN.30",
        "bar BRUN",
        "KRUN.87 -> BRUN",
    ]
    for k in range(n):
        box = f"BOX{k // 4}"
        if k % 4 == 0:
            lines += [
                f"box {box}",
                f"bar {box}.B1",
                f"fuse {box}.F0 60A maxi",
                f"SPMAIN -> {box}.F0 -> {box}.B1 in RD 16mm2",
            ]
        fit = f" if {_OPTIONS[k % 4]}" if k % 3 == 0 else ""
        fuses = [f"{box}.F{k}{letter}" for letter in "ABCDE"]
        lines += [f'sheet "{k}" "group {k}"']
        lines += [f"fuse {fuse} {amps}A mini" for fuse, amps in zip(fuses, (10, 15, 5, 20, 10), strict=True)]
        lines += [f"{box}.B1 -> {fuses[0]}", f"{box}.B1 -> {fuses[1]}", f"{box}.B1 -> {fuses[2]}"]
        lines += [f"BRUN -> {fuses[3]}", f"IGN.75 -> {fuses[4]}"]
        lines += [
            f"module M{k} supply A1, A2 ground A9 wake A5 asleep 2mA awake 80mA..150mA{fit}",
            f"{fuses[0]} -> X{k // 3}.{k % 3 * 4 + 1} -> SP{k}A -> M{k}.A1, DL{k}.1 in RD/WH 1mm2",
            f"{fuses[4]} -> M{k}.A2 in GN 1mm2", f"M{k}.A9 -> G{k % 12} in BN 1.5mm2",
            f"lamp DL{k} running 400mA", f"switch DS{k} positions shut, open closes 1 to case in open", f"DL{k}.2 -> DS{k}.1",
            f"relay R{k} make", f"output M{k}.B3 grounds while awake", f"output M{k}.B4 feeds from A1",
            f"{fuses[1]} -> SP{k}B -> R{k}.30 in YE 2.5mm2", f"SP{k}B -> R{k}.86", f"R{k}.85 -> M{k}.B3",
            f"motor MO{k} running 4A", f"R{k}.87 -> X{k // 3}.{k % 3 * 4 + 2} -> MO{k} -> G{k % 12}{fit}",
            f"heater H{k} running 9A", f"M{k}.B4 -> H{k} -> G{k % 12}",
            f"switch SW{k} positions off, low, high closes 1 to 2 in low, high closes 1 to 3 in high",
            f"{fuses[3]} -> SW{k}.1", f"lamp LL{k}, LH{k}".partition(",")[0], f"lamp LH{k}",
            f"SW{k}.2 -> LL{k} -> G{k % 12}", f"SW{k}.3 -> LH{k} -> G{k % 12}",
            f"switch BR{k} positions off, on closes 1 to 2 in on", f"{fuses[2]} -> BR{k}.1", f"BR{k}.2 -> M{k}.A5",
        ]  # fmt: skip
    for k in range(0, n, 12):
        its = ", ".join(f"M{m}" for m in range(k, min(k + 12, n)))
        lines.append(f"network NET{k // 12} can members {its}")
        if k:
            lines.append(f"gateway M{k} joins NET{k // 12 - 1}, NET{k // 12} passes NET{k // 12 - 1} to NET{k // 12}")
    return lines


ORDINARY = (
    Hostile(
        "a large vehicle", one_file(large_vehicle), 3, 130,
        lambda n: (f"M{n - 1}", f"LL{n - 1}", "BOX0.F0"),
        fuses=lambda n: tuple(f"BOX{k // 4}.F{k}A" for k in range(min(n, 40))),
        setting=lambda n: ("--key", "run", "--awake", "NET0"),
    ),
)  # fmt: skip
