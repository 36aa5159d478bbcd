"""What is said beside a step that may show a control wire at fault: how that wire is tested by itself."""

from collections.abc import Iterator, Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.planned import OutcomeBranch, PlannedTest
from circuitmap.reports.suspects.fault_words import coil_wires, control_pin
from circuitmap.reports.words.cautions import caution_sentences, cautions_at
from circuitmap.wiring.parts import Relay
from circuitmap.wiring.platform import Platform


def control_wire_remarks(
    platform: Platform, diagnosis: Diagnosis, test: PlannedTest, branches: Sequence[OutcomeBranch]
) -> Iterator[str]:
    """Nothing where no such wire is at fault, or nobody may touch it."""
    action = test.action
    relay = platform.parts.get(test.wire.contact) if test.wire is not None else None
    if test.wire is None or not isinstance(relay, Relay):
        return
    pin = f"{relay.name}.{control_pin(platform, test.wire)}"
    if not (diagnosis.hands_off.may_touch(relay.name) and diagnosis.hands_off.may_touch(pin)):
        return
    if action.doing == "relay-volts":
        end = coil_wires(platform, relay, control_pin(platform, test.wire))
        yield f"If driven: part {end} at its far end. Coil still fed: the wire is rubbed; not: what drives it there."
    elif any(branch.outcome == "stays" and branch.part == test.wire.part for branch in branches):
        yield _test_of_the_wire(platform, test.wire, action.parts[0])
        care = cautions_at(platform, "wire-ohms", (relay.name,))
        yield from caution_sentences(care)


def _test_of_the_wire(platform: Platform, fault: Fault, out: str) -> str:
    """How a control wire is tested by itself, with the relay and its driver out (common practice, no source)."""
    relay, pin = platform.parts[fault.contact], control_pin(platform, fault)
    assert isinstance(relay, Relay)
    other = next((p for p in relay.coil if p != pin), "")
    if fault.state is not None and fault.state.bridged:
        how = (
            f"ohms from {coil_wires(platform, relay, pin)} to ground. A way to ground is the rub; open, "
            f"the wire is sound. (No ohms on {other}: it is the coil's feed, live.)"
        )
    else:
        how = f"volts on {coil_wires(platform, relay, pin)} to ground. Battery volts are the rub, none is a sound wire."
    return f"If it stays, {out} still unplugged: take {relay.name} out, {how}"
