"""`live` as text: what draws, through what, what turns it off; parked and asleep: what is unswitched."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from circuitmap.power.behind_resistors import behind_resistors
from circuitmap.power.classes import LoadClass
from circuitmap.power.evaluate import Held, LoadPower, Powered
from circuitmap.power.expected import Expected
from circuitmap.power.latching import Thrown
from circuitmap.power.perhaps import Perhaps, options_in, perhaps_drawing
from circuitmap.power.rests_on import options_not_said
from circuitmap.power.short_circuits import shorts_in
from circuitmap.power.state import VehicleState
from circuitmap.power.why import why
from circuitmap.reports.live.at_text import at_lines
from circuitmap.reports.live.carried_text import carried_lines
from circuitmap.reports.live.class_words import class_words
from circuitmap.reports.live.hands_off_text import hands_off_lines
from circuitmap.reports.live.how_long_text import how_long_lines
from circuitmap.reports.live.in_series_text import coil_in_series, in_series_lines
from circuitmap.reports.live.live_beside import (
    batteries_joined,
    coil_feed,
    coils_fed,
    current_words,
    dead,
    fuses_live,
    goes_on,
    stopped,
    thrown_over,
    touch_sentences,
)
from circuitmap.reports.live.networks_text import network_lines
from circuitmap.reports.live.rests_on_words import not_known
from circuitmap.reports.words.paragraphs import (
    WIDTH,
    as_text,
    counted,
    cut_short,
    joined,
    listed,
    section,
    shortened,
    shortened_or,
    wrapped,
)
from circuitmap.reports.words.part_words import amps, amps_band, condition_words, named
from circuitmap.reports.words.way_words import through_words, way_words
from circuitmap.wiring.fitting import Answer, needs_of
from circuitmap.wiring.parts import Load, Relay, Terminal
from circuitmap.wiring.platform import Platform


def live_text(
    powered: Powered,
    classes: Mapping[str, LoadClass],
    expected: Expected | None = None,
    width: int = WIDTH,
    whole: bool = False,
    thrown: Thrown | None = None,
    at: Sequence[Terminal] = (),
) -> str:
    """`expected` is what the vehicle should draw asleep, where that was asked for; `thrown` tells the latching relays
    that the state itself moved; `at` are the only terminals that were asked for. Long lists are cut short unless the
    `whole` is asked for."""
    platform = powered.circuit.platform
    if at:
        return as_text(
            _title(platform, powered.state, width),
            at_lines(powered, at, width),
            hands_off_lines(powered, at, width),
            _not_settled(powered, width),
        )
    loads = [its for name, its in powered.loads.items() if classes[name].its != "not fitted"]
    drawing = [its for its in loads if its.draws == Answer.YES]
    doubtful = [its for its in loads if its.draws == Answer.MAY_BE]
    perhaps = perhaps_drawing(powered, doubtful)
    show = _parked if is_parked(powered.state) else _in_another_state
    blocks: list[Sequence[str]] = [
        *show(platform, powered, classes, drawing, perhaps, width),
        hands_off_lines(powered, (), width),
        thrown_over(thrown, width) if thrown is not None else [],
        section("ASLEEP", _asleep(expected, powered, perhaps), width) if expected is not None else [],
        dead(powered, width),
        stopped(powered, classes, width),
        *carried_lines(powered, classes, width, whole),
        fuses_live(powered, width),
        goes_on(powered, width),
        batteries_joined(powered, width),
        _relays(powered, width),
        [] if is_parked(powered.state) else coils_fed(powered, width),
        *network_lines(powered, width),
        *how_long_lines(powered, width),
        _not_settled(powered, width),
        section("NOT KNOWN", not_known(platform, classes, [*drawing, *doubtful]), width),
    ]
    return as_text(*(blocks if whole else map(cut_short, blocks)))


def _asleep(expected: Expected, powered: Powered, perhaps: Perhaps) -> list[str]:
    """What the vehicle should draw, how much of that is assumed, and the limit it is held to."""
    total, typed = expected.total, expected.transcribed
    sentences = [f"Asleep it should draw {amps_band(total)}, as far as it was typed in."]
    if expected.assumed_parts:
        sentences.append(
            f"{amps_band(typed)} of that is on the sheets; the rest is assumed by kind of part: "
            f"{shortened(expected.assumed_parts)}."
        )
    fitted = {its.name for its in perhaps.if_fitted}
    if names := [its.part for its in expected.perhaps if its.part in fitted]:
        sentences.append(f"Not counted, because nobody said that this car has them: {shortened(names)}.")
    if names := [its.part for its in expected.perhaps if its.part not in fitted]:
        sentences.append(f"Not counted, because not enough is known of them: {shortened(names)}.")
    if expected.limit is not None:
        sentences.append(f"The platform is held to {amps(expected.limit)}.")
    return sentences


def is_parked(state: VehicleState) -> bool:
    """Whether nothing was said about the vehicle except its equipment."""
    said = (
        state.switches,
        state.awake,
        state.stuck,
        state.driven,
        state.unplugged,
        state.pulled,
        state.bridged,
        state.feeding,
    )
    return not state.key and not any(said)


def state_words(platform: Platform, state: VehicleState) -> str:
    """`key in run; BODY awake; CAB.F3 out`; parked when nothing was said."""
    if is_parked(state):
        return "parked, shut, locked and asleep"
    words = [f"key in {state.key}"] if state.key else []
    words += [f"{switch} in {position}" for switch, position in state.switches.items()]
    for names, what in (
        (state.awake, "awake"),
        (state.stuck, "stuck closed"),
        (state.driven, "held in"),
        (state.unplugged, "unplugged"),
        (state.pulled, "out"),
        (state.feeding, "feeding"),
    ):
        if names:
            words.append(f"{joined(sorted(names))} {what}")
    words += [f"{a} touching {b}" for a, b in sorted(state.bridged)]
    rest = "the rest parked" if state.key else "otherwise parked"
    return f"{'; '.join(words)}; {rest}"


def _title(platform: Platform, state: VehicleState, width: int) -> list[str]:
    name = platform.name or "This platform"
    return wrapped(f"{name}, {platform.supply_volts:g} V: {state_words(platform, state)}.", rest=" ", width=width)


def _parked(
    platform: Platform,
    powered: Powered,
    classes: Mapping[str, LoadClass],
    drawing: list[LoadPower],
    perhaps: Perhaps,
    width: int,
) -> list[list[str]]:
    """First what is unswitched, then what nobody can tell, then what hangs on a module's output, then the rest."""
    by_message = [its for its in drawing if classes[its.name].its == "message-only"]
    constant = [its for its in drawing if its not in by_message]
    by_pin = [its for its in by_message if platform.networks.keys().isdisjoint(classes[its.name].turned_off_by)]
    by_message = [its for its in by_message if its not in by_pin]
    by_output, in_series, unknown = perhaps.by_output, perhaps.in_series, perhaps.unknown
    switched = [
        (named(platform, name), class_words(its).removeprefix("switched: "))
        for name, its in classes.items()
        if its.its == "switched" and powered.loads[name].draws == Answer.NO
    ]
    how = [f"{len(constant)} constant"] if constant else []
    how += [f"{len(by_message)} put to sleep by a message only"] if by_message else []
    how += [f"{len(by_pin)} put to sleep at a pin only"] if by_pin else []
    answer = _sentences(
        f"{counted(len(drawing), 'load')} unswitched{': ' if how else ''}{', '.join(how)}",
        f"{len(perhaps.if_fitted)} more if fitted: {_equipment(powered, perhaps)} not said"
        if perhaps.if_fitted
        else "",
        f"{len(unknown)} may be: not enough is typed in" if unknown else "",
        f"{len(by_output)} on a module's output" if by_output else "",
        f"{len(in_series)} through another load" if in_series else "",
    )

    def loads(label: str, its: list[LoadPower], more: Callable[[LoadPower], str]) -> list[str]:
        return _loads(f"{label.replace('#', str(len(its)))}", platform, powered, perhaps, its, more, width)

    return [
        [*_title(platform, powered.state, width), *wrapped(answer, rest=" ", width=width)],
        loads(
            "CONSTANT  #: fed when parked",
            constant,
            lambda its: _turned_off_by(classes[its.name]),
        ),
        loads(
            "BY MESSAGE ONLY  #: fed when parked; they draw little once they are put to sleep",
            by_message,
            lambda its: f"sleeps by {shortened_or(classes[its.name].turned_off_by)}",
        ),
        loads(
            "BY A PIN ONLY  #: fed when parked; they draw little once what wakes them there is gone",
            by_pin,
            lambda its: f"sleeps by {shortened_or(classes[its.name].turned_off_by)}",
        ),
        loads(
            f"IF FITTED  #: fed when parked, if this car has them ({_equipment(powered, perhaps)}: not said)",
            perhaps.if_fitted,
            lambda its: _turned_off_by(classes[its.name]),
        ),
        loads("MAY BE UNSWITCHED  #: not enough is typed in to tell", unknown, lambda its: _doubt(perhaps, its)),
        loads("ON A MODULE'S OUTPUT  #: on when the module wants", by_output, lambda its: _doubt(perhaps, its)),
        in_series_lines(platform, powered, perhaps, width),
        listed(f"SWITCHED  {len(switched)}: dead when parked, live:", switched, width),
    ]


def _sentences(*sentences: str) -> str:
    """Those that say something, each begun with a capital and ended with a stop."""
    return " ".join(f"{text[0].upper()}{text[1:]}." for text in sentences if text)


def _turned_off_by(its: LoadClass) -> str:
    return f"only {shortened_or(its.turned_off_by)} turns it off" if its.turned_off_by else "nothing turns it off"


def _in_another_state(
    platform: Platform,
    powered: Powered,
    classes: Mapping[str, LoadClass],
    drawing: list[LoadPower],
    perhaps: Perhaps,
    width: int,
) -> list[list[str]]:
    awake = [its for its in drawing if its.awake == Answer.YES]
    rest = [its for its in drawing if its.awake != Answer.YES]
    rest.sort(key=lambda its: (its.awake != Answer.MAY_BE, "," not in _ways(powered, its)))  # always live: last
    by_output, in_series, unknown = perhaps.by_output, perhaps.in_series, perhaps.unknown
    answer = _sentences(
        f"{counted(len(drawing), 'load')} can draw{f', {len(awake)} of them awake' if awake else ''}",
        f"{len(perhaps.if_fitted)} more if fitted: {_equipment(powered, perhaps)} not said"
        if perhaps.if_fitted
        else "",
        f"{len(unknown)} may: not enough is typed in" if unknown else "",
        f"{len(by_output)} on a module's output" if by_output else "",
        f"{len(in_series)} through another load" if in_series else "",
    )
    names = [named(platform, its.name) for its in by_output]

    def loads(label: str, its: list[LoadPower], more: Callable[[LoadPower], str]) -> list[str]:
        return _loads(f"{label.replace('#', str(len(its)))}", platform, powered, perhaps, its, more, width)

    return [
        [*_title(platform, powered.state, width), *wrapped(answer, rest=" ", width=width)],
        loads("AWAKE  #", awake, lambda its: ""),
        loads(f"{'CAN DRAW AS WELL' if awake else 'CAN DRAW'}  #", rest, _awake_words),
        loads(
            f"IF FITTED  #: they draw, if this car has them ({_equipment(powered, perhaps)}: not said)",
            perhaps.if_fitted,
            _awake_words,
        ),
        loads("MAY DRAW  #", unknown, lambda its: _doubt(perhaps, its)),
        [f"ON A MODULE'S OUTPUT  {len(names)}: on when the module wants", *wrapped("; ".join(names), " ", " ", width)]
        if names
        else [],
        in_series_lines(platform, powered, perhaps, width),
    ]


def _equipment(powered: Powered, perhaps: Perhaps) -> str:
    """The equipment that decides whether the loads in `if_fitted` draw."""
    return joined(options_in(powered, perhaps.if_fitted))


def _loads(
    label: str,
    platform: Platform,
    powered: Powered,
    perhaps: Perhaps,
    loads: Iterable[LoadPower],
    more: Callable[[LoadPower], str],
    width: int,
) -> list[str]:
    rows = []
    for its in loads:
        part = platform.parts[its.name]
        ways = _ways(perhaps.seen.get(its.name, powered), its)
        said = powered.state.fitting
        needs = tuple(need for need in needs_of(platform, its.name) if said.get(need.option) != need.fitted)
        about = [ways, more(its), condition_words(needs)]
        current = current_words(part, its) if isinstance(part, Load) else ""
        behind = behind_resistors(powered, its.name) if current.startswith("running") else ()
        current += f", less here, behind {joined(behind)}" if behind else ""
        rows.append((named(platform, its.name), "; ".join(word for word in (current, *about) if word) or "-"))
    return listed(label, rows, width)


def _ways(powered: Powered, its: LoadPower) -> str:
    """The fuses and contacts through which its pins are fed: ways of fuses alone are told together, of the others the
    first few."""
    ways = [through_words(powered, pin.terminal) for pin in its.pins if pin.live == its.supply]
    ways = list(dict.fromkeys(ways))
    plain = [way for way in ways if "," not in way]
    others = [way for way in ways if "," in way]
    words = ([joined(plain)] if plain else []) + others[:2]
    more = len(others) - 2
    words += [counted(more, "more way")] if more > 0 else []
    return f"through {'; '.join(words)}" if words else ""


def _awake_words(its: LoadPower) -> str:
    return {Answer.YES: "awake", Answer.MAY_BE: "may be awake", Answer.NO: ""}[its.awake]


def _doubt(perhaps: Perhaps, its: LoadPower) -> str:
    """Which side is uncertain."""
    powered = perhaps.seen[its.name]
    words = []
    if its.supply == Answer.MAY_BE and not any(pin.live == Answer.MAY_BE for pin in its.pins):
        words.append("its feed is not known")
    if its.ground == Answer.MAY_BE:
        ground = powered.circuit.loads[its.name].grounds
        reasons = [why(powered, pin, "ground") for pin in ground]
        ways = {way_words(powered.circuit.platform, reason) for reason in reasons} - {"no fuse"}
        needs = (step.link.condition for reason in reasons for step in reason.steps if step.link is not None)
        options = dict.fromkeys(entry.name for need in needs for entry in options_not_said(powered, need))
        unsaid = f"its ground depends on {joined(list(options), 'and')}, not said" if options else ""
        words.append(f"grounded by {joined(sorted(ways), 'or')}" if ways else unsaid or "its ground is not known")
    return ", ".join(words)


def _relays(powered: Powered, width: int) -> list[str]:
    rows = []
    for name, answer in powered.energised.items():
        part = powered.circuit.platform.parts[name]
        if answer == Answer.NO or not isinstance(part, Relay):
            continue
        plus, minus = (Terminal(name, pin) for pin in part.coil)
        if powered.supply.get(plus, Answer.NO) < powered.supply.get(minus, Answer.NO):
            plus, minus = minus, plus
        return_way = why(powered, minus, "ground")
        ground = way_words(powered.circuit.platform, return_way).removeprefix("no fuse")
        grounded = f", grounded by {ground}" if ground else ""
        if return_way.answer == Answer.NO and return_way.backfed_by:
            grounded = f", grounded through {joined(return_way.backfed_by)}"
        fed = f"coil fed through {coil_feed(powered, plus)}{grounded}"
        held = "held in" if name in powered.state.driven else coil_in_series(powered, name) or fed
        may = "may be: " if answer == Answer.MAY_BE else ""
        rows.append((named(powered.circuit.platform, name), f"{may}{held}"))
    return listed(f"RELAYS PULLED IN  {len(rows)}", rows, width)


def _not_settled(powered: Powered, width: int) -> list[str]:
    platform = powered.circuit.platform
    lines = [
        f"{short.contact} joins plus to ground with no load between: "
        f"{f'{short.fuse} would blow' if short.fuse else 'no fuse protects that wire'}."
        for short in shorts_in(powered)
    ]
    lines += touch_sentences(powered)
    if powered.buzzing:
        lines.append(f"{shortened(powered.buzzing)} would switch on and off without end.")
    if powered.racing:
        lines.append(f"{shortened(powered.racing)}: it depends on which of them is quicker.")
    if powered.unsettled:
        lines.append(f"{shortened(powered.unsettled)}: whether they come to rest was not found out (cut off).")
    lines += _held_lines(platform, powered.held)
    return section("MIND", lines, width)


def _held_lines(platform: Platform, held: Held) -> Iterator[str]:
    """What would hold itself, and what would draw then."""
    by = [f"{shortened(held.relays)} would stay pulled in by itself once pulled in"] if held.relays else []
    by += [f"{shortened(held.outputs)} would stay on by itself once on"] if held.outputs else []
    if by:
        then = [f"{shortened(held.follow)} {'pulls' if len(held.follow) == 1 else 'pull'} in"] if held.follow else []
        then += [f"{shortened([named(platform, load) for load in held.loads])} would draw"] if held.loads else []
        yield f"{joined(by)}{f'; then {joined(then)}' if then else ''}."
