"""What the workers answer of leather: a card with what was learnt."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic_core import to_json

from backseam.app.answers import Answer, Given, speech_in
from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, ordered
from backseam.ground.progress import Progress
from backseam.ground.speech import Speech
from backseam.job import learned, learned_words, leather_card
from backseam.job.account import usable
from backseam.job.document import Job
from backseam.job.findings_json import findings_told
from backseam.job.leather_card import LeatherCard
from backseam.job.leather_tests import tests_of
from backseam.job.recipe import work
from backseam.job.text import job_of, plain_of
from backseam.job.upgrade import upgraded


def learn(given: Given, progress: Progress) -> bytes:
    """given: card, its id in the book, tests or a job or both, tests to leave out or take in again."""
    before = leather_card.card_of(given["card"])
    card, found, speech = before, list[Finding](), speech_in(given)
    job = None
    if given.get("tests") is not None:
        card, told = learned.with_tests(card, tests_of(given["tests"]))
        found += told
    if given.get("job") is not None:
        names = [name for name in (before.title, str(given.get("id", ""))) if name] or [before.id]
        job, told = learned.cut_from(before, job_of(upgraded(given["job"])), *names)
        found += told
        card, told = learned.with_sheath(card, job)
        found += told
    for key, out in (("without", True), ("again", False)):
        for test in given.get(key) or ():
            card = leather_card.without(card, test, left_out=out)
    renewed = learned.renewed(card, progress)
    known = {**renewed.learnt.before, **leather_card.overrides(before)}
    said = [
        *_sheath(job, before, renewed.card, speech),
        *learned_words.changes(known, renewed.learnt, speech),
    ]
    return to_json(
        {
            "card": {"kind": leather_card.KIND, "version": leather_card.VERSION, **plain_of(renewed.card)},
            "told": said or [speech.say("learn.say.nothing_new")],
            "findings": findings_told(ordered((*found, *renewed.findings)), speech),
        }
    )


def _sheath(job: Job | None, before: LeatherCard, after: LeatherCard, speech: Speech) -> Iterator[str]:
    """The sheath beside what was foreseen of it."""
    if job is None:
        return
    try:
        worked = work(job)
    except InputRefused:
        return
    made = usable(worked)
    if made.finished_girth is None and made.pull is None:
        return
    hides = leather_card.hide_of(before), leather_card.hide_of(after)
    yield from learned_words.told(learned_words.compared(worked, *hides, made), speech)


ANSWERS: dict[str, Answer] = {"learn": learn}
