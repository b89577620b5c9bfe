"""Is this a sentence that may be shown to a person at the bench?"""

from __future__ import annotations

import re
from collections.abc import Callable

from backseam.ground.errors import InputRefused, SeveralRefused

NEVER = ("traceback", "error", "invalid", "oops", "please", "exception", "nonetype", "pydantic", "<class")


def assert_clear(text: str) -> None:
    """One line, whole sentences, no word of the machine's, no class names, no number with a tail of digits."""
    low = text.casefold()
    assert "\n" not in text, text
    assert text[-1] in ".?", text
    assert 15 < len(text) < 420, text
    for word in NEVER:
        assert word not in low, text
    assert not re.search(r"\b[A-Z][a-z]+[A-Z][a-z]+", re.sub(r'"[^"]*"', "", text)), text
    assert not re.search(r"\d\.\d{7,}", text), text


def each(refused: InputRefused) -> tuple[InputRefused, ...]:
    """The refusals in one, several or not."""
    return refused.each if isinstance(refused, SeveralRefused) else (refused,)


def refusal_of(call: Callable[..., object], *args: object, **named: object) -> InputRefused | None:
    """The refusal a call ends in, or None if it goes through. Any other exception goes on up."""
    try:
        call(*args, **named)
    except InputRefused as refused:
        return refused
    return None
