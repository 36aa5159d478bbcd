"""Hostile platforms of splices, fuses, modules, networks, and of text: what is joined, and how much of it."""

from collections.abc import Mapping

from tests.limits.hostile import HEAD, Hostile, last, numbered, one_file, rows


def doubled_splices(n: int) -> list[str]:
    """From each splice two wires lead over two others to the next: twice as many ways with each rung."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [
            f"SP{k} -> SPA{k} -> SP{k + 1}", f"SP{k} -> SPB{k} -> SP{k + 1}",
            f"lamp L{k}", f"SP{k + 1} -> L{k} -> G0",
        ]  # fmt: skip
    return lines


def fuses_in_a_ladder(n: int) -> list[str]:
    """Like `doubled_splices`, over fuses."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [
            f"fuse F{k}", f"fuse E{k}", f"SP{k} -> F{k} -> SP{k + 1}", f"SP{k} -> E{k} -> SP{k + 1}",
            f"lamp L{k}", f"SP{k + 1} -> L{k} -> G0",
        ]  # fmt: skip
    return lines


def fuses_in_a_row(n: int) -> list[str]:
    """One fuse behind another, a lamp behind each."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [f"fuse F{k}", f"SP{k} -> F{k} -> SP{k + 1}", f"lamp L{k}", f"SP{k + 1} -> L{k} -> G0"]
    return lines


def read_fuses(n: int) -> list[str]:
    """As many fuses with a module each, on one network."""
    lines = [f"fuse F{k} 10A" for k in range(n)]
    for k in range(n):
        lines += [f"module M{k} supply 1 ground 2", f"SPMAIN -> F{k} -> M{k}.1", f"M{k}.2 -> G0"]
    lines += [
        f"network N{k} can members {', '.join(f'M{m}' for m in range(k, min(k + 100, n)))}" for k in range(0, n, 100)
    ]
    return lines


def networks_of_fifty(n: int) -> list[str]:
    """Modules with a fuse each, on networks of fifty, each network joined to the next by a gateway."""
    lines = []
    for k in range(n):
        lines += [
            f"fuse F{k} 10A", f"module M{k} supply 1 ground 2 wake 3", f"SPMAIN -> F{k} -> M{k}.1", f"M{k}.2 -> G0",
        ]  # fmt: skip
    count = -(-n // 50)
    for k in range(count):
        its = ", ".join(f"M{m}" for m in range(50 * k, min(50 * k + 50, n)))
        lines.append(f"network N{k} can members {its}")
        if k:
            lines.append(f"gateway M{50 * k} joins N{k - 1}, N{k}")
    return lines


def gateways_in_a_ring(n: int) -> list[str]:
    """Networks of two modules, each joined to the next and to another far off by a gateway."""
    lines = []
    for k in range(n):
        lines += [f"module M{k} supply 1 ground 2", f"SPMAIN -> M{k}.1", f"M{k}.2 -> G0",
                  f"network N{k} can members M{k}, M{(k + 1) % n}"]  # fmt: skip
    for k in range(n):
        lines.append(f"gateway M{k} joins N{k}, N{(k + 1) % n}, N{(k * 7 + 3) % n}")
    return lines


def one_gateway(n: int) -> list[str]:
    """One module on every network, and every module on several."""
    lines = ["module HUB supply 1 ground 2", "SPMAIN -> HUB.1", "HUB.2 -> G0"]
    for k in range(n):
        lines += [
            f"module M{k} supply 1 ground 2", f"SPMAIN -> M{k}.1", f"M{k}.2 -> G0",
            f"network N{k} can members HUB, M{k}, M{(k * 3 + 1) % n}, M{(k * 5 + 2) % n}",
        ]  # fmt: skip
    most = min(n, 800)
    lines.append(f"gateway HUB joins {', '.join(f'N{k}' for k in range(most))}")
    return lines


def star_of_lamps(n: int) -> list[str]:
    """As many wires into one splice, a lamp at each."""
    return [line for k in range(n) for line in (f"lamp L{k}", f"SPMAIN -> L{k} -> G0")]


def wires_in_one_splice(n: int) -> list[str]:
    """As many wires as statements, from one splice to two lamps each."""
    lines = []
    for k in range(n):
        lines.append(f"SPMAIN -> SPW{k} -> L{k % 50}")
    return [*(f"lamp L{k}" for k in range(50)), *lines, *(f"L{k}.2 -> G0" for k in range(50))]


def every_splice_with_every(n: int) -> list[str]:
    """About `n` wires, one between each two of a few splices."""
    count = round((2 * n) ** 0.5)
    lines = ["SPMAIN -> SP0"]
    lines += [f"SP{a} -> SP{b}" for b in range(count) for a in range(b)]
    return [*lines, "lamp L", f"SP{count - 1} -> L -> G0"]


def bars(n: int) -> list[str]:
    """Bars that feed a hundred fuses each, each of which feeds the next bar; a chart for every other fuse."""
    lines = ["box CAB"]
    count = max(1, n // 60)
    for k in range(count):
        lines += [f"fuse CAB.F{k}_{j} 10A" for j in range(40)]
        lines += [f"bar CAB.B{k} feeds CAB.F{k}_0..F{k}_39"]
        lines += [f"lamp L{k}_{j}" for j in range(19)]
        lines += [f"CAB.F{k}_{j} feeds L{k}_{j % 19}" for j in range(39)]
        if k:
            lines.append(f"CAB.F{k - 1}_39 -> CAB.B{k}")
    return [*lines, "SPMAIN -> CAB.B0"]


def charts_in_a_ladder(n: int) -> list[str]:
    """Fuses that a chart says feed two others each."""
    lines = ["BAT feeds F0"]
    for k in range(n):
        lines += [
            f"fuse F{k}, E{k}",
            f"F{k} feeds F{k + 1}, E{k + 1}, L{k}",
            f"E{k} feeds F{k + 1}, E{k + 1}, L{k}",
            f"lamp L{k}",
        ]
    return [*lines, f"fuse F{n}, E{n}"]


def pins_of_one_module(n: int) -> list[str]:
    """A module with as many supply and ground pins, and outputs that feed from any of them."""
    pins = range(min(n, 900))
    lines = [f"module M supply {', '.join(f'P{k}' for k in pins)} ground {', '.join(f'N{k}' for k in pins)}"]
    lines += [f"SPMAIN -> M.P{k}" for k in pins]
    lines += [f"M.N{k} -> G0" for k in pins]
    lines += [f"output M.O{k} feeds" for k in range(0, len(pins), 3)]
    lines += [line for k in range(0, len(pins), 3) for line in (f"lamp L{k}", f"M.O{k} -> L{k} -> G0")]
    return lines


def rows_of_rows(n: int) -> list[str]:
    """Lists of rows of a hundred names, as many as go into a statement, `n` such statements."""
    lines = []
    for k in range(n):
        lines.append(f"bar B{k} feeds {', '.join(rows(38_000, f'F{k}_'))}")
    return lines


def row_after_row(n: int) -> list[str]:
    """The same for labels, each over and over."""
    row = ", ".join(["F0..F99"] * 900)
    return [*(f"fuse F{k}" for k in range(100)), *(f"stated {row} always" for _ in range(n))]


def long_names(n: int) -> list[str]:
    """Names of eighty characters and eight levels, descriptions of a thousand."""
    stem = "A23456789.B23456789.C23456789.D23456789.E23456789.F23456789.G23456789"
    said = "what nobody ever wanted to know of a lamp " * 20
    lines = []
    for k in range(n):
        name = f"{stem}.L{k:05d}"
        lines += [f'lamp {name} "{said}"', f"SPMAIN -> {name}.1", f"{name}.2 -> G0"]
    return lines


def near_names(n: int) -> list[str]:
    """Wires to parts that nobody declared, each with nearly the name of a declared one."""
    lines = [f"lamp LAMPBEHIND{k}" for k in range(n)]
    lines += [f"SPMAIN -> LAMPBEHND{k}.1" for k in range(n)]
    lines += [f"network N{k} can members LMPBEHIND{k}, LAMPBEHIN{k}" for k in range(n // 2)]
    return lines


def declared_twice(n: int) -> list[str]:
    """One part declared over and over, and one wire."""
    lines = []
    for k in range(n):
        lines += [f'lamp L{k % 7} "said {k}" at "place {k}"', f"SPMAIN -> L{k % 7}.1 in RD {k % 9 + 1}mm2"]
    return lines


def sheets(n: int) -> list[str]:
    """One sheet for each statement, with the same wire on each."""
    lines = ["lamp L"]
    for k in range(n):
        lines += [f'sheet "{k}" "sheet number {k}" whole', "SPMAIN -> L in RD 1mm2"]
    return lines


def labels(n: int) -> list[str]:
    """Lamps behind switches, each with a label that contradicts it."""
    lines = ["key IGN positions off, acc, run closes 30 to 15 in run closes 30 to 75 in acc, run", "SPMAIN -> IGN.30"]
    for k in range(n):
        lines += [
            f"lamp L{k}", f"switch S{k} positions off, on closes 1 to 2 in on", f"IGN.{'15' if k % 2 else '75'} -> S{k}.1",
            f"S{k}.2 -> L{k} -> G0", f"stated L{k} in acc",
        ]  # fmt: skip
    return lines


def open_ends(n: int) -> list[str]:
    """Wires that go on elsewhere, and come from elsewhere."""
    lines = ["SPMAIN -> SP0"]
    for k in range(n):
        lines += [f'SP{k} -> ? "goes on {k}"', f'? "from {k}" -> SP{k + 1}', f"SP{k} -> SP{k + 1}"]
    return lines


def many_files(n: int) -> Mapping[str, str]:
    """As many files as a folder may have, twenty-five statements each."""
    found = {"a.circuit": HEAD}
    for k in range(n - 1):
        lines = []
        for j in range(6):
            name = f"{k}_{j}"
            lines += [
                f"fuse F{name} 10A",
                f"lamp L{name}",
                f"SPMAIN -> F{name} -> L{name} -> G{k}",
                f"stated F{name} always",
            ]
        found[f"f{k}.circuit"] = "\n".join(lines) + "\n"
    return found


def long_chain(n: int) -> list[str]:
    """Chains of as many splices as a statement holds, one behind another."""
    lines = []
    per = 600
    for k in range(n):
        start = "SPMAIN" if k == 0 else f"SPE{k - 1}"
        lines.append(f"{start} -> " + " -> ".join(f"SP{k}_{j}" for j in range(per)) + f" -> SPE{k}")
    return [*lines, "lamp L", f"SPE{n - 1} -> L -> G0"]


def lists_in_one_wire(n: int) -> list[str]:
    """One wire statement between two lists of `n` splices: each with each."""
    return [f"{', '.join(f'SPA{k}' for k in range(n))} -> {', '.join(f'SPB{k}' for k in range(n))}", "SPMAIN -> SPA0"]


def letters_for_colours(n: int) -> list[str]:
    """Letters of the maker's own, and wires whose colours are none of them."""

    def letters(k: int) -> str:
        return "".join(chr(97 + k // 26**place % 26) for place in range(4))

    lines = [f"colours {letters(k)} RD" for k in range(n)]
    return [*lines, *(f"SPMAIN -> SP{k} in qz{chr(97 + k % 26)}x" for k in range(n))]


def one_sheet(n: int) -> list[str]:
    """Everything on one sheet."""
    lines = ['sheet "1" "all of it" whole']
    for k in range(n):
        lines += [f"fuse F{k} 10A", f"lamp L{k}", f"SPMAIN -> F{k} -> SP{k}", f"SP{k} -> L{k} -> G{k % 9}"]
    return lines


_WORDS = "fuze modul suply grond feds swich closs positons relai lampe splyce"


def near_words(n: int) -> Mapping[str, str]:
    """One statement of `n` characters of words that are nearly those of the notation."""
    words = (_WORDS + " ") * (n // len(_WORDS) + 1)
    return {"a.circuit": HEAD + "fuse " + words[: n - 10].strip() + "\n"}


def near_commas(n: int) -> Mapping[str, str]:
    """One list of `n` characters with commas left out everywhere."""
    return {"a.circuit": HEAD + "fuse " + " ".join(f"F{k} 10A mini" for k in range(n // 14)) + "\n"}


def near_arrows(n: int) -> Mapping[str, str]:
    """One wire of `n` characters with slips in its arrows."""
    return {"a.circuit": HEAD + "SPMAIN " + " ".join(f"> SP{k} -- SPB{k} -" for k in range(n // 21)) + "\n"}


def fifty_near_statements(n: int) -> Mapping[str, str]:
    """`n` statements of eight hundred characters of such words."""
    words = ((_WORDS + " ") * 14)[:790].strip()
    lines = [f"module M{k} {words}" for k in range(n)]
    rest = {f"f{k}.circuit": "\n".join(lines[k : k + 300]) + "\n" for k in range(0, n, 300)}
    return {"a.circuit": HEAD, **rest}


def unreadable_files(n: int) -> Mapping[str, str]:
    """`n` files of three hundred such statements."""
    text = "".join(f"module M{k} {_WORDS}\n" for k in range(299))
    return {"a.circuit": HEAD, **{f"f{k}.circuit": text for k in range(n - 1)}}


def quotes(n: int) -> Mapping[str, str]:
    """One statement of `n` characters of quotes that do not close, brackets and hidden characters."""
    return {"a.circuit": HEAD + "fuse F1 " + ('"a b\u200b (F2, "' * (n // 14))[: n - 20] + "\n"}


def all_slips(n: int) -> Mapping[str, str]:
    """`n` lines of every usual slip, wrong colours, numbers, names."""
    lines = []
    for k in range(n // 5):
        lines += [
            f"fuse F{k} 7,5A", f"SPMAIN -> F{k} in redd 0,75 mm", f"lamp 10A{k}", f"modul M{k} suply 1", f"relay K{k} maek",
        ]  # fmt: skip
    return {f"f{k}.circuit": "\n".join(lines[k * 250 : k * 250 + 250]) + "\n" for k in range(-(-len(lines) // 250))} | {
        "a.circuit": HEAD
    }


JOINING = (
    Hostile("doubled splices in a ladder", one_file(doubled_splices), 5, 1240, last("L#", "SP1", "MAIN")),
    Hostile("fuses in a ladder", one_file(fuses_in_a_ladder), 5, 830, last("L#", "F0", "MAIN"), fuses=numbered("F", 100)),
    Hostile("fuses in a row", one_file(fuses_in_a_row), 8, 1240, last("L#", "F0", "MAIN"), fuses=numbered("F", 300)),
    Hostile("fuses that are all read", one_file(read_fuses), 20, 400, last("M#", "F0", "MAIN"), fuses=numbered("F")),
    Hostile("fuses, as many as there can be", one_file(read_fuses), 20, 1240, last("M#", "F0", "MAIN"), fuses=numbered("F")),
    Hostile("networks of fifty modules", one_file(networks_of_fifty), 60, 1200, last("M#", "N0", "MAIN"),
            fuses=numbered("F", 60)),
    Hostile("gateways in a ring", one_file(gateways_in_a_ring), 12, 990, last("M#", "N0", "MAIN")),
    Hostile("one gateway for all networks", one_file(one_gateway), 12, 1200, last("M#", "HUB", "N0")),
    Hostile("a star of lamps", one_file(star_of_lamps), 20, 2490, last("L#", "SPMAIN", "MAIN")),
    Hostile("thousands of wires in one splice", one_file(wires_in_one_splice), 60, 4850, lambda n: ("L0", "SPMAIN", "MAIN")),
    Hostile("every splice with every other", one_file(every_splice_with_every), 30, 4900, lambda n: ("L", "SP0", "MAIN")),
    Hostile("bars and charts", one_file(bars), 120, 2990, lambda n: ("L0_0", "CAB.B0", "MAIN"),
            fuses=lambda n: tuple(f"CAB.F0_{k}" for k in range(40))),
    Hostile("charts in a ladder", one_file(charts_in_a_ladder), 5, 1240, last("L#", "F0", "BAT"), fuses=numbered("F", 100)),
    Hostile("a module of many pins", one_file(pins_of_one_module), 9, 840, lambda n: ("M", "L0", "MAIN")),
    Hostile("rows of rows", one_file(rows_of_rows), 1, 190, lambda n: ("B0", "MAIN")),
    Hostile("row after row", one_file(row_after_row), 2, 240, lambda n: ("F0", "MAIN"), fuses=numbered("F", 100)),
    Hostile("long names", one_file(long_names), 10, 1660, lambda n: (f"L{n - 1:05d}", "MAIN")),
    Hostile("names that are nearly right", one_file(near_names), 20, 1990, last("LAMPBEHIND#", "MAIN")),
    Hostile("one thing declared again and again", one_file(declared_twice), 20, 2490, lambda n: ("L0", "MAIN")),
    Hostile("thousands of sheets", one_file(sheets), 20, 2490, lambda n: ("L", "MAIN")),
    Hostile("labels that differ", one_file(labels), 10, 990, last("L#", "S0", "IGN"), setting=lambda n: ("--key", "run")),
    Hostile("open ends", one_file(open_ends), 10, 1660, last("SP#", "MAIN")),
    Hostile("two hundred files", many_files, 4, 200, lambda n: ("L0_0", "F0_0", "MAIN"),
            fuses=lambda n: tuple(f"F{k}_0" for k in range(n - 1))),
    Hostile("one long chain", one_file(long_chain), 1, 250, lambda n: ("L", "SP0_0", "MAIN")),
    Hostile("two lists in one wire", one_file(lists_in_one_wire), 5, 630, lambda n: ("SPA0", "MAIN")),
    Hostile("letters for colours", one_file(letters_for_colours), 20, 2490, lambda n: ("SP0", "MAIN")),
    Hostile("one sheet of everything", one_file(one_sheet), 10, 1240, lambda n: ("L0", "F0"), fuses=numbered("F", 30), sheet="1"),
    Hostile("a statement of near words", near_words, 200, 9_900, lambda n: ("MAIN",)),
    Hostile("a list without commas", near_commas, 200, 9_900, lambda n: ("MAIN",)),
    Hostile("a wire of broken arrows", near_arrows, 200, 9_900, lambda n: ("MAIN",)),
    Hostile("fifty statements of near words", fifty_near_statements, 3, 50, lambda n: ("MAIN",)),
    Hostile("as many of these as there can be", fifty_near_statements, 3, 4990, lambda n: ("MAIN",)),
    Hostile("two hundred files of near words", unreadable_files, 2, 200, lambda n: ("MAIN",)),
    Hostile("quotes that do not close", quotes, 200, 9_900, lambda n: ("MAIN",)),
    Hostile("every usual slip", all_slips, 50, 4990, lambda n: ("MAIN",)),
)  # fmt: skip
