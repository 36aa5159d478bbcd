"""What only leads away from the way to a hands-off thing, and back nowhere, feeds nothing. Worked out by hand: a charger's
trickle lead hangs on the bar before a restraint's fuse; of that bar's current none comes over it. That no way which
conducts is lost is held against networkx, which lists the ways one by one and knows nothing of dominators."""

from random import Random

import networkx as nx
import pytest

from circuitmap.circuit.dead_ends import without_dead_ends
from tests.always import always
from tests.diagnosis.test_answers import circuit_from

CAMPER = """\
platform "Sallow 6 camper" supply 12V return body
battery CRANK 80Ah
battery LIVING 120Ah
box DASH
fuse DASH.F8 10A mini "restraints", DASH.F9 15A mini "cab lamps"
fuse FT 5A mini "trickle", FL 30A maxi "living room"
connector X30 "charger plug, 6 way" at "under the seat"
{maker}
module SRS "restraint control" supply 1 ground 2 hands-off restraint
lamp ROOF supply 1 ground 2
sheet "1" whole
CRANK.+ -> DASH.B1
bar DASH.B1 feeds DASH.F8, DASH.F9
DASH.F8 -> SRS.1
DASH.F9 -> ROOF.1
LIVING.+ -> FL -> CHG.B
CHG.S -> FT -> X30.4 -> DASH.B1
SRS.2, ROOF.2, CHG.31 -> case
CRANK.-, LIVING.- -> case
"""
CHARGER = 'charger CHG "mains charger" supply B ground 31\noutput CHG.S feeds from B "trickle"'
PASSED_ON = 'module CHG "battery link" supply B ground 31\noutput CHG.S feeds from B "link"'


def test_a_fuse_that_only_brings_a_charger_s_trickle_is_nobody_s_feed() -> None:
    hands_off = circuit_from(CAMPER.format(maker=CHARGER)).hands_off
    assert not hands_off.may_touch("DASH.F8") and not hands_off.may_touch("SRS")
    for name in ("FT", "X30", "FL", "CHG", "DASH.F9"):
        assert hands_off.may_touch(name), name


def test_the_same_fuse_is_left_alone_where_it_is_the_only_feed() -> None:
    text = CAMPER.format(maker=CHARGER).replace("CRANK.+ -> DASH.B1\n", "")
    hands_off = circuit_from(text).hands_off
    assert not any(map(hands_off.may_touch, ("FT", "X30", "FL")))


def test_what_a_module_passes_on_is_a_feed_still() -> None:
    """Without the first battery's own cable before the bar the link is what feeds it: that way is a real one."""
    text = CAMPER.format(maker=PASSED_ON)
    loose = text.replace("CRANK.+ -> DASH.B1", "CRANK.+ -> TIE.1\nTIE.2 -> DASH.B1").replace(
        "lamp ROOF", "switch TIE positions on, off closes 1 to 2 in on\nlamp ROOF"
    )
    hands_off = circuit_from(loose).hands_off
    assert not any(map(hands_off.may_touch, ("FT", "X30", "TIE")))


def random_block(random: Random) -> list[tuple[int, int, int]]:
    """Some nodes, 0 the entry and 1 the start, joined at random, some links one way only."""
    nodes = random.randint(3, 8)
    edges = []
    for link in range(random.randint(nodes, 2 * nodes + 2)):
        one, other = random.sample(range(nodes), 2)
        edges += [(link, one, other)] if one != 0 else []
        edges += [(link, other, one)] if other != 0 and random.random() < 0.6 else []
    return edges


@pytest.mark.parametrize("seed", always(150, range(2000)))
def test_every_edge_of_a_way_is_kept_and_every_spur_is_not(seed: int) -> None:
    edges = random_block(Random(seed))
    graph = nx.MultiDiGraph()
    graph.add_nodes_from((0, 1))
    for link, here, there in edges:
        graph.add_edge(here, there, key=link)
    come_to = {1, *nx.descendants(graph, 1)}
    reached = [edge for edge in edges if edge[1] in come_to]
    left = set(without_dead_ends(reached, 0, 1))
    on_ways = {(link, here, there) for way in nx.all_simple_edge_paths(graph, 1, 0) for here, there, link in way}
    assert on_ways <= left <= set(reached)
    for link, here, there in left:
        upwards = graph.subgraph(set(graph) - {here})
        assert there == 0 or nx.has_path(upwards, there, 0), (link, here, there)
