"""`circuitmap trace PLATFORM PART`."""

from pathlib import Path

import click

from circuitmap.cli.asking import all_option, platform_argument, query
from circuitmap.cli.names import traced_names


@click.command("trace", short_help="Follow a part to the battery, to ground, and to all it feeds.")
@platform_argument
@click.argument("part", shell_complete=traced_names)
@all_option
@query
def command(
    platform: Path, part: str, whole: bool, fitted: tuple[str, ...], absent: tuple[str, ...], as_json: bool
) -> int:
    """Follow PART of PLATFORM to the battery and to ground, then to everything it feeds.

    Every path with its wires, connectors, splices and sheets. PART is any unique tail of a name. The name of a network,
    or of a star of it, answers with its members, how each is fed, and which networks keep each other awake.
    """
    from circuitmap.cli.answering import answer_json, answer_text
    from circuitmap.flows.questions import network_of, open_bench, trace, trace_network

    bench = open_bench(platform, fitted, absent)
    hands_off = bench.circuit.hands_off
    network = network_of(bench.platform, part)
    if network:
        known = trace_network(bench, network)
        if as_json:
            from circuitmap.reports.circuit.network_json import network_json

            return answer_json(bench, platform, network_json(bench.platform, known.trace, known.fed, hands_off))
        from circuitmap.reports.circuit.network_text import network_text

        text = network_text(bench.platform, known.trace, known.fed, whole=whole, hands_off=hands_off)
        return answer_text(bench, platform, text)
    traced = trace(bench, part)
    if as_json:
        from circuitmap.reports.circuit.trace_json import trace_json

        return answer_json(bench, platform, trace_json(bench.platform, traced.trace, traced.fed, hands_off))
    from circuitmap.reports.circuit.trace_text import trace_text

    text = trace_text(bench.platform, traced.trace, traced.fed, whole=whole, hands_off=hands_off)
    return answer_text(bench, platform, text)
