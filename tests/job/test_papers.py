"""All papers of one job as bytes: which files, the same bytes each time, only a preview where paper would be wrong."""

from __future__ import annotations

from importlib.resources import files

import pypdfium2
import pytest

from backseam.ground.speech import Speech
from backseam.job import text
from backseam.job.foreseen import SAFETY, all_findings, foresee, mould
from backseam.job.papers import moulded, write_all
from backseam.job.recipe import work
from backseam.papers.calibrate import Printer


def _job(**changed):
    job = text.loads(files("backseam.samples").joinpath("barrel.json").read_bytes())
    for path, value in changed.items():
        setattr(job, path, value)
    return job


@pytest.fixture(scope="module")
def worked():
    return work(_job())


@pytest.fixture(scope="module")
def papers(worked):
    return write_all(worked, sheet="A4", speech=Speech())


def test_every_paper_is_there(papers):
    assert set(papers) == {
        "pattern.pdf",
        "pattern.svg",
        "pattern.dxf",
        "setting-out.pdf",
        "bench-card.pdf",
        "care-card.pdf",
        "force.svg",
        "water.svg",
        "hang.svg",
        "stations.csv",
        "holes.csv",
        "worked.json",
    }
    assert all(isinstance(blob, bytes) and blob for blob in papers.values())


def test_the_same_job_gives_the_same_bytes(worked, papers):
    again = write_all(worked, sheet="A4", speech=Speech())
    assert {name for name in papers if papers[name] != again[name]} == set()


def test_a_stop_gives_a_preview_and_no_full_size_paper():
    job = _job()
    job.form.girths[3].reading_mm = 60.0  # no convex section 26 by 34.5 is so small round
    worked = work(job)
    assert worked.stopped
    papers = write_all(worked, sheet="A4", speech=Speech())
    assert set(papers) == {"preview.pdf", "worked.json"}
    page = pypdfium2.PdfDocument(papers["preview.pdf"])[0].get_textpage().get_text_bounded()
    assert "PREVIEW" in page


def test_a_printer_that_prints_small_is_sent_a_larger_page(worked, papers):
    small = write_all(worked, sheet="A4", speech=Speech(), printer=Printer(across=149.0, along=149.5))
    assert small["pattern.pdf"] != papers["pattern.pdf"]
    assert small["pattern.svg"] == papers["pattern.svg"]
    assert small["pattern.dxf"] == papers["pattern.dxf"]


def test_what_is_left_out_comes_from_the_job(worked, papers):
    assert write_all(worked) == papers
    job = _job()
    job.paper.sheet, job.paper.units, job.paper.bar_across_mm = "Letter", "inch", 149.0
    own = write_all(work(job))
    asked = write_all(work(job), sheet="Letter", speech=Speech("inch"), printer=Printer(across=149.0))
    assert own["pattern.pdf"] == asked["pattern.pdf"]
    width = pypdfium2.PdfDocument(own["pattern.pdf"])[1].get_width()
    assert width == pytest.approx(8.5 * 72)


def test_progress_is_told_of_each_paper(worked):
    class Told:
        def __init__(self):
            self.steps = []

        def at(self, done, total, doing):
            self.steps.append((done, total))

        def stop_asked(self):
            return False

    told = Told()
    write_all(worked, sheet="Letter", speech=Speech("inch"), progress=told)
    assert [done for done, _ in told.steps] == list(range(len(told.steps)))
    assert all(total == len(told.steps) for _, total in told.steps)


@pytest.fixture(scope="module")
def forecast(worked):
    return foresee(worked)


@pytest.fixture(scope="module")
def after(worked, forecast):
    return forecast.moulded(mould(worked))


def test_the_moulding_adds_its_map_and_its_solid_and_changes_only_what_tells_of_it(worked, papers, after):
    more = moulded(worked, after, sheet="A4", speech=Speech())
    assert set(more) == {"moulding.svg", "moulding.glb", "bench-card.pdf", "care-card.pdf", "worked.json"}
    assert more["moulding.glb"][:4] == b"glTF"
    assert more["care-card.pdf"] == papers["care-card.pdf"]
    pages = [len(pypdfium2.PdfDocument(one["bench-card.pdf"])) for one in (papers, more)]
    assert pages == [3, 4]


def test_without_a_moulding_there_is_nothing_to_add(worked, forecast):
    assert moulded(worked, forecast) == {}


def test_what_can_hurt_stands_before_the_other_checks(worked, after):
    checks = [item.code for item in all_findings(worked, after) if item.severity == "check"]
    assert checks[0] == "FIT-001"
    hurting = [code in SAFETY for code in checks]
    assert hurting == sorted(hurting, reverse=True)


def test_leather_too_thick_to_reckon_with_still_has_its_papers(worked):
    from backseam.job.foreseen import foreseen_of

    job = _job()
    job.leather.thickness_mm = [15.0]
    assert foreseen_of(work(job)) is None
