"""What an answer about volts rests on that nobody knows, in sentences; the same list for text and data."""

from circuitmap.reports.volts.place_words import link_words
from circuitmap.reports.words.paragraphs import counted, joined, shortened
from circuitmap.reports.words.part_words import terminal_words
from circuitmap.volts.expected_volts import ExpectedVolts
from circuitmap.volts.ohms import LENGTHS


def rests_on(its: ExpectedVolts) -> list[str]:
    """Lengths, sizes, contacts, currents that were assumed; what was taken as on; what was not tried."""
    if its.foreground is None:
        return []
    circuit = its.powered.circuit
    told = []
    bands = [(r.link, r.ohms) for r in its.foreground.resistances]
    wires = [i for i, _ in bands if i >= 0 and (wire := circuit.links[i].wire) and wire.kind == "wire"]
    no_length = [i for i in wires if (wire := circuit.links[i].wire) is not None and wire.length is None]
    if no_length:
        told.append(
            f"The length of {counted(len(no_length), 'wire')}: {LENGTHS.low:g} to {LENGTHS.high:g} m each (judgement). "
            "A `length` typed in narrows it."
        )
    no_size = [link_words(circuit, i) for i, band in bands if "no size typed" in band.source]
    if no_size:
        told.append(f"The size of {shortened(no_size, 3)}: taken as the thinnest that its fuse allows (judgement).")
    undrawn = [band for i, band in bands if i < 0]
    if undrawn or its.net.closed.undrawn_feeds:
        nodes = (*its.net.closed.undrawn_feeds, *its.net.closed.undrawn_grounds)
        names = [terminal_words(circuit.platform, circuit.nodes[node]) for node in nodes]
        told.append(f"How the way goes on at {shortened(names, 4) or 'a ground'}: nobody typed it in.")
    contacts = {band.source for i, band in bands if band.mark == "judgement" and i >= 0 and not circuit.links[i].wire}
    if contacts:
        told.append(f"What is sound for {joined(sorted(contacts))}: judgement.")
    untyped = sorted({t.part for t in its.foreground.takers if not t.takes.typed})
    if untyped:
        told.append(f"What {shortened(untyped, 5)} takes: by its kind only; nobody typed it in.")
    if its.net.closed.taken_as_on:
        told.append(f"{shortened(its.net.closed.taken_as_on, 6)}: taken to be on, because what runs needs it.")
    if its.about:
        told.append('"At most" is not proved for lamps and modules: their current does not follow the volts.')
    if its.cut_off:
        told.append("Not all corners of the bounds were tried (cut off).")
    for cell in its.foreground.cells:
        if cell.one_way:
            told.append(
                f"{cell.name}: taken to hold {cell.volts.low:.3g} to {cell.volts.high:.3g} V, usually the "
                f"{cell.usual:g} V typed in, and to give any current; what is lost inside it, and how much it can "
                "give, is not typed in (judgement)."
            )
    for cell in its.foreground.idle:
        told.append(
            f"{cell.name}: gives nothing, because its {cell.usual:g} V are less than there are; if it charges, all "
            f"stands higher, up to {cell.volts.high:.3g} V."
        )
    if any(cell.ohms.mark != "typed" and not cell.one_way for cell in its.foreground.cells):
        told.append("The battery: 12.2 to 12.7 V inside for each 12 V; --saw BAT=12.5V at its posts takes it out.")
    return told
