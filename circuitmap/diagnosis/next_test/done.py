"""What was done at this car already, so that nobody is asked for it again."""

from typing import NamedTuple

from circuitmap.diagnosis.next_test.handling import Action


class Done(NamedTuple):
    """What was done already: `tried` are parts that were out together, and what the total showed then is known;
    `out` is out now; `relays` and `inputs` were looked at; the wires behind `followed` were seen all along, or where
    they are chafed; volts were read at the pins `probed`. `wrong_input`: the live data, which show all inputs at once,
    showed a wrong one; `settled` are faults, by number, whose share of the draw went with what is out, `ended` all that
    have ended with it; `spotted` are faults whose very place was found. What is `doubted` was out together, and that
    speaks against readings that agree: it is to be done once more."""

    tried: frozenset[frozenset[str]] = frozenset()
    out: frozenset[str] = frozenset()
    relays: frozenset[str] = frozenset()
    inputs: frozenset[str] = frozenset()
    wrong_input: bool = False
    settled: frozenset[int] = frozenset()
    followed: frozenset[str] = frozenset()
    ended: frozenset[int] = frozenset()
    probed: frozenset[str] = frozenset()
    spotted: frozenset[int] = frozenset()
    doubted: tuple[tuple[str, ...], ...] = ()
    seen: frozenset[str] = frozenset()

    def has(self, action: Action) -> bool:
        """Whether an action would show what is known."""
        if action.doing == "relay-volts":
            return action.parts[0] in self.relays
        if action.doing in ("follow", "at-the-post"):
            return action.parts[0] in self.followed
        if action.tells != "what is left":
            return False
        if self.owes(action):
            return False
        tried = {action.about, *action.parts} if len(action.parts) == 1 else {action.about}
        known = frozenset(action.parts) in self.tried or any(frozenset((name,)) in self.tried for name in tried)
        return known or self.out.issuperset(action.parts)

    def owes(self, action: Action) -> bool:
        """Whether an action is a try that is doubted, made again."""
        return action.takes_out and any(set(action.parts) == set(out) for out in self.doubted)
