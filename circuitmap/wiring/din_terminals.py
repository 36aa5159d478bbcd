"""What the terminal numbers of vehicles mean.

Source: DIN 72552 parts 1-4 (1971-03) as given in public lists: kfztech.de, memim.com, bs-wiki.de (seen). The numbers
belong to terminals, not to wires.
"""

from typing import NamedTuple


class DinTerminal(NamedTuple):
    number: str
    meaning: str


DIN_TERMINALS: tuple[DinTerminal, ...] = (
    DinTerminal("15", "switched plus, ignition on"),
    DinTerminal("15a", "output of the series resistor"),
    DinTerminal("15r", "radio position"),
    DinTerminal("30", "battery plus, direct"),
    DinTerminal("30a", "plus of the second battery"),
    DinTerminal("30g", "switched plus, direct from the battery"),
    DinTerminal("31", "return to battery minus, or ground"),
    DinTerminal("31b", "switched minus"),
    DinTerminal("49", "flasher, in"),
    DinTerminal("49a", "flasher, out"),
    DinTerminal("50", "starter control"),
    DinTerminal("53", "wiper motor, plus"),
    DinTerminal("54", "stop lamp"),
    DinTerminal("55", "front fog lamp"),
    DinTerminal("56a", "main beam"),
    DinTerminal("56b", "dipped beam"),
    DinTerminal("57L", "parking lamp, left"),
    DinTerminal("57R", "parking lamp, right"),
    DinTerminal("58", "side and tail lamps"),
    DinTerminal("58L", "side and tail lamps, left"),
    DinTerminal("58R", "side and tail lamps, right"),
    DinTerminal("58d", "dimmed instrument lighting"),
    DinTerminal("61", "charge lamp"),
    DinTerminal("75", "radio, accessory"),
    DinTerminal("81", "break or changeover switch, in"),
    DinTerminal("81a", "break or changeover switch, first out"),
    DinTerminal("81b", "break or changeover switch, second out"),
    DinTerminal("82", "make switch, in"),
    DinTerminal("82a", "make switch, first out"),
    DinTerminal("82b", "make switch, second out"),
    DinTerminal("85", "relay coil, out (minus)"),
    DinTerminal("86", "relay coil, in (plus)"),
    DinTerminal("87", "relay, make contact out"),
    DinTerminal("87a", "relay, break contact out"),
    DinTerminal("B+", "battery plus"),
    DinTerminal("B-", "battery minus"),
    DinTerminal("D+", "charge lamp"),
    DinTerminal("L", "turn indicators, left"),
    DinTerminal("R", "turn indicators, right"),
    DinTerminal("C", "indicator tell-tale"),
)
MEANING_OF = {terminal.number: terminal.meaning for terminal in DIN_TERMINALS}
