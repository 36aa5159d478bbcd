"""When it happens, by the driver, beside what was watched: a night that was not so shows nothing."""

from collections.abc import Iterator

from circuitmap.jobs.standing import JobStanding
from circuitmap.reports.job.in_use_words import use_steps, used_sentence
from circuitmap.reports.words.cautions import caution_sentences, cautions_at
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.platform import Platform


def when_sentence(standing: JobStanding) -> str:
    """What is still missing where no draw was seen; empty where it was so as the driver says, or he says nothing."""
    when = standing.happens_when.rstrip(".")
    if not when or standing.stage not in ("watch", "no-draw") or standing.as_it_happens == Answer.YES:
        return ""
    if used := used_sentence(standing):
        return f" It happens, the driver says: {when}; {used}."
    if standing.as_it_happens is None:
        return f" It happens, the driver says: {when}. Log it then; else a quiet log shows nothing."
    if standing.as_it_happens == Answer.NO:
        return f" But it happens, the driver says: {when}; by the remark beside the log it was not so then."
    return f" But it happens, the driver says: {when}; whether it was so then is not on the card."


def steps_when(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """What comes before the battery is looked at: how it is used, where it was read so, or a log of the parked vehicle
    when it is as the driver says."""
    if standing.stage != "no-draw":
        return
    used = used_sentence(standing)
    yield from use_steps(platform, standing)
    if when_sentence(standing):
        place = standing.drew_at or (standing.total.place if standing.total is not None else "")
        begins = "If it was not used so: lock it" if used else "Lock it"
        yield (
            f"{begins}, and log it once more when it is so (log {place} floor .. peak .. mean .. for 9h); write beside "
            f"it how it was.{'' if used else ' Only then the battery:'}"
        )
        yield from caution_sentences(cautions_at(platform, "night-log"))


def repaired_sentences(standing: JobStanding) -> Iterator[str]:
    """Of a repair that a night's log shows, of which nobody wrote whether it was so in that night."""
    if standing.stage == "repaired" and standing.as_it_happens == Answer.MAY_BE:
        when = standing.happens_when.rstrip(".")
        yield f"It happens, the driver says: {when}. Whether it was so in that night is not on the card: ask."
