"""The job as text, both ways. The reader is strict: what it takes, it took as it stands in the file.

No key twice, no NaN, no infinity, UTF-8 (a byte order mark is allowed), a bounded size and depth. What cannot
be taken comes back as `InputRefused` with line or place and the remedy; nothing else is ever raised.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from enum import Enum
from math import isinf
from typing import Any

from pydantic import BaseModel, ValidationError

from backseam.ground.errors import InputRefused
from backseam.ground.speech import PLAIN
from backseam.job.document import KIND, VERSION, Job
from backseam.job.refused import told
from backseam.job.upgrade import Raw, upgraded

LARGEST_FILE = 5_000_000  # bytes
DEEPEST = 50  # brackets within brackets
LONGEST_LINE = 160  # a flat group stands on one line if it fits
LONGEST_NUMBER = 40  # digits

_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[\[\]{}]|-?(?:[0-9][0-9.eE+-]*|Infinity)|NaN', re.DOTALL)
_SENTENCE_OF = {
    "Expecting ',' delimiter": "comma",
    "Expecting property name enclosed in double quotes": "key",
    "Illegal trailing comma before end of object": "key",
    "Illegal trailing comma before end of array": "value",
    "Expecting ':' delimiter": "colon",
    "Expecting value": "value",
    "Unterminated string starting at": "quote",
    "Invalid control character at": "control",
    "Invalid \\escape": "escape",
    "Invalid \\uXXXX escape": "escape",
    "Extra data": "more",
}


def loads(text: str | bytes) -> Job:
    """The job in a text, brought up to date.

    Raises `InputRefused` (several at once as `SeveralRefused`), `DocumentTooNew` for a newer file.
    """
    return job_of(upgraded(raw_of(text)))


def job_of(raw: Raw) -> Job:
    """The job of a raw document in the newest version, or a sentence for each field that cannot be taken."""
    try:
        return Job.model_validate(raw)
    except ValidationError as error:
        raise told(error, Job) from None


def dumps(job: Job) -> str:
    """The job as text: fields in the model's order, unknown keys after them, what was left out left out.

    Numbers keep their decimals, `typed` what was written. The same job gives the same text.
    """
    return laid_out(raw_job(job))


def laid_out(raw: Raw) -> str:
    """Plain values as JSON that a person can read and mend."""
    return _laid_out(raw, 0) + "\n"


def raw_job(job: Job) -> Raw:
    """The job as plain values, with only what was set."""
    return {"kind": KIND, "version": VERSION, **plain_of(job)}


def raw_of(text: str | bytes) -> Any:
    """The plain values in a JSON text, read strictly."""
    written = _decoded(text)
    if not written.strip():
        raise InputRefused(_say("empty"))
    try:
        raw = json.loads(
            written,
            object_pairs_hook=_no_key_twice,
            parse_constant=_no_constant,
            parse_int=_whole,
            parse_float=_decimal,
        )
    except RecursionError:
        raise InputRefused(_say("too_deep", limit=DEEPEST)) from None
    except _RepeatedError:
        raise _repeated(written) from None
    except _NotTakenError as bad:
        raise InputRefused(
            _say(bad.key, line=_line_of_token(written, bad.word), word=bad.word[:20])
        ) from None
    except json.JSONDecodeError as error:
        raise _broken(written, error) from None
    _check_depth(raw)
    _check_signs(written)
    return raw


class _RepeatedError(Exception):
    """A key stands twice in one group."""


class _NotTakenError(Exception):
    """A number that is none."""

    def __init__(self, key: str, word: str) -> None:
        super().__init__(word)
        self.key, self.word = key, word


def _decoded(text: str | bytes) -> str:
    if len(text) > LARGEST_FILE:
        raise InputRefused(_say("too_big", size=f"{len(text) / 1e6:.1f}", limit=LARGEST_FILE // 1_000_000))
    if isinstance(text, str):
        return text.removeprefix("\ufeff")
    try:
        return text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputRefused(_say("not_utf8", byte=error.start + 1)) from None


def _check_depth(raw: Any) -> None:
    level, depth = [raw], 0
    while level := [one for group in level if isinstance(group, dict | list) for one in _inside(group)]:
        depth += 1
        if depth > DEEPEST:
            raise InputRefused(_say("too_deep", limit=DEEPEST))


def _inside(group: Raw | list[Any]) -> Iterable[Any]:
    return group.values() if isinstance(group, dict) else group


def _no_key_twice(pairs: list[tuple[str, Any]]) -> Raw:
    group = dict(pairs)
    if len(group) < len(pairs):
        raise _RepeatedError
    return group


def _no_constant(word: str) -> Any:
    raise _NotTakenError("not_number", word)


def _whole(word: str) -> int:
    if len(word) > LONGEST_NUMBER:
        raise _NotTakenError("huge", word)
    return int(word)


def _decimal(word: str) -> float:
    value = float(word)
    if isinf(value):
        raise _NotTakenError("huge", word)
    return value


def _check_signs(text: str) -> None:
    """Half a surrogate pair, alone or as an escape, cannot be written back."""
    if not re.search(r"\\u[dD][89a-fA-F]|[\ud800-\udfff]", text):
        return
    for match in re.finditer(r'"(?:[^"\\]|\\.)*"', text, re.DOTALL):
        for char in json.loads(match[0], strict=False):
            if "\ud800" <= char <= "\udfff":
                line = _line(text, match.start())
                raise InputRefused(_say("half_sign", line=line, code=f"U+{ord(char):04X}"))


def _repeated(text: str) -> InputRefused:
    """Where a key stands twice: its line and the group it stands in."""
    for position, key, trail in _keys(text):
        if key in trail[-1][1]:
            place = ".".join(name for name, _ in trail if name) or "the file"
            return InputRefused(_say("repeated", line=_line(text, position), key=key[:60], place=place))
        trail[-1][1].add(key)
    return InputRefused(_say("broken", line=1, column=1, what=_say("what.other")))


def _keys(text: str) -> Iterator[tuple[int, str, list[tuple[str, set[str]]]]]:
    """Every key of a JSON text with its position and the groups round it, outermost first."""
    trail: list[tuple[str, set[str]]] = []
    last = ""
    for match in _TOKEN.finditer(text):
        token = match[0]
        if token in "{[":
            trail.append((last, set()))
            last = ""
        elif token in "}]":
            trail.pop()
        elif token[0] == '"' and re.compile(r"\s*:").match(text, match.end()):
            last = str(json.loads(token, strict=False))
            yield match.start(), last, trail


def _broken(text: str, error: json.JSONDecodeError) -> InputRefused:
    kind = _SENTENCE_OF.get(error.msg, "other")
    if kind == "control" and text[error.pos] in "\r\n":
        kind = "quote"
    if error.pos >= len(text.rstrip()) or (kind == "quote" and "\n" not in text[error.pos :].rstrip()):
        return InputRefused(_say("cut_off", line=_line(text, len(text.rstrip()))))
    what = _say(f"what.{kind}")
    return InputRefused(_say("broken", line=error.lineno, column=error.colno, what=what))


def _line(text: str, position: int) -> int:
    return text.count("\n", 0, position) + 1


def _line_of_token(text: str, word: str) -> int:
    found = next((match for match in _TOKEN.finditer(text) if match[0] == word), None)
    return _line(text, found.start()) if found else 1


def plain_of(value: Any) -> Any:
    """Plain values of a part: what was set or differs from the default, the model's fields first."""
    if isinstance(value, BaseModel):
        fields = type(value).model_fields
        held = {
            name: getattr(value, name)
            for name, field in fields.items()
            if name in value.model_fields_set
            or getattr(value, name) != field.get_default(call_default_factory=True)
        }
        typed = {"typed": held.pop("typed")} if "typed" in held else {}
        return {name: plain_of(one) for name, one in {**held, **typed, **(value.model_extra or {})}.items()}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, dict):
        return {name: plain_of(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [plain_of(one) for one in value]
    return value


def _laid_out(value: Any, indent: int) -> str:
    """JSON that a person can read: a flat group or list on one line, everything else indented by two."""
    flat = json.dumps(value, ensure_ascii=False, allow_nan=False)
    if (
        not isinstance(value, dict | list)
        or not value
        or (_flat(value) and len(flat) + indent < LONGEST_LINE)
    ):
        return flat
    pad = " " * (indent + 2)
    if isinstance(value, dict):
        lines = [f"{pad}{_key(name)}: {_laid_out(one, indent + 2)}" for name, one in value.items()]
    else:
        lines = [pad + _laid_out(one, indent + 2) for one in value]
    opening, closing = ("{", "}") if isinstance(value, dict) else ("[", "]")
    return opening + "\n" + ",\n".join(lines) + "\n" + " " * indent + closing


def _flat(value: Raw | list[Any]) -> bool:
    """True if nothing but empty groups, or the texts as typed, stands inside."""
    if isinstance(value, list):
        return not any(isinstance(one, dict | list) and one for one in value)
    return _flat([one for name, one in value.items() if name != "typed"])


def _key(name: str) -> str:
    return json.dumps(name, ensure_ascii=False)


def _say(key: str, /, **values: object) -> str:
    return PLAIN.say(f"refusals.json.{key}", **values)
