"""Networks, gateways, star connectors, outputs and stated feeds."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal, cast

from circuitmap.notation.statements import (
    GatewayStatement,
    NetworkStatement,
    OutputStatement,
    StarStatement,
    StatedStatement,
    Word,
)
from circuitmap.problems import Related
from circuitmap.wiring.draft import PlatformDraft, hands_off
from circuitmap.wiring.lasting import lasting_band, waking_of
from circuitmap.wiring.near_names import NearNames
from circuitmap.wiring.parts import Fuse, Load, Role, Switch, Undeclared
from circuitmap.wiring.platform import Gateway, Member, Network, Output, Star, Stated
from circuitmap.wiring.sheets import OnSheet, Placed
from circuitmap.wiring.written_names import WrittenNames


def declare_networks(draft: PlatformDraft, names: WrittenNames, placed: Iterable[Placed]) -> dict[str, Network]:
    """The networks by name; their members' pins get the role of the network."""
    networks: dict[str, Network] = {}
    for statement, on in placed:
        if isinstance(statement, NetworkStatement):
            network = _network(draft, names, statement, on)
            known = networks.get(network.name)
            networks[network.name] = network if known is None else _joined(draft, known, network, statement.name)
    for network in networks.values():
        for member in network.members:
            # Who drives a wake line does so by an output, and is not woken by it.
            wake: Role = "output" if member.waking == "drives" else "wake"
            role: Role = wake if network.kind == "wake" else "network"
            for pin in member.pins:
                _give_role(draft, member.part, pin, role, member)
    return {
        name: replace(network, members=tuple(sorted(network.members, key=lambda m: (m.part, m.pins, m.condition))))
        for name, network in sorted(networks.items())
    }


def _network(draft: PlatformDraft, names: WrittenNames, statement: NetworkStatement, on: OnSheet) -> Network:
    condition = draft.condition(on, statement.clauses)
    members: dict[str, Member] = {}
    for item in statement.members:
        part, pin = names.part_and_pin(item.name)
        pins = tuple(names.pin_of(part, word.text) for word in item.pins)
        if pin:
            pins = (pin, *pins)
        first = members.get(part)
        if first is not None:
            draft.warning(
                "member-twice",
                f"{part} is a member of {statement.name.text} twice.",
                item.name.span,
                related=(Related(first.span, "named first here"),),
            )
            pins = tuple(dict.fromkeys((*first.pins, *pins)))
        waking = cast(Literal["", "listens", "drives"], item.waking.text) if item.waking else ""
        members[part] = Member(part=part, pins=pins, waking=waking, condition=condition, span=item.name.span)
    said, copied = statement.clauses.description, statement.clauses.copied or on.copied
    return Network(
        name=statement.name.text,
        kind=cast(Literal["can", "lin", "wake", "other"], statement.kind.text),
        description=said.text if said else "",
        members=tuple(members.values()),
        condition=condition,
        sheets=(on.sheet,) if on.sheet else (),
        copied=copied.text if copied else "",
        hands_off=hands_off(on, statement.clauses),
        run_on=statement.run_on.band if statement.run_on else None,
        wakes=waking_of(statement.wakes),
        declared=statement.name.span,
    )


def _joined(draft: PlatformDraft, known: Network, again: Network, word: Word) -> Network:
    """Two sheets may each show some of the members of one network."""
    assert known.declared is not None
    first = (Related(known.declared, "declared first here"),)
    if known.kind != again.kind:
        draft.error(
            "declared-twice",
            f"The network {known.name} is declared twice: as {known.kind} and as {again.kind}.",
            word.span,
            related=first,
        )
        draft.doubted.add(known.name)
        return known
    if known.member_names == again.member_names and set(known.sheets) == set(again.sheets):
        draft.warning("declared-twice", f"The network {known.name} is declared twice.", word.span, related=first)
    members = {member.part: member for member in known.members}
    for member in again.members:
        before = members.get(member.part)
        if before is None:
            members[member.part] = member
        else:
            pins = tuple(dict.fromkeys((*before.pins, *member.pins)))
            condition = min(before.condition, member.condition, key=len)
            waking = before.waking or member.waking
            members[member.part] = replace(before, pins=pins, condition=condition, waking=waking)
    return replace(
        known,
        description=known.description or again.description,
        members=tuple(members.values()),
        condition=min(known.condition, again.condition, key=len),
        sheets=tuple(dict.fromkeys((*known.sheets, *again.sheets))),
        copied=known.copied if again.copied else "",
        run_on=known.run_on or again.run_on,
        wakes=known.wakes or again.wakes,
        hands_off=known.hands_off if known.hands_off not in ("", "not") else again.hands_off or known.hands_off,
    )


def _give_role(draft: PlatformDraft, name: str, pin: str, role: Role, at: Member | Output) -> None:
    part = draft.parts[name]
    if not isinstance(part, Load):
        return
    known = part.roles.get(pin, "")
    # A wake pin may be a member of a wake line; an output may also be a wake line's source.
    # What was called a signal may turn out to be that of a network.
    if known == "signal" and role == "network":
        known = ""
    if known and known != role and "wake" not in (known, role):
        draft.error(
            "pin-two-roles",
            f"Pin {pin} of {name} is said to be both {known} and {role}.",
            at.span,
        )
    elif not known:
        draft.parts[name] = replace(part, roles={**part.roles, pin: role})


def declare_gateways(
    draft: PlatformDraft, names: WrittenNames, placed: Iterable[Placed], networks: Iterable[str]
) -> tuple[Gateway, ...]:
    index = NearNames(known := tuple(networks))
    gateways: list[Gateway] = []
    for statement, on in placed:
        if not isinstance(statement, GatewayStatement):
            continue
        module = names.part(statement.name)
        joins = []
        for word in statement.joins:
            if _known_network(draft, word, known, index):
                joins.append(word.text)
            else:
                draft.doubted.add(module)
        passes = []
        for source, target in statement.passes:
            passed = True
            for word in (source, target):
                if word.text not in joins:
                    passed = False
                    if _known_network(draft, word, known, index):
                        draft.error(
                            "not-joined",
                            f"{module} does not join {word.text}, so nothing passes there.",
                            word.span,
                            expected=", ".join(joins),
                        )
            if passed:
                passes.append((source.text, target.text))
        says = bool(statement.passes) or statement.passes_nothing
        gateways.append(
            Gateway(
                module=module,
                joins=tuple(sorted(dict.fromkeys(joins))),
                passes=tuple(sorted(dict.fromkeys(passes))) if says else None,
                condition=draft.condition(on, statement.clauses),
                span=statement.span,
            )
        )
    return tuple(
        sorted(dict.fromkeys(gateways), key=lambda its: (its.module, its.joins, repr(its.passes), its.condition))
    )


def _known_network(draft: PlatformDraft, word: Word, known: Sequence[str], index: NearNames) -> bool:
    if word.text in known:
        return True
    if word.text not in draft.doubted:
        near = index.near(word.text)
        draft.doubted.update({word.text, near} if near else {word.text})
        draft.error("unknown-network", f"There is no network {word.text}.", word.span, suggestion=near)
    return False


def declare_stars(
    draft: PlatformDraft, names: WrittenNames, placed: Iterable[Placed], networks: dict[str, Network]
) -> dict[str, Star]:
    index = NearNames(networks)
    stars: dict[str, Star] = {}
    for statement, on in placed:
        if not isinstance(statement, StarStatement):
            continue
        network = statement.network.text
        known = _known_network(draft, statement.network, tuple(networks), index)
        members = set(networks[network].member_names) if known else set()
        legs = []
        for leg in statement.legs:
            parts = [names.part(word) for word in leg]
            legs.append(tuple(parts))
            for word, part in zip(leg, parts, strict=True):
                if known and part not in members and not isinstance(draft.parts[part], Undeclared):
                    draft.warning("not-a-member", f"{part} is not a member of {network}.", word.span)
        clauses = statement.clauses
        star = Star(
            name=statement.name.text,
            network=network,
            legs=tuple(legs),
            place=clauses.place.text if clauses.place else "",
            reach=clauses.reach.band if clauses.reach else None,
            condition=draft.condition(on, clauses),
            hands_off=hands_off(on, clauses),
            span=statement.name.span,
        )
        first = stars.setdefault(star.name, star)
        if first is not star and first != star:
            draft.error(
                "declared-twice",
                f"The star {star.name} is declared twice, and the two differ.",
                star.span,
                related=(Related(first.span, "declared first here"),),
            )
    return dict(sorted(stars.items()))


def _gives_too(output: Output, part: Load) -> bool:
    """Whether an output is a supply pin that also gives current, as a charger between two batteries does: only where
    it was said from which other pin."""
    return output.action == "feeds" and part.roles.get(output.pin) == "supply" and output.source not in ("", output.pin)


def declare_outputs(draft: PlatformDraft, names: WrittenNames, placed: Iterable[Placed]) -> tuple[Output, ...]:
    key = the_key(draft)
    outputs: dict[Output, None] = {}
    for statement, on in placed:
        if not isinstance(statement, OutputStatement):
            continue
        condition = draft.condition(on, statement.clauses)
        _know_positions(draft, key, statement.positions)
        for word in statement.pins:
            module, pin = names.part_and_pin(word)
            part = draft.parts[module]
            if not isinstance(part, (Load, Undeclared)) or not pin:
                _not_an_output(draft, word, module, pin)
                continue
            output = Output(
                module=module,
                pin=pin,
                action="feeds" if statement.action.text == "feeds" else "grounds",
                when=cast(Literal["awake", "in", "request", "always", "live"], statement.when),
                positions=tuple(word.text for word in statement.positions),
                inputs=tuple(names.pin_of(module, w.text.removeprefix(f"{module}.")) for w in statement.inputs),
                without=tuple(names.pin_of(module, w.text.removeprefix(f"{module}.")) for w in statement.without),
                source=_source(draft, names, statement.source, module) if statement.source else "",
                volts=statement.volts.band.low if statement.volts is not None else 0.0,
                lasts=lasting_band(statement.lasts) if statement.lasts is not None else None,
                description=statement.clauses.description.text if statement.clauses.description else "",
                condition=condition,
                hands_off=hands_off(on, statement.clauses),
                span=word.span,
            )
            if isinstance(part, Load) and part.roles.get(pin) in ("supply", "ground") and not _gives_too(output, part):
                draft.error(
                    "output-on-supply",
                    f"{word.text} is a {part.roles[pin]} pin of {module}: it cannot be an output.",
                    word.span,
                )
                continue
            if output.volts and output.action == "grounds":
                draft.error(
                    "own-voltage-to-ground",
                    f"{word.text} grounds: only an output that feeds has a voltage of its own.",
                    word.span,
                )
                continue
            if not (isinstance(part, Load) and _gives_too(output, part)):
                _give_role(draft, module, pin, "output", output)
            outputs[output] = None
    feeding, grounding = ({its.terminal for its in outputs if its.action == does} for does in ("feeds", "grounds"))
    both = feeding & grounding
    told = (replace(its, both_ways=True) if its.terminal in both else its for its in outputs)
    return tuple(sorted(told, key=_in_order))


def _in_order(its: Output) -> tuple[object, ...]:
    return (
        its.module,
        its.pin,
        its.action,
        its.when,
        its.positions,
        its.inputs,
        its.without,
        its.source,
        its.volts,
        its.condition,
    )


def _not_an_output(draft: PlatformDraft, word: Word, module: str, pin: str) -> None:
    kind = draft.parts[module].kind
    if not pin:
        draft.error("pin-needed", f"Which pin of {module} is the output?", word.span)
    else:
        draft.error("output-of-what", f"{module} is a {kind}: only a module has outputs.", word.span)


def _source(draft: PlatformDraft, names: WrittenNames, word: Word, module: str) -> str:
    """The supply pin that an output feeds from, written as a bare pin or with the module's name."""
    pin = word.text.removeprefix(module + ".")
    part = draft.parts[module]
    if isinstance(part, Load) and part.pins_with("supply") and part.roles.get(pin) != "supply":
        draft.error(
            "no-such-pin",
            f"{module} has no supply pin {pin}.",
            word.span,
            expected=", ".join(part.pins_with("supply")),
        )
        return ""
    return pin


def the_key(draft: PlatformDraft) -> Switch | None:
    """The ignition switch; should there be two, the first by name."""
    keys = [part for part in draft.parts.values() if isinstance(part, Switch) and part.is_key]
    return min(keys, key=lambda key: key.name, default=None)


def _know_positions(draft: PlatformDraft, key: Switch | None, positions: Sequence[Word]) -> None:
    if key is None or not key.positions:
        return
    for position in positions:
        if position.text not in key.positions:
            draft.error(
                "unknown-position",
                f"The key {key.name} has no position {position.text}.",
                position.span,
                expected=", ".join(key.positions),
                suggestion=NearNames(key.positions).near(position.text),
            )


def declare_stated(draft: PlatformDraft, names: WrittenNames, placed: Iterable[Placed]) -> tuple[Stated, ...]:
    """Feeds as the sheet labels them; at a fuse the label means the supply side."""
    key = the_key(draft)
    stated: dict[Stated, None] = {}
    for statement, on in placed:
        if not isinstance(statement, StatedStatement):
            continue
        condition = draft.condition(on, statement.clauses)
        _know_positions(draft, key, statement.positions)
        for word in statement.names:
            name, pin = names.part_and_pin(word)
            part = draft.parts[name]
            if isinstance(part, Fuse) or (not pin and isinstance(part, Load)):
                point = names.point(word) if isinstance(part, Fuse) else None
                supplies = part.pins_with("supply") if isinstance(part, Load) else ()
                pin = supplies[0] if len(supplies) == 1 else "1" if point and not point.pin else pin
            stated[
                Stated(
                    part=name,
                    pin=pin,
                    always=not statement.positions,
                    positions=tuple(position.text for position in statement.positions),
                    condition=condition,
                    span=word.span,
                )
            ] = None
    return tuple(sorted(stated, key=lambda its: (its.part, its.pin, its.always, its.positions, its.condition)))
