"""A platform of any length: wires in chains of three, from fuse over connector and splice to a module."""

from pathlib import Path

PINS = 4
"""Supply pins of each module: four chains of three wires, and one ground wire."""
WIRES_OF_A_MODULE = 3 * PINS + 1
FUSES_OF_A_BOX = 60
COLOURS = ("RD", "OG/BK", "YE/GN", "BU/WH", "VT", "GY/RD", "BN/YE", "WH/BK")
SIZES = ("0.5mm2", "0.75mm2", "1mm2", "1.5mm2", "2.5mm2")


def long_platform(wires: int) -> str:
    """Notation with about `wires` wires (copper in the boxes not counted)."""
    modules = max(1, wires // WIRES_OF_A_MODULE)
    fuses = modules * PINS
    boxes = -(-fuses // FUSES_OF_A_BOX)
    lines = [
        'platform "Long Goer" supply 12V return body',
        "    sleep 20min limit 50mA",
        "naming SP* splice, X* connector, G* ground",
        "battery BAT 90Ah",
    ]
    names = [f"B{n // FUSES_OF_A_BOX}.F{n % FUSES_OF_A_BOX}" for n in range(fuses)]
    for box in range(boxes):
        lines.append(f'box B{box} "box {box}"')
        own = names[box * FUSES_OF_A_BOX : (box + 1) * FUSES_OF_A_BOX]
        lines += [f"fuse {name} {(5, 10, 15, 20)[n % 4]}A mini" for n, name in enumerate(own)]
        lines.append(f"bar B{box}.BAR feeds {own[0]}..F{len(own) - 1}")
    lines += [
        f"module M{n} supply {', '.join(str(pin) for pin in range(1, PINS + 1))} ground 9" for n in range(modules)
    ]
    lines += ['sheet "1" "Supply"', *(f"BAT.+ -> B{box}.BAR in RD 16mm2" for box in range(boxes)), "BAT.- -> G0"]
    for n in range(modules):
        if n % 20 == 0:
            lines.append(f'sheet "{n // 20 + 2}" "Modules from {n}"')
        for pin in range(PINS):
            chain = n * PINS + pin
            look = f"{COLOURS[chain % len(COLOURS)]} {SIZES[chain % len(SIZES)]}"
            lines.append(f"{names[chain]} -> X{chain // 20}.{chain % 20 + 1} -> SP{chain} -> M{n}.{pin + 1} in {look}")
        lines.append(f"M{n}.9 -> G{n % 30 + 1} in BN 2.5mm2")
    return "\n".join(lines) + "\n"


def write_long_platform(folder: Path, wires: int) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "long.circuit").write_text(long_platform(wires), "utf-8")
    return folder
