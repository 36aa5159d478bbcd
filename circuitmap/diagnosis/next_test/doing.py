"""The kinds of work that a next test may ask for."""

from typing import Literal

Doing = Literal[
    "look", "read-fuse", "read-again", "clamp", "network-line", "inputs", "relay-volts", "unplug", "plug", "connector",
    "leg", "pull-fuses", "pull-relay", "finish-sheet",
]  # fmt: skip
