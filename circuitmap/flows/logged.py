"""The flow of a night's log: a recorder's file to what it shows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from circuitmap.battery.parked_time import ParkedBattery
from circuitmap.failures import WrongUse
from circuitmap.quantities import QuantityError, read_band, read_quantity
from circuitmap.recording.flat import TimeToFlat, time_to_flat
from circuitmap.recording.night import Night, night_of
from circuitmap.recording.reading import read_recording
from circuitmap.recording.recorded import Recording, ToldOfFile
from circuitmap.recording.units import UNITS, known_unit, volts_per_ampere
from circuitmap.recording.zero import ClampZero, zero_of

if TYPE_CHECKING:
    from circuitmap.drawings.inking.ink import Picture


def told_of(column: str, unit: str, scale: str, distance: str, sign: str) -> ToldOfFile:
    """Answers about the file as they are typed on the command line; raises WrongUse for what makes no sense."""
    known = known_unit(unit)
    if unit and (not known or UNITS[known].measures not in ("current", "volts")):
        raise WrongUse(f"{unit} is no unit of current.", "Such as: A, mA, uA; or mV together with --scale.")
    volts = volts_per_ampere(scale) if scale else None
    if scale and volts is None:
        raise WrongUse(f"{scale} is no scale.", "Such as: 100mV/A, 10mV/A, 1V/A.")
    return ToldOfFile(
        column=column,
        unit=known,
        scale=volts,
        distance=_seconds(distance) if distance else None,
        sign="turned" if sign == "turned" else "kept" if sign == "kept" else "",
    )


def told_by_words(answers: Mapping[str, str]) -> ToldOfFile:
    """The same from answers by their names, as they stand in a line or on a card."""
    return told_of(*(answers.get(key, "") for key in ("column", "unit", "scale", "distance", "sign")))


def _seconds(text: str) -> float:
    try:
        seconds = read_quantity(text, "time") * 60
    except QuantityError as error:
        raise WrongUse(str(error), f"Such as: {error.suggestion or '1s, 60s, 5min'}.") from None
    if seconds <= 0:
        raise WrongUse("Samples are not 0 s apart.", "Such as: 1s, 60s, 5min.")
    return seconds


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoggedFile:
    """A recorder's file, and the night in it; no night while something is asked."""

    recording: Recording
    night: Night | None
    zero: ClampZero
    flat: TimeToFlat | None


def open_log(
    file: Path, told: ToldOfFile, zeros: tuple[float, ...] = (), battery: ParkedBattery | None = None
) -> LoggedFile:
    """Read a recorder's file and tell the night; `battery` is what is known of it, for the time to flat."""
    recording = read_recording(file, told)
    zero = zero_of(recording, zeros)
    if recording.asked:
        return LoggedFile(recording=recording, night=None, zero=zero, flat=None)
    night = night_of(recording)
    flat = None if battery is None else time_to_flat(night, zero, battery)
    return LoggedFile(recording=recording, night=night, zero=zero, flat=flat)


def zeros_of(text: str) -> tuple[float, ...]:
    """`0.0A,0.02A`: what the clamp showed with nothing in it, before and after; raises WrongUse for anything else."""
    said = []
    for word in text.split(",") if text else ():
        sign = -1.0 if word.strip().startswith("-") else 1.0
        try:
            said.append(sign * read_quantity(word.strip().lstrip("+-"), "current"))
        except QuantityError as error:
            raise WrongUse(str(error), "Such as: --zero 0.01A, or before and after: --zero 0A,-12mA.") from None
    return tuple(said)


def battery_of(text: str) -> ParkedBattery | None:
    """`95Ah`; raises WrongUse for anything else."""
    try:
        return ParkedBattery(rated=read_band(text, "charge")) if text else None
    except QuantityError as error:
        raise WrongUse(str(error), "Such as: --battery 95Ah.") from None


def night_words(name: str, log: LoggedFile) -> tuple[str, ...]:
    """What the numbers in the picture stand for; none while something is asked."""
    from circuitmap.reports.logged.night_text import event_sentences
    from circuitmap.reports.logged.took_text import head_sentence

    if log.night is None:
        return ()
    return (head_sentence(name, log.recording), *event_sentences(log.recording, log.night))


def night_drawn(name: str, log: LoggedFile, words: Sequence[str] = ()) -> "Picture":
    """The night as a picture, with `words` below it. Raises WrongUse while something is asked."""
    from circuitmap.drawings.logged.picture import night_picture
    from circuitmap.reports.logged.when import clock_at

    recording, night = log.recording, log.night
    if night is None:
        raise WrongUse("There is no picture before the questions are answered.", "Ask without -o: they are listed.")
    return night_picture(
        night,
        name,
        recording.began or 0.0,
        recording.gaps if night.averaged == 1 else (),
        lambda seconds: clock_at(recording, seconds),
        words,
    )


def picture_of_night(name: str, log: LoggedFile, form: str, whose: Sequence[str] = ()) -> bytes:
    """The night and its words as `svg`, `png` or `pdf`; `whose` its events may be is told, too."""
    picture = night_drawn(name, log, (*night_words(name, log), *whose))
    if form == "svg":
        from circuitmap.drawings.files.svg import svg_of

        return svg_of(picture).encode()
    if form == "png":
        from circuitmap.drawings.files.png import png_of

        return png_of(picture)
    from circuitmap.drawings.files.pdf import pdf_of

    return pdf_of((picture,))
