"""Which changes could have any effect on a net: what it would take to make it live, followed back to its controls."""

from collections.abc import Iterable

from circuitmap.power.survey import Change, Side, Survey

Wanted = tuple[Side, int]


def controls_of(survey: Survey, wanted: Iterable[Wanted], nearby: bool = False) -> tuple[Change, ...]:
    """The changes besides the key that stand between these nets and being live (or grounded), in the survey's order.

    Follows every way from a net back to what is live when parked; from a relay's contact on it to the coil, from an
    output to its module's supply, ground, wake pins and networks. `nearby`: a network is not followed on to what
    could wake its other members.
    """
    search = _Search(survey, nearby)
    for it in wanted:
        search.want(it)
    search.run()
    return tuple(
        change
        for change in survey.other_changes
        if (change.kind == "switch" and change.name in search.switches)
        or (change.kind == "output" and change.name in search.outputs)
        or (change.kind in ("network", "module") and change.name in search.awake)
    )


class _Search:
    def __init__(self, survey: Survey, nearby: bool) -> None:
        self.plan, self.parked, self.nearby = survey.plan, survey.parked, nearby
        self.nets = survey.parked.nets
        self.above = survey.ways_between
        self._blocks: set[int] = set()
        self.switches: set[str] = set()
        self.outputs: set[str] = set()
        self.awake: set[str] = set()
        self._relays: set[int] = set()
        self._modules: set[int] = set()
        self._seen: set[Wanted] = set()
        self._todo: list[Wanted] = []
        self._lines: list[int] = []

    def want(self, it: Wanted) -> None:
        if it not in self._seen:
            self._seen.add(it)
            self._todo.append(it)

    def run(self) -> None:
        while self._todo or self._lines:
            if self._lines:
                self._line(self._lines.pop())
                continue
            side, net = self._todo.pop()
            above = self.above[side]
            block = above[net] if self.is_dead(side, net) else None
            while block is not None and id(block) not in self._blocks:
                self._blocks.add(id(block))
                for gate, _, _ in block.links:
                    self._gate(self.nets.gate_link[gate])
                block = above[block.entry]

    def is_dead(self, side: Side, net: int) -> bool:
        reach = self.parked.settled.reach
        return not (reach.supply if side == "supply" else reach.ground)[net]

    def _gate(self, link: int) -> None:
        plan = self.plan
        if link in plan.switch_contacts:
            self.switches.add(plan.switch_contacts[link].switch)
        elif link in plan.relay_contacts:
            self._relay(plan.relay_contacts[link].relay)
        elif link in plan.outputs:
            sleeper, output = plan.outputs[link]
            self.outputs.add(str(output.terminal))
            self._module(sleeper)

    def _relay(self, relay: int) -> None:
        if relay in self._relays:
            return
        self._relays.add(relay)
        for coil in self.plan.coils_of[relay]:
            plus, minus, _ = self.nets.coils[coil]
            for net in (plus, minus):
                self.want(("supply", net))
                self.want(("ground", net))

    def _module(self, sleeper: int) -> None:
        if sleeper in self._modules:
            return
        self._modules.add(sleeper)
        its = self.plan.sleepers[sleeper]
        self.awake.add(its.name)
        for path in its.paths:
            supply, ground, _ = self.nets.paths[path]
            self.want(("supply", supply))
            self.want(("ground", ground))
        for node in its.wake_nodes:
            self.want(("supply", self.nets.net_of[node]))
        lines = self.parked.run.lines
        self._lines += (line for line, _ in lines.lines_of[sleeper])

    def _line(self, line: int) -> None:
        lines = self.parked.run.lines
        if lines.lines[line].network in self.awake:
            return
        self.awake.add(lines.lines[line].network)
        if self.nearby:
            return
        for member, _ in lines.lines[line].members:
            self._module(member)
        self._lines += lines.crossings_to[line]
