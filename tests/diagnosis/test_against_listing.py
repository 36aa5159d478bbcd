"""Every fault and pair, weighed the long way on small made-up cases: plain sets, scipy, no tables."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from scipy.special import ndtr

from circuitmap.diagnosis.weighing.outcomes import WANDERS
from circuitmap.diagnosis.weighing.reading_chance import Strip
from circuitmap.diagnosis.weighing.sightings import (
    Brought,
    CurrentSighting,
    Outcome,
    Sighting,
    StateSighting,
    TrySighting,
    ZeroError,
)
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.diagnosis.weighing.try_chance import AS_READ
from circuitmap.diagnosis.weighing.weights import weighed
from tests.always import always

CASES = 1000


def made_up(seed: int) -> tuple[list[Sighting], np.ndarray]:
    rng = np.random.default_rng(seed)
    faults = int(rng.integers(2, 6))
    keys = [f"load {n}" for n in range(4)]
    nothing = {k: float(rng.choice([0.0, 0.3])) for k in keys}
    moments = {k: (m := 10 ** rng.uniform(-3, 0), (m * rng.uniform(0.3, 2)) ** 2, nothing[k]) for k in keys}

    def brought() -> dict[int, tuple[Brought, ...]]:
        found: dict[int, tuple[Brought, ...]] = {}
        for f in range(faults):
            mine = [Brought(k, *moments[k]) for k in keys if rng.random() < 0.4]
            if rng.random() < 0.3:
                mine.append(Brought(("own", f), 10 ** rng.uniform(-2, 0), 10 ** rng.uniform(-4, 0)))
            if mine:
                found[f] = tuple(mine)
        return found

    sightings: list[Sighting] = []
    for n in range(int(rng.integers(1, 4))):
        shown = rng.choice([0.0, 10 ** rng.uniform(-2.5, 0.3)])
        half = 10 ** rng.uniform(-3, -1.5)
        strip = Strip(shown - half, np.inf if rng.random() < 0.1 else shown + half, relative=rng.choice([0.0, 0.12]))
        healthy = rng.choice([0.0, 10 ** rng.uniform(-4, -2)])
        sightings.append(CurrentSighting(f"I{n}", strip, healthy, healthy**2 * 2, brought()))
    if rng.random() < 0.5:
        touched = {f: int(rng.integers(0, 2)) for f in range(faults) if rng.random() < 0.5}
        sightings.append(StateSighting("line", 0.03, (0.2, 0.97), touched))
    if rng.random() < 0.5:
        before = brought()
        after = {f: tuple(b for b in mine if rng.random() < 0.6) for f, mine in before.items()}
        name = str(rng.choice(["normal", "down", "stays"]))
        outcome = Outcome(name, 0.5, 0.05, 0.01, now={"normal": 0.04, "down": 0.2, "stays": 0.5}[name], off=0.01)
        sightings.append(TrySighting("try", before, after, 0.02, 0.0004, 0.001, 1e-6, outcome))
    return sightings, 10 ** rng.uniform(-4, -1, faults)


def joined(brought: dict[int, tuple[Brought, ...]], faults: tuple[int, ...]) -> tuple[float, float]:
    once: dict[object, Brought] = {}
    for b in (b for f in faults for b in brought.get(f, ())):
        once[b.key] = max(once.get(b.key, b), b, key=lambda its: (its.mean, its.variance))
    return sum(b.mean for b in once.values()), sum(b.variance for b in once.values())


@cache
def shape(mean: float, variance: float) -> tuple[float, float]:
    sigma = np.sqrt(np.log1p(variance / mean**2))
    return float(np.log(mean) - sigma**2 / 2), float(sigma)


@cache
def shown(strip: Strip, mean: float, variance: float) -> float:
    """The chance of a reading, by a fine sum over the errors that are not in proportion."""
    if not strip.blur:
        if mean == 0.0:
            return float(strip.lowest <= 0.0 <= strip.highest)
        mu, sigma = shape(mean, variance)
        sigma = float(np.hypot(sigma, strip.relative))
        ends = [(np.log(end) - mu) / sigma if end > 0.0 else -np.inf for end in (strip.lowest, strip.highest)]
        return float(ndtr(ends[1]) - ndtr(ends[0]))
    errors = np.linspace(-7.0, 7.0, 1_001)
    weights = np.exp(-np.square(errors) / 2.0) / np.exp(-np.square(errors) / 2.0).sum()
    low, high = strip.lowest - errors * strip.blur, strip.highest - errors * strip.blur
    if mean == 0.0:
        return float(weights @ ((low <= 0.0) & (high >= 0.0)))
    mu, sigma = shape(mean, variance)
    sigma = np.hypot(sigma, strip.relative)
    with np.errstate(invalid="ignore", divide="ignore"):
        at = [np.where(end > 0.0, (np.log(end) - mu) / sigma, -np.inf) for end in (low, high)]
    return float(weights @ (ndtr(at[1]) - ndtr(at[0])))


def chance(sighting: Sighting, faults: tuple[int, ...]) -> float:
    if isinstance(sighting, StateSighting):
        ranks = [sighting.touched[f] for f in faults if f in sighting.touched]
        return sighting.chances[max(ranks)] if ranks else sighting.healthy
    if isinstance(sighting, CurrentSighting):
        return by_zero(sighting, faults)(0.0)
    return after_a_try(sighting, faults)


def by_zero(sighting: CurrentSighting, faults: tuple[int, ...]) -> Callable[[float], float]:
    """The chance of a reading, by its meter's zero; what hangs on no zero is worked out once.

    Where some of what a fault brings may be nothing, all of that is, as likely as the likeliest of it not to be, or
    none. A second fault makes a zero, or less than what one brings by itself, no likelier."""
    for fault in faults:
        its = sighting.brought.get(fault, ())
        nothing = min((brought.nothing for brought in its if brought.nothing), default=0.0)
        if nothing:
            surely = tuple(brought._replace(nothing=0.0) for brought in its)
            rest = tuple(brought for brought in its if not brought.nothing)
            there, gone = (
                by_zero(replace(sighting, brought={**sighting.brought, fault: now}), faults) for now in (surely, rest)
            )
            return lambda zero: (1.0 - nothing) * there(zero) + nothing * gone(zero)
    taken = 0
    for fault in faults:
        taken |= sighting.taken.get(fault, 0)
    mean, variance = joined(dict(sighting.brought), faults)
    healthy_mean, healthy_variance = sighting.healthy(taken)
    whole = (mean + healthy_mean, variance + healthy_variance)
    nobody = sighting.healthy(0)
    covered: list[tuple[tuple[float, float], float]] = []
    for some in [one for size in range(len(faults)) for one in combinations(faults, size)]:
        alone = joined(dict(sighting.brought), some)
        own = (alone[0] + healthy_mean, alone[1] + healthy_variance)
        likeliest = 0.0
        if own[0]:
            mu, sigma = shape(*own)
            likeliest = np.exp(mu - sigma**2)
        if all(sighting.taken.get(f, 0) == taken for f in some or (None,)):
            covered.append((own, likeliest))
    low, high = sighting.strip.lowest, sighting.strip.highest  # a slip knows of no zero
    if low <= 0.0 or np.isinf(high):
        wrong = 0.5
    else:
        sharp = np.hypot(1.5, sighting.strip.relative)
        centre = min(0.15, np.sqrt(low * high))
        wrong = 0.5 * (ndtr(np.log(high / centre) / sharp) - ndtr(np.log(low / centre) / sharp))
    without_zero = replace(sighting, zero=None).without(taken)

    def at(zero: float) -> float:
        strip = without_zero if not zero else sighting.strip._replace(lowest=low - zero, highest=high - zero)
        right = shown(strip, *whole)
        too_little = taken == 0 and strip.highest < nobody[0]  # less than a healthy car draws: no current more fits
        if too_little:
            right = min(right, shown(strip, *nobody))
        for own, likeliest in covered if np.isfinite(strip.highest) else ():
            if strip.lowest <= 0.0 or strip.highest <= likeliest:
                least = shown(strip, *own)
                if too_little:
                    least = min(least, shown(strip, *nobody))
                right = min(right, least)
        return (1 - sighting.misread) * right + sighting.misread * wrong

    return at


def after_a_try(sighting: TrySighting, faults: tuple[int, ...]) -> float:
    whole, left = joined(dict(sighting.before), faults), joined(dict(sighting.after), faults)
    read = max(sighting.outcome.was - sighting.healthy_mean - sighting.removed_healthy_mean, 0.0)
    times = read / whole[0] if whole[0] and read else 1.0  # together they are what was read before
    gone = times * (whole[0] - left[0])
    spread = times**2 * (whole[1] - left[1])
    if not left[0]:
        spread = min(spread, (AS_READ * gone) ** 2)
    goes = (gone + sighting.removed_healthy_mean, spread + sighting.removed_healthy_variance)
    stays = (times * left[0] + sighting.healthy_mean, times**2 * left[1] + sighting.healthy_variance)
    (mu_s, sigma_s), (mu_g, sigma_g) = shape(*stays), shape(*goes)
    its = sighting.outcome
    wide = max(its.off, WANDERS * its.was)

    def smaller_share(share: float) -> float:
        """Chance that what stays is less than this share; ln(stays : goes) is normal."""
        sigma = max(np.hypot(sigma_s, sigma_g), wide / its.was)
        return float(ndtr((np.log(share / (1 - share)) - (mu_s - mu_g)) / sigma)) if share < 1.0 else 1.0

    low, high = its.now - wide, its.now + wide
    above = max(high, its.normal_up_to) if its.now <= its.normal_up_to else high
    seen = smaller_share(above / its.was)
    if its.now > its.normal_up_to:
        seen -= smaller_share(low / its.was)
    slip = its.slip / 3 if its.name != "down" else its.slip / 3 * min((high - low) / its.was, 1.0)
    return (1 - its.slip) * max(seen, 0.0) + slip


@pytest.mark.parametrize("block", always(5, range(10)))
def test_the_same_as_listing_them_all(block: int) -> None:
    for seed in range(block * CASES // 10, (block + 1) * CASES // 10):
        sightings, odds = made_up(seed)
        faults = range(len(odds))
        ours = weighed(tables_of(sightings, len(odds)), odds, odds_of_nothing=1.0)
        sets = [s for size in (0, 1, 2) for s in combinations(faults, size)]
        weight = {s: np.prod([odds[f] for f in s]) * np.prod([chance(x, s) for x in sightings]) for s in sets}
        something = sum(w for s, w in weight.items() if s)
        assert ours.something_wrong == pytest.approx(something / (something + weight[()]), rel=1e-6)
        for f in faults:
            expected = sum(w for s, w in weight.items() if f in s) / something
            assert ours.given_something[f] == pytest.approx(expected, rel=1e-6), seed
        for s, w in weight.items():
            if len(s) == 2:
                assert ours.pair(*s) / ours.something == pytest.approx(w / something, rel=1e-6), seed
        some = tuple(faults)[: max(2, len(odds) // 2)]
        expected = sum(w for s, w in weight.items() if set(s) & set(some)) / something
        assert ours.any_of(some) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("seed", range(40))
def test_one_meters_zero_is_shared_by_its_readings(seed: int) -> None:
    """Two clamp readings and the same unknown zero, against a fine sum over the zero."""
    rng = np.random.default_rng(seed)
    sightings, odds = made_up(seed)
    currents = [s for s in sightings if isinstance(s, CurrentSighting)][:2]
    if len(currents) < 2:
        return
    amps = [0.03, -0.03 if rng.random() < 0.5 else 0.03]
    shared = [
        replace(
            s,
            strip=s.strip._replace(lowest=s.strip.lowest - 0.002, highest=s.strip.highest + 0.002),
            healthy_mean=s.healthy_mean + 0.02,
            healthy_variance=s.healthy_variance + 4e-4,
            zero=ZeroError("clamp", a),
        )
        for s, a in zip(currents, amps, strict=True)
    ]
    ours = weighed(tables_of(shared, len(odds)), odds)
    zeros = np.linspace(-6, 6, 1201)
    weights = np.exp(-(zeros**2) / 2) / np.exp(-(zeros**2) / 2).sum()
    sets = [s for size in (0, 1, 2) for s in combinations(range(len(odds)), size)]
    weight = {}
    for s in sets:
        chances = [(x.zero.amps, by_zero(x, s)) for x in shared if x.zero]
        at_zero = [np.prod([at(zero * amps) for amps, at in chances]) for zero in zeros]
        weight[s] = np.prod([odds[f] for f in s]) * float(weights @ np.array(at_zero))
    something = sum(w for s, w in weight.items() if s)
    for f in range(len(odds)):
        expected = sum(w for s, w in weight.items() if f in s) / something
        assert ours.given_something[f] == pytest.approx(expected, rel=0.03, abs=0.002), seed
    if something > 1e-3 * weight[()]:
        assert ours.something_wrong == pytest.approx(something / (something + weight[()]), rel=0.03, abs=0.002)
