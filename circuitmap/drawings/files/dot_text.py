"""A scene as DOT text, for those who want to lay it out with their own tools. Nothing in this program reads it."""

from circuitmap.drawings.lettering.text_width import clean
from circuitmap.drawings.scene.palette import COPPER, INK, UNTYPED, base_and_tracers
from circuitmap.drawings.scene.scene import DrawnEnd, DrawnWire, Kind, Nature, Scene
from circuitmap.drawings.shapes.lands import tag_text
from circuitmap.wiring.parts import ANY_PIN, is_unnamed

_SMALL = (Kind.SPLICE, Kind.CAVITY, Kind.TERMINAL, Kind.GROUND, Kind.OPEN_END)


def dot_text_of(scene: Scene) -> str:
    """DOT with our own counters as names; whatever was typed stands in quoted labels only."""
    import graphviz

    def label(text: str) -> str:
        return str(graphviz.nohtml(graphviz.escape(clean(text))))

    cavities = {part.key for part in scene.parts if part.kind is Kind.CAVITY}

    def number_of(end: DrawnEnd) -> str:
        return "" if end.owner in cavities else ANY_PIN if is_unnamed(end.pin) else end.pin

    names = {part.key: f"n{number}" for number, part in enumerate(scene.parts)}
    names |= {rail.key: f"r{number}" for number, rail in enumerate(scene.rails)}
    dot = graphviz.Graph(
        graph_attr={"label": label(scene.title), "labelloc": "t"}, node_attr={"shape": "box", "fontname": "Lato"}
    )
    for rail in scene.rails:
        dot.node(names[rail.key], label=label(f"{rail.terminal} {rail.words}"), shape="plaintext")
    for part in scene.parts:
        lines = [part.name, part.description, part.rating, part.mark.value]
        shape = "ellipse" if part.kind in _SMALL else "box"
        dot.node(names[part.key], label=label(" / ".join(line for line in lines if line) or part.kind), shape=shape)
    for wire in scene.wires:
        dot.edge(
            names[wire.start.owner],
            names[wire.finish.owner],
            label=label(tag_text(wire)),
            taillabel=label(number_of(wire.start)),
            headlabel=label(number_of(wire.finish)),
            color=_colour(wire),
            penwidth="3" if wire.mark or wire.named else "1.5",
        )
    for number, network in enumerate(scene.networks):
        dot.node(f"b{number}", label=label(f"{network.name} {network.words}"), shape="plaintext")
        for tap in network.taps:
            dot.edge(names[tap.part], f"b{number}", taillabel=label(tap.pin.lstrip("~")), style="dashed")
    return str(dot.source)


def _colour(wire: DrawnWire) -> str:
    if wire.nature is Nature.COPPER:
        return COPPER
    if wire.nature is not Nature.WIRE or not wire.colour:
        return UNTYPED
    base, tracers = base_and_tracers(wire.colour, wire.tracer)
    return ":".join((base, *tracers)) if tracers else base if base != "#ffffff" else f"{INK}:{base}:{INK}"
