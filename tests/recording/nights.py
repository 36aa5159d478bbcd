# ruff: noqa: B007, E741
"""Twelve nights of 6 to 14 h at 1 s, with the truth of every piece. Needs numpy only.

    python3 nights.py OUT            all twelve: OUT/night01.csv + OUT/night01.truth.csv ... (about 13 MB; do not commit)
    python3 nights.py OUT 3 10       only nights 3 and 10
    python3 nights.py --check        builds all in memory, holds each csv against its truth, writes nothing

Seeds are fixed; numpy's RandomState is used because its stream is frozen. Nights 1 to 9 are the logs of eight whole jobs
(job 1 has two: 1 before, 9 after the repair; nights 2 to 8 are jobs 2 to 8), 10 to 12 are there to trip a segmenter.
All vehicles, currents and noise figures are invented (judgement), none is taken from a real recorder or vehicle.

nightNN.csv:  time,current_A          local time, + = out of the battery
truth (csv), rows by their first cell:
  info,<key>,<value>
  piece,first,last,from,to,level_A,ramp,kind,what     rows [first, last] of the csv counted from 0. `first` = first sample that has left
                                                      the level before; the new level is whole at first + ramp - 1. level_A is the
                                                      vehicle's, without zero, drift, noise and display step. kind = slope: no one level.
  step,at,from_A,to_A,height_A,must                   must = yes: at or above 1.25 x LIMIT (below), so it has to be found;
                                                      may: below it or at a slope, finding or missing it is both right; no: a tool must not call it
                                                      the vehicle's (knocked clamp), though it has to be cut there
  event,first,seconds,height_A,what                   what rises and falls again (pieces joined where an event has more than one level)
  bad,at,off_by_A                                     single bad sample, no event
  gap,after,seconds                                   rows missing after this row
A coarse display shifts a level by up to half its step (night 10 above 0.4 A): height errors up to 5 mA there are no fault.
LIMIT: height >= 1.3 x 2 x sigma_long x sqrt(ln n / d), d = the shorter of the two pieces (ramp left out), sigma_long = the noise's long-run figure
(white: sigma; AR(1): sigma x sqrt((1+phi)/(1-phi)); display step q adds q^2/12), as published
with the noise of the log (`recording/noise.py`).
"""

import io
import itertools
import math
import os
import sys
from datetime import datetime, timedelta

import numpy as np


def hms(s):
    h, m, x = ([*s.split(":"), "0"])[:3]
    return int(h) * 3600 + int(m) * 60 + int(x)


class Night:
    def __init__(
        self,
        no,
        title,
        start,
        end,
        seed,
        day="2031-02-11",
        sigma=0.004,
        phi=0.0,
        white=0.0,
        step=0.001,
        step_hi=None,
        drift=(),
        zero=0.0,
        box=1,
        bad=0,
        bad_size=(0.05, 1.2),
    ):
        self.no, self.title, self.seed = no, title, seed
        self.t0 = datetime.fromisoformat(day + " " + start)
        self.s0 = hms(start)
        n = hms(end) - self.s0
        self.n = n + 86400 if n <= 0 else n
        self.sigma, self.phi, self.white, self.step, self.step_hi = sigma, phi, white, step, step_hi
        self.drift, self.zero, self.box, self.bad, self.bad_size = drift, zero, box, bad, bad_size
        self.p = []  # (first, level, kind, what)
        self.ev = []  # (first, seconds, height, what)
        self.gap = []  # (after, seconds)
        self.slope = {}  # first -> function of seconds since first
        self.rampat = {}  # first -> samples of ramp

    def at(self, s):
        """clock time (over midnight) or seconds -> row"""
        if isinstance(s, (int, np.integer)):
            return int(s)
        k = hms(s) - self.s0
        return k + 86400 if k < 0 else k

    def level(self, s, a, what, kind="level", ramp=1):
        i = self.at(s)
        self.p.append((i, a, kind, what))
        if ramp > 1:
            self.rampat[i] = ramp
        return i

    def event(self, s, secs, h, what, floor, ramp=1):
        i = self.level(s, floor + h, what, "event", ramp)
        if i + secs < self.n:
            self.level(i + secs, floor, "floor", "floor", ramp)
        self.ev.append((i, min(secs, self.n - i), h, what))
        return i

    # ---- make
    def build(self):
        r = np.random.RandomState(self.seed)
        p = sorted(self.p, key=lambda q: q[0])
        assert p[0][0] == 0, (self.no, p[0])
        f = [q[0] for q in p]
        assert len(set(f)) == len(f), (self.no, "two pieces at one row")
        ends = [*f[1:], self.n]
        x = np.empty(self.n)
        for (i, a, k, _w), e in zip(p, ends, strict=False):
            x[i:e] = self.slope[i](np.arange(e - i)) if i in self.slope else a
        if self.box > 1:  # a recorder that averages the last `box` samples: ramps
            c = np.concatenate([np.full(self.box - 1, x[0]), x])
            x = np.convolve(c, np.ones(self.box) / self.box, "valid")
        for i, k in self.rampat.items():
            x0, x1 = x[i - 1], x[i + k - 1]
            x[i : i + k - 1] = x0 + (x1 - x0) * np.arange(1, k) / k
        e = r.normal(0, 1, self.n)
        if self.phi:
            z = np.empty(self.n)
            v = r.normal()
            g = math.sqrt(1 - self.phi**2)
            for i in range(self.n):
                v = self.phi * v + g * e[i]
                z[i] = v
        else:
            z = e
        y = x + self.zero + self.sigma * z
        if self.white:
            y = y + r.normal(0, self.white, self.n)
        t = np.arange(self.n) / self.n
        for kind, *a in self.drift:
            if kind == "line":
                y = y + a[0] * (t - 0.5)
            if kind == "sine":
                y = y + a[0] * np.sin(2 * math.pi * a[1] * t + a[2])
            if kind == "warm":
                y = y + a[0] * (np.exp(-np.arange(self.n) / a[1]) - a[1] / self.n)
        bad = []
        edges = np.array(f + [i + k for i in f for k in (self.box,)])
        while len(bad) < self.bad:
            i = int(r.randint(60, self.n - 60))
            if np.min(np.abs(edges - i)) < 40 or any(abs(i - b) < 120 for b, _ in bad):
                continue
            d = float(r.uniform(*self.bad_size) * (1 if r.rand() < 0.6 else -1))
            y[i] += d
            bad.append((i, d))
        q = np.where(np.abs(y) >= 0.4, self.step_hi, self.step) if self.step_hi else self.step
        y = np.round(np.round(y / q) * q, 4)
        keep = np.ones(self.n, bool)
        for s, secs in self.gap:
            i = self.at(s)
            keep[i : i + secs] = False
        return p, ends, y, keep, sorted(bad)

    def clock(self, i):
        return (self.t0 + timedelta(seconds=int(i))).strftime("%Y-%m-%d %H:%M:%S")

    def limit(self, d):
        q = max(self.step, self.step_hi or 0)
        v = self.sigma**2 * (1 + self.phi) / (1 - self.phi) + self.white**2 + q * q / 12
        return 1.3 * 2 * math.sqrt(v * math.log(self.n) / d)

    def files(self):
        p, ends, y, keep, bad = self.build()
        row = np.cumsum(keep) - 1  # second -> row of the csv
        idx = np.nonzero(keep)[0]
        dec = 4 if self.step < 0.001 else 3
        o = io.StringIO()
        o.write("time,current_A\n")
        for i in idx:
            o.write(f"{self.clock(i)},{y[i]:.{dec}f}\n")
        t = io.StringIO()

        def w(*a):
            return t.write(",".join(str(b).replace(",", ";") for b in a) + "\n")

        w("info", "title", self.title)
        w("info", "seed", self.seed)
        w("info", "rows", len(idx))
        w("info", "start", self.clock(0))
        w("info", "end", self.clock(idx[-1]))
        w("info", "noise_sigma_A", self.sigma)
        w("info", "noise_phi", self.phi)
        w("info", "extra_white_A", self.white)
        w("info", "display_step_A", self.step if not self.step_hi else f"{self.step} below 0.4 A; {self.step_hi} above")
        w("info", "zero_A", self.zero)
        w("info", "drift", " + ".join(" ".join(map(str, d)) for d in self.drift) or "none")
        w("info", "averages_over", self.box)

        def r(i):
            return int(row[min(max(i, 0), self.n - 1)])

        for (i, a, k, what), e in zip(p, ends, strict=False):
            w(
                "piece",
                r(i) if keep[i] else r(i) + 1,
                r(e - 1),
                self.clock(i),
                self.clock(e - 1),
                f"{a:.4f}" if i not in self.slope else "",
                max(self.box, self.rampat.get(i, 1)),
                k if i not in self.slope else "slope",
                what,
            )
        for j in range(1, len(p)):
            i, h = p[j][0], p[j][1] - p[j - 1][1]

            def rp(q):
                return max(self.box, self.rampat.get(q, 1)) - 1

            d = max(1, min(i - p[j - 1][0] - rp(p[j - 1][0]), ends[j] - i - rp(i)))  # whole samples at the level
            must = (
                "may"
                if (i in self.slope or p[j - 1][0] in self.slope)
                else "no"
                if p[j][2] == "knock"
                else "yes"
                if abs(h) >= 1.25 * self.limit(d)
                else "may"
            )
            w("step", r(i), f"{p[j - 1][1]:.4f}", f"{p[j][1]:.4f}", f"{h:.4f}", must)
        for i, s, h, what in sorted(self.ev):
            w("event", r(i), s, f"{h:.4f}", what)
        for i, d in bad:
            if keep[i]:
                w("bad", r(i), f"{d:.3f}")
        for s, secs in self.gap:
            w("gap", r(self.at(s) - 1), secs)
        return o.getvalue(), t.getvalue(), (p, ends, y, keep, bad)


def nights():
    N = []

    # 1, 9: job 1, towing module wakes the body network now and then; 9 is the night after the repair
    for no, seed, drift in ((1, 1101, 0.006), (9, 1109, -0.005)):
        a = Night(
            no,
            "job 1 " + ("before" if no == 1 else "after the repair"),
            "18:00:00",
            "06:10:00",
            seed,
            day="2031-02-11" if no == 1 else "2031-02-14",
            sigma=0.004,
            step=0.001,
            drift=[("line", drift)],
            bad=4,
        )
        a.level("18:00:00", 2.006, "open: all awake + load lamp")
        a.level("18:10:00", 5.8, "lock motors 1 s", "lock")
        a.level(601, 1.506, "locked")
        a.level("18:13:00", 1.209, "COMFORT asleep 3 min after locking", "stair")
        a.level("18:22:00", 0.024, "BODY asleep 12 min after locking", "stair")
        for t in ("19:30:00", "21:30:00", "23:30:00", "01:30:00", "03:30:00", "05:30:00"):
            a.event(t, 40, 0.114, "charging module, every 120 min", 0.024)
        if no == 1:
            for t in ("19:58:20", "21:07:05", "21:49:40", "00:31:15", "02:04:50", "03:12:30", "05:47:10"):
                d = 905 if t == "02:04:50" else 720
                i = a.at(t)
                a.level(i, 0.470, "towing module alone, 2 s", "event")
                a.level(i + 2, 1.209, "BODY awake", "event")
                a.level(i + 2 + d, 0.024, "floor", "floor")
                a.ev.append((i, d + 2, 1.185, "BODY woken by the towing module"))
        N.append(a)

    # 2: a draw an hour after sleep, still on at the end
    a = Night(
        2,
        "job 2",
        "17:30:00",
        "06:00:00",
        1102,
        sigma=0.003,
        phi=0.8,
        step=0.001,
        drift=[("sine", 0.008, 1.3, 0.4)],
        bad=3,
    )
    for t, l, w, k in (
        ("17:30:00", 2.30, "load lights on", "level"),
        ("17:42:00", 1.20, "locked", "level"),
        ("17:47:00", 1.104, "charging module asleep 5 min after locking", "stair"),
        ("17:57:00", 0.887, "COMFORT asleep 15 min after locking", "stair"),
        ("18:12:00", 0.024, "BODY asleep 30 min after locking", "stair"),
        ("19:12:00", 0.644, "cut-off relay coil left driven; still on at the end", "rise"),
    ):
        a.level(t, l, w, k)
    N.append(a)

    # 3: a heater fan that runs on
    a = Night(3, "job 3", "17:50:00", "07:40:00", 1103, sigma=0.006, step=0.01, bad=2)
    for t, l, w, k in (
        ("17:50:00", 4.95, "interior lamp; fan running on", "level"),
        ("18:00:00", 4.35, "locked", "level"),
        ("18:10:00", 3.455, "BODY asleep 10 min after locking", "stair"),
        ("20:12:00", 0.115, "fan and its relay coil off", "run-on"),
        ("20:13:00", 0.025, "COMFORT asleep 60 s after the fan", "stair"),
    ):
        a.level(t, l, w, k)
    N.append(a)

    # 4: tank heater on its thermostat, pause shrinking
    a = Night(
        4,
        "job 4",
        "19:00:00",
        "08:30:00",
        1104,
        sigma=0.003,
        phi=0.5,
        white=0.005,
        step=0.005,
        drift=[("line", 0.02)],
        bad=6,
    )
    a.level("19:00:00", 0.040, "floor", "floor")
    i = a.at("19:22:00")
    k = 0
    while i < a.n:
        a.event(i, 360 + 6 * k, 4.86, "tank heater", 0.040)
        i += 2400 - 48 * k
        k += 1
    N.append(a)

    # 5: fridge through a stuck relay contact, with an inrush sample at each start
    a = Night(
        5,
        "job 5",
        "19:00:00",
        "06:00:00",
        1105,
        sigma=0.008,
        phi=0.5,
        step=0.01,
        drift=[("sine", 0.006, 0.7, 0)],
        bad=3,
    )
    for t, l, w, k in (
        ("19:00:00", 7.679, "ignition on, compressor running", "level"),
        ("19:04:00", 6.279, "ignition off", "level"),
        ("19:04:30", 6.129, "coil of K6 off 30 s later", "run-on"),
        ("19:08:00", 0.929, "compressor off", "event"),
        ("19:20:00", 14.929 - 0.0, "inrush 1 s", "inrush"),
        (1201, 6.129, "compressor on", "event"),
        ("19:26:00", 5.285, "BODY asleep 20 min after locking (19:06)", "stair"),
        ("19:29:00", 0.085, "compressor off; floor with fridge control on", "floor"),
    ):
        a.level(t, l, w, k)
    off = [20, -35, 10, -15, 40, -25, 0, 30, -40, 15, -10, 25, -20, 5, 35, -30, -5, 20, -15, 10, 0]
    ln = [10, -10, 5, -5, 15, -15, 0, 20, -20, 8, -8, 12, -12, 4, -4, 18, -18, 6, -6, 0, 0]
    for k in range(21):
        i = a.at("19:50:00") + 1800 * k + off[k]
        d = 540 + ln[k]
        a.level(i, 14.085, "inrush 1 s", "inrush")
        a.level(i + 1, 5.285, "compressor on", "event")
        a.level(i + d, 0.085, "floor", "floor")
        a.ev.append((i, d, 5.2, "fridge compressor"))
    N.append(a)

    # 6: a charger on from 17:30 to 02:45
    a = Night(6, "job 6", "17:00:00", "06:00:00", 1106, sigma=0.005, step=0.001, bad=3)
    for t, l, w, k in (
        ("17:00:00", 1.921, "open", "level"),
        ("17:05:00", 1.021, "locked", "level"),
        ("17:20:00", 0.196, "BODY asleep 15 min after locking", "stair"),
        ("17:30:00", -3.804, "charger on, constant current", "charger"),
        ("19:00:00", -2.979, "BODY awake 15 min under the charger", "event"),
        ("19:15:00", -3.804, "charger, constant current", "charger"),
        ("20:10:00", -1.0, "charger tapers", "charger"),
        ("02:45:00", 0.199, "charger off (mains timer); floor", "floor"),
    ):
        a.level(t, l, w, k)
    a.slope[a.at("20:10:00")] = lambda s: -3.704 * np.exp(-s / 3000.0) - 0.10
    a.ev.append((a.at("19:00:00"), 900, 0.825, "BODY awake; seen only because the charger holds its current"))
    N.append(a)

    # 7: nothing wrong
    a = Night(
        7, "job 7", "18:30:00", "07:00:00", 1107, sigma=0.0025, phi=0.8, step=0.001, drift=[("line", -0.009)], bad=5
    )
    for t, l, w, k in (
        ("18:30:00", 2.061, "open, lamps on", "level"),
        ("18:40:00", 1.161, "locked", "level"),
        ("18:42:00", 0.781, "LIGHT asleep 2 min after locking", "stair"),
        ("18:45:00", 0.541, "COMFORT asleep 5 min after locking", "stair"),
        ("18:55:00", 0.021, "LOCK asleep 15 min after locking", "stair"),
        ("06:47:30", 2.4, "unlocked", "level"),
    ):
        a.level(t, l, w, k)
    for k in range(11):
        a.event(a.at("19:55:00") + 3600 * k, 20, 0.245, "locking module, every 60 min", 0.021)
    N.append(a)

    # 8: sound draw, flat battery
    a = Night(8, "job 8", "20:00:00", "07:00:00", 1108, sigma=0.004, phi=0.95, step=0.001, bad=2)
    for t, l, w, k in (
        ("20:00:00", 1.60, "open", "level"),
        ("20:04:00", 0.72, "locked", "level"),
        ("20:14:00", 0.023, "BODY asleep 10 min after locking", "stair"),
    ):
        a.level(t, l, w, k)
    for k in range(22):
        i = a.at("20:30:00") + 1800 * k
        if i + 10 < a.n:
            a.event(i, 10, 0.200, "locking module, every 30 min", 0.023)
    N.append(a)

    # 10: averaging recorder (5-sample ramps), display step by range, two kinds of event of nearly one height, a run-on
    a = Night(
        10,
        "averaging recorder; two kinds 8 % apart in height; run-on",
        "18:00:00",
        "07:30:00",
        1110,
        sigma=0.0025,
        phi=0.8,
        step=0.001,
        step_hi=0.01,
        drift=[("line", 0.012), ("sine", 0.004, 2.2, 1.0)],
        zero=0.007,
        box=5,
        bad=8,
    )
    for t, l, w, k in (
        ("18:00:00", 3.10, "open", "level"),
        ("18:03:00", 2.35, "locked", "level"),
        ("18:05:30", 1.60, "heater fan run-on ends", "run-on"),
        ("18:08:00", 1.23, "LIGHT asleep", "stair"),
        ("18:18:00", 0.75, "TRAILER asleep", "stair"),
        ("18:33:00", 0.305, "BODY asleep", "stair"),
        ("18:48:00", 0.036, "LOCK asleep", "stair"),
    ):
        a.level(t, l, w, k)
    for k in range(8):
        a.event(a.at("20:03:00") + 5400 * k, 150, 0.480, "TRAILER awake, every 90 min", 0.036)
    for t, d in (("19:11:07", 611), ("22:00:41", 640), ("22:40:13", 604), ("01:20:02", 1290), ("04:58:31", 618)):
        a.event(t, d, 0.445, "BODY awake, no fixed distance", 0.036)
    N.append(a)

    # 11: quiet; correlated noise, drift +-50 mA, display step, bad samples; not one step
    a = Night(
        11,
        "quiet: no step at all, drift +-50 mA",
        "21:00:00",
        "05:30:00",
        1111,
        sigma=0.005,
        phi=0.8,
        step=0.005,
        drift=[("sine", 0.05, 1.0, -1.2)],
        zero=-0.02,
        bad=12,
    )
    a.level("21:00:00", 0.045, "floor", "floor")
    N.append(a)

    # 12: small and short events near the limit, a knocked clamp, a gap, ramps of 1 to 5 samples
    a = Night(
        12,
        "events near the limit; knocked clamp; gap; ramps of 1 to 5 samples",
        "22:00:00",
        "06:00:00",
        1112,
        sigma=0.003,
        phi=0.5,
        step=0.001,
        drift=[("warm", 0.015, 2400.0)],
        bad=10,
        bad_size=(0.04, 0.4),
    )
    a.level("22:00:00", 0.64, "locked", "level")
    a.level("22:06:00", 0.31, "LIGHT asleep", "stair", 3)
    a.level("22:16:00", 0.028, "BODY asleep", "stair", 2)
    r = np.random.RandomState(77)
    i = a.at("22:40:00")
    fl = 0.028
    knock = a.at("01:30:00")
    gap = a.at("03:40:00")
    done = False
    k = 0
    while i < a.n - 900:
        if not done and i > knock - 400:
            a.level(knock, 0.063, "clamp knocked: +35 mA, stays", "knock")
            fl = 0.063
            done = True
            i = max(i, knock + 400)
        if abs(i + 150 - gap) < 700:
            i = gap + 900
        d = int([3, 8, 20, 60, 200][k % 5])
        h = round(a.limit(d) * [0.6, 1.1, 1.6, 2.5][k % 4], 4)
        a.event(i, d, h, f"small event {k + 1} ({[0.6, 1.1, 1.6, 2.5][k % 4]} x limit)", fl, min(1 + k % 5, d))
        k += 1
        i += d + int(r.randint(420, 900))
    a.gap = [("03:40:00", 240)]
    N.append(a)
    return sorted(N, key=lambda q: q.no)


def check():
    for a in nights():
        csv, truth, (_p, _ends, _y, _keep, _bad) = a.files()
        assert 6 * 3600 <= a.n <= 14 * 3600, a.no
        rows = csv.splitlines()[1:]
        tv = [t.split(",") for t in truth.splitlines()]
        val = np.array([float(r.split(",")[1]) for r in rows])
        ts = [r.split(",")[0] for r in rows]
        pieces = [t for t in tv if t[0] == "piece"]
        isbad = {int(t[1]) for t in tv if t[0] == "bad"}
        assert (
            int(pieces[0][1]) == 0
            and int(pieces[-1][2]) == len(rows) - 1
            and all(int(u[2]) + 1 == int(v[1]) for u, v in itertools.pairwise(pieces))
        ), a.no
        worst = 0
        for t in pieces:
            f, l = int(t[1]), int(t[2])
            assert ts[f] >= t[3] and ts[l] <= t[4], (a.no, t, ts[f], ts[l])
            if t[7] == "slope" or l - f < 8:
                continue
            k = [i for i in range(f + int(t[6]), l + 1) if i not in isbad]
            s = np.array(k) / a.n
            d = np.zeros(len(k))
            for kind, *q in a.drift:
                if kind == "line":
                    d += q[0] * (s - 0.5)
                if kind == "sine":
                    d += q[0] * np.sin(2 * math.pi * q[1] * s + q[2])
                if kind == "warm":
                    d += q[0] * (np.exp(-s * a.n / q[1]) - q[1] / a.n)
            se = math.sqrt(
                (a.sigma**2 * (1 + a.phi) / (1 - a.phi) + a.white**2 + max(a.step, a.step_hi or 0) ** 2 / 12) / len(k)
            )
            off = abs(val[k].mean() - d.mean() - a.zero - float(t[5]))
            worst = max(worst, off / se) if off > 0.0006 else worst
        assert worst < 4.5, (a.no, worst)
        st = [t for t in tv if t[0] == "step"]
        print(
            f"night {a.no:2d} rows {len(rows)} pieces {len(pieces)} steps must/may/no "
            + "/".join(str(sum(t[5] == k for t in st)) for k in ("yes", "may", "no"))
            + f" events {sum(t[0] == 'event' for t in tv)} bad {len(isbad)} gaps {sum(t[0] == 'gap' for t in tv)} worst level {worst:.1f} standard errors, {val.min():.3f} to {val.max():.3f} A"
        )


if __name__ == "__main__":
    if "--check" in sys.argv:
        check()
    elif len(sys.argv) < 2:
        sys.exit(__doc__)
    else:
        os.makedirs(sys.argv[1], exist_ok=True)
        want = {int(x) for x in sys.argv[2:]}
        for a in nights():
            if want and a.no not in want:
                continue
            c, t, _ = a.files()
            for ext, s in (("csv", c), ("truth.csv", t)):
                with open(os.path.join(sys.argv[1], f"night{a.no:02d}.{ext}"), "w") as f:
                    f.write(s)
