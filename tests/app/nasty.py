"""The shelf: 80 texts that have been code somewhere, and every text field of the job document to put them into."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any, get_args, get_origin

from pydantic import BaseModel

from backseam.job.document import Job

SHELF = (
    *(
        "<script>alert(1)</script>",
        "</script><script>x()</script>",
        "<img src=x onerror=alert(1)>",
        "<b>bold</b>",
    ),
    *(
        "<svg onload=alert(1)>",
        "<!--",
        "-->",
        "<![CDATA[x]]>",
        "]]>",
        "<?xml version='1.0'?>",
        "<!DOCTYPE x>",
    ),
    *(
        "&lt;b&gt;",
        "&amp;",
        "&#x3c;script&#x3e;",
        "&nbsp;",
        "&",
        "<",
        ">",
        '"',
        "'",
        "`",
        '"\'><x y="',
        "' onx='",
    ),
    *(
        "javascript:alert(1)",
        "data:text/html,<b>",
        "http://evil.example/",
        "//evil.example",
        "file:///etc/passwd",
    ),
    *(
        "{{ 7*7 }}",
        "{% raw %}",
        "${7*7}",
        "#{7*7}",
        "{0}",
        "{title}",
        "{v:mm}",
        "%s%n",
        "%(x)s",
        "{",
        "}",
        "{{",
        "$(x)",
    ),
    *(
        "\u202egnp.exe",
        "\u202a\u202b\u202c",
        "\u200b\u200d",
        "\ufeffmark",
        "e\u0301\u0301\u0301\u0301",
        "Z̵̢͖a̷l",
    ),
    *(
        "\x00nul",
        "\x01\x02\x1b[31m",
        "\x7f",
        "\x85next",
        "\u2028line",
        "tab\there",
        "a\\nb",
        "a\\Pb",
        "%%c%%d",
        "^J",
    ),
    *(
        "(paren",
        "paren)",
        "\\",
        "\\\\",
        "\\(",
        ">> endobj",
        "/JS (app.alert(1))",
        "<< /S /JavaScript >>",
        "%PDF-1.7",
    ),
    *(
        "=1+1",
        "+1",
        "-1",
        "@SUM(A1)",
        '=HYPERLINK("http://x")',
        "'=1",
        "|cmd",
        "; rm -rf /",
        "`id`",
        "$HOME",
        "&& id",
    ),
    *(
        "#set text(9pt)",
        '#image("/etc/passwd")',
        "*bold* _it_",
        "\U0001f52a knife",
        "Älä käytä",
        "刃物",
        "ナイフ",
        "ﬁ",
    ),
    *(
        "x" * 190,
        "\u0661\u0662",
        "ENDSEC",
        "0\\nEOF",
        "CON",
        "../../etc/passwd",
        "..\\..\\x",
        "NULL",
        "undefined",
    ),
)


def texts(part: type[BaseModel] = Job, where: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """The place of every field that takes a free text, found by walking the document's model; in lists, row 0."""
    for name, field in part.model_fields.items():
        yield from _inside(field.annotation, (*where, name), field.metadata)


def _inside(
    annotation: Any, where: tuple[str | int, ...], metadata: Any = ()
) -> Iterator[tuple[str | int, ...]]:
    if annotation is str:
        if not any("pattern" in str(one) for one in metadata) and where[-1] not in ("kind", "at", "since"):
            yield where
    elif isinstance(annotation, type) and get_origin(annotation) is None:
        if issubclass(annotation, BaseModel):
            yield from texts(annotation, where)
    elif get_origin(annotation) is list:
        yield from _inside(get_args(annotation)[0], (*where, 0))
    elif get_origin(annotation) is not dict:
        for inner in get_args(annotation):
            if not isinstance(inner, str):
                yield from _inside(inner, where)


def put(document: Any, where: tuple[str | int, ...], value: str) -> None:
    """A text at a place; lists and groups on the way are made."""
    holder = document
    for step, after in pairwise(where):
        empty: Any = [] if isinstance(after, int) else {}
        if isinstance(step, int):
            if len(holder) <= step:
                holder.append(empty)
            holder = holder[step]
        else:
            holder = holder.setdefault(step, empty)
    if isinstance(where[-1], int):
        holder[:] = [value]
    else:
        holder[where[-1]] = value
