"""The scene of a question: the ways from supply to ground that join the parts asked for, the rest folded into stubs."""

from collections.abc import Iterable

from circuitmap.circuit.feeding import Feeding
from circuitmap.drawings.scene.gaps import unknown_of
from circuitmap.drawings.scene.gathering import Gathered, Taken, gathered
from circuitmap.drawings.scene.scene import Mark, Scene
from circuitmap.drawings.scene.shown import shown_network
from circuitmap.drawings.scene.sketch import Sketch
from circuitmap.drawings.scene.stubs import add_open_coils, add_open_feeds, add_stubs, unfed, wires_between
from circuitmap.drawings.scene.wanted import MOST_NETWORKS, MOST_WIRES, Wanted
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.platform import Network, Platform


def subset_scene(feeding: Feeding, wanted: Wanted) -> Scene:
    """The scene that answers `wanted`."""
    found = gathered(feeding, wanted)
    platform = feeding.circuit.platform
    batteries = frozenset(name for name in found.parts if isinstance(platform.parts.get(name), Battery))
    sketch = Sketch(platform, feeding.fitting, wanted, frozenset(found.rails), batteries)
    for key in found.parts:
        if not _stands_for_cavities(platform, key, found.parts):
            sketch.add_part(key)
    taken = {id(one.link): one for one in found.taken}
    cut_off = found.cut_off
    for link in list(wires_between(feeding, sketch, taken)):
        if len(taken) >= MOST_WIRES:
            cut_off = True
            break
        taken[id(link)] = Taken(link, True)
    for one in taken.values():
        if one.link.wire is None or not sketch.is_plain_return(one.link):
            sketch.add_link(one.link, one.forward, one.mark, one.named)
    add_open_feeds(feeding, sketch)
    add_stubs(feeding, sketch, taken)
    add_open_coils(sketch)
    networks = _networks(found, wanted, sketch)
    cut_off = cut_off or len(networks) > MOST_NETWORKS
    for network in networks[:MOST_NETWORKS]:
        mark = wanted.mark_of(network.name) if network.name in wanted.suspect else Mark.NONE
        sketch.add_network(shown_network(network, platform, sketch.drawn_names, mark))
    refused = [name for name in found.refused if name not in sketch.drawn_names]
    links = [one.link for one in taken.values()]
    unknown = unknown_of(platform, feeding.fitting, links, refused, cut_off, unfed(feeding, sketch, found.rails))
    return sketch.scene(wanted.title or title_of(wanted), unknown)


def _stands_for_cavities(platform: Platform, key: str, parts: Iterable[str]) -> bool:
    """A connector asked for by its name, of which cavities are drawn: it has no place of its own."""
    part = platform.parts.get(key)
    return part is not None and part.kind == "connector" and any(other.startswith(f"{key}.") for other in parts)


def _networks(found: Gathered, wanted: Wanted, sketch: Sketch) -> list[Network]:
    """Networks that the parts in question share, and those of the parts asked for."""
    platform = sketch.platform
    names = dict.fromkeys(network.name for network in found.networks)
    for name in (*wanted.named, *wanted.suspect):
        names.update(dict.fromkeys(platform.networks_of.get(name, ())))
    return [platform.networks[name] for name in platform.networks if name in names]


def title_of(wanted: Wanted) -> str:
    """What the drawing is about, as its title."""
    words = []
    if wanted.drawing:
        words.append(f"{listed(wanted.drawing)} draw{'s' if len(wanted.drawing) == 1 else ''}")
    others = [name for name in (*wanted.named, *wanted.suspect) if name not in wanted.drawing]
    if others:
        words.append(listed(tuple(dict.fromkeys(others))))
    if not words:
        words.append(listed((*wanted.quiet, *wanted.unread)))
    return ", with ".join(words) + ": from supply to ground"


def listed(names: tuple[str, ...]) -> str:
    """`A`, `A and B`, `A, B and C`."""
    return " and ".join(word for word in (", ".join(names[:-1]), *names[-1:]) if word)
