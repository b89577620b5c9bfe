"""What the workers answer of the papers: the list, one paper, one page to look at, all of them."""

from __future__ import annotations

import io
import json
import zipfile
from collections import OrderedDict
from hashlib import sha256

import pypdfium2 as pdfium
from pydantic_core import to_json

from backseam.app.answers import Answer, Given, speech_in, worked_in
from backseam.app.refusing import refusal
from backseam.ground.progress import Progress
from backseam.ground.speech import Speech, words
from backseam.job import papers

REMEMBERED = 3
PREVIEW_DPI, POINTS = 110, 72  # of a page to look at; a PDF counts 72 to the inch
_memo: OrderedDict[str, dict[str, bytes]] = OrderedDict()

_LONG_AGO = (1980, 1, 1, 0, 0, 0)  # in every zip: same job, same bytes


def all_papers(given: Given, progress: Progress) -> dict[str, bytes]:
    """Every paper by its file name; the last few jobs are remembered."""
    text = json.dumps([given.get("document"), given.get("units")], sort_keys=True)
    key = sha256(text.encode()).hexdigest()
    known = _memo.get(key)
    if known is None:
        worked = worked_in(given, progress)
        made = papers.write_all(worked, speech=speech_in(given, worked.job), progress=progress)
        known = _memo[key] = made
        while len(_memo) > REMEMBERED:
            _memo.popitem(last=False)
    _memo.move_to_end(key)
    return known


def listed(given: Given, progress: Progress) -> bytes:
    """Names, titles, how many pages each has, which files it comes as."""
    worked, made = worked_in(given, progress), all_papers(given, progress)
    speech = speech_in(given, worked.job)
    names: dict[str, list[str]] = {}
    for file in made:
        names.setdefault(file.rpartition(".")[0], []).append(file)
    told = [
        {
            "name": name,
            "title": _title(name, speech),
            "files": files,
            "pages": _pages(made[f"{name}.pdf"]) if f"{name}.pdf" in files else int(f"{name}.svg" in files),
            "preview": "png" if f"{name}.pdf" in files else "svg",
        }
        for name, files in names.items()
    ]
    stamp = sha256(b"".join(made.values())).hexdigest()[:12]
    return to_json({"papers": told, "stopped": worked.stopped, "stamp": stamp})


def _title(name: str, speech: Speech) -> str:
    titles: dict[str, str] = words(speech.language, "api")["paper"]
    return titles.get(name, name.replace("-", " ").capitalize())


def one(given: Given, progress: Progress) -> bytes:
    """One file."""
    found = all_papers(given, progress).get(str(given["file"]))
    if found is None:
        raise refusal(404, "no_such_paper")
    return found


def page(given: Given, progress: Progress) -> bytes:
    """One page as a picture to look at, drawn from the very file that is printed."""
    pdf = all_papers(given, progress).get(f"{given['name']}.pdf")
    number = int(given["page"])
    if pdf is None or not 1 <= number <= _pages(pdf):
        raise refusal(404, "no_such_paper")
    document = pdfium.PdfDocument(pdf)
    try:
        picture = document[number - 1].render(scale=PREVIEW_DPI / POINTS).to_pil()
        out = io.BytesIO()
        picture.save(out, "PNG")
        return out.getvalue()
    finally:
        document.close()


def _pages(pdf: bytes) -> int:
    document = pdfium.PdfDocument(pdf)
    try:
        return len(document)
    finally:
        document.close()


def all_pdf(given: Given, progress: Progress) -> bytes:
    """Every sheet in one PDF: the pattern with its setting-out, then the cards."""
    whole = pdfium.PdfDocument.new()
    for name, data in all_papers(given, progress).items():
        if name.endswith(".pdf") and name != papers.SETTING_OUT:  # it stands among the pattern's sheets
            part = pdfium.PdfDocument(data)
            whole.import_pages(part)
            part.close()
    out = io.BytesIO()
    whole.save(out)
    whole.close()
    return out.getvalue()


def all_zip(given: Given, progress: Progress) -> bytes:
    """Every paper as a file, in one folder."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as folder:
        for name, data in all_papers(given, progress).items():
            folder.writestr(zipfile.ZipInfo(name, _LONG_AGO), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()


ANSWERS: dict[str, Answer] = {
    "papers": listed,
    "paper": one,
    "paper_page": page,
    "papers_pdf": all_pdf,
    "papers_zip": all_zip,
}
