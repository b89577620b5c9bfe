"""The questions on the terminal: ask, show what is odd, keep a draft after every answer."""

from __future__ import annotations

import sys
import textwrap
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from backseam.cli.files import read_bytes, write_new
from backseam.cli.interview import Interview, from_draft
from backseam.cli.questions import Question
from backseam.ground.errors import InDoubt, InputRefused
from backseam.ground.speech import PLAIN
from backseam.job.document import Job

WIDEST = 100


class LeftError(Exception):
    """The person left before the end; the draft is kept."""


@dataclass
class Terminal:
    """Where questions go and answers come from: one line out, one line in."""

    say: Callable[[str], None] = print
    read: Callable[[str], str] = input

    def bold(self, text: str) -> str:
        """The text, louder where the terminal can."""
        return f"\033[1m{text}\033[0m" if self.say is print and sys.stdout.isatty() else text

    def dim(self, text: str) -> str:
        """The text, quieter where the terminal can."""
        return f"\033[2m{text}\033[0m" if self.say is print and sys.stdout.isatty() else text


@dataclass
class Asking:
    """One interview on one terminal, with its draft beside the job."""

    path: Path
    terminal: Terminal
    interview: Interview
    known: Mapping[str, str] = field(default_factory=dict)  # answers given on the command line, not asked for
    part: str = ""

    @property
    def draft(self) -> Path:
        """Where the answers are kept until the job is written."""
        return draft_of(self.path)

    def begin(self) -> None:
        """Say how it goes, or go on with the draft that is there."""
        threading.Thread(target=_load, daemon=True).start()
        if self.draft.exists():
            found = from_draft(read_bytes(self.draft))
            if found.answers and self._yes(
                _say("talk.resume", count=len(found.answers), last=next(reversed(found.answers.values())))
            ):
                self.interview = found
                self.terminal.say(_say("talk.resumed"))
                return
            self.terminal.say(_say("talk.dropped"))
        self.terminal.say(_say("talk.begin", path=self.path).rstrip())

    def run(self) -> Job:
        """Ask until all is answered and the person says yes; raises `LeftError` if they leave."""
        while True:
            while question := self.interview.next():
                if question.id in self.known:
                    self.interview.take(question, self.known[question.id])
                else:
                    self._ask(question)
            self.terminal.say("")
            self.terminal.say(_say("talk.summary"))
            self._show_readings()
            answer = self._read(f"{_say('talk.write', path=self.path)} {_say('talk.prompt', proposal='yes')}")
            if answer.casefold() == "back":
                self._back()
            elif answer.casefold() in ("", "y", "yes"):
                return self.interview.job()

    def _ask(self, question: Question) -> None:
        if question.part != self.part:
            self.part = question.part
            self.terminal.say("")
            self.terminal.say(self.terminal.bold(f"— {_say(f'part.{question.part}')} —"))
        self.terminal.say("")
        self.terminal.say(self.terminal.bold(question.ask) + _inline(question))
        if question.line:
            self.terminal.say(self.terminal.dim(_wrapped(question.line)))
        if question.choices and not _inline(question):
            for number, (word, meaning) in enumerate(question.choices.items(), 1):
                self.terminal.say(f"  {number}  {word:<18} {meaning}")
        while not self._answered(question):
            pass

    def _answered(self, question: Question) -> bool:
        """One try at a question; True once the course moves on."""
        text = self._read(_prompt(question))
        match text.casefold():
            case "?":
                self._more(question)
                return False
            case "back":
                return self._back()
            case "skip" | "" if question.optional:
                return self._take(question, "")
            case "":
                text = question.proposal
            case "skip":
                text = ""
        if not text:
            self.terminal.say(_say("talk.needed_size" if question.key == "size" else "talk.needed"))
            return False
        return self._take(question, text)

    def _take(self, question: Question, text: str) -> bool:
        try:
            remarks = self.interview.take(question, text)
        except InDoubt as doubt:
            chosen = self.decide(doubt)
            return bool(chosen) and self._take(question, chosen)
        except InputRefused as refused:
            self.terminal.say(_wrapped(str(refused)))
            return False
        self._keep_draft()
        return self._kept_in_spite_of(question, remarks)

    def _kept_in_spite_of(self, question: Question, remarks: list[str]) -> bool:
        """Show what is odd about an answer; Enter keeps it, anything else is the answer typed again."""
        if not remarks:
            return True
        for said in remarks:
            self.terminal.say(_wrapped(said, "◇ "))
        again = self._read(
            f"  {_say('talk.keep')} {_prompt(question)}" if question.proposal else f"  {_say('talk.keep')} > "
        )
        if not again:
            return True
        if again.casefold() == "back":
            return self._back()
        self.interview.answers.pop(question.id)
        return self._take(question, again)

    def decide(self, doubt: InDoubt) -> str:
        """Let the person choose what a text meant; empty if they would rather type it again."""
        self.terminal.say(_wrapped(str(doubt)))
        for number, choice in enumerate(doubt.choices, 1):
            self.terminal.say(PLAIN.say("cli.new.choose", number=number, choice=choice))
        first = "1" if doubt.likely else ""
        answer = self._read(f"  {_say('talk.prompt', proposal='1')}" if first else "  > ") or first
        if answer.isdigit() and 1 <= int(answer) <= len(doubt.choices):
            return doubt.choices[int(answer) - 1]
        return answer

    def _back(self) -> bool:
        if not self.interview.back():
            self.terminal.say(_say("talk.first"))
            return False
        self._keep_draft()
        return True

    def _more(self, question: Question) -> None:
        if question.more:
            self.terminal.say(_wrapped(question.more))
        for word, meaning in question.choices.items():
            self.terminal.say(f"  {word:<18} {meaning}")
        if not question.more and not question.choices:
            self.terminal.say(f"  {question.line or _say('talk.no_more')}")

    def _yes(self, said: str) -> bool:
        answer = self._read(f"{said} {_say('talk.prompt', proposal='yes')}")
        return answer.casefold() in ("", "y", "yes")

    def _read(self, prompt: str) -> str:
        try:
            return self.terminal.read(prompt).strip()
        except (EOFError, KeyboardInterrupt):
            raise LeftError from None
        except UnicodeDecodeError:
            return "?"

    def _keep_draft(self) -> None:
        write_new(self.draft, self.interview.draft().encode(), replace=True)

    def _show_readings(self) -> None:
        for row in self.interview.job().form.girths:
            size = f"{row.width_mm:g} x {row.depth_mm:g}" if row.width_mm and row.depth_mm else ""
            girth = f"{row.reading_mm:.1f}" if row.reading_mm else ""
            self.terminal.say(f"  {row.name:<14}{row.station_mm:>8.1f}{girth:>9}   {size}")


def draft_of(path: Path) -> Path:
    """The draft beside a job file."""
    return path.with_name(f"{path.name}.draft")


def _inline(question: Question) -> str:
    """Few and short choices stand in the question's own line."""
    meanings = [
        word if word == meaning else f"{word}: {meaning}" for word, meaning in question.choices.items()
    ]
    inline = f" ({'; '.join(meanings)})" if meanings else ""
    return inline if len(question.ask) + len(inline) <= WIDEST - 10 else ""


def _wrapped(text: str, mark: str = "") -> str:
    """A text under its question, wrapped and set in."""
    return textwrap.fill(text, WIDEST, initial_indent=f"  {mark}", subsequent_indent=" " * (2 + len(mark)))


def _prompt(question: Question) -> str:
    if question.proposal:
        return _say("talk.prompt", proposal=question.proposal)
    return _say("talk.prompt_skip" if question.optional else "talk.prompt_bare")


def _load() -> None:
    """Load what checks the readings while the person still reads the first question."""
    with suppress(Exception):
        import backseam.form.build
        import backseam.job.inputs  # noqa: F401


def _say(key: str, /, **values: object) -> str:
    return PLAIN.say(f"questions.{key}", **values)
