"""Leather from the bath to dry: its water through soaking, resting, handwork, clamps and drying in one room.

One account, run for many leathers at once that differ as the records' ranges allow (`draws`), and for the places
that dry differently: the wall on the form with its inner face sealed by film, the flange of two
layers with both faces open but covered while clamped, the folded collar of wall and flap with one face open, and
the piece left lying open on the bench. By symmetry each layer of a flange dries as a wall does: what sets it apart
are the clamps. Minutes from the start of the soak.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import gcd, isqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from backseam.geom.normal import normal_point
from backseam.ground.sources import Value
from backseam.ground.units import Celsius, Minute, Mm, Share
from backseam.leather.air import Film, evaporation, mass_transfer
from backseam.leather.isotherm import Isotherm
from backseam.leather.material import Material
from backseam.leather.moisture import Sheets, Tabled, mesh, sheets, step
from backseam.leather.records import at_point
from backseam.leather.sheet import soaked_profile, uptake, uptake_time

Array = NDArray[np.float64]

WALL, FLANGE, COLLAR = "wall", "flange", "collar"

# What is drawn, each row by one throw: leather that drinks more is also cased, and too dry to mould, at more.
DRAWN = (
    ("water.uptake", "water.cased", "water.too_dry", "water.feels_wet"),
    ("diffusion.drying",),
    ("film.convection",),
    ("density.leather",),
    ("isotherm.monolayer",),
    ("diffusion.soak",),
    ("wet.rest",),
    ("wet.clamps",),
    ("work.pace",),
    ("ready.second_draw", "ready.wax"),
    ("film.radiation",),
    ("diffusion.activation",),
)
FIXED = ("isotherm.strength", "isotherm.multilayer", "film.air_heat", "film.lewis", "water.feels_dry")
SAMPLES = 97
MULTIPLIERS = 200  # tried for the lattice

MINUTE = 60.0  # s
HOUR: Minute = 60.0
GAS = 8.314462618e-3  # kJ/(mol K), ashrae-2017
AT = 293.15  # K, the 20 degrees C of the records
LADDER = 22  # steps of the drying, each longer than the one before
LYING = 12
STEPS = {"airing": 2, "flat": 3, "form": 5, "clamps": 3, "again": 2}
LONG_ENOUGH = 6.0  # of the slowest place's own time, after its wet time
GROWTH = 60.0  # last step of the drying over the first
NEARLY: Share = 0.02  # water above that of the room at which the film is looked at for the drying's own time
SOAK_POINTS = 10
FLUX_PLACES = 21
BOTH, OUTER, NONE = (1.0, 1.0), (0.0, 1.0), (0.0, 0.0)  # open faces: inner, outer


@dataclass(frozen=True)
class Room:
    """The room: temperature, degrees C, humidity 0-1, and whether a cold fan moves its air."""

    temperature: Celsius = 20.0
    humidity: Share = 0.5
    moving: bool = False


@dataclass(frozen=True)
class Work:
    """Minutes of handwork while the leather is damp: on the flat piece, on the form up to the clamps, in clamps
    (None: as recorded), and after them up to the knife going back in."""

    flat: Minute
    form: Minute
    again: Minute
    clamps: Minute | None = None


@dataclass(frozen=True)
class Draws:
    """Values by name, one of each a sample, (samples,), and the records they were drawn from."""

    values: dict[str, Array]
    records: tuple[Value, ...]

    def __getitem__(self, name: str) -> Array:
        return self.values[name]

    @property
    def count(self) -> int:
        """How many samples."""
        return len(next(iter(self.values.values())))


@dataclass(frozen=True)
class History:
    """What became of the samples. minutes: (samples, times). mean, heart: water by place, (samples, times).
    lying: mean water of the piece if it is left lying open when it may be moulded, at lying_minutes.

    soaked, ready, glued, freed, done: minutes at which the soak ends, the leather may be moulded, the clamps go
    on, they come off, the knife is back in. damped: how often it was damped again; first_damped: when first, inf
    if never. saturation, equilibrium: water of saturated leather, and that the room leaves in it.
    """

    minutes: Array
    mean: dict[str, Array]
    heart: dict[str, Array]
    lying_minutes: Array
    lying: Array
    soaked: Array
    ready: Array
    glued: Array
    freed: Array
    done: Array
    damped: Array
    first_damped: Array
    saturation: Array
    equilibrium: Array
    imbalance: float


@cache
def throws(count: int, rows: int) -> Array:
    """Shares 0-1 that fill a box of `rows` dimensions evenly, (rows, count): the same each time.

    A lattice: every row goes once through the middles of `count` equal parts, in another order.

        u_r(k) = ((k a^r mod n) + 1/2) / n

    Of the multipliers a without a common factor with n the one is taken whose rows hang together least.
    Source: korobov-1959. Tested: each row stratified, correlations.

    >>> [[float(u) for u in row] for row in throws(4, 2)]    # a = 1 or 3: with 3, 0 3 2 1
    [[0.125, 0.375, 0.625, 0.875], [0.125, 0.875, 0.625, 0.375]]
    """
    k = np.arange(count)
    best, least = np.zeros((rows, count)), np.inf
    for a in range(2, min(count, MULTIPLIERS)):
        if gcd(a, count) > 1:
            continue
        powers = [pow(a, r, count) for r in range(rows)]
        found = (np.multiply.outer(powers, k) % count + 0.5) / count
        worst = float(np.abs(np.corrcoef(found) - np.eye(rows)).max())
        if worst < least:
            best, least = found, worst
    best.setflags(write=False)
    return best


@cache
def points(count: int) -> Array:
    """Points of the normal curve for each row of what is drawn, (rows, count)."""
    z = normal_point(throws(count, len(DRAWN)))
    z.setflags(write=False)
    return z


def draws(leather: Material, extra: tuple[Value, ...], moving: bool = False, count: int = SAMPLES) -> Draws:
    """Samples of all that the account needs, as many as the next prime from `count` on.

    extra: records that are not of the leather (rest, pace).
    """
    while any(count % divisor == 0 for divisor in range(2, isqrt(count) + 1)):
        count += 1
    more = {value.name: value for value in extra}
    drawn: dict[str, Array] = {}
    used: list[Value] = []
    for names, row in zip(DRAWN, points(count), strict=True):
        for name in names:
            other = "film.convection_moving" if moving and name == "film.convection" else name
            record = more.get(other) or leather.record(other)
            used.append(record)
            drawn[name] = at_point(record, row)
    for name in FIXED:
        used.append(leather.record(name))
        drawn[name] = np.full(count, leather.value(name))
    return Draws(drawn, tuple(used))


def isotherm(drawn: Draws) -> Isotherm:
    """The isotherm of each sample."""
    return Isotherm(drawn["isotherm.monolayer"], drawn["isotherm.strength"], drawn["isotherm.multilayer"])


def diffusivity(at_20: Array, activation: Array, temperature: Celsius) -> Array:
    """Diffusivity at another temperature, mm2/s.

        D = D20 exp(-(E/R) (1/T - 1/293.15))

    0 to 60 degrees C. Source: textbook (Arrhenius). Tested: by hand.

    >>> one = np.array([1.0])
    >>> round(float(diffusivity(one, 30 * one, 30.0)[0]), 3)   # exp(30/0.0083145 x 1.1253e-4)
    1.501
    """
    kelvin = temperature + AT - 20.0
    return np.asarray(at_20 * np.exp(-activation / GAS * (1 / kelvin - 1 / AT)))


def dry_mass(density: Array, thickness: Mm | Array, kept: Array) -> Array:
    """Dry leather on area, g/m2, of leather that weighs `density`, kg/m3, with `kept` water in it as it lies.

        A = rho t / (1 + X)

    Source: derived. Tested: by hand.

    >>> float(dry_mass(np.array(900.0), 2.0, np.array(0.125)))   # 1800 / 1.125
    1600.0
    """
    return np.asarray(density * thickness / (1 + kept))


def film_law(drawn: Draws, room: Room) -> Tabled:
    """What leaves a face of each sample into the room, by the water at the face: at even steps of the humidity it is
    in balance with, and at that of the room, where nothing leaves."""
    transfer = mass_transfer(drawn["film.convection"], drawn["film.air_heat"][0], drawn["film.lewis"][0])
    film = Film(drawn["film.convection"][:, None], drawn["film.radiation"][:, None], transfer[:, None])
    curve = isotherm(drawn)
    each = Isotherm(
        *(np.asarray(part)[:, None] for part in (curve.monolayer, curve.strength, curve.multilayer))
    )
    activity = np.sort(np.append(np.linspace(0, 1, FLUX_PLACES - 1), room.humidity))[None, :]
    flux, _ = evaporation(activity, room.temperature, room.humidity, film)
    return Tabled(each.water(activity), np.maximum.accumulate(flux, axis=1))


def soak_minutes(thickness: Mm, diffusion: Array, share: Share) -> Array:
    """Minutes in the bath until that share of the water is in, both faces open.

        t = F(share) (t/2)^2 / D

    Cold to lukewarm water. Source: crank-1975. Tested: 2 mm about 10 min, common practice.

    >>> round(float(soak_minutes(2.0, np.array(1.2e-3), 0.9)), 1)   # 0.84809 x 1 / 0.0012 / 60
    11.8
    """
    return np.asarray(uptake_time(share) * (thickness / 2) ** 2 / diffusion / MINUTE)


def history(leather: Material, room: Room, work: Work, drawn: Draws, flap: Mm = 0.0) -> History:
    """The water of each sample in each place, from the bath to dry. flap: thickness of the collar's inner layer."""
    run = _Run(leather, room, drawn, flap)
    soaked = run.soak()
    ready = run.rest()
    lying = run.lie_open()
    pace = drawn["work.pace"]
    run.work("flat", work.flat * pace)
    run.open(wall=OUTER, collar=OUTER)
    glued = run.work("form", work.form * pace)
    run.open(wall=OUTER, collar=OUTER, flange=NONE)
    clamps = drawn["wet.clamps"] * HOUR if work.clamps is None else np.full(drawn.count, work.clamps)
    freed = run.go("clamps", clamps)
    run.open(wall=OUTER, collar=OUTER, flange=OUTER)
    run.done = run.work("again", work.again * pace)
    run.dry()
    return run.history(lying, soaked, ready, glued, freed)


class _Run:
    """All samples in the places told apart so far, one row each: places after one another, samples within.

    Written once. Until the clamps the flange is as the wall is: it is told apart only then.
    """

    def __init__(self, leather: Material, room: Room, drawn: Draws, flap: Mm) -> None:
        self.drawn, self.leather = drawn, leather
        curve = isotherm(drawn)
        self.saturation, self.equilibrium = curve.saturation, curve.water(room.humidity)
        self.film = film_law(drawn, room)
        at_20, activation = drawn["diffusion.drying"], drawn["diffusion.activation"]
        self.diffusion = diffusivity(at_20, activation, room.temperature)
        self.through = {WALL: leather.thickness, FLANGE: leather.thickness, COLLAR: leather.thickness + flap}
        self.places = (WALL, COLLAR) if flap else (WALL,)
        self.law = self.for_rows()
        self.clock = np.zeros(drawn.count)
        self.damped, self.first_damped = np.zeros(drawn.count), np.full(drawn.count, np.inf)
        self.done = self.clock
        self.log: list[tuple[Array, tuple[str, ...], Array, Array]] = []

    def rows(self, each: NDArray[Any]) -> NDArray[Any]:
        """One value a sample, in every place."""
        return np.tile(each, len(self.places))

    def for_rows(self) -> Tabled:
        """The law of the film of every row."""
        return Tabled(*(np.tile(table, (len(self.places), 1)) for table in (self.film.water, self.film.flux)))

    def note(self, mean: Array, heart: Array) -> None:
        """Write down where all stand."""
        self.log.append((self.clock, self.places, mean, heart))

    def soak(self) -> Array:
        """In the bath until the share of `ready.soaked` is in."""
        self.share = self.leather.value("ready.soaked")
        whole = soak_minutes(self.leather.thickness, self.drawn["diffusion.soak"], self.share)
        self.gain = np.maximum(self.drawn["water.uptake"] - self.equilibrium, 0.0)
        most = uptake_time(self.share)
        for part in np.linspace(0.0, 1.0, SOAK_POINTS) ** 2:
            self.clock = whole * part
            mean = self.rows(self.equilibrium + self.gain * float(uptake(most * part)))
            self.note(mean, mean)
        return whole

    def rest(self) -> Array:
        """In a closed bag until fibres have drunk and heart and faces are even, then in air if still too wet."""
        grid, leather = mesh(), self.leather
        profile = soaked_profile(grid.middles, uptake_time(self.share))
        profile *= self.share / float(profile @ grid.widths)
        water = self.equilibrium[:, None] + np.multiply.outer(self.gain, profile)
        through = np.repeat([self.through[place] for place in self.places], self.drawn.count)
        area = dry_mass(self.rows(self.drawn["density.leather"]), through, self.rows(self.equilibrium))
        rate = self.rows(self.diffusion) / through**2
        lot = sheets(grid, np.tile(water, (len(self.places), 1)), rate, area)
        uneven = np.ptp(water, axis=1) / (leather.value("ready.even") * lot.mean[: self.drawn.count])
        slowest = self.diffusion / leather.thickness**2 * grid.decays[2]
        level = np.log(np.maximum(uneven, 1.0)) / slowest / MINUTE
        rest = np.maximum(self.drawn["wet.rest"], level)
        self.clock = self.clock + rest
        self.lot = lot.rested(self.rows(rest) * MINUTE)
        self.put_in = self.start = self.lot.mean * area
        self.note(self.lot.mean, self.lot.heart)
        count = self.drawn.count
        too_wet = np.maximum(self.lot.mean[:count] - self.drawn["water.feels_wet"], 0.0)
        self.open(wall=BOTH, collar=BOTH)
        return self.go("airing", too_wet * area[:count] / (2 * self.film.flux[:, -1]) / MINUTE)

    def open(self, **faces: tuple[float, float]) -> None:
        """Which faces of each place are open from now on; a place not known yet is told apart from the wall."""
        wall = np.arange(self.drawn.count)
        for place in faces:
            if place == FLANGE and place not in self.places:
                all_rows = np.append(np.arange(len(self.lot.rate)), wall)
                self.lot, self.places = self.lot.chosen(all_rows), (*self.places, place)
                self.start, self.put_in = self.start[all_rows], self.put_in[all_rows]
                self.law = self.for_rows()
        sides = np.array([faces[place] for place in self.places])
        left, right = np.repeat(sides, self.drawn.count, axis=0).T
        self.lot = self.lot.opened(left, right)

    def go(self, phase: str, minutes: Array) -> Array:
        """So many minutes further, in the steps of the phase."""
        for _ in range(STEPS[phase] if minutes.any() else 0):
            self.forward(minutes / STEPS[phase])
        return self.clock

    def work(self, phase: str, minutes: Array) -> Array:
        """The same with hands on: what gets too dry to mould is damped again to the cased water."""
        for _ in range(STEPS[phase] if minutes.any() else 0):
            self.forward(minutes / STEPS[phase])
            self.damp()
        return self.clock

    def forward(self, minutes: Array) -> None:
        """One step."""
        self.lot = step(self.lot, self.rows(minutes) * MINUTE, self.law)
        self.clock = self.clock + minutes
        self.note(self.lot.mean, self.lot.heart)

    def damp(self) -> None:
        """Damp those that are too dry to mould."""
        dry = self.lot.mean[: self.drawn.count] < self.drawn["water.too_dry"]
        if not dry.any():
            return
        self.first_damped = np.where(dry, np.minimum(self.first_damped, self.clock), self.first_damped)
        self.damped = self.damped + dry
        before = self.lot.mean
        self.lot = self.lot.evened(self.rows(self.drawn["water.cased"]), self.rows(dry))
        self.put_in = self.put_in + (self.lot.mean - before) * self.lot.area
        self.note(self.lot.mean, self.lot.heart)

    def lie_open(self) -> tuple[Array, Array]:
        """The flat piece left lying on the bench from now on: minutes and mean water, (samples, times)."""
        count = self.drawn.count
        lot = self.lot.chosen(np.arange(count)).opened(np.ones(count), np.ones(count))
        minutes, means = [self.clock], [lot.mean]
        whole = self.long_enough(lot, faces=2.0)
        for part in _ladder(LYING):
            lot = step(lot, whole * part * MINUTE, self.film)
            minutes.append(minutes[-1] + whole * part)
            means.append(lot.mean)
        return np.array(minutes).T, np.array(means).T

    def dry(self) -> None:
        """Down to the room, in steps that grow with the time gone, as long as the slowest place needs."""
        slowest = max(self.places, key=lambda place: self.through[place])
        first = self.places.index(slowest) * self.drawn.count
        whole = self.long_enough(self.lot.chosen(np.arange(first, first + self.drawn.count)))
        for part in _ladder(LADDER):
            self.forward(whole * part)

    def long_enough(self, lot: Sheets, faces: float = 1.0) -> Array:
        """Minutes in which sheets get as dry as anybody asks: the wet time, and some of their own times."""
        wet = np.maximum(lot.mean - self.saturation, 0.0) * lot.area / self.film.flux[:, -1]
        given = self.film.through(self.equilibrium + NEARLY, np.zeros(len(lot.rate)))
        own = lot.area * NEARLY / given + 4 / np.pi**2 / lot.rate / faces
        return np.asarray((wet + LONG_ENOUGH * own) / faces / MINUTE)

    def history(
        self, lying: tuple[Array, Array], soaked: Array, ready: Array, glued: Array, freed: Array
    ) -> History:
        """What was written down, by place; a place not told apart yet was as the wall."""
        count = self.drawn.count
        minutes = np.array([clock for clock, *_ in self.log]).T

        def of(place: str, column: int) -> Array:
            each = []
            for entry in self.log:
                places, values = entry[1], entry[column]
                first = count * places.index(place if place in places else WALL)
                each.append(values[first : first + count])
            return np.array(each).T

        off = self.put_in - self.lot.given_off - self.lot.mean * self.lot.area
        return History(
            minutes=minutes,
            mean={place: of(place, 2) for place in self.places},
            heart={place: of(place, 3) for place in self.places},
            lying_minutes=lying[0],
            lying=lying[1],
            soaked=soaked,
            ready=ready,
            glued=glued,
            freed=freed,
            done=self.done,
            damped=self.damped,
            first_damped=self.first_damped,
            saturation=self.saturation,
            equilibrium=self.equilibrium,
            imbalance=float(np.max(np.abs(off) / self.start)),
        )


def _ladder(steps: int) -> Array:
    """Steps that grow from the first to GROWTH times it, adding up to 1."""
    return np.diff(np.expm1(np.linspace(0.0, np.log(GROWTH), steps + 1)) / (GROWTH - 1))
