"""What is joined by wires, splices, ring terminals and cavities alone: always at the same voltage."""

from collections.abc import Callable, Iterable

from circuitmap.wiring.parts import Terminal


class JoinedNets:
    """Terminals grouped by what joins them. Fuses, contacts and loads separate nets; so does the body."""

    def __init__(self, joined: Iterable[tuple[Terminal, Terminal]]) -> None:
        """`joined` are pairs of terminals; the two halves of a cavity are joined without being told."""
        self._above: dict[Terminal, Terminal] = {}
        for a, b in joined:
            self._join(a, b)
        for terminal in tuple(self._above):
            if terminal.half == "a":
                leaving = Terminal(terminal.part, terminal.pin, "l")
                if leaving in self._above:
                    self._join(terminal, leaving)
        members: dict[Terminal, list[Terminal]] = {}
        for terminal in self._above:
            members.setdefault(self._top(terminal), []).append(terminal)
        self._members = members

    def of(self, terminal: Terminal) -> tuple[Terminal, ...]:
        """All terminals joined with this one, itself included."""
        if terminal not in self._above:
            return (terminal,)
        return tuple(self._members[self._top(terminal)])

    def key(self, terminal: Terminal) -> Terminal:
        """One terminal that stands for the whole net."""
        return self._top(terminal) if terminal in self._above else terminal

    def keys_with(self, wanted: Callable[[Terminal], bool]) -> set[Terminal]:
        """The keys of the nets that have a terminal for which this is true."""
        return {self._top(terminal) for terminal in self._above if wanted(terminal)}

    def _top(self, terminal: Terminal) -> Terminal:
        above = self._above
        while (up := above[terminal]) is not terminal:
            above[terminal] = above[up]
            terminal = above[up]
        return terminal

    def _join(self, a: Terminal, b: Terminal) -> None:
        above = self._above
        a = self._top(above.setdefault(a, a))
        b = self._top(above.setdefault(b, b))
        if a is not b:
            above[b] = a
