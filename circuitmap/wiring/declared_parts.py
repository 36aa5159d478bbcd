"""From the statements that declare parts to the parts themselves."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Literal, cast

from circuitmap.notation.statements import (
    BatteryStatement,
    BoxStatement,
    ColoursStatement,
    DrawnAt,
    FeedsStatement,
    FuseStatement,
    JointStatement,
    LoadStatement,
    NamingStatement,
    OptionStatement,
    RelayStatement,
    Statement,
    SwitchStatement,
    TwoTerminalStatement,
    Word,
)
from circuitmap.problems import Related
from circuitmap.quantities import Band
from circuitmap.wiring.colours import NAME_OF
from circuitmap.wiring.draft import PlatformDraft, about
from circuitmap.wiring.lasting import lasting_band, waking_of
from circuitmap.wiring.near_names import NearNames
from circuitmap.wiring.parts import (
    LOAD_KINDS,
    Battery,
    Box,
    Contact,
    Diode,
    Fuse,
    Ground,
    Joint,
    Load,
    Part,
    Relay,
    RelayContact,
    Resistor,
    Role,
    Switch,
    WakesBy,
)
from circuitmap.wiring.platform import EquipmentOption
from circuitmap.wiring.sheets import OnSheet, Placed


def declare_words(draft: PlatformDraft, placed: Iterable[Placed]) -> None:
    """What the other statements are read with: options, naming patterns, colour letters."""
    patterns: dict[str, tuple[str, Word]] = {}
    letters: dict[str, Word] = {}
    others: list[Word] = []
    for statement, _ in placed:
        if isinstance(statement, OptionStatement):
            _declare_option(draft, statement)
            others += statement.others
        elif isinstance(statement, NamingStatement):
            for pattern, kind in statement.patterns:
                known, word = patterns.setdefault(pattern.text, (kind.text, pattern))
                if known != kind.text:
                    draft.error(
                        "naming-twice",
                        f"Names like {pattern.text} are said to be both {known} and {kind.text}.",
                        pattern.span,
                        related=(Related(word.span, "said first here"),),
                    )
        elif isinstance(statement, ColoursStatement):
            for own, code in statement.letters:
                _declare_letters(draft, own, code, letters)
    for word in others:  # named as the other one only
        draft.options.setdefault(word.text, EquipmentOption(name=word.text, span=word.span))
    prefixes = ((pattern.rstrip("*"), kind) for pattern, (kind, _) in patterns.items())
    draft.patterns = tuple(sorted(prefixes, key=lambda its: (-len(its[0]), its[0])))


def declare_parts(draft: PlatformDraft, placed: Iterable[Placed]) -> None:
    """Enter every declared part."""
    for statement, on in placed:
        declare = _DECLARE.get(type(statement))
        if declare is not None:
            declare(draft, statement, on)


def _declare_option(draft: PlatformDraft, statement: OptionStatement) -> None:
    name, said = statement.name, statement.clauses.description
    others = tuple(dict.fromkeys(word.text for word in statement.others if word.text != name.text))
    option = EquipmentOption(name=name.text, description=said.text if said else "", others=others, span=name.span)
    first = draft.options.setdefault(name.text, option)
    if first is not option and (option.description or not first.description):
        draft.warning(
            "declared-twice",
            f"The equipment option {name.text} is declared twice.",
            name.span,
            related=(Related(first.span, "declared first here"),),
        )


def _declare_letters(draft: PlatformDraft, own: Word, code: Word, letters: dict[str, Word]) -> None:
    if code.text not in NAME_OF:
        draft.error(
            "unknown-colour",
            f"{code.text} is not a colour code of IEC 60757.",
            code.span,
            expected=" ".join(NAME_OF),
            suggestion=code.text.upper() if code.text.upper() in NAME_OF else "",
        )
        draft.letters.setdefault(own.text, "")
        return
    first = letters.setdefault(own.text, own)
    known = draft.letters.setdefault(own.text, code.text)
    if known and known != code.text:
        draft.error(
            "colour-letters-twice",
            f"The colour letters {own.text} are said to be both {known} and {code.text}.",
            own.span,
            related=(Related(first.span, "said first here"),),
        )


def _battery(draft: PlatformDraft, statement: BatteryStatement, on: OnSheet) -> None:
    draft.declare(
        Battery(
            kind="battery",
            capacity=statement.capacity.band.low if statement.capacity else None,
            volts=statement.volts.band.low if statement.volts else None,
            series=statement.series,
            **about(draft, statement.name, on, statement.clauses),
        ),
        statement.name,
    )


def _box(draft: PlatformDraft, statement: BoxStatement, on: OnSheet) -> None:
    draft.declare(Box(kind="box", **about(draft, statement.name, on, statement.clauses)), statement.name)


def _fuses(draft: PlatformDraft, statement: FuseStatement, on: OnSheet) -> None:
    for item in statement.fuses:
        box = item.name.text.rpartition(".")[0]
        slot = draft.slots.get(box, 0)
        new = item.name.text not in draft.parts
        draft.declare(
            Fuse(
                kind=statement.kind.text,
                rating=item.rating.band.low if item.rating else None,
                style=item.style.text if item.style else "",
                slot=slot,
                empty=item.empty,
                **about(draft, item.name, on, statement.clauses, item.description),
            ),
            item.name,
        )
        if new:
            draft.slots[box] = slot + 1


def _two_terminal(draft: PlatformDraft, statement: TwoTerminalStatement, on: OnSheet) -> None:
    for item in statement.items:
        its = about(draft, item.name, on, statement.clauses, item.description)
        if statement.kind.text == "diode":
            draft.declare(Diode(kind="diode", **its), item.name)
        else:
            ohms = item.ohms.band.low if item.ohms else None
            draft.declare(Resistor(kind="resistor", ohms=ohms, **its), item.name)


def named_part(kind: str, its: dict[str, Any], slot: int = 0) -> Part:
    """A part of which only the kind is known, from the beginning of its name."""
    if kind in LOAD_KINDS:
        return Load(kind=kind, **its)
    if kind in ("fuse", "link", "breaker"):
        return Fuse(kind=kind, slot=slot, **its)
    if kind == "diode":
        return Diode(kind=kind, **its)
    return Resistor(kind=kind, **its) if kind == "resistor" else joint_of(kind, its)


def joint_of(kind: str, its: dict[str, Any], wired: bool = False) -> Part:
    """A splice, connector, ring terminal or ground point."""
    return Ground(kind="ground", wired=wired, **its) if kind == "ground" else Joint(kind=kind, **its)


def _joints(draft: PlatformDraft, statement: JointStatement, on: OnSheet) -> None:
    for item in statement.items:
        its = about(draft, item.name, on, statement.clauses, item.description)
        part = joint_of(statement.kind.text, its, statement.wired)
        if statement.cavities is not None:
            part = _counted(draft, part, statement.cavities)
        draft.declare(part, item.name)


def _counted(draft: PlatformDraft, part: Part, said: Word) -> Part:
    """A connector with so many cavities."""
    if isinstance(part, Joint) and part.kind == "connector" and said.text.isdecimal() and int(said.text) > 0:
        return replace(part, cavities=int(said.text))
    why = "only a connector has cavities" if part.kind != "connector" else "a number of cavities is a whole one"
    draft.error("cavities-of-what", f"{part.name}: {why}.", said.span)
    return part


def _bar(draft: PlatformDraft, statement: FeedsStatement, on: OnSheet) -> None:
    if statement.is_bar:
        bar = Joint(kind="bar", **about(draft, statement.name, on, statement.clauses))
        draft.declare(bar, statement.name, more_of_it=bool(statement.fed))


def _switch(draft: PlatformDraft, statement: SwitchStatement, on: OnSheet) -> None:
    positions = tuple(dict.fromkeys(word.text for word in statement.positions))
    contacts = []
    near = NearNames(positions)
    for pin_a, pin_b, closed_in in statement.closes:
        closed = []
        for position in closed_in:
            if position.text in positions or not positions:
                closed.append(position.text)
            else:
                draft.error(
                    "unknown-position",
                    f"{statement.name.text} has no position {position.text}.",
                    position.span,
                    expected=", ".join(positions),
                    suggestion=near.near(position.text),
                )
        contacts.append(Contact(pin_a.text, pin_b.text, tuple(closed)))
    draft.declare(
        Switch(
            kind="switch",
            positions=positions,
            contacts=tuple(dict.fromkeys(contacts)),
            is_key=statement.is_key,
            by=statement.by.text if statement.by else "",
            inside=statement.inside.text if statement.inside else "",
            **about(draft, statement.name, on, statement.clauses),
        ),
        statement.name,
    )


# Terminal numbers of DIN 72552 (seen): 30 in, 87 make contact out, 87a break contact out.
_USUAL_COIL = {"flasher": ("49", "31")}
"""Terminal numbers of DIN 72552: 49 in, 49a out (seen)."""
_USUAL_CONTACTS: dict[str, tuple[RelayContact, ...]] = {
    "make": (RelayContact("30", "87", True),),
    "break": (RelayContact("30", "87a", False),),
    "changeover": (RelayContact("30", "87", True), RelayContact("30", "87a", False)),
    "flasher": (RelayContact("49", "49a", False),),
}


def _relay(draft: PlatformDraft, statement: RelayStatement, on: OnSheet) -> None:
    contacts = []
    for common, other, at_rest in statement.contacts:
        contacts.append(RelayContact(common.text, other.text, statement.form.text != "break"))
        if at_rest is not None:
            contacts.append(RelayContact(common.text, at_rest.text, False))
    form = statement.form.text
    its = about(draft, statement.name, on, statement.clauses)
    coil = _pins(statement.coil) or _USUAL_COIL.get(form, ("86", "85"))
    if form == "latching":
        _latching(draft, statement, contacts or list(_USUAL_CONTACTS["make"]), coil, its)
        return
    if statement.reset is not None:
        draft.error("reset-coil", "Only a latching relay has a coil that resets it.", statement.reset[0].span)
    draft.declare(
        Relay(
            kind="relay",
            contacts=tuple(contacts) or _USUAL_CONTACTS.get(form, ()),
            coil=coil,
            flashes=form == "flasher",
            holds=statement.holds.band if statement.holds else None,
            across=cast(Literal["", "diode", "resistor"], statement.across.text) if statement.across else "",
            ohms=statement.ohms.band.low if statement.ohms else None,
            takes=statement.takes.band if statement.takes else None,
            **its,
        ),
        statement.name,
    )


def _amps(draft: PlatformDraft, said: DrawnAt) -> Band:
    """Amperes; of watts by the nominal voltage."""
    band = said.amount.band
    return Band(band.low / draft.volts, band.high / draft.volts) if said.amount.written.endswith("W") else band


def _at_pins(draft: PlatformDraft, said: Sequence[DrawnAt]) -> dict[str, Band]:
    return {its.pin.text: _amps(draft, its) for its in said if its.pin is not None}


def _whole(draft: PlatformDraft, statement: LoadStatement, said: Sequence[DrawnAt]) -> Band | None:
    """What the part takes in all: of a module the sum of its pins, which are all fed; of a lamp with two filaments
    anything from one to all."""
    bands = [_amps(draft, its) for its in said]
    if not bands:
        return None
    low = sum(b.low for b in bands) if statement.kind.text == "module" else min(b.low for b in bands)
    return Band(low, sum(b.high for b in bands))


def _pins(pair: tuple[Word, Word] | None) -> tuple[str, str] | None:
    return (pair[0].text, pair[1].text) if pair else None


def _latching(
    draft: PlatformDraft,
    statement: RelayStatement,
    contacts: list[RelayContact],
    coil: tuple[str, str],
    its: dict[str, Any],
) -> None:
    """A relay that stays as it was left is a switch with two positions, which its coils move."""
    reset = _pins(statement.reset)
    if statement.takes is not None:
        draft.error("latching-running", "A latching relay's coil takes nothing that lasts.", statement.takes.span)
    closed = tuple(Contact(c.pin_a, c.pin_b, ("set" if c.energised else "reset",)) for c in contacts)
    draft.declare(
        Switch(
            kind="latching relay",
            positions=("reset", "set"),
            contacts=closed,
            coils=(coil, reset) if reset else (coil,),
            **its,
        ),
        statement.name,
    )


def _load(draft: PlatformDraft, statement: LoadStatement, on: OnSheet) -> None:
    roles: dict[str, Role] = {}
    wakes_by: dict[str, WakesBy] = {}
    lasts: dict[str, Band] = {}
    for role, pins, by, lasting in statement.roles:
        if lasting is not None and role.text != "wake":
            draft.error("wakes-by", f"Only a wake pin wakes for a time; {role.text} pins have no `for`.", lasting.span)
        if by is not None and role.text != "wake":
            draft.error("wakes-by", f"Only a wake pin wakes; {role.text} pins have no `by`.", by.span)
        for pin in pins:
            if by is not None and role.text == "wake":
                wakes_by[pin.text] = cast(WakesBy, by.text)
            if lasting is not None and role.text == "wake":
                lasts[pin.text] = lasting_band(lasting)
            known = roles.setdefault(pin.text, cast(Role, role.text))
            if known != role.text:
                two, its = {known, role.text}, pin.text
                says = f"Pin {its} of {statement.name.text} is said to be both {known} and {role.text}."
                mend = f"Where nothing in it works without, say: supply {its} needs {its}."
                draft.error("pin-two-roles", says, pin.span, advice=mend if two == {"supply", "wake"} else "")
    draft.declare(
        Load(
            kind=statement.kind.text,
            roles=roles,
            wakes_by=wakes_by,
            asleep=_whole(draft, statement, statement.asleep),
            awake=_whole(draft, statement, statement.awake),
            running=_whole(draft, statement, statement.running),
            asleep_at=_at_pins(draft, statement.asleep),
            awake_at=_at_pins(draft, statement.awake),
            running_at=_at_pins(draft, statement.running),
            joined=tuple((one.text, other.text) for one, other in statement.joined),
            law=cast(Literal["", "regulated", "led"], statement.law.text) if statement.law else "",
            run_on=statement.run_on.band if statement.run_on else None,
            wakes=waking_of(statement.wakes),
            needs=_needed(draft, statement, roles),
            lasts=lasts,
            **about(draft, statement.name, on, statement.clauses),
        ),
        statement.name,
    )


def _needed(draft: PlatformDraft, statement: LoadStatement, roles: Mapping[str, Role]) -> tuple[str, ...]:
    """The supply pins that a part needs all of."""
    found = dict.fromkeys(pin.text for pin in statement.needs if roles.get(pin.text) == "supply")
    for pin in statement.needs:
        if pin.text not in found:
            draft.error(
                "needs-no-supply",
                f"{statement.name.text} can only need its supply pins; {pin.text} is none of them.",
                pin.span,
                expected=", ".join(its for its, role in roles.items() if role == "supply"),
            )
    return tuple(found)


_DECLARE: dict[type[Statement], Callable[[PlatformDraft, Any, OnSheet], None]] = {
    BatteryStatement: _battery,
    BoxStatement: _box,
    FuseStatement: _fuses,
    TwoTerminalStatement: _two_terminal,
    JointStatement: _joints,
    FeedsStatement: _bar,
    SwitchStatement: _switch,
    RelayStatement: _relay,
    LoadStatement: _load,
}
