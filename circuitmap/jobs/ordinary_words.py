"""Words that a remark may contain whoever the customer is: where one is also a name, the word alone does not tell.

Common small words of English and words of the workshop (our own choice; a word that is missing here costs a word too
much hidden, never one too few).
"""

from functools import lru_cache

from circuitmap.jobs.folded import folded, is_letter
from circuitmap.wiring.platform import Platform

_SMALL = """
a about above after again against ago all almost alone along already also always am an and another any anybody april
are around as asked at august autumn away back bad be because been before began begin begins behind below beside best
better between big black blue both brown but by called came can cannot car change changed check checked clean cleared
closed cold come comes could customer cut dark day days dead did do does done door down dry due during each early
either else empty end even evening ever every everything few fine first five for found four free fresh friday from
front frost full gave get gets give given go goes gold gone good got green grey had half hand hard has have he heard
heavy held her here high him his hold holiday home hot hour hours how i if in inside into is it its july june just
keep kept key know known last late later least leave left less let light little long look looked loose lost lot low
made make makes man many march may maybe me mean means minute minutes monday month months more morning most move moved
much must my name near need needs never new next nice night nights no nobody none noon not note nothing now of off
often oh ok old on once one only open opened or orange other others our out outside over own page park parked part
parts past pink place plain please point poor put quick quiet quite rain rained rains rainy ran rather read ready real
red rest right road rose round run runs said same saturday saw say says second see seen sent set several shall she
short should show shown shut side silver since six slow small snow so some somebody something soon sound spring stand
stands start started starts stay still stood stop stopped storm strange strong such summer sunday sure take taken
takes tell ten than that the their them then there these they thing this those though three through thursday till time
times to today told tomorrow too took top touch towards tried true try tuesday turn turned twice two under until up
upon us use used very violet was way we wednesday week weekend weeks well went were wet what when where whether which
while white who whole why will winter with without woman word work worked works worn would write wrong yard year years
yellow yes yesterday yet you young your
"""
_WORKSHOP = """
ac ah alarm alternator amp amps asleep awake axle bar battery belt blank block body bolt bolted bonnet boot box brake
bridge bulb bus cab cabin cable cam camera can cap case cause cavity charge charged charger chassis circuit clamp clip
coach coil common complaint connector contact controller cooler copper cover crank current dash dc diode dome drain
draw drawing drive driver earth engine exhaust fan fault feed feeds fill filter flap flasher flat frame fridge fuse
fuses gate gateway gear glass glove ground guilty handle harness head heater heating hob hood horn hub ignition input
inputs involved jack jump km kw lamp lamps lead leads lid lift limit lin line link load loaded lock locked log loom ma
main master mat mend mended meter minus mirror module motor mount mv nearside network normal number offside open
option output outputs panel pedal pin pins plate plug plus post power proven pull pulled pump rack racking radio rail
ramp read reading rear refit relay relays repair repaired replaced resistor road rod roof rub rubbed rust sag seal
seat sensor sheet shop short silent sill slip socket solder spare speaker splice spring star starter steel step stereo
strip stroke stuck style suspect switch switches tail tail-gate tank tap tape tester text tie till tilt tool tow
towing tracker trailer train truck trunk tube tyre unit van vehicle vent verdict volt volts wake warm warning wash
washer water weld wheel width window wing wiper wire wires wiring
"""

ORDINARY = frozenset((_SMALL + _WORKSHOP).replace("-", " ").split())

_ADDRESSED = "mr mrs ms mx miss sir madam dr prof herr frau hr fr mme mlle monsieur madame family familie famille"
_IN_FIRMS = "and und et the of ltd limited plc inc llc llp gmbh ag kg ohg co company sons bros son van von de"
FORMS_OF_ADDRESS = frozenset(_ADDRESSED.split(" "))
NEVER_NAMES_ALONE = FORMS_OF_ADDRESS | frozenset(_IN_FIRMS.split(" "))
"""Words that may stand beside a name but are not part of it, as long as something else is there that is."""


def words_of(text: str) -> list[str]:
    """The runs of letters in a text, folded."""
    its = folded(text).text
    return "".join(character if is_letter(character) else " " for character in its).split()


@lru_cache(maxsize=2)
def _words_on(texts: tuple[str, ...]) -> frozenset[str]:
    return frozenset(word for text in texts for word in words_of(text))


def ordinary_on(platform: Platform) -> frozenset[str]:
    """The ordinary words, and those of a platform: its names, and what it says about its parts."""
    texts = [platform.name, *platform.options, *platform.networks, *platform.sheets, *platform.stars]
    for part in platform.parts.values():
        texts += [part.name, part.description, part.place]
    texts += [network.description for network in platform.networks.values()]
    texts += [sheet.title for sheet in platform.sheets.values()]
    texts += [option.description for option in platform.options.values()]
    return ORDINARY | _words_on(tuple(texts))
