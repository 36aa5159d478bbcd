"""Why a terminal is live or grounded: the way from the source, or the contacts that keep it away."""

from collections.abc import Iterable
from typing import Literal, NamedTuple

from circuitmap.circuit.links import Circuit, Link
from circuitmap.power.evaluate import ANSWERS, Powered
from circuitmap.power.nearest import Side, level_of, way_to
from circuitmap.power.nets import MAY_BE, NO
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.output_inputs import inputs_said
from circuitmap.wiring.parts import Relay, Terminal

Origin = Literal["battery", "body", "not drawn", "label", "feeding"]
"""Where a way ends: at a battery's post, at the body, at a place nobody transcribed, or at a label on the sheet that
says the feed is hot."""

MOST_STEPS_TOLD = 400
"""How many steps of one way are told: half of them from the source on, half up to the terminal (judgement: the longest
ways of the samples have forty)."""


class WhyStep(NamedTuple):
    """One link on the way, from the source towards the terminal, with how surely it conducts.

    `because` says what closes a contact: `KEY=run`, `K4` (its relay pulled in), `not K4` (at rest), `awake`, `on
    request`, `feeding` (an alternator that charges), `stuck`, `always`; empty for anything but a contact. `bridge`: two
    points touch here that should not.
    """

    start: Terminal
    end: Terminal
    link: Link | None
    answer: Answer
    because: str = ""

    @property
    def bridge(self) -> bool:
        return self.link is None


class Reason(NamedTuple):
    """Why a terminal is live (`side` supply) or grounded. `steps` lead from `source` to it; `contacts` are the contacts
    and outputs on the way, source first. `cut_off`: the way is so long that the steps in its middle are left out.

    Where the answer is no, there are no steps, and `open_contacts` are those that would make it so by closing: one side
    is live (or grounded), the other is joined to the terminal. `backfed_by` are loads and relays through which a meter
    reads a voltage (or ground) there all the same: that is no supply.
    """

    terminal: Terminal
    side: Side
    answer: Answer
    source: Terminal | None = None
    origin: Origin | None = None
    steps: tuple[WhyStep, ...] = ()
    open_contacts: tuple[str, ...] = ()
    backfed_by: tuple[str, ...] = ()
    contacts: tuple[str, ...] = ()
    cut_off: bool = False

    @property
    def parts(self) -> tuple[str, ...]:
        """Fuses, connectors, splices and contacts on the way, source first, each once."""
        return tuple(dict.fromkeys(step.link.part for step in self.steps if step.link is not None and step.link.part))


def why(powered: Powered, terminal: Terminal, side: Side = "supply") -> Reason:
    """The shortest of the most certain ways from a source to a terminal, or the contacts that keep it away."""
    known = powered.derived(_Told).reasons
    found = known.get((terminal, side))
    if found is None:
        found = known[terminal, side] = _why(powered, terminal, side)
    return found


class _Told:
    """What was already told of one state: ways share steps, and share what keeps them from a source."""

    def __init__(self, _powered: Powered) -> None:
        self.reasons: dict[tuple[Terminal, Side], Reason] = {}
        self.steps: dict[tuple[int, int, int, Side], WhyStep] = {}
        self.kept_away: dict[tuple[int, Side], _KeptAway] = {}


def _why(powered: Powered, terminal: Terminal, side: Side) -> Reason:
    circuit = powered.circuit
    node = circuit.number.get(terminal)
    if node is None:
        return Reason(terminal, side, Answer.NO)
    answer = (powered.supply if side == "supply" else powered.ground)[terminal]
    if answer == Answer.NO:
        contacts, loads = _kept_away_by(powered, powered.nets.net_of[node], side)
        return Reason(terminal, side, answer, open_contacts=contacts, backfed_by=loads)
    nodes, links = way_to(powered, node, side)
    source = nodes[0]
    steps = powered.derived(_Told).steps
    told: Iterable[int] = range(len(links))
    cut_off = len(links) > MOST_STEPS_TOLD
    if cut_off:
        half = MOST_STEPS_TOLD // 2
        told = (*range(half), *range(len(links) - half, len(links)))
    by_contact = circuit.contact_names
    contacts = tuple(by_contact[link] for link in links if link in by_contact)
    found = []
    for at in told:
        key = nodes[at], nodes[at + 1], links[at], side
        step = steps.get(key)
        if step is None:
            step = steps[key] = _step(powered, circuit, *key)
        found.append(step)
    origin = _origin(powered, source, side)
    return Reason(terminal, side, answer, circuit.nodes[source], origin, tuple(found), (), (), contacts, cut_off)


def _step(powered: Powered, circuit: Circuit, start: int, end: int, link: int, side: Side) -> WhyStep:
    a, b = circuit.nodes[start], circuit.nodes[end]
    if link < 0:
        # Across a bridge to a place that may also be on the other side: perhaps a short circuit.
        certain = powered.settled.reach.supply if side == "supply" else powered.settled.reach.ground
        return WhyStep(a, b, None, Answer.YES if certain[powered.nets.net_of[end]] else Answer.MAY_BE)
    its = circuit.links[link]
    return WhyStep(a, b, its, ANSWERS[level_of(powered, link)], _because(powered, its))


def _because(powered: Powered, link: Link) -> str:
    if not link.contact:
        return ""
    state = powered.state
    if link.contact in state.stuck:
        return "stuck"
    if link.output is not None:
        when = link.output.when
        if when == "live":
            return inputs_said(powered.circuit.platform, link.output)
        if when == "request" and link.output.module in powered.run.gives:
            return "feeding"
        return {"awake": "awake", "always": "always", "request": "on request"}.get(
            when, f"key={powered.run.key_position}"
        )
    if isinstance(powered.circuit.platform.parts[link.part], Relay):
        return link.part if link.energised else f"not {link.part}"
    position = state.switches.get(link.part, "")
    contact = powered.plan.switch_contacts[powered.circuit.contacts[link.contact][0]]
    if contact.is_key:
        position = powered.run.key_position
    return f"{link.part}={position or contact.rest}"


def _origin(powered: Powered, source: int, side: Side) -> Origin:
    plan = powered.plan
    if any(source == (cell.plus if side == "supply" else cell.minus) for cell in plan.cells):
        return "battery"
    if side == "supply" and any(source == node for node, _ in plan.stated):
        return "label"
    if powered.circuit.nodes[source].part in powered.state.feeding:
        return "feeding"
    if side == "ground" and source in plan.returns:
        return "body"
    return "not drawn"


_KeptAway = tuple[tuple[str, ...], tuple[str, ...]]


def _kept_away_by(powered: Powered, start: int, side: Side) -> _KeptAway:
    """Open contacts, and loads and coils, that lie between what is joined to a dead net and what is live (or
    grounded)."""
    kept = powered.derived(_Told).kept_away
    if (start, side) in kept:
        return kept[start, side]
    nets, levels = powered.nets, powered.settled.levels
    seen = powered.settled.reach
    bits = seen.perhaps_supply if side == "supply" else seen.perhaps_ground
    held_down = seen.ground if side == "supply" else seen.supply  # firmly on the other side: nothing shows through it
    neighbours = nets.towards_supply if side == "supply" else nets.towards_load
    joined, stack, contacts = {start}, [start], set()
    while stack:
        net = stack.pop()
        for other, gate in neighbours[net]:
            contact = powered.circuit.links[nets.gate_link[gate]].contact
            if levels[gate] == NO and bits[other] and contact:
                contacts.add(contact)
            elif levels[gate] >= MAY_BE and other not in joined and not held_down[other]:
                joined.add(other)
                stack.append(other)
    takers = powered.run.takers
    beside = {n for net in joined if not held_down[net] for n, other in takers.at.get(net, ()) if bits[other]}
    found = tuple(sorted(contacts)), tuple(sorted({powered.name_of_taker(n) for n in beside}))
    kept[start, side] = found
    return found
