"""The order of work: steps as data, with this job's numbers, gates and cautions.

Some edges cannot be reached later and some moments pass, so the order is part of the answer. `PRECEDENCE`
holds it as pairs (before, after); `work_order` lists the steps of one job and leaves out what does not
apply; `out_of_order` says which pairs a list breaks. Words stand in the book `card`:
`card.step.<title>.title`, `card.detail.<key>`, `card.caution.<key>`, `card.gate.<id>.out`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import combinations
from typing import Any, Protocol

from backseam.ground.sources import default, values
from backseam.ground.units import METRE
from backseam.leather.leather import Leather, State, Tight
from backseam.leather.records import Hide
from backseam.making import gates
from backseam.making.gates import Gate
from backseam.pattern.blank import Blank
from backseam.pattern.construction import Construction, HangerKind, Tool
from backseam.pattern.hanger import HangerPlan
from backseam.pattern.ring import TrialRing
from backseam.pattern.seam import Seam
from backseam.pattern.strips import CheckStrip
from backseam.pattern.thread import Thread
from backseam.pattern.upper import Upper


class Phase(StrEnum):
    """State of the work, not of the leather alone."""

    BEFORE_CUTTING = "before_cutting"
    DRY = "dry"
    DAMP = "damp"
    DRY_AGAIN = "dry_again"


class Room(StrEnum):
    """Room to write, where there is no limit to hold."""

    TIMES = "times"  # from and till
    PULLS = "pulls"  # three pulls of a luggage scale


@dataclass(frozen=True)
class Step:
    """One act. id: its name in PRECEDENCE; title: key of its words if they are not those of the id.

    numbers: what the words need (lengths mm). gate: the number to hold after it. caution: where it can hurt
    someone. once: True where there is no later chance. room: what else is written down.
    """

    id: str
    phase: Phase
    title: str = ""
    numbers: Mapping[str, Any] = field(default_factory=dict)
    details: tuple[str, ...] = ()
    gate: Gate | None = None
    caution: str | None = None
    room: Room | None = None
    once: bool = False

    @property
    def words(self) -> str:
        """Key of the title in the book `card`."""
        return f"card.step.{self.title or self.id}"


class Inputs(Protocol):
    """What the maker gave."""

    @property
    def leather(self) -> Leather: ...
    @property
    def construction(self) -> Construction: ...
    @property
    def hide(self) -> Hide: ...


class Sheath(Protocol):
    """What the order of work needs to know of a worked job."""

    @property
    def inputs(self) -> Inputs: ...
    @property
    def upper(self) -> Upper: ...
    @property
    def seam(self) -> Seam: ...
    @property
    def thread(self) -> Thread: ...
    @property
    def hanger(self) -> HangerPlan: ...
    @property
    def strips(self) -> tuple[CheckStrip, ...]: ...
    @property
    def ring(self) -> TrialRing: ...
    @property
    def blank(self) -> Blank: ...


# The order of work, and what it rests on: each group comes after all groups before it.
_CHAIN: tuple[tuple[str, ...], ...] = (
    ("fold",),
    ("mouth",),
    ("pierce",),
    ("decorate", "hanger_holes"),
    ("edge_first",),
    ("try_on",),
    ("tack",),
    ("press",),
    ("sew",),
    ("mould",),
    ("mark",),
    ("glue",),
    ("clamp",),
    ("mould_again",),
    ("first_draw",),
    ("hanger",),
    ("knife_back",),
    ("dry",),
    ("tails",),
    ("melt",),
    ("trim",),
    ("edges",),
    ("dye",),
    ("wax",),
    ("film_out",),
)
_BESIDE: tuple[tuple[str, ...], ...] = (
    ("strips", "bars", "wrap", "ring", "cut", "skive", "soak", "lay_damp", "fold"),
    ("strips", "lay_dry", "cut"),
    ("blank", "ring"),
    ("soak", "pierce"),
    ("wrap", "try_on"),
    ("pierce", "rows_count", "rows_length", "try_on"),
    ("rows_length", "hanger_holes"),
    ("pierce", "snip", "sew"),
    ("dry", "finished", "tails"),
    ("film_out", "pull"),
)

PRECEDENCE: tuple[tuple[str, str], ...] = tuple(
    dict.fromkeys(
        [(a, b) for first, later in combinations(_CHAIN, 2) for a in first for b in later]
        + [pair for chain in _BESIDE for pair in combinations(chain, 2)]
    )
)


def out_of_order(steps: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The pairs of PRECEDENCE that a list of step ids breaks; steps that are not in the list do not count.

    >>> out_of_order(["pierce", "sew", "try_on"])
    (('try_on', 'sew'),)
    """
    place = {name: i for i, name in enumerate(steps)}
    return tuple((a, b) for a, b in PRECEDENCE if a in place and b in place and place[a] >= place[b])


def work_order(sheath: Sheath, *, decorated: bool = False) -> tuple[Step, ...]:
    """All steps of this job in working order; what does not apply is left out."""
    return (
        *_before_cutting(sheath),
        *_dry(sheath),
        *_damp_flat(sheath, decorated),
        *_damp_on_the_form(sheath),
        *_dry_again(sheath),
    )


def _before_cutting(sheath: Sheath) -> Iterator[Step]:
    phase = Phase.BEFORE_CUTTING
    if sheath.strips:
        over_film = {strip.over_film for strip in sheath.strips}
        where = (
            ("strips_film" if over_film.pop() else "strips_bare") if len(over_film) == 1 else "strips_mixed"
        )
        yield Step(
            "strips",
            phase,
            numbers={"count": len(sheath.strips)},
            details=(where,),
            gate=gates.strips_gate(sheath.strips),
            caution="blade",
        )
    yield Step("bars", phase, gate=gates.bars_gate())
    film = sheath.inputs.construction.film
    yield Step("wrap", phase, "wrap" if film else "wrap_bare", {"film": film}, ("wrap",) if film else ())
    yield _blank(sheath)
    ring = sheath.ring
    yield Step(
        "ring",
        phase,
        numbers={
            "name": ring.name,
            "station": ring.station,
            "length": ring.length,
            "holes": len(ring.left),
        },
        details=("ring",),
        gate=gates.ring_gate(ring),
    )


def _blank(sheath: Sheath) -> Step:
    tight = sheath.inputs.leather.tight
    way = {Tight.ALONG: "blank_along", Tight.ACROSS: "blank_across", Tight.UNKNOWN: "blank_unknown"}[tight]
    blank = sheath.blank
    return Step(
        "blank", Phase.BEFORE_CUTTING, numbers={"width": blank.width, "height": blank.height}, details=(way,)
    )


def _dry(sheath: Sheath) -> Iterator[Step]:
    leather, collar = sheath.inputs.leather, sheath.inputs.construction.collar
    phase = Phase.DRY
    if leather.state is not State.DAMP:
        yield Step("lay_dry", phase, _lay(collar.folded), {"state": leather.state.value})
    later = ("cut_damp",) if leather.state is State.DAMP else ()
    yield Step("cut", phase, details=later, caution=None if collar.folded else "cut")
    if collar.folded:
        yield Step(
            "skive",
            phase,
            numbers={
                "width": collar.skive,
                "flap": collar.flap,
                "depth": collar.depth,
                "beyond": collar.skive - collar.depth,
            },
            details=("skive",),
            gate=gates.skive_gate(sheath.inputs.construction),
            caution="knife",
        )


def _lay(folded: bool) -> str:
    return "lay" if folded else "lay_plain"


def _damp_flat(sheath: Sheath, decorated: bool) -> Iterator[Step]:
    """Damp, on the bench: from the soak to the last chance to reach the edges."""
    leather, construction = sheath.inputs.leather, sheath.inputs.construction
    phase = Phase.DAMP
    yield Step("soak", phase, numbers=_soak(), details=("soak",), caution="heat", room=Room.TIMES)
    if leather.state is State.DAMP:
        yield Step("lay_damp", phase, _lay(construction.collar.folded), {"state": leather.state.value})
    if construction.collar.folded:
        yield Step("fold", phase, gate=gates.fold_gate(sheath.upper), once=True)
        runout = construction.collar.runout
        yield Step("mouth", phase, numbers={"runout": runout}, gate=gates.mouth_gate(sheath.upper))
    yield _pierce(sheath)
    yield Step("rows_count", phase, gate=gates.count_gate(sheath.seam))
    length = {"length": sheath.seam.sewn_length, "gaps": 10 * sheath.seam.pitch, "ease": default("gate.ease")}
    yield Step(
        "rows_length", phase, numbers=length, details=("rows_length",), gate=gates.length_gate(sheath.seam)
    )
    yield from _hanger_holes(sheath)
    if decorated:
        yield Step("decorate", phase)
    edge = "edge_first" if construction.collar.folded else "edge_first_plain"
    yield Step("edge_first", phase, edge, details=(edge,), once=True)


def _soak() -> dict[str, float]:
    water = values()["wet.water"]
    return {
        "minutes": default("wet.soak"),
        "low": default("wet.rest_low"),
        "high": default("wet.rest_high"),
        "cold": water.low,
        "warm": water.high,
        "limit": default("wet.heat_limit"),
    }


def _pierce(sheath: Sheath) -> Step:
    seam, stitching = sheath.seam, sheath.inputs.construction.stitching
    details = ["pattern_again"] if sheath.inputs.construction.collar.folded else []
    details.append(f"tool_{stitching.tool.value}")
    if stitching.tool is not Tool.FREE and seam.eased and abs(seam.eased_by) > default("holes.felt"):
        which = "closer" if seam.eased_by > 0 else "wider"
        details.append(f"eased_one_{which}" if seam.eased == 1 else f"eased_{which}")
    details.append("slant")
    if seam.four_layers:
        details.append("four_layers")
    return Step(
        "pierce",
        Phase.DAMP,
        numbers={
            "count": seam.count,
            "pitch": seam.pitch,
            "tool_pitch": seam.tool_pitch,
            "teeth": stitching.teeth,
            "eased": seam.eased,
            "eased_by": abs(seam.eased_by),
            "slant": seam.slant,
            "four": seam.four_layers,
            "sewn": seam.left[0].sewn,
            "first": seam.first,
            "last": seam.last,
        },
        details=tuple(details),
        caution="awl",
        once=True,
    )


def _hanger_holes(sheath: Sheath) -> Iterator[Step]:
    plan = sheath.hanger
    if plan.kind is HangerKind.THONG and plan.holes:
        holes = {"count": len(plan.holes), "diameter": plan.holes[0].diameter}
        yield Step("hanger_holes", Phase.DAMP, "hanger_holes_thong", holes)
    elif plan.kind is HangerKind.STRAP and plan.slits:
        slit = plan.slits[0]
        length = ((slit.x2 - slit.x1) ** 2 + (slit.y2 - slit.y1) ** 2) ** 0.5
        slits = {"count": len(plan.slits), "length": length, "diameter": slit.end_diameter}
        yield Step("hanger_holes", Phase.DAMP, "hanger_holes_strap", slits)


def _damp_on_the_form(sheath: Sheath) -> Iterator[Step]:
    """Damp, on the form: from the try-on to the knife going back in."""
    phase, upper, construction = Phase.DAMP, sheath.upper, sheath.inputs.construction
    yield Step("try_on", phase, gate=gates.try_on_gate())
    if len(upper.snips):
        yield Step("snip", phase, numbers={"count": len(upper.snips), "glue": construction.flange.glue})
    yield Step("tack", phase)
    if upper.press:
        yield Step("press", phase, numbers={"stations": tuple(groove.station for groove in upper.press)})
    yield _sew(sheath)
    yield Step("mould", phase, details=("mould",))
    yield Step("mark", phase)
    flange = construction.flange
    yield Step("glue", phase, numbers={"glue": flange.glue}, details=("glue",), caution="cement")
    clamps = {"clamp": flange.clamp, "hours": default("wet.clamps")}
    yield Step("clamp", phase, numbers=clamps, details=("clamp",), gate=gates.glue_gate(), room=Room.TIMES)
    yield Step("mould_again", phase)
    yield Step("first_draw", phase, details=("first_draw",), caution="draw")
    plan = sheath.hanger
    if plan.kind is not HangerKind.NONE:
        hanger = {"width": plan.width, "thickness": plan.thickness, "cut": plan.cut, "loop": plan.loop}
        yield Step("hanger", phase, f"hanger_{plan.kind.value}", hanger)
    yield Step("knife_back", phase, "" if construction.film else "knife_back_bare")


def _sew(sheath: Sheath) -> Step:
    stitching, thread = sheath.inputs.construction.stitching, sheath.thread
    numbers = {
        "length": thread.length,
        "metres": thread.length / METRE,
        "locking": stitching.locking,
        "joins": thread.joins,
    }
    details = ("sew_start", "sew_join") if thread.joins else ("sew_start",)
    return Step("sew", Phase.DAMP, numbers=numbers, details=details)


def _dry_again(sheath: Sheath) -> Iterator[Step]:
    phase, room = Phase.DRY_AGAIN, values()["wet.room"]
    drying = {
        "hours": default("wet.drying"),
        "cold": room.low,
        "warm": room.high,
        "limit": default("wet.heat_limit"),
    }
    yield Step("dry", phase, numbers=drying, caution="drying", room=Room.TIMES)
    yield Step(
        "finished", phase, details=("finished",), gate=gates.finished_gate(sheath.upper, sheath.inputs.hide)
    )
    yield Step("tails", phase)
    yield Step("melt", phase, numbers={"stub": default("thread.stub")}, details=("melt",), caution="flame")
    yield Step("trim", phase, numbers={"trimmed": sheath.inputs.construction.flange.trimmed}, once=True)
    yield Step("edges", phase, caution="dust")
    yield Step("dye", phase)
    yield Step("wax", phase, caution="wax")
    yield Step("film_out", phase, "" if sheath.inputs.construction.film else "film_out_bare")
    yield Step("pull", phase, caution="pull", room=Room.PULLS)
