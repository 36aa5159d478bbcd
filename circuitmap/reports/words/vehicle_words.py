"""What a vehicle is called at the head of a list or a page, and what is said of it there."""

from circuitmap.wiring.platform import Platform


def vehicle_name(platform: Platform) -> str:
    return platform.name or "A platform without a name"


def vehicle_about(platform: Platform) -> str:
    """`2014-2019, 12 V`: its years, if they were typed in, and its voltage."""
    years = f"{platform.years}, " if platform.years else ""
    return f"{years}{platform.supply_volts:g} V"


def vehicle_head(platform: Platform) -> str:
    """`Linden 4 motorhome, 2014-2019, 12 V`."""
    return f"{vehicle_name(platform)}, {vehicle_about(platform)}"
