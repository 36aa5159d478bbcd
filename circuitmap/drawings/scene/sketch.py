"""A scene in the making: links of the circuit become wires between drawn parts, grounds are repeated at each use."""

from collections.abc import Mapping
from dataclasses import replace

from circuitmap.circuit.link import BODY, CASE_PIN, Link
from circuitmap.drawings.scene.scene import DrawnEnd, DrawnNetwork, DrawnPart, DrawnWire, Kind, Mark, Nature, Scene
from circuitmap.drawings.scene.shown import shown_part, shown_rail, shown_sheets, shown_wire
from circuitmap.drawings.scene.wanted import Wanted
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Battery, Ground, Joint, OpenEnd, Switch, Terminal, is_unnamed
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.platform import Wire as PlatformWire


def box_key(platform: Platform, terminal: Terminal) -> str:
    """Which part of the drawing a terminal belongs to: a cavity of a connector is a part of its own."""
    part = platform.parts.get(terminal.part)
    if isinstance(part, Joint) and part.kind == "connector" and terminal.pin:
        return f"{terminal.part}.{terminal.pin}"
    return terminal.part


class Sketch:
    """Parts and wires are added one after the other; `scene` is the result.

    `rails` are the terminals drawn as supply rails. Batteries are their rails, except those in `batteries`.
    """

    def __init__(
        self,
        platform: Platform,
        fitting: Fitting,
        wanted: Wanted,
        rails: frozenset[Terminal] = frozenset(),
        batteries: frozenset[str] = frozenset(),
    ) -> None:
        self.platform, self.fitting, self.wanted = platform, fitting, wanted
        self._rails = rails
        self._batteries = batteries
        self._pins: dict[str, dict[str, None]] = {}
        self._named_as: dict[str, str] = {}
        self._used_rails: dict[Terminal, None] = {}
        self._wires: list[DrawnWire] = []
        self._extra: list[DrawnPart] = []
        self._networks: list[DrawnNetwork] = []
        self._inside: dict[str, list[Switch]] = {}
        for part in platform.parts.values():
            if isinstance(part, Switch) and part.inside:
                self._inside.setdefault(part.inside, []).append(part)
        # A controller that also feeds its sensors is no converter: that does nothing else.
        others = {output.module for output in platform.outputs if not output.volts}
        self._makes = {its.module: its.volts for its in platform.outputs if its.module not in others}

    @property
    def drawn_names(self) -> Mapping[str, object]:
        """Keys of the parts drawn, in the order they came."""
        return self._pins

    @property
    def drawn_terminals(self) -> set[tuple[str, str]]:
        """The part and pin of every end that has a wire."""
        return {(end.owner, end.pin) for wire in self._wires for end in (wire.start, wire.finish)}

    def add_part(self, key: str, name: str = "") -> None:
        part = self.platform.parts.get(name or key)
        if isinstance(part, Switch) and part.inside:
            key, name = part.inside, ""
        if isinstance(part, Ground) or (isinstance(part, Battery) and part.name not in self._batteries):
            return
        self._pins.setdefault(key, {})
        self._named_as[key] = name or self._named_as.get(key) or self._owner_of(key)

    def _owner_of(self, key: str) -> str:
        """The platform's part behind a key: itself, or the connector of a cavity."""
        name = key
        while name not in self.platform.parts and "." in name:
            name = name.rpartition(".")[0]
        return name

    def is_drawn(self, terminal: Terminal) -> bool:
        return box_key(self.platform, terminal) in self._pins

    def add_link(self, link: Link, forward: bool, mark: Mark = Mark.NONE, named: bool = False) -> None:
        """A wire is drawn; for a path inside a part only the part itself is."""
        start, finish = (link.a, link.b) if forward else (link.b, link.a)
        if link.kind == "body":
            if link.a.pin == CASE_PIN and link.a != BODY:
                self.add_housing(link.a)
        elif link.wire is None:
            for end in (start, finish):
                if not is_unnamed(end.pin):
                    self._end(end)
        else:
            self.add_wire(link.wire, start, finish, mark, named)

    def add_wire(self, wire: PlatformWire, start: Terminal, finish: Terminal, mark: Mark, named: bool) -> None:
        if self._is_ground(start) and not self._is_ground(finish):
            start, finish = finish, start  # a current that comes back from a ground point is drawn as ending there
        ends = self._end(start), self._end(finish)
        key = f"w{len(self._wires)}"
        self._wires.append(shown_wire(wire, key, *ends, self.fitting, mark, named))

    def add_extra(self, part: DrawnPart, at: Terminal, above: bool, nature: Nature) -> None:
        """A stub or an open end beside a terminal."""
        self._extra.append(replace(part, key=f"{part.kind} {len(self._extra)}"))
        stub, end = DrawnEnd(self._extra[-1].key), self._end(at)
        start, finish = (stub, end) if above else (end, stub)
        self._wires.append(DrawnWire(f"w{len(self._wires)}", start, finish, nature=nature))

    def add_pin(self, terminal: Terminal) -> None:
        """A pin of a drawn part that no wire of the drawing ends at."""
        self._pins[box_key(self.platform, terminal)][terminal.pin] = None

    def add_network(self, network: DrawnNetwork) -> None:
        if network.taps:
            self._networks.append(network)
            for tap in network.taps:
                self._pins[tap.part][tap.pin] = None

    def add_housing(self, at: Terminal) -> None:
        """A part's own ground: its housing, bolted to the body."""
        end = self._end(at)
        if not any(wire.start == end and wire.nature is Nature.LEAD for wire in self._wires):
            self._wires.append(DrawnWire(f"w{len(self._wires)}", end, self._ground("body"), nature=Nature.LEAD))

    def _is_ground(self, terminal: Terminal) -> bool:
        return terminal == BODY or isinstance(self.platform.parts.get(terminal.part), Ground)

    def is_plain_return(self, link: Link) -> bool:
        """A cable from a ground point to a battery's minus, both of them drawn as ground symbols: drawn between two of
        these it would be a loop by itself."""
        ends = (link.a, link.b)
        asked_for = any(end.part in self.wanted.in_focus for end in ends)
        minus = any(self.platform.parts[end.part].kind == "battery" for end in ends if end != BODY)
        return minus and not asked_for and all(self._is_ground(end) or self._is_minus(end) for end in ends)

    def _is_minus(self, terminal: Terminal) -> bool:
        part = self.platform.parts.get(terminal.part)
        return isinstance(part, Battery) and terminal.pin == "-" and part.name not in self._batteries

    def _ground(self, name: str) -> DrawnEnd:
        key = f"ground {len(self._extra)}"
        self._extra.append(DrawnPart(key, Kind.GROUND, name))
        return DrawnEnd(key)

    def _end(self, terminal: Terminal) -> DrawnEnd:
        """The end of a wire; a ground gets a new symbol each time."""
        part = self.platform.parts.get(terminal.part)
        if self._is_ground(terminal):
            return self._ground("body" if terminal == BODY else terminal.part)
        if self._is_minus(terminal):
            return self._ground(str(terminal))
        if isinstance(part, Battery) and part.name not in self._batteries:
            return self._rail(terminal)
        if terminal in self._rails and terminal.part not in self._pins:
            return self._rail(terminal)
        key = box_key(self.platform, terminal)
        self.add_part(key, terminal.part)
        if isinstance(part, Joint) and part.kind == "connector" and terminal.half:
            self._pins[key][terminal.half] = None
            return DrawnEnd(key, terminal.half)
        if isinstance(part, (Joint, OpenEnd)):
            return DrawnEnd(key)
        self._pins[key][terminal.pin] = None
        return DrawnEnd(key, terminal.pin)

    def _rail(self, terminal: Terminal) -> DrawnEnd:
        self._used_rails[terminal] = None
        return DrawnEnd(f"rail {terminal}")

    def scene(self, title: str, unknown: tuple[Unknown, ...]) -> Scene:
        wires = tuple(self._wires)
        return Scene(
            title=title,
            parts=(*(self._part(key) for key in self._pins), *self._extra),
            wires=wires,
            subtitle=self.platform.name,
            rails=tuple(shown_rail(terminal, self.platform) for terminal in self._rails_in_order()),
            networks=tuple(self._networks),
            sheets=shown_sheets(wires, self.platform.sheets),
            unknown=unknown,
        )

    def _rails_in_order(self) -> list[Terminal]:
        """Batteries first, in the order of the platform, then the key's contacts."""
        order = {name: number for number, name in enumerate(self.platform.parts)}

        def place(terminal: Terminal) -> tuple[bool, int, str]:
            is_key = not isinstance(self.platform.parts[terminal.part], Battery)
            return is_key, order[terminal.part], terminal.pin

        return sorted(self._used_rails, key=place)

    def _part(self, key: str) -> DrawnPart:
        name = self._named_as[key]
        part = self.platform.parts[name]
        in_focus = name in self.wanted.in_focus
        mark, named = self.wanted.mark_of(name), name in self.wanted.named
        switches = self._inside.get(name, ())
        volts = self._makes.get(name, 0.0)
        return shown_part(part, key, self._pins[key], self.fitting, mark, named, in_focus, switches, volts)
