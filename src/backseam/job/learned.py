"""From a leather card to what is believed of its hide, and from new readings to the next card. Pure.

    card + tests or job -> card with them in -> all evidence -> learn -> card with new values, findings

Everything is learnt anew from the whole history each time; nothing that was read is ever dropped.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot, log
from typing import Any, TypeVar

from backseam.fit.contact import seam_give
from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding, ordered
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import Value, default
from backseam.ground.units import Mm
from backseam.job.account import finished_pieces
from backseam.job.document import Job
from backseam.job.doubts import unknown_keys
from backseam.job.inputs import inputs
from backseam.job.leather_card import LeatherCard, SheathPart, known_part, own_values, with_card
from backseam.job.leather_tests import LISTS, READ, AllTests, DryingPart, LeatherTests, OneTest, RingPart
from backseam.job.recipe import Worked, work
from backseam.job.text import job_of, plain_of, raw_job
from backseam.job.upgrade import upgraded
from backseam.leather.evidence import Evidence, Finished, Seen, learning
from backseam.leather.learning import Learnt, learn
from backseam.leather.material import material
from backseam.leather.records import TAIL_POINT, Hide
from backseam.leather.rod import Bent, RodTest, seen_rods
from backseam.leather.scrap import Scrap, seen_scraps
from backseam.leather.shrink import Dried, Squares, seen_dried, seen_squares
from backseam.leather.strap import Strap, seen_straps
from backseam.leather.strip import Load, Strip, seen_strips
from backseam.leather.tilt import Tilt, seen_tilts
from backseam.leather.trial import Ring, finished_ring
from backseam.leather.wet import Room
from backseam.making.clock import clock
from backseam.making.weighing import Weighing

KEPT = ("id", "title", "date", "form", "leather", "construction", "made")  # of a job, on the card
WEIGHED = ("WET-011", "WET-012", "WET-013", "WET-014")

Test = TypeVar("Test", bound=OneTest)


@dataclass(frozen=True)
class Renewed:
    """A card with its values learnt anew, and how that went."""

    card: LeatherCard
    learnt: Learnt
    findings: tuple[Finding, ...]


def renewed(card: LeatherCard, progress: Progress = SILENT) -> Renewed:
    """The card with its values learnt anew from all that stands on it.

    Raises InputRefused for a test that is none, Stopped.
    """
    base = base_of(card)
    evidence, finished, found = gathered(card, base, progress)
    learnt = learn(base, evidence, finished)
    values = [known_part(value, learnt.tests[name]) for name, value in learnt.values.items()]
    made = card.model_copy(update={"values": values, "calibrated": learnt.calibrated})
    return Renewed(made, learnt, ordered((*found, *learnt.findings)))


def base_of(card: LeatherCard) -> Mapping[str, Value]:
    """Records in force before anything was learnt: the tables, the part of the hide, the maker's own values."""
    own = Hide("", {value.name: value for value in own_values(card)})
    return material(card.part, _thickness(card), own).values


def _thickness(card: LeatherCard) -> Mm:
    return (
        sum(card.thickness_mm) / len(card.thickness_mm) if card.thickness_mm else default("leather.thickness")
    )


# --- what is new ------------------------------------------------------------------------------------------------


def with_tests(card: LeatherCard, sheet: LeatherTests) -> tuple[LeatherCard, tuple[Finding, ...]]:
    """The card with the tests of a sheet in it; one that is there already, to the digit, is not taken twice."""
    made = card.model_copy(deep=True)
    found: list[Finding] = [*unknown_keys(sheet)]
    for name, many in LISTS.items():
        there: list[Any] = getattr(made.tests, many)
        for one in getattr(sheet.tests, many):
            if not any(getattr(one, key) for key in READ[many]):
                found.append(finding("LEARN-024", ("tests", many), test=f"{name} {len(there) + 1}"))
            same = [i for i, old in enumerate(there) if _bare(old) == _bare(one)]
            if same:
                found.append(finding("LEARN-015", ("tests",), test=f"{name} {same[0] + 1}"))
            else:
                there.append(one)
    if not sheet.tests.count():
        found.append(finding("LEARN-016", ("tests",)))
    return made, tuple(found)


def _bare(one: OneTest) -> Any:
    raw = plain_of(one)
    return {name: value for name, value in raw.items() if name not in ("left_out", "typed")}


def with_sheath(card: LeatherCard, job: Job) -> tuple[LeatherCard, tuple[Finding, ...]]:
    """The card with a finished sheath in it. The same job read again stands in the place of the older reading, which
    is kept but left out."""
    raw = snapshot(job)
    found: list[Finding] = []
    if not _says(job):
        return card, (finding("LEARN-017", ("made",)),)
    made = card.model_copy(deep=True)
    for i, old in enumerate(made.sheaths):
        if old.job == raw and not old.left_out:
            return card, (finding("LEARN-015", ("made",), test=f"sheath {i + 1}"),)
        if _same_job(old.job, raw) and not old.left_out:
            old.left_out = True
            found.append(finding("LEARN-018", ("made",), test=f"sheath {i + 1}"))
    if job.leather.part and job.leather.part != card.part:
        found.append(finding("LEARN-019", ("leather", "part"), job=job.leather.part, card=card.part))
    made.sheaths.append(SheathPart(title=job.title or job.id, date=job.made.date or job.date, job=raw))
    return made, tuple(found)


def cut_from(card: LeatherCard, job: Job, *names: str) -> tuple[Job, tuple[Finding, ...]]:
    """The job with what this card knew when it was cut, if it names this card and does not say itself what was known.

    names: what this card goes by beside its own name and title, its file or its number; the first is how it is told.
    A job that names another hide stays as it is, and a note says so.
    """
    named = job.leather.card
    if not named:
        return job, ()
    if named.replace("\\", "/").rpartition("/")[2] not in (*names, card.id, card.title):
        return job, (finding("LEARN-021", ("leather", "card"), named=named, card=names[0]),)
    return (with_card(job, card) if job.leather.known is None else job), ()


def snapshot(job: Job) -> dict[str, Any]:
    """What a card keeps of a job: form, leather, construction and how it came out; not whose it is.

    What was known of the hide when it was cut is kept as far as it was cut by, as the job's own values.
    """
    raw = raw_job(job)
    kept = {name: raw[name] for name in ("kind", "version", *KEPT) if name in raw}
    leather = {
        name: value for name, value in kept.get("leather", {}).items() if name not in ("card", "known")
    }
    if job.leather.known is not None:
        cut = inputs(job).leather
        leather |= {
            "neutral_layer": cut.neutral_layer,
            "allowance_along_percent": 100 * cut.allowance_along,
        }
    return {**kept, "leather": leather} if leather else kept


def _says(job: Job) -> bool:
    made = job.made
    return bool(
        made.finished_girth_mm is not None
        or made.girths
        or made.pull_n
        or made.faults
        or made.ring.inside_mm is not None
        or made.ring.pull_n
    )


def _same_job(old: Mapping[str, Any], new: Mapping[str, Any]) -> bool:
    names = [name for name in ("id", "title") if old.get(name) or new.get(name)]
    return bool(names) and all(old.get(name) == new.get(name) for name in names)


# --- all evidence on a card -------------------------------------------------------------------------------------


def gathered(
    card: LeatherCard, base: Mapping[str, Value], progress: Progress = SILENT
) -> tuple[tuple[Evidence, ...], tuple[Finished, ...], tuple[Finding, ...]]:
    """Every test and sheath of a card that is not left out, as evidence."""
    evidence, found = _of_tests(card.tests, base, _thickness(card))
    finished: list[Finished] = []
    for test, ring in _used(card.tests.rings, "ring"):
        one, told = finished_ring(_ring(ring, card, test), base)
        finished.append(one)
        found += told
    total = len(card.sheaths)
    for i, sheath in enumerate(card.sheaths):
        step(progress, i, total, "reading the sheaths of this hide")
        if sheath.left_out:
            continue
        try:
            worked = worked_of(sheath)
        except InputRefused:
            found.append(finding("LEARN-020", ("sheaths", i), test=f"sheath {i + 1}"))
            continue
        pieces, told = finished_pieces(worked, f"sheath {i + 1}")
        finished += pieces
        found += told
    return tuple(evidence), tuple(finished), tuple(found)


def worked_of(sheath: SheathPart) -> Worked:
    """The sheath's job, worked again. Raises InputRefused."""
    return work(job_of(upgraded(sheath.job)))


def _used(tests: Sequence[Test], name: str) -> list[tuple[str, Test]]:
    return [(f"{name} {i + 1}", one) for i, one in enumerate(tests) if not one.left_out]


def _of_tests(
    tests: AllTests, base: Mapping[str, Value], thickness: Mm
) -> tuple[list[Evidence], list[Finding]]:
    """Leather tests that speak of one record each."""
    strips = [
        Strip(
            one.direction,
            one.width_mm,
            one.thickness_mm,
            one.marks_mm,
            tuple(Load(row.mass_g, row.length_mm) for row in one.loads),
            test,
        )
        for test, one in _used(tests.strips, "strip")
    ]
    rods = [
        RodTest(one.state, one.thickness_mm, tuple(Bent(row.rod_mm, row.cracked) for row in one.rods), test)
        for test, one in _used(tests.rods, "rod")
    ]
    dried = [
        Dried(one.direction, one.wet_mm, one.dry_mm, one.pinned, one.thick_wet_mm, one.thick_dry_mm, test)
        for test, one in _used(tests.dried, "dried")
    ]
    squares = [
        Squares(one.drawn_mm, one.across_mm, one.along_mm, one.place, test)
        for test, one in _used(tests.squares, "squares")
    ]
    tilts = [
        Tilt(one.side, tuple(one.angles_deg), one.waxed, test) for test, one in _used(tests.tilts, "tilt")
    ]
    straps = [
        Strap(one.rod_mm, one.thickness_mm, tuple(one.readings_mm), test)
        for test, one in _used(tests.straps, "strap")
    ]
    scraps = [
        Scrap(one.room_g, one.soaked_g, one.cased_g, one.humidity_percent / 100, test)
        for test, one in _used(tests.scraps, "scrap")
    ]
    evidence: list[Evidence] = []
    found: list[Finding] = []
    told: list[tuple[tuple[Evidence, ...], tuple[Finding, ...]]] = [
        seen_strips(strips, base),
        seen_rods(rods),
        seen_dried(dried),
        seen_squares(squares),
        seen_tilts(tilts),
        seen_straps(straps),
        seen_scraps(scraps, base),
        *(
            _drying(one, base, test, one.thickness_mm or thickness)
            for test, one in _used(tests.dryings, "drying")
        ),
    ]
    for seen, doubts in told:
        evidence += seen
        found += doubts
    return evidence, found


def _drying(
    one: DryingPart, base: Mapping[str, Value], test: str, thickness: Mm
) -> tuple[tuple[Seen, ...], tuple[Finding, ...]]:
    """A weigh-in: how fast this hide dries against the account of drying, and its last first-order constant."""
    try:
        told = clock(
            replace(material("shoulder", thickness), values=base),
            Room(one.temperature_c, one.humidity_percent / 100),
            flap=one.flap_mm,
            weighings=tuple(Weighing(row.minutes, row.mass_g) for row in one.weights),
            piece=one.piece_g,
            form=one.form_g,
        )
    except InputRefused as refused:
        raise InputRefused(f"{test}: {refused}") from None
    found = tuple(item for item in told.findings if item.code in WEIGHED)
    if told.drying is None:
        return (), found
    seen = []
    for name, (low, likely, high) in (
        ("scale.pace", told.drying.pace),
        ("diffusion.per_hour", told.drying.per_hour),
    ):
        sd = max(log(high / low) / (2 * TAIL_POINT), 0.02)
        seen.append(Seen(name, likely, sd, log=True, test=test, count=len(one.weights)))
    pace = seen[0]
    diffusion = base["diffusion.drying"].value * pace.value
    sd = hypot(pace.sd, learning("learn.pace_to_diffusion"))
    seen.append(Seen("diffusion.drying", diffusion, sd, log=True, test=test, count=len(one.weights)))
    return tuple(seen), found


def _ring(one: RingPart, card: LeatherCard, test: str) -> Ring:
    """A ring by itself: what was not typed is as the house has it."""
    thickness = one.thickness_mm or _thickness(card)
    radius = default("seam.inside_radius_share") * thickness if one.radius_mm is None else one.radius_mm
    return Ring(
        handle=one.handle_mm,
        inside=one.inside_mm,
        pulls=tuple(one.pull_n or ()),
        cut=one.cut_percent / 100,
        height=one.height_mm or default("ring.height"),
        thickness=thickness,
        film=default("reading.film") if one.film_mm is None else one.film_mm,
        spread=default("reading.spread_strap_butted") if one.spread_mm is None else max(one.spread_mm, 0.1),
        give=float(seam_give(thickness, radius, one.handle_mm)),
        waxed=one.waxed,
        test=test,
    )
