"""How long something lasted, and how high it was, as a log is told."""


def time_words(seconds: float) -> str:
    """`0.6 s`, `95 s`, `12 min`, `12 min 30 s`, `4 h 20 min`."""
    if seconds < 100:
        return f"{float(f'{seconds:.3g}'):g} s"
    whole = round(seconds)
    if whole < 2 * 3600:
        minutes, rest = divmod(whole, 60)
        if minutes >= 60 and not rest and not minutes % 60:
            return f"{minutes // 60} h"
        return f"{minutes} min {rest} s" if rest else f"{minutes} min"
    hours, minutes = divmod(round(whole / 60), 60)
    return f"{hours} h {minutes} min" if minutes else f"{hours} h"


def amps_words(amps: float) -> str:
    """`0.46 A`, `0.0240 A`: three digits where they matter, never less than a milliampere's place."""
    size = abs(amps)
    if size >= 10:
        return f"{amps:.1f} A"
    return f"{amps:.2f} A" if size >= 1 else f"{amps:.3f} A"
