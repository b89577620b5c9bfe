"""Virtual moulding over the sample jobs and 200 generated forms (`benchmarks.forms` states their ranges).

Asked: girth strain within 1.5 % for 95 % of the rows of straight forms that are not necked, within 2.5 % of the
others; and how often the computed piece beats the hand line: lower peak stretch, and no row slacker than 0.5 mm.
Both pieces are moulded in the leather's own law, not in the one the pattern was drawn with; a last table says what
that law does. `python -m benchmarks.moulding 40` takes the first forty.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from backseam import loads, work
from backseam.fit.moulding import Compared, Moulding, compare, hand_of, leather_law, mould
from backseam.fit.moulding_skin import skin
from backseam.ground.sources import default
from backseam.leather.material import material
from backseam.pattern.draft import lay_out
from backseam.pattern.flatten import Law
from backseam.pattern.stations import hand_line
from benchmarks.forms import COUNT, SEED, Made, forms
from benchmarks.timing import SAMPLES, sample

NARROW, WIDE = 0.015, 0.025
HOOP = 10.0  # damp, MPa: tensions are not judged here


@dataclass(frozen=True)
class Tried:
    """One form with both pieces moulded, the computed one also in the pattern's own law; seconds of one moulding."""

    made: Made
    computed: Moulding
    hand: Moulding
    kept: Moulding
    flat_energy: float
    flat_most: float
    seconds: float

    @property
    def limit(self) -> float:
        """Of girth strain."""
        return NARROW if self.made.plain_straight else WIDE


def tried(made: Made) -> Tried:
    """Flatten, draw the hand line, mould both."""
    form = made.form
    layout = lay_out(form, made.leather)
    stitch = layout.place(np.linspace(form.marks.mouth, 0.0, 400), 1.0)
    surface, law = skin(form), leather_law(made.leather)
    began = time.perf_counter()
    computed = mould(form, layout, law, hoop=HOOP)
    seconds = time.perf_counter() - began
    hand = mould(form, hand_of(form, hand_line(form, stitch)), law, hoop=HOOP, on=surface)
    kept = mould(form, layout, Law.girth_kept(), hoop=HOOP, on=surface)
    flat = layout.flat
    return Tried(made, computed, hand, kept, flat.energy, flat.strains()[0], seconds)


def girths(done: Iterable[Tried], of: Callable[[Tried], Moulding]) -> np.ndarray:
    """Girth strain of every row as a share of its limit, the step at the flap's end left out."""
    parts = [of(t).rows.girth[~of(t).rows.step] / t.limit for t in done]
    return np.concatenate(parts)


def judged(name: str, group: list[Tried]) -> str:
    """One line of the main table."""
    limit = group[0].limit
    rows, hand_rows = girths(group, lambda t: t.computed), girths(group, lambda t: t.hand)
    low, high = 100 * limit * np.quantile(rows, [0.025, 0.975])
    slack_limit = default("moulding.slack")

    def share(test: Callable[[Tried], bool]) -> float:
        return 100 * float(np.mean([test(t) for t in group]))

    def middle(value: Callable[[Tried], float]) -> float:
        return float(np.median([value(t) for t in group]))

    lower = share(lambda t: t.computed.sums.most < t.hand.sums.most)
    tight = share(lambda t: t.computed.sums.slackest <= slack_limit)
    hand_tight = share(lambda t: t.hand.sums.slackest <= slack_limit)
    both = share(
        lambda t: t.computed.sums.most < t.hand.sums.most and t.computed.sums.slackest <= slack_limit
    )
    return (
        f"{name:24}{len(group):4}  ±{100 * limit:.1f} {100 * np.mean(np.abs(rows) <= 1):6.1f}"
        f" {100 * np.mean(np.abs(hand_rows) <= 1):6.1f} {low:6.2f}..{high:5.2f}"
        f" {100 * middle(lambda t: t.computed.sums.most):6.1f} {100 * middle(lambda t: t.hand.sums.most):6.1f}"
        f" {100 * middle(lambda t: t.computed.sums.p99):6.1f} {100 * middle(lambda t: t.hand.sums.p99):6.1f}"
        f" {middle(lambda t: t.computed.sums.slackest):6.2f} {middle(lambda t: t.hand.sums.slackest):6.2f}"
        f" {middle(lambda t: abs(t.computed.sums.apart)):5.1f} {middle(lambda t: abs(t.hand.sums.apart)):5.1f}"
        f" {lower:6.0f} {tight:6.0f} {hand_tight:6.0f} {both:6.0f}"
    )


HEAD = (
    f"{'':24}{'n':>4}  {'girth':>5}{'rows in, %':>13}{'95 % of rows, %':>15}{'peak, %':>12}{'99 %':>13}"
    f"{'slackest, mm':>15}{'marks, mm':>12}{'lower':>8}{'slack <= 0.5, %':>14}{'both':>6}\n"
    f"{'':24}{'':4}  {'limit':>5}{'comp.':>7}{'hand':>7}{'computed':>14}{'comp.':>7}{'hand':>7}{'comp.':>7}{'hand':>7}"
    f"{'comp.':>7}{'hand':>7}{'comp.':>6}{'hand':>6}{'peak %':>7}{'comp.':>7}{'hand':>7}{'%':>7}"
)


def main() -> None:
    """Print the tables."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 and sys.argv[1].isdigit() else COUNT
    print("## Virtual moulding: sample jobs\n")
    for name in SAMPLES:
        print(_sample(name))
    print(f"\n## Virtual moulding: {count} generated forms, seed {SEED}, medians unless said\n")
    done = [tried(made) for made in forms(count)]
    print(HEAD)
    for name, test in GROUPS:
        for edge in ("plain", "folded"):
            group = [t for t in done if test(t.made) and t.made.folded == (edge == "folded")]
            if group:
                print(judged(f"{name}, {edge}", group))
    print()
    for name, limit in (("straight, not necked", NARROW), ("all others", WIDE)):
        group = [t for t in done if t.limit == limit]
        rows = girths(group, lambda t: t.computed)
        held = 100 * float(np.mean(np.abs(rows) <= 1))
        says = "holds" if held >= 95 else "does not hold"
        print(f"{name}: {held:.1f} % of {len(rows)} rows within ±{100 * limit:.1f} %: {says}")
    _where(done)
    _law(done)


GROUPS: tuple[tuple[str, Callable[[Made], bool]], ...] = (
    ("straight", lambda m: m.kind == "straight"),
    ("necked", lambda m: m.kind == "necked"),
    ("bent, seam inside", lambda m: m.kind == "bent" and m.bend == "inside"),
    ("bent, seam outside", lambda m: m.kind == "bent" and m.bend == "outside"),
    ("bent sideways", lambda m: m.kind == "bent" and m.bend == "sideways"),
    ("bent and necked", lambda m: m.kind == "bent necked"),
)


def _sample(name: str) -> str:
    job = loads(sample(name))
    worked = work(job)
    leather = worked.inputs.leather
    began = time.perf_counter()
    both: Compared = compare(
        worked.form, worked.layout, worked.upper, leather, material("shoulder", leather.thickness)
    )
    seconds = time.perf_counter() - began
    a, b = both.computed.sums, both.hand.sums
    girth, hand_girth = (f"{100 * s.girth_least:5.2f}..{100 * s.girth_most:4.2f}" for s in (a, b))
    return (
        f"{name:12} peak {100 * a.most:5.1f} % (hand {100 * b.most:5.1f})  99 % {100 * a.p99:4.1f} ({100 * b.p99:4.1f})"
        f"  girth {girth} % ({hand_girth})  slackest {a.slackest:5.2f} mm ({b.slackest:5.2f})"
        f"  marks {abs(a.apart):3.1f} ({abs(b.apart):3.1f})"
        f"  better {'yes' if both.better else 'no'}  both in {seconds:.2f} s"
    )


def _where(done: list[Tried]) -> None:
    """By how much the computed piece beats the hand line, where it does not, and the worst rows."""
    gain = np.array([t.hand.sums.most - t.computed.sums.most for t in done])
    ratio = np.array([t.computed.sums.most / t.hand.sums.most for t in done])
    print(
        f"\npeak stretch lower on {100 * np.mean(gain > 0):.0f} % of forms; computed / hand: "
        f"{' / '.join(f'{q:.2f}' for q in np.quantile(ratio, [0.05, 0.5, 0.95]))} at 5 / 50 / 95 %"
    )
    slack = np.array([(t.computed.sums.slackest, t.hand.sums.slackest) for t in done])
    print(f"slackest row less slack than the hand line's on {100 * np.mean(slack[:, 0] < slack[:, 1]):.0f} %")
    both = np.mean((gain > 0) & (slack[:, 0] <= default("moulding.slack")))
    print(f"lower peak and no row slacker than 0.5 mm: on {100 * both:.1f} %")
    mouth = np.array([t.computed.sums.slackest_at / t.made.form.marks.mouth for t in done])
    print(f"slackest row within 10 % of the height from the mouth on {100 * np.mean(mouth > 0.9):.0f} %")
    for t in sorted(done, key=lambda t: t.computed.sums.most - t.hand.sums.most, reverse=True)[:5]:
        print(
            f"  no. {t.made.number:3} {t.made.kind} {t.made.bend}{' folded' if t.made.folded else ''}: "
            f"peak {100 * t.computed.sums.most:.1f} against {100 * t.hand.sums.most:.1f} %, "
            f"slack {t.computed.sums.slackest:.2f} against {t.hand.sums.slackest:.2f} mm"
        )


def _law(done: list[Tried]) -> None:
    """The pattern's own law in place of the leather's, the flattening's own figures, time and settling."""
    print("\nin the law the pattern was drawn with:")
    for name, limit in (("straight, not necked", NARROW), ("all others", WIDE)):
        group = [t for t in done if t.limit == limit]
        rows = girths(group, lambda t: t.kept)
        slack = np.mean([t.kept.sums.slackest <= default("moulding.slack") for t in group])
        print(
            f"  {name}: {100 * np.mean(np.abs(rows) <= 1):.1f} % of rows within ±{100 * limit:.1f} %, "
            f"slackest row {np.median([t.kept.sums.slackest for t in group]):.2f} mm, within 0.5 on {100 * slack:.0f} %"
        )
    for name, bent in (("straight or bent with the seam", False), ("sideways", True)):
        group = [t for t in done if (t.made.bend == "sideways") == bent]
        if group:
            energy = np.array([t.kept.energy / t.flat_energy for t in group])
            most = np.array([t.flat_most / max(t.kept.sums.most, 1e-9) for t in group])
            print(
                f"  {name}: energy moulded / flattening {np.median(energy):.3f} "
                f"({energy.min():.2f}..{energy.max():.2f}), peak flattening / moulded {np.median(most):.2f}"
            )
    seconds = np.array([t.seconds for t in done])
    steps = np.array([(t.computed.steps, t.hand.steps) for t in done])
    settled = np.mean([t.computed.settled and t.hand.settled for t in done])
    print(
        f"\none moulding with its tables: {np.median(seconds):.2f} s, at most {seconds.max():.2f}; "
        f"steps {np.median(steps):.0f}, at most {steps.max()}; settled {100 * settled:.0f} %"
    )


if __name__ == "__main__":
    main()
