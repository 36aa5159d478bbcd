"""The flow from `logged night.csv`, as it is typed at the car, to what stands on the card.

The file stays beside the card; the card keeps what was found in it, its name and its sum.
"""

import hashlib
import os
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

from circuitmap.evidence.logged_night import MOST_KINDS, LoggedKind, LoggedNight, LoggedRhythm, LoggedStep, fields_of
from circuitmap.evidence.written_readings import place_of
from circuitmap.failures import CannotRead, LimitReached, WrongUse
from circuitmap.flows.logged import LoggedFile, open_log, told_by_words, zeros_of
from circuitmap.jobs.named_log import HOW, NamedLog
from circuitmap.jobs.short_line import ShortLine
from circuitmap.plain_files import open_plain
from circuitmap.quantities import Band
from circuitmap.recording.lines import MOST_BYTES
from circuitmap.recording.night import EventKind, Night
from circuitmap.recording.recorded import Recording
from circuitmap.wiring.platform import Platform

LONGEST_WEEK = 7 * 24 * 60.0
"""Minutes: what is told of a longer log is told of a week."""
SUM_LETTERS = 16
MOST_WHILE_OTHERS_WAIT = 60_000_000
"""Bytes of a file that is read while several people write on one card (judgement: some six seconds)."""


def entry_of_file(
    platform: Platform, named: NamedLog, folder: Path, added: Sequence[str] = (), *, beside_only: bool = False
) -> ShortLine:
    """The entry for a recorder's file, as seen from `folder`, where the card lies.

    `beside_only`: nothing but a file right beside the card is opened. Raises as `entry_of` and `read_recording` do."""
    path = _path_of(named.file, folder, beside_only)
    place = place_of(platform, named.answers["place"], added) if "place" in named.answers else ""
    log = open_log(
        path,
        told_by_words(named.answers),
        zeros_of(named.answers.get("zero", "")),
    )
    if log.night is None:
        from circuitmap.reports.logged.took_text import asked_sentences

        asked = " ".join(asked_sentences(log.recording.asked)).replace("--", "")
        raise WrongUse(f"{named.file} does not say enough. {asked}", HOW)
    night = logged_night(_name_of(path, folder), checksum_of(path), log)
    more = max(0, len(night.kinds) - MOST_KINDS)
    if more:
        kept = sorted(night.kinds, key=lambda kind: -kind.share)[:MOST_KINDS]
        night = night._replace(kinds=tuple(kind for kind in night.kinds if kind in kept))
    told = " ".join(f"{key} {value}" for key, value in named.answers.items() if key != "place")
    return ShortLine((("logged", fields_of(night._replace(told=told), place, more)),), tuple(_told(log)))


def _told(log: LoggedFile) -> list[str]:
    from circuitmap.reports.logged.night_text import event_sentences, night_sentences

    assert log.night is not None
    return [*night_sentences(log.recording, log.night, log.zero), *event_sentences(log.recording, log.night)]


def _path_of(file: str, folder: Path, beside_only: bool) -> Path:
    if beside_only and (file != Path(file).name or "\\" in file or file.startswith(".")):
        raise WrongUse(f"{file} does not lie beside the card.", "Give the name of a file in the folder of the job.")
    beside = folder / file
    path = beside if beside_only or beside.is_file() else Path(file)
    if beside_only and path.is_symlink():
        raise WrongUse(f"{file} does not lie beside the card: it is a link.", "Copy the file itself there.")
    if beside_only and path.is_file() and path.stat().st_size > MOST_WHILE_OTHERS_WAIT:
        raise LimitReached(
            f"{file} has more than {MOST_WHILE_OTHERS_WAIT:,} bytes: others would wait while it is read.",
            f"Add it at the computer: circuitmap card add CARD 'logged {file}'.",
        )
    if not path.is_file():
        raise CannotRead(f"There is no file {file} beside the card.", "Copy the recorder's file there.")
    return path


def _name_of(path: Path, folder: Path) -> str:
    """As seen from the card, so that card and file can be moved together."""
    try:
        return Path(os.path.relpath(path, folder)).as_posix()
    except ValueError:  # another drive
        return path.name


def checksum_of(path: Path) -> str:
    """The first letters of the file's SHA-256: that the file beside the card is the one that was read."""
    its = hashlib.sha256()
    with open_plain(path, MOST_BYTES) as file:
        while chunk := file.read(1 << 20):
            its.update(chunk)
    return its.hexdigest()[:SUM_LETTERS]


def logged_night(name: str, checksum: str, log: LoggedFile) -> LoggedNight:
    """What the card keeps of a night; raises WrongUse for a log that is too short to say anything of a floor."""
    night, recording = log.night, log.recording
    if night is None or night.floor is None or night.mean is None:
        raise WrongUse(f"{name} is too short, after it fell asleep, to say anything of a floor: 10 min at least.")
    zero = log.zero
    start, stop = night.settled
    first = night.locked if night.locked is not None else 0.0
    return LoggedNight(
        file=name,
        checksum=checksum,
        floor=round(night.floor - zero.amps, 6),
        mean=Band(round(night.mean.low - zero.amps, 6), round(night.mean.high - zero.amps, 6)),
        off=zero.error,
        settled=min(LONGEST_WEEK, (stop - start) / 60),
        whole=round((night.mean.high if night.whole_mean is None else night.whole_mean) - zero.amps, 6),
        ended=_ended(recording),
        kinds=tuple(logged_kind(kind) for kind in night.kinds if _counts(night, kind)),
        stairs=tuple(LoggedStep(-one.height, (night.at(one.at) - first) / 60) for one in night.stairs[1:]),
        still_on=tuple(LoggedStep(one.height, (night.at(one.at) - first) / 60) for one in night.still_on),
    )


def _counts(night: Night, kind: EventKind) -> bool:
    """Whether a kind of event is one of the sleeping vehicle."""
    return not kind.under_charge and any(night.at(event.start) >= night.settled[0] for event in kind.events)


_RHYTHM: dict[str, LoggedRhythm] = {
    "once": "once", "twice": "few", "few": "few", "period": "period", "trend": "thermostat", "none": "none",
}  # fmt: skip


def logged_kind(kind: EventKind) -> LoggedKind:
    """One kind of event as the card keeps it."""
    rhythm = _RHYTHM[kind.rhythm.kind]
    return LoggedKind(
        amps=kind.height,
        lasts=Band(kind.shortest / 60, kind.longest / 60),
        times=len(kind.events),
        rhythm=rhythm,
        period=kind.rhythm.period / 60 if rhythm == "period" else None,
        share=kind.share,
    )


def _ended(recording: Recording) -> str:
    if recording.began is None or not recording.day_known:
        return ""
    moment = datetime(1, 1, 1) + timedelta(seconds=round(recording.began + float(recording.seconds[-1])))
    return f"{moment:%Y-%m-%d %H:%M:%S}"
