"""Whatever is typed stays text: 90 nasty texts in every text field of the document, in pages, drawings and papers."""

from __future__ import annotations

import csv
import io
import json
import re
from copy import deepcopy
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from xml.etree import ElementTree

import ezdxf
import pypdfium2 as pdfium
import pytest
from tests.app.conftest import sample
from tests.app.nasty import SHELF, put, texts
from tests.voice import assert_clear

from backseam.ground.speech import PLAIN
from backseam.job import papers
from backseam.job.recipe import work
from backseam.job.spreadsheet import spreadsheets
from backseam.job.text import dumps, loads
from backseam.papers import dxf, svg
from backseam.papers.sheets import sheaf

FIELDS = tuple(texts())
PLAIN_WORD = "birch"


class Tree(HTMLParser):
    """Elements with the names of their attributes, and the text between."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.elements, self.said = [], []

    def handle_starttag(self, tag, attributes):
        self.elements.append((tag, tuple(name for name, _ in attributes)))
        for name, value in attributes:
            assert not name.startswith("on"), (tag, name)
            if name in ("href", "src", "action"):
                assert not (value or "").strip().casefold().startswith(("javascript:", "data:text")), value

    def handle_data(self, data):
        self.said.append(data)


def tree(page):
    made = Tree()
    made.feed(page)
    return made


def filled(text, fields=FIELDS, name="tube"):
    """A job with the text in every one of the fields."""
    document = sample(name)
    for where in fields:
        put(document, where, text)
    known = document.get("leather", {}).get("known")
    for one in (known or {}).get("values", ()):
        one.update(value=1.0, low=0.9, high=1.1)
    for one in document.get("making", {}).get("done", ()):
        one["at"] = "2026-11-25T09:30:00Z"
    if isinstance(document.get("making", {}).get("now"), dict):
        document["making"]["now"]["since"] = "2026-11-25T09:30:00Z"
    return document


def shown_in(page):
    """The page's elements, without what lies in it as data."""
    return re.sub(r'(<script type="application/json"[^>]*>).*?(</script>)', r"\1\2", page, flags=re.DOTALL)


def test_the_shelf_and_the_fields_are_many():
    assert len(set(SHELF)) >= 80
    assert len(FIELDS) >= 15
    assert ("form", "girths", 0, "name") in FIELDS


@pytest.fixture(scope="module")
def plain_pages(client):
    made = client.post("/api/jobs", json={"document": filled(PLAIN_WORD)})
    assert made.status_code == 201, made.text
    id = made.json()["id"]
    return id, {page: tree(client.get(page.format(id=id)).text).elements for page in PAGES}


PAGES = ("/", "/jobs/{id}", "/papers", "/papers/{id}")


@pytest.mark.parametrize("text", SHELF, ids=range(len(SHELF)))
def test_pages_have_the_same_elements_whatever_is_typed(client, plain_pages, text):
    """Every field of the document at once; the parsed page is that of the plain word, the data is what was typed."""
    id, wanted = plain_pages
    now = client.get(f"/api/jobs/{id}").json()["revision"]
    document = filled(text)
    saved = client.put(f"/api/jobs/{id}", json={"document": document, "revision": now})
    if saved.status_code == 422:  # a text that no field takes, such as one with a half sign
        for one in (saved.json(), *saved.json().get("also", ())):
            assert_clear(one["text"])
        return
    assert saved.status_code == 200, saved.text
    for page, elements in wanted.items():
        got = client.get(page.format(id=id))
        assert got.status_code == 200
        assert tree(got.text).elements == elements, page
    page = client.get(f"/jobs/{id}").text
    laid = re.search(r'<script type="application/json" id="laid">(.*?)</script>', page, re.DOTALL)[1]
    assert json.loads(laid)["document"]["note"] == client.get(f"/api/jobs/{id}").json()["document"]["note"]
    title = client.get(f"/api/jobs/{id}").json()["title"]
    if title.isprintable() and title:
        assert title in "".join(tree(page).said)


DRAWN = (("title",), ("maker",), ("customer",), ("note",), ("id",), ("form", "girths", 0, "name"))


def worked(text):
    """A job worked out with the text in what is drawn; None if the document does not take it."""
    from backseam.ground.errors import InputRefused

    try:
        return work(loads(json.dumps(filled(text, DRAWN))))
    except InputRefused as refused:
        assert_clear(str(refused).splitlines()[0])
        return None


@pytest.fixture(scope="module")
def plain_drawing():
    whole = sheaf.full_size(worked(PLAIN_WORD), PLAIN)
    read = ezdxf.read(io.StringIO(dxf.write(whole).decode()))
    return kinds(svg.write(whole)), lines(read)


def kinds(text):
    """Elements of a drawing without its words."""
    return sorted(
        one.tag
        for one in ElementTree.fromstring(text).iter()
        if not one.tag.endswith(("text", "tspan", "title"))
    )


def lines(read):
    """Entities of a DXF that are no text."""
    return sum(1 for one in read.modelspace() if one.dxftype() not in ("TEXT", "MTEXT"))


@pytest.mark.parametrize("text", SHELF[::3], ids=range(len(SHELF[::3])))
def test_a_drawing_stays_well_formed_whatever_is_typed(plain_drawing, text):
    made = worked(text)
    if made is None:
        return
    whole = sheaf.full_size(made, PLAIN)
    allowed = set(plain_drawing[0])
    assert set(kinds(svg.write(whole))) <= allowed
    for one in ElementTree.fromstring(svg.write(whole)).iter():
        assert not any(name.casefold().startswith("on") for name in one.attrib)
    read = ezdxf.read(io.StringIO(dxf.write(whole).decode()))
    assert not read.audit().errors
    assert not [one for one in read.modelspace() if "\n" in str(getattr(one.dxf, "text", ""))]


@pytest.mark.parametrize("text", SHELF[::9], ids=range(len(SHELF[::9])))
def test_a_pdf_holds_no_action_whatever_is_typed(text):
    made = worked(text)
    if made is None or made.stopped:
        return
    for name, data in papers.write_all(made).items():
        if name.endswith(".pdf"):
            assert pdfium.PdfDocument(data).get_metadata_dict() is not None
            for word in (b"/JavaScript", b"/OpenAction", b"/EmbeddedFile", b"/Launch", b"/URI"):
                inside = re.sub(rb"\((?:\\.|[^\\)])*\)", b"", data)
                assert word not in inside, (name, word)


@pytest.mark.parametrize("text", SHELF, ids=range(len(SHELF)))
def test_a_spreadsheet_takes_no_formula_whatever_is_typed(text):
    """Rows, columns and numbers are those of the plain word; no cell, split at any separator, begins a formula."""
    document = filled(text, DRAWN)
    try:
        job = loads(json.dumps(document))
    except ValueError:
        return
    wanted = spreadsheets(plain_job())
    # The name is all that is typed in these tables: put it into the stations that were worked out of the plain word.
    plain = plain_job()
    name = job.form.girths[0].name
    rows = tuple(replace(row, name=name if row.name else "") for row in plain.upper.stations)
    made = spreadsheets(replace(plain, upper=replace(plain.upper, stations=rows)))
    assert set(made) == set(wanted)
    for file, data in made.items():
        was, now = (table(one) for one in (wanted[file], data))
        assert [len(row) for row in was] == [len(row) for row in now]
        for old, new in zip(was, now, strict=True):
            assert old[1:] == new[1:]
            for part in re.split(r"[;,|\t]", new[0]):
                assert part.strip().strip("\"'")[:1] not in tuple("=+-@") or part.strip().startswith("'")


@cache
def plain_job():
    return worked(PLAIN_WORD)


def table(data):
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_the_file_round_trips_every_text():
    for text in SHELF:
        document = deepcopy(filled(PLAIN_WORD))
        document["note"] = text
        try:
            once = loads(json.dumps(document))
        except ValueError:
            continue
        assert loads(dumps(once)) == once
