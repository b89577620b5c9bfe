"""Three tabs on one book against a plain dictionary: nothing is overwritten silently, every refusal carries theirs."""

from __future__ import annotations

import json
import os
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, invariant, rule

from backseam.ground.errors import NotThere, SavedElsewhere
from backseam.store.book import Book

TABS = st.sampled_from((0, 1, 2))


class Tabs(RuleBasedStateMachine):
    """model: by id, the texts of its revisions, and whether it is removed."""

    jobs = Bundle("jobs")

    def __init__(self) -> None:
        super().__init__()
        self.room = tempfile.TemporaryDirectory()
        self.book = Book.open(Path(self.room.name) / "book.sqlite")
        self.book.connection.execute("PRAGMA synchronous = OFF")  # what is tested here is not the disk
        self.model: dict[str, list[str]] = {}
        self.gone: set[str] = set()
        self.tabs: list[dict[str, int]] = [{}, {}, {}]
        self.count = 0

    def teardown(self) -> None:
        self.book.close()
        self.room.cleanup()

    def text(self) -> str:
        self.count += 1
        return json.dumps({"n": self.count})

    @rule(target=jobs)
    def add(self) -> str:
        made = self.book.add("job", self.text(), title="job")
        self.model[made.id] = [made.text]
        return made.id

    @rule(tab=TABS, id=jobs)
    def open_or_reload(self, tab: int, id: str) -> None:
        try:
            self.tabs[tab][id] = self.book.read(id).revision
            assert id not in self.gone
        except NotThere:
            assert id in self.gone

    @rule(tab=TABS, id=jobs)
    def save(self, tab: int, id: str) -> None:
        if id not in self.tabs[tab]:
            return
        text, seen = self.text(), self.tabs[tab][id]
        try:
            made = self.book.save(id, text, revision=seen, title="job")
        except SavedElsewhere as refused:
            theirs = refused.theirs.text
            assert (len(self.model[id]) != seen, theirs) == (True, self.model[id][-1])
        except NotThere:
            assert id in self.gone
        else:
            assert made.revision == seen + 1 == len(self.model[id]) + 1
            self.model[id].append(text)
            self.tabs[tab][id] = made.revision

    @rule(tab=TABS, id=jobs)
    def remove(self, tab: int, id: str) -> None:
        if id not in self.tabs[tab] or id in self.gone:
            return
        seen = self.tabs[tab][id]
        try:
            self.book.remove(id, revision=seen)
        except SavedElsewhere:
            assert len(self.model[id]) != seen
        else:
            assert len(self.model[id]) == seen
            self.model[id].append(self.model[id][-1])
            self.gone.add(id)

    @rule(id=jobs)
    def bring_back(self, id: str) -> None:
        self.book.bring_back(id)
        if id in self.gone:
            self.model[id].append(self.model[id][-1])
            self.gone.discard(id)

    @rule(id=jobs, back=st.integers(1, 5))
    def look_back(self, id: str, back: int) -> None:
        revisions = self.model[id]
        number = max(1, len(revisions) - back)
        assert self.book.at(id, number).text == revisions[number - 1]

    @invariant()
    def the_list_is_what_is_there(self) -> None:
        assert {line.id for line in self.book.lines()} == set(self.model) - self.gone


Tabs.TestCase.settings = settings(
    max_examples=2000 if os.environ.get("BACKSEAM_SOAK") else 40,
    stateful_step_count=50,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
TestTabs = Tabs.TestCase
