"""`new` from a table, and from questions on a terminal made up for the test."""

from __future__ import annotations

import json
from io import StringIO

import pytest
from tests.voice import assert_clear

from backseam.cli import cmd_new
from backseam.cli.asking import Asking, LeftError, Terminal, draft_of
from backseam.cli.interview import AT_ONCE, Interview, from_draft
from backseam.cli.questions import questions
from backseam.ground.errors import InputRefused
from backseam.ground.findings import finding
from backseam.job.recipe import work
from backseam.job.text import dumps, loads

TABLE = (
    "station_mm;reading_mm;instrument;name\n0;82,0;strap_butted;bottom edge\n95;95,4;strap_butted;junction\n"
)
TABLE += "130;102,0;strap_butted;thickest\n136;101,4;strap_butted;mouth\n"


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "readings.csv"
    path.write_text(TABLE)
    return path


def test_a_job_from_a_table_with_fields_set(call, table, tmp_path):
    path = tmp_path / "k.json"
    said = call(
        "new",
        path,
        "--from",
        table,
        "--set",
        "leather.thickness_mm=2.2",
        "--set",
        "construction.collar=plain",
    )
    assert said.code == 0
    assert "Brought in 4 readings." in said.beside
    job = loads(path.read_bytes())
    assert [row.reading_mm for row in job.form.girths] == [82.0, 95.4, 102.0, 101.4]
    assert (job.leather.thickness_mm, job.construction.collar) == ([2.2], "plain")
    assert work(job).seam.count > 10
    assert {one.name for one in tmp_path.iterdir()} == {"k.json", "readings.csv"}


def test_a_job_is_never_replaced_silently(call, table, tmp_path):
    path = tmp_path / "k.json"
    path.write_text("mine")
    said = call("new", path, "--from", table)
    assert said.code == 2
    assert path.read_text() == "mine"
    assert_clear(said.beside.strip())
    assert call("new", path, "--from", table, "--replace").code == 0
    assert loads(path.read_bytes()).form.girths


SET = [
    (["leather.thickness_mm=0.079"], "Take it as 2.01 mm? Type it plainly, or add --yes to take 2.01 mm."),
    (["construction.pitch_mm=5/32"], "fractions are mostly inches"),
    (["leather.thickness_mm=22"], "ten times too much: 2.2 mm?"),
    (["leather.thicknes_mm=2"], "leather.thickness_mm?"),
    (["construction.pitch_mm=1,234"], "two ways"),
]


@pytest.mark.parametrize(("settings", "part"), SET)
def test_doubtful_settings_are_refused_and_nothing_is_written(call, table, tmp_path, settings, part):
    said = call("new", tmp_path / "k.json", "--from", table, *[f"--set={one}" for one in settings])
    assert said.code == 2
    assert part in said.beside.replace("\n", " ")
    assert not (tmp_path / "k.json").exists()


def test_yes_takes_what_is_likely_and_says_so(call, table, tmp_path):
    path = tmp_path / "k.json"
    said = call(
        "new",
        path,
        "--from",
        table,
        "--set",
        "leather.thickness_mm=0.079",
        "--set",
        "construction.pitch_mm=5/32",
        "--yes",
    )
    assert said.code == 0
    assert 'leather.thickness_mm: "0.079" was taken as 2.01 mm.' in said.beside
    job = loads(path.read_bytes())
    assert (job.leather.thickness_mm, job.construction.pitch_mm) == ([2.01], 3.96875)


def test_yes_takes_no_thousand(call, table, tmp_path):
    assert (
        call(
            "new", tmp_path / "k.json", "--from", table, "--set", "construction.pitch_mm=1,234", "--yes"
        ).code
        == 2
    )


def test_a_table_without_units(call, tmp_path):
    table = tmp_path / "t.csv"
    table.write_text("station,reading\n0,3 1/4\n2,3.5\n4,3 3/4\n")
    said = call("new", tmp_path / "k.json", "--from", table)
    assert said.code == 2
    assert "--unit mm or --unit inch" in said.beside
    assert call("new", tmp_path / "k.json", "--from", table, "--unit", "inch").code == 0
    assert loads((tmp_path / "k.json").read_bytes()).form.girths[0].reading_mm == 82.55


def test_a_broken_table_is_told_row_by_row(call, tmp_path):
    table = tmp_path / "t.csv"
    table.write_text("station_mm,reading_mm\n,82\n40,abc\n95,3.74\n")
    said = call("new", tmp_path / "k.json", "--from", table, "--yes")
    assert said.code == 2
    assert [line.split(": ", 1)[1][:5] for line in said.beside.splitlines()] == ["Row 2", "Row 3"]
    assert not (tmp_path / "k.json").exists()


def test_a_person_is_asked_about_doubts_in_a_table(table, tmp_path, monkeypatch):
    table.write_text(TABLE.replace("102,0", "4,02"))
    monkeypatch.setattr("sys.stdin", StringIO("1\n"))
    found = cmd_new._table(table, tmp_path / "k.json", None, yes=False, asks=True)
    assert found.rows[2].reading_mm == 102.11


def test_fields_alone_make_a_job(call, tmp_path):
    assert call("new", tmp_path / "k.json", "--set", "title=Birch", "--yes").code == 0
    assert json.loads((tmp_path / "k.json").read_text())["title"] == "Birch"


# --- the questions -------------------------------------------------------------------------------------------------

ANSWERS = {
    "title": "Birch knife",
    "customer": "",
    "promised": "2026-12-11",
    "thickness": "2,0 2,1 1,9",
    "girth.bottom_edge": "82,0",
    "size.bottom_edge": "18 x 26",
    "height.lower_groove": "77",
    "height.upper_groove": "87",
    "height.liner_end": "93",
    "height.junction": "95",
    "girth.junction": "95,4",
    "size.junction": "21,5 30,5",
    "height.thickest": "130",
    "girth.thickest": "102",
    "size.thickest": "26 x 34,5",
    "mouth_above": "6",
    "girth.mouth": "101,4",
    "tool": "fork",
    "teeth": "4",
}


class Bench:
    """A person at the terminal: answers by question, with more typed before some of them."""

    def __init__(self, answers, typed=(), leave_at=None):
        self.answers, self.typed, self.leave_at = answers, list(typed), leave_at
        self.heard: list[str] = []
        self.asking: Asking | None = None

    def read(self, prompt):
        self.heard.append(prompt)
        if self.typed:
            return self.typed.pop(0)
        question = self.asking.interview.next()
        if question is None or "Enter keeps it" in prompt:
            return ""
        if question.id == self.leave_at:
            raise EOFError
        return self.answers.get(question.id, "")

    def sit(self, path, interview=None):
        self.asking = Asking(path, Terminal(self.heard.append, self.read), interview or Interview())
        return self.asking


def test_all_questions_lead_to_a_job_that_works(tmp_path):
    asking = Bench(ANSWERS).sit(tmp_path / "k.json")
    asking.begin()
    job = asking.run()
    assert (job.title, job.leather.thickness_mm, job.promised) == (
        "Birch knife",
        [2.0, 2.1, 1.9],
        "2026-12-11",
    )
    assert [row.name for row in job.form.girths] == ["bottom edge", "junction", "thickest", "mouth"]
    assert [row.reading_mm for row in job.form.girths] == [82.0, 95.4, 102.0, 101.4]
    assert job.form.girths[0].typed["reading_mm"] == "82,0"
    assert [groove.station_mm for groove in job.form.landmarks.grooves] == [77.0, 87.0]
    assert (job.form.landmarks.mouth_above_thickest_mm, job.construction.mouth_read) == (6.0, "bare")
    assert [section.kind for section in job.form.sections] == ["octagon", "octagon", "oval"]
    assert loads(dumps(job)) == job
    assert not work(job).stopped


def test_stations_are_asked_from_the_grooves_up():
    ids = [one.id for one in questions(ANSWERS | dict.fromkeys(("units", "hand"), "x") | _defaults())]
    heights = [one for one in ids if one.startswith(("height.", "mouth_above", "free."))]
    assert heights == [
        "height.lower_groove",
        "height.upper_groove",
        "height.liner_end",
        "height.junction",
        "height.thickest",
        "mouth_above",
        "free.1",
    ]


def _defaults():
    return {
        "collar": "folded",
        "heights_from": "bottom_edge",
        "axis": "straight",
        "instrument": "strap_butted",
        "hanger": "thong",
    }


def test_every_question_is_explained_in_one_line():
    seen = {one.id: one for variant in _variants() for one in questions(variant)}
    assert len(seen) > 45
    for one in seen.values():
        assert one.ask.endswith("?")
        assert one.line.count("\n") == 0
        assert one.line == "" or one.line[-1] in ".?"
        assert len(one.line) <= 110
        if one.proposal and not one.choices:
            one.read({}, one.proposal)


def _variants():
    yield ANSWERS | _defaults()
    yield (
        ANSWERS
        | _defaults()
        | {"heights_from": "junction", "axis": "angle", "instrument": "thread", "free.1": "40"}
    )
    yield (
        ANSWERS
        | _defaults()
        | {"axis": "offsets", "instrument": "caliper", "collar": "plain", "tool": "free"}
    )
    yield ANSWERS | _defaults() | {"mouth_read": "folded_piece", "instrument": "strap_pinched"}


def test_leaving_keeps_a_draft_and_the_next_call_goes_on(tmp_path):
    path = tmp_path / "k.json"
    asking = Bench(ANSWERS, leave_at="height.junction").sit(path)
    asking.begin()
    with pytest.raises(LeftError):
        asking.run()
    assert draft_of(path).exists()
    assert not path.exists()
    again = Bench(ANSWERS, typed=["yes"]).sit(path)
    again.begin()
    assert again.interview.next().id == "height.junction"
    assert again.run().form.girths[0].reading_mm == 82.0


def test_back_takes_the_last_answer_back(tmp_path):
    bench = Bench(ANSWERS, typed=["back", "Elm knife", "", "back", "back", "Oak knife"])
    asking = bench.sit(tmp_path / "k.json")
    assert asking.run().title == "Oak knife"
    assert "This is the first question." in bench.heard


ODD = [
    ("girth.bottom_edge", ["8.2", "1"], "8.2 looks like centimetres", 82.0),
    ("girth.bottom_edge", ["3.23", "2"], "3.23 looks like inches", 3.23),
    ("girth.bottom_edge", ["8O", "80"], "letter O", 80.0),
    ("girth.bottom_edge", ["1,234", "82"], "two ways", 82.0),
    ("girth.bottom_edge", ["3 1/4", "1"], "fractions are mostly inches", 82.55),
    ("girth.bottom_edge", ["82 87", "82"], "more than one number", 82.0),
]


@pytest.mark.parametrize(("id", "typed", "part", "mm"), ODD)
def test_an_odd_number_is_asked_about_at_once(tmp_path, id, typed, part, mm):
    class Odd(Bench):
        def read(self, prompt):
            question = self.asking.interview.next()
            if question and question.id == id and typed:
                self.heard.append(prompt)
                return typed.pop(0)
            return super().read(prompt)

    bench = Odd(ANSWERS)
    job = bench.sit(tmp_path / "k.json").run()
    assert any(part in line for line in bench.heard)
    assert job.form.girths[0].reading_mm == mm


def test_more_is_told_and_what_is_needed_is_asked_again(tmp_path):
    bench = Bench(ANSWERS, typed=["?", "", "skip", "Birch knife", "", "someday", "", "kilometres", "?", "1"])
    job = bench.sit(tmp_path / "k.json").run()
    assert (job.title, job.paper.units) == ("Birch knife", "mm")
    heard = "\n".join(bench.heard)
    assert heard.count("This one is needed.") == 2
    assert '"someday" is not a day' in heard
    assert "Take one of: mm, inch." in heard
    assert "  inch               inches" in heard


def at_question(id, replies):
    """A person who types these at one question and at what is asked back there."""

    class There(Bench):
        def read(self, prompt):
            question = self.asking.interview.next()
            here = (question and question.id == id) or "Enter keeps it" in prompt
            if here and replies:
                self.heard.append(prompt)
                return replies.pop(0)
            return super().read(prompt)

    return There(ANSWERS)


REPLIES = [
    (["70", ""], 70.0),  # kept in spite of what was said
    (["70", "95"], 95.0),  # typed again
    (["70", "back", "95,4"], 95.4),  # taken back
    (["9.54", "95.5"], 95.5),  # a doubt answered by another number
    (["9.54", ""], 95.4),  # and by Enter
]


@pytest.mark.parametrize(("replies", "mm"), REPLIES)
def test_odd_answers_are_kept_or_typed_again(tmp_path, replies, mm):
    bench = at_question("girth.junction", list(replies))
    job = bench.sit(tmp_path / "k.json").run()
    assert next(row.reading_mm for row in job.form.girths if row.name == "junction") == mm


def test_leather_in_millimetres_though_the_rule_is_in_inches():
    with pytest.raises(InputRefused, match="2,0 looks like millimetres") as doubt:
        taken(units="inch", thickness="2,0 2,1 1,9")
    assert doubt.value.choices == ("2 mm; 2.1 mm; 1.9 mm", "2,0 in; 2,1 in; 1,9 in")


def test_what_the_command_line_says_is_not_asked(tmp_path):
    inches = {"thickness": "5 oz", "girth.bottom_edge": "3 1/4", "size.bottom_edge": "3/4 x 1"}
    bench = Bench(ANSWERS | inches, leave_at="height.lower_groove")
    asking = bench.sit(tmp_path / "k.json")
    asking.known = {"units": "inch"}
    with pytest.raises(LeftError):
        asking.run()
    assert asking.interview.job().form.girths[0].reading_mm == 82.55
    assert not any("millimetres or in inches" in line for line in bench.heard)


def test_a_draft_may_be_dropped(tmp_path):
    path = tmp_path / "k.json"
    draft_of(path).write_text(
        json.dumps({"kind": "backseam.draft", "version": 1, "answers": [["title", "Old"]]})
    )
    bench = Bench(ANSWERS, typed=["no"])
    asking = bench.sit(path)
    asking.begin()
    assert asking.interview.next().id == "title"
    assert any("Beginning anew" in line for line in bench.heard)


def test_the_last_answer_can_be_changed_before_writing(tmp_path):
    class Last(Bench):
        def read(self, prompt):
            if prompt.startswith("Write ") and not self.typed and "back" not in self.heard:
                self.heard.append("back")
                return "back"
            return super().read(prompt)

    bench = Last(ANSWERS | {"belt": "38"})
    assert bench.sit(tmp_path / "k.json").run().construction.hanger.belt_width_mm == 38.0
    assert any("Back" in line or "belt" in line for line in bench.heard)


def taken(**answers):
    """An interview with these answers, and what was said to the last."""
    interview, remarks = Interview(), []
    while (question := interview.next()) and (set(answers) - set(interview.answers)):
        text = answers.get(question.id.replace(".", "_"), ANSWERS.get(question.id, question.proposal))
        if question.id.replace(".", "_") in answers:
            answers.pop(question.id.replace(".", "_"))
            remarks = interview.take(question, text)
        else:
            interview.take(question, text)
    return interview, remarks


REMARKS = [
    ({"girth_junction": "70"}, "The girth falls by"),
    ({"size_junction": "40 x 45"}, "Nothing 40.1 wide"),
    ({"height_junction": "60"}, "Junction at 60 mm lies below liner end at 93 mm"),
    ({"height_thickest": "90"}, "Thickest at 90 mm lies below junction"),
    ({"mouth_above": "-4", "girth_mouth": "101"}, "below the thickest"),
    ({"girth_mouth": "110"}, "larger than at the height called thickest"),
]


@pytest.mark.parametrize(("answers", "part"), REMARKS)
def test_what_cannot_be_true_is_said_at_once_and_may_be_kept(answers, part):
    interview, remarks = taken(**answers)
    assert any(part in said for said in remarks), remarks
    assert list(interview.answers)[-1].replace(".", "_") in answers


def test_the_findings_said_at_once_exist():
    for code in AT_ONCE:
        finding(code)


def test_heights_from_the_junction():
    interview, _ = taken(
        heights_from="junction",
        reach="95",
        height_lower_groove="-18",
        height_upper_groove="-8",
        height_liner_end="",
        girth_junction="95,4",
        size_junction="",
        height_thickest="35",
        girth_thickest="102",
        girth_mouth="101,4",
        pitch="4",
    )
    job = interview.job()
    assert [row.station_mm for row in job.form.girths] == [-95.0, 0.0, 35.0, 41.0]
    assert (job.form.heights_from, job.form.reach_mm) == ("junction", 95.0)
    assert work(job).form.marks.junction == 95.0


def test_a_height_below_the_junction_without_its_minus_is_asked_about():
    with pytest.raises(InputRefused, match="Take it as -18") as doubt:
        taken(heights_from="junction", reach="95", height_lower_groove="18")
    assert doubt.value.choices == ("-18", "18")


def test_inches_from_the_first_answer_on():
    interview, _ = taken(
        units="inch", thickness="5 oz", girth_bottom_edge="3 1/4", size_bottom_edge="3/4 x 1"
    )
    row = interview.job().form.girths[0]
    assert (row.reading_mm, row.width_mm, row.depth_mm) == (82.55, 19.05, 25.4)
    assert interview.job().paper.units == "inch"


def test_bends():
    interview, _ = taken(
        axis="angle", bend_side="seam_outside", bend_angle="8°", bend_from="40", bend_to="120", pitch="4"
    )
    axis = interview.job().form.axis
    assert (axis.kind, axis.direction, axis.angle_deg, axis.from_mm, axis.to_mm) == (
        "angle",
        "seam_outside",
        8,
        40,
        120,
    )
    interview, _ = taken(axis="offsets", bend_offsets="0 0; 60 2,5; 130 0", pitch="4")
    assert [(one.station_mm, one.offset_mm) for one in interview.job().form.axis.offsets] == [
        (0, 0),
        (60, 2.5),
        (130, 0),
    ]
    for text, part in (
        ("0 0; 60", "in pairs"),
        ("0 0; 60 2", "Three heights"),
        ("0 0; 0 1; 9 2", "Three heights"),
    ):
        with pytest.raises(InputRefused, match=part):
            taken(axis="offsets", bend_offsets=text)


def test_the_folded_piece_is_its_own_instrument():
    interview, _ = taken(mouth_read="folded_piece", girth_mouth="104", pitch="4")
    mouth = interview.job().form.girths[-1]
    assert (mouth.instrument, interview.job().construction.mouth_read) == ("folded_piece", "folded_piece")


def test_a_strap_of_the_same_leather_goes_with_its_leather():
    interview, _ = taken(instrument_thickness="2 mm", girth_bottom_edge="82")
    assert interview.job().form.girths[0].instrument_mm is None
    interview, _ = taken(instrument_thickness="1,8", girth_bottom_edge="82")
    assert interview.job().form.girths[0].instrument_mm == 1.8


@pytest.mark.parametrize("text", ["", "[]", '{"kind": "x"}', '{"kind": "backseam.draft", "answers": 3}', "{"])
def test_a_draft_that_is_none_is_told(text):
    with pytest.raises(InputRefused) as refused:
        from_draft(text.encode())
    assert_clear(str(refused.value))


def test_answers_that_no_longer_fit_are_asked_again():
    draft = {
        "kind": "backseam.draft",
        "version": 1,
        "answers": [["title", "x"], ["customer", ""], ["promised", "never"]],
    }
    assert from_draft(json.dumps(draft).encode()).next().id == "promised"


def test_answers_piped_in_that_end_too_early(call, tmp_path, monkeypatch):
    monkeypatch.setattr("sys.stdin", StringIO("Birch knife\n"))
    said = call("new", tmp_path / "k.json")
    assert said.code == 2
    assert "The answers end before the questions do" in said.beside
    assert {one.name for one in tmp_path.iterdir()} == {"k.json.draft"}


def test_proposals_are_in_inches_for_who_works_in_inches():
    from backseam.cli.questions import _shown

    assert _shown({"units": "inch"}, 25.4) == "1.000 in"
    assert _shown({"units": "inch"}, 2.54, 1.27) == "0.100 x 0.050 in"
    assert _shown({"units": "inch"}, 0.0254) == "0.0010 in"
    assert _shown({}, 2.5, 1.2) == "2.5 x 1.2 mm"
