"""How good the diagnosis is, against simulated vehicles whose faults are known.

    python -m tests.benchmarks.diagnosis.run [--quick] [--share SHARE] [--page FILE]

Prints the tables and writes them into the page (by default `quality.md` beside this file). Seeds are frozen: the same
version gives the same figures, but for the times. `--share 0.4` does that share of the cases, `--quick` a tenth.
"""

import argparse
import os
import platform
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import log2
from pathlib import Path
from random import Random
from statistics import mean

import numpy

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.prepared import prepared_for
from tests.benchmarks.diagnosis.asking import Car, Shape, Spoilt, is_it, is_row_of, place_of, vehicle_of
from tests.benchmarks.diagnosis.goals import goals_met
from tests.benchmarks.diagnosis.isolating import (
    minutes_pulling_in_order,
    minutes_unplugging_by_reach,
    minutes_with_advice,
)
from tests.benchmarks.diagnosis.optimum import expected_minutes, problem_of
from tests.benchmarks.diagnosis.oracle import Guess, Known, Oracle
from tests.benchmarks.diagnosis.sample_faults import sample_cases
from tests.benchmarks.diagnosis.simulator import SHARES, Meter, Truth, Wrong, something_wrong
from tests.benchmarks.diagnosis.tables import beside, share, table
from tests.benchmarks.diagnosis.timing import timings

PAGE = Path(__file__).parent / "quality.md"
SURE = 0.95
SEEDS = 7_000
"""Where the page's seeds begin. Settings are chosen on others (from 0 on): their figures would flatter."""


@dataclass(frozen=True)
class Stratum:
    """How the vehicles of one row of the table are read. `share` of the fuses; `millivolts` across them, or each with
    the meter; `scale` is the truth's spread against the tool's."""

    name: str
    share: float
    cases: int
    scale: float = 1.0
    meter: str = "clamp"
    step: float = 0.01
    millivolts: bool = True
    faults: int = 1
    kind: str = ""
    shape: tuple[int, int, int] = (40, 24, 2)
    twice: bool = False
    misreads: float = 0.01
    spoilt: Spoilt = ""


# So many of each that one reading that is simply wrong does not decide a row of claims of 95 %, and that a goal over
# both rows with two faults does not hang on two vehicles.
STRATA = (
    Stratum("all fuses, millivolts", 1.0, 100),
    Stratum("all fuses, truth's spread x1.5", 1.0, 100, scale=1.5),
    Stratum("half of the fuses", 0.5, 60),
    Stratum("15 % of the fuses", 0.15, 60),
    Stratum("all, in series, 1 mA", 1.0, 40, meter="series", step=0.001, millivolts=False),
    Stratum("all, in series, 10 mA", 1.0, 40, meter="series", millivolts=False),
    Stratum("all, low-current clamp, 1 mA", 1.0, 20, meter="low-current-clamp", step=0.001, millivolts=False),
    Stratum("all, general clamp, 10 mA", 1.0, 12, millivolts=False, shape=(20, 12, 2)),
    Stratum("all, those that draw read twice", 1.0, 40, twice=True),
    Stratum("two faults, all fuses", 1.0, 130, faults=2),
    Stratum("two faults, those that draw read twice", 1.0, 130, faults=2, twice=True),
    Stratum("a meter that misreads one in twenty", 1.0, 40, misreads=0.05),
    Stratum("a network's member left out", 1.0, 40, spoilt="member left out"),
    Stratum("a wrong fuse in the chart", 1.0, 40, spoilt="wrong fuse"),
    Stratum("one reading three times what it is", 1.0, 40, spoilt="three times"),
    Stratum("the fuse chart alone, no wires", 1.0, 40, spoilt="chart alone"),
    Stratum("feeders read, 8 % too high", 1.0, 20, spoilt="feeders"),
    *(Stratum(f"only {kind}", 1.0, 150, kind=kind) for kind in SHARES),
)


@dataclass
class Score:
    """What came of a stratum."""

    cases: int = 0
    visible: int = 0
    first: int = 0
    first_of_alike: int = 0
    subject: int = 0
    in_three: int = 0
    untouched: int = 0
    log_score: list[float] = field(default_factory=list)
    pair_in_three: int = 0
    bound: "Bound" = field(default_factory=lambda: Bound())
    claims: list[bool] = field(default_factory=list)


@dataclass
class Bound:
    """What the oracle makes of the same cases; `claimed` what it thinks of its own first class."""

    first: int = 0
    in_three: int = 0
    subject: int = 0
    log_score: list[float] = field(default_factory=list)
    claimed: list[float] = field(default_factory=list)
    pair_in_three: int = 0


def cars(stratum: Stratum, cases: int) -> Iterator[tuple[Car, tuple[Wrong, ...]]]:
    """Simulated vehicles, read as the stratum says."""
    for number in range(cases):
        shape: Shape = (SEEDS + number % 10, *stratum.shape)
        vehicle = vehicle_of(shape)
        random = Random(f"{stratum.name} {SEEDS + number}")
        wrongs = [something_wrong(vehicle, random, stratum.kind)]
        while len(wrongs) < stratum.faults:
            other = something_wrong(vehicle, random)
            if other.part not in {wrong.part for wrong in wrongs}:
                wrongs.append(other)
        truth = Truth(vehicle, tuple(wrongs), random, stratum.scale)
        meter = Meter(random, stratum.meter, stratum.step, stratum.misreads)
        car = Car(shape, truth, meter, stratum.millivolts, random, stratum.spoilt)
        car.read_fuses(stratum.share)
        if stratum.twice:
            car.read_drawing_again()
        yield car, tuple(wrongs)


def is_visible(car: Car) -> bool:
    """Whether the faults change anything that was read by more than the display hides, the total aside."""
    sound = Truth(car.truth.vehicle, (), Random(0), car.truth.scale)
    sound.asleep, sound.awake, sound.running = car.truth.asleep, car.truth.awake, car.truth.running
    sound.split = car.truth.split
    with_fault, without = car.truth.flowing(), sound.flowing()
    for reading in car.evidence.readings:
        if reading.place != "BAT":
            change = with_fault[reading.place] - without[reading.place]
            if change > 2.0 * (reading.half_step + reading.zero):
                return True
    return False


def scored(stratum: Stratum, cases: int) -> Score:
    score = Score()
    for car, wrongs in cars(stratum, cases):
        diagnosis = diagnose(car.circuit, car.evidence)
        score.cases += 1
        weigh_bound(score.bound, car, stratum, wrongs)
        if not is_visible(car):
            score.untouched += 1
        else:
            score.visible += 1
            place = place_of(diagnosis, wrongs)
            score.first += place == 1
            score.first_of_alike += place is not None and as_good_as_first(diagnosis, place)
            score.in_three += place is not None and place <= 3
            score.subject += told_right(car, diagnosis, wrongs)
            score.pair_in_three += len(wrongs) == 2 and tells_the_pair(car, diagnosis, wrongs)
        row = next((row for row in diagnosis.rows if is_row_of(row, wrongs)), None)
        score.log_score.append(log2(max(row.probability if row is not None else 1e-4, 1e-4)))
        score.claims += list(claims(car, diagnosis, wrongs))
    return score


def weigh_bound(bound: Bound, car: Car, stratum: Stratum, wrongs: tuple[Wrong, ...]) -> None:
    """The same case put to the oracle."""
    known = Known(car.shown, car.meter.kind, car.meter.step, car.meter.misreads, stratum.scale)
    oracle = Oracle(car.truth.vehicle, known)
    true = [next(guess for guess in oracle.guesses if is_guess(guess, wrong)) for wrong in wrongs]
    if len(true) == 2:
        pairs = oracle.pairs()
        in_order = sorted(pairs, key=lambda pair: (-pairs[pair], pair))
        a, b = sorted(guess.about for guess in true)
        bound.pair_in_three += is_visible(car) and (a, b) in in_order[:3]
        return
    classes: dict[object, float] = {}
    subjects: dict[str, float] = {}
    for guess, its in zip(oracle.guesses, oracle.single.tolist(), strict=True):
        classes[guess.kind, guess.effect] = classes.get((guess.kind, guess.effect), 0.0) + its
        subjects[guess.about] = subjects.get(guess.about, 0.0) + its
    its_class = true[0].kind, true[0].effect
    bound.log_score.append(log2(max(classes[its_class], 1e-4)))
    if is_visible(car):
        place = sum(its > classes[its_class] for its in classes.values())
        bound.first += place == 0
        bound.in_three += place < 3
        bound.subject += subjects[true[0].about] == max(subjects.values())
        bound.claimed.append(max(classes.values()))


def is_guess(guess: Guess, wrong: Wrong) -> bool:
    """Whether the oracle's guess is the fault that was put in."""
    same = guess.kind == wrong.kind and guess.part == wrong.part
    if wrong.kind == "output":
        return same and guess.about == wrong.fuse
    return same and (wrong.kind != "keeps-awake" or guess.about == f"N{wrong.network}")


def tells_the_pair(car: Car, diagnosis: Diagnosis, wrongs: tuple[Wrong, ...]) -> bool:
    """Whether the first three pairs of subjects hold what the two faults are about."""
    faults = prepared_for(car.circuit, {}, car.evidence).faults
    abouts = [{fault.about for fault in faults if is_it(fault, wrong)} for wrong in wrongs]
    return any(
        (two.about[0] in abouts[0] and two.about[1] in abouts[1])
        or (two.about[1] in abouts[0] and two.about[0] in abouts[1])
        for two in diagnosis.if_two[:3]
    )


def as_good_as_first(diagnosis: Diagnosis, place: int) -> bool:
    """In first place, or told from the first by no reading: only how common its kind is puts another before it."""
    first, row = diagnosis.rows[0].explanation, diagnosis.rows[place - 1].explanation
    return first.rows == row.rows or (len(first.rows) == len(row.rows) == 1 and place == 1)


def told_right(car: Car, diagnosis: Diagnosis, wrongs: tuple[Wrong, ...]) -> bool:
    """The answer's first line names what it is all about. Where the text lacks a member of a network, nobody can name
    that member; the network it holds awake is what can be told."""
    first = diagnosis.subjects[0]
    if any(is_it(fault, wrong) for part in first.parts for fault in part.faults for wrong in wrongs):
        return True
    lacking = car.spoilt == "member left out"
    return lacking and any(first.about == f"N{network}" for wrong in wrongs for network in _held_awake(car, wrong))


def _held_awake(car: Car, wrong: Wrong) -> tuple[int, ...]:
    if wrong.kind == "keeps-awake":
        return (wrong.network,)
    module = next((its for its in car.truth.vehicle.modules if its.name == wrong.module), None)
    return module.networks if module is not None and wrong.kind == "wrong-input" else ()


def claims(car: Car, diagnosis: Diagnosis, wrongs: tuple[Wrong, ...]) -> Iterator[bool]:
    """Whatever was said with 95 % and more: the row, the subject, the part."""
    if diagnosis.rows[0].probability >= SURE:
        yield is_row_of(diagnosis.rows[0], wrongs)
    if diagnosis.subjects[0].probability >= SURE:
        yield told_right(car, diagnosis, wrongs)
    if diagnosis.parts[0].probability >= SURE:
        yield any(is_it(fault, wrong) for fault in diagnosis.parts[0].faults for wrong in wrongs)


@dataclass
class Minutes:
    """The same faults found with the tool's advice and by habit: minutes of each, from the total alone and from when all
    fuses are read."""

    advice: list[float] = field(default_factory=list)
    pulling: list[float] = field(default_factory=list)
    advice_all_read: list[float] = field(default_factory=list)
    unplugging: list[float] = field(default_factory=list)
    wrong: int = 0
    again: int = 0

    def row(self, name: str) -> list[str]:
        def side(ours: list[float], habit: list[float]) -> list[str]:
            return [
                f"{mean(ours):.0f}", f"{sorted(ours)[int(0.9 * len(ours))]:.0f}", f"{mean(habit):.0f}",
                f"{mean(ours) / mean(habit):.2f}",
            ]  # fmt: skip

        return [
            name, str(len(self.advice)), *side(self.advice, self.pulling),
            *side(self.advice_all_read, self.unplugging), str(self.wrong), str(self.again),
        ]  # fmt: skip


def minutes(cases: int, kind: str = "", spoilt: Spoilt = "") -> Minutes:
    """Everybody looks for the same faults on vehicles of the same seeds."""
    found = Minutes()
    for number in range(cases):
        shape: Shape = (SEEDS + number % 10, 24, 14, 2)

        def fresh(number: int = number, shape: Shape = shape) -> tuple[Car, Wrong]:
            random = Random(f"minutes {kind} {SEEDS + number}")
            vehicle = vehicle_of(shape)
            wrong = something_wrong(vehicle, random, kind)
            truth = Truth(vehicle, (wrong,), random)
            return Car(shape, truth, Meter(random, "clamp", 0.01), True, random, spoilt), wrong

        for all_read, ours in ((False, found.advice), (True, found.advice_all_read)):
            course = minutes_with_advice(*fresh(), all_read)
            ours.append(course.minutes)
            found.wrong += course.was_wrong
            found.again += course.again
        found.pulling.append(minutes_pulling_in_order(*fresh()))
        found.unplugging.append(minutes_unplugging_by_reach(*fresh()))
    return found


def against_the_optimum(cases: int) -> list[float]:
    ratios = []
    for number in range(cases):
        shape: Shape = (SEEDS + 100 + number % 25, 8, 6, 1 + number % 2)
        random = Random(f"optimum {SEEDS + number}")
        vehicle = vehicle_of(shape)
        wrong = something_wrong(vehicle, random)
        car = Car(shape, Truth(vehicle, (wrong,), random), Meter(random, "clamp", 0.01), True, random)
        car.read_fuses(random.choice((0.0, 0.3, 0.6)))
        best, ours = expected_minutes(problem_of(car))
        if best > 0.0:
            ratios.append(ours / best)
    return ratios


def ranking_page(part: float) -> tuple[str, dict[str, Score]]:
    rows, scores = [], {}
    all_claims: list[bool] = []
    for stratum in STRATA:
        score = scores[stratum.name] = scored(stratum, max(6, round(part * stratum.cases)))
        all_claims += score.claims
        bound, visible = score.bound, score.visible
        if stratum.faults == 1:
            figures = [
                beside(score.first, bound.first, visible), share(score.first_of_alike, visible),
                beside(score.in_three, bound.in_three, visible), beside(score.subject, bound.subject, visible),
                f"{mean(score.log_score):.2f} ({mean(bound.log_score):.2f})", "",
            ]  # fmt: skip
            print(f"the bound claims {mean(bound.claimed or [0.0]):.2f}", file=sys.stderr)
        else:
            figures = [
                share(score.first, visible), share(score.first_of_alike, visible), share(score.in_three, visible),
                share(score.subject, visible), f"{mean(score.log_score):.2f}",
                beside(score.pair_in_three, bound.pair_in_three, visible),
            ]  # fmt: skip
        claims_true = f"{sum(score.claims)} of {len(score.claims)}"
        untouched = share(score.untouched, score.cases)
        rows.append([stratum.name, str(score.cases), untouched, *figures, claims_true])
        print(" ".join(rows[-1]), file=sys.stderr, flush=True)
    head = ("how it was read", "cases", "no reading touches it", "true class first", "or told from it by no reading",
            "in first three", "first line right", "log score, bits", "pair of subjects in first three",
            "95 % claims true")  # fmt: skip
    rows.append(["all", "", "", "", "", "", "", "", "", f"{sum(all_claims)} of {len(all_claims)}"])
    return table(head, rows), scores


def minutes_page(part: float) -> tuple[str, list[dict[str, Minutes]]]:
    head = ("faults", "vehicles", "advice from the total alone", "90th percentile", "pulling fuses in order", "ratio",
            "advice, all fuses read", "90th percentile", "unplugging what draws by reach", "ratio",
            "wrong part called to be mended", "a step again")  # fmt: skip
    cases, chart_cases, each_kind = max(8, round(500 * part)), max(8, round(200 * part)), max(8, round(60 * part))
    found = [
        {
            "as they come": minutes(cases),
            "as they come, the fuse chart alone": minutes(chart_cases, spoilt="chart alone"),
        },
        {f"only {kind}": minutes(each_kind, kind) for kind in SHARES},
    ]
    return table(head, [its.row(name) for part in found for name, its in part.items()]), found


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--share", type=float, default=1.0, help="of the cases")
    parser.add_argument("--page", type=Path, default=PAGE)
    parser.add_argument("--seeds", type=int, default=SEEDS, help="where the seeds begin")
    options = parser.parse_args()
    globals()["SEEDS"] = options.seeds
    start = time.perf_counter()
    part = 0.1 if options.quick else options.share
    isolating, all_minutes = minutes_page(part)
    print(isolating, file=sys.stderr, flush=True)
    ranking, scores = ranking_page(part)
    two = {stratum.name: scores.pop(stratum.name) for stratum in STRATA if stratum.faults == 2}
    goals = table(("goal", "all together", "worst row", ""), goals_met(scores, two, *all_minutes))
    ratios = against_the_optimum(round(100 * part))
    optimum = table(
        ("advice against the exact optimum", "problems", "mean", "worst"),
        [["expected minutes", str(len(ratios)), f"{mean(ratios):.3f}", f"{max(ratios):.3f}"]],
    )
    samples = table(
        ("sample vehicle", "cases", "true class first", "in first three", "first line right"),
        sample_cases(part < 0.5),
    )
    times = table(("what", "measured", "goal"), timings(part < 0.5))
    page = TEMPLATE.format(
        goals=goals, ranking=ranking, isolating=isolating, optimum=optimum, samples=samples, times=times,
        machine=f"{platform.machine()}, {platform.system()}, {_processor()}",
        python=platform.python_version(), numpy=numpy.__version__, minutes=(time.perf_counter() - start) / 60.0,
        quick=f" with {100 * part:.0f} % of the cases" if part < 1.0 else "",
    )  # fmt: skip
    options.page.write_text(page, "utf-8")
    print(page)
    return 0


def _processor() -> str:
    return f"{os.cpu_count() or 'unknown'} processors"


TEMPLATE = (Path(__file__).parent / "quality_template.md").read_text("utf-8")

if __name__ == "__main__":
    raise SystemExit(main())
