"""A table of readings as people note it: every delimiter, mark, unit and encoding; every slip with its row."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.voice import assert_clear, each, refusal_of

from backseam.ground.errors import InDoubt, InputRefused, SeveralRefused
from backseam.intake.columns import MOST_COLUMNS, MOST_ROWS
from backseam.intake.decode import LARGEST_TABLE
from backseam.intake.readings_csv import LONGEST_CELL, read_readings
from backseam.job.text import dumps, job_of, loads, plain_of

HEAD = "station_mm,reading_mm,instrument,width_mm,depth_mm,note\n"
PLAIN = "station_mm,reading_mm\n0,82.0\n40,87.8\n95,95.4\n130,102.0\n"


def rows(text, **named):
    data = text.encode() if isinstance(text, str) else text
    return [(row.station_mm, row.reading_mm) for row in read_readings(data, **named).rows]


def codes(text, **named):
    return {one.code: one for one in read_readings(text.encode(), **named).findings}


SAME = [(0.0, 82.0), (40.0, 87.8), (95.0, 95.4), (130.0, 102.0)]
WRITTEN = [
    PLAIN,
    PLAIN.replace("\n", "\r\n"),
    PLAIN.rstrip("\n"),
    PLAIN.replace(",", ";").replace(".", ","),
    PLAIN.replace(",", "\t").replace(".", ","),
    PLAIN.replace(",", " , "),
    PLAIN.replace("\n", "\n\n"),
    PLAIN.replace("\n", ",,\n"),
    PLAIN.replace("station_mm,reading_mm", "Station (mm),Reading (MM)"),
    PLAIN.replace("station_mm,reading_mm", "Height mm,Girth [mm]"),
    PLAIN.replace("station_mm,reading_mm", '"station-mm","reading mm"'),
    "sep=;\n" + PLAIN.replace(",", ";"),
    "Readings of the birch knife\n\n" + PLAIN,
    PLAIN.replace("82.0", "82.0 mm").replace("95.4", '"9,54 cm"'),
    "reading_cm;station_cm\n8,2;0\n8,78;4\n9,54;9,5\n10,2;13\n",
]


@pytest.mark.parametrize("text", WRITTEN)
def test_one_table_in_many_hands(text):
    assert rows(text) == SAME


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_encodings(encoding):
    text = "station_mm;reading_mm;note\n0;82,0;höhere Stelle ½\n40;87,8;\n"
    found = read_readings(text.encode(encoding)).rows
    assert found[0].note == "höhere Stelle ½"
    assert [row.reading_mm for row in found] == [82.0, 87.8]


def test_inches_with_fractions():
    text = 'station_in;reading_in\n0;3 1/4\n1,5;3,5\n3 3/4;"3 3/4"""\n'
    assert rows(text) == [(0.0, 82.55), (pytest.approx(38.1), pytest.approx(88.9)), (95.25, 95.25)]


def test_every_column_is_taken():
    text = (
        "name,station_mm,reading_mm,instrument,instrument_mm,width_mm,depth_mm,pull,over_film,spread_mm,note\n"
        "Bottom edge,0,82.0,Strap butted,2.1,18,26,Snug,yes,0.4,first\n"
        "junction,95,,caliper,,21.5,30.5,,bare,,\n"
    )
    first, second = read_readings(text.encode()).rows
    assert (first.name, first.instrument, first.instrument_mm) == ("Bottom edge", "strap_butted", 2.1)
    assert (first.pull, first.over_film, first.spread_mm, first.note) == ("snug", True, 0.4, "first")
    assert (first.width_mm, first.depth_mm) == (18, 26)
    assert (second.reading_mm, second.instrument, second.over_film) == (None, "caliper", False)


def test_what_was_typed_is_kept_and_reads_back():
    row = read_readings(b"station_in;reading_mm\n1;95,4\n").rows[0]
    assert row.typed == {"station_mm": "1 in", "reading_mm": "95,4"}
    text = json.dumps({"kind": "backseam.job", "version": 1, "form": {"girths": [plain_of(row)]}})
    assert loads(text).form.girths[0] == row


def test_text_stays_text():
    cell = '=HYPERLINK("http://x")'
    row = read_readings(f'{HEAD}0,82,thread,,,"{cell.replace(chr(34), chr(34) * 2)}"\n'.encode()).rows[0]
    assert row.note == cell
    refused = refusal_of(read_readings, f"{HEAD}0,=82+1,thread,,,\n".encode())
    assert refused is not None
    assert '"="' in str(refused)


REFUSED = [
    ("", "empty"),
    ("   \n", "empty"),
    ("a,b\n1,2\n", "no header"),
    ("0,82\n40,87\n", "no header"),
    ("station_mm\n1\n", "no column of readings"),
    ("station_mm,reading_mm\n", "no reading under it"),
    ("station_mm,reading_mm\n,\n\n", "no reading under it"),
    ("station_mm,height_in,reading_mm\n1,2,3\n", "stands twice"),
    ('station_mm,reading_mm\n0,"82\n40,87\n', "a quote is opened"),
    (HEAD + "0,82,0,thread,18,26,x\n", "Row 2 has 7 cells"),
    (HEAD + ",82,thread,,,\n", "Row 2 has no height"),
    (HEAD + "0,,,,,just a note\n", "Row 2 has a height but no reading"),
    (HEAD + "0,abc,thread,,,\n", 'Row 2, reading_mm: "abc"'),
    (HEAD + "0,nan,thread,,,\n", "measured"),
    (HEAD + "0,-82,thread,,,\n", "below zero"),
    (HEAD + "0,0,thread,,,\n", "not above 0"),
    (HEAD + "1e309,82,thread,,,\n", "exponent"),
    (HEAD + "0,٨٢,thread,,,\n", "Type 82?"),
    (HEAD + "0,9O,thread,,,\n", "letter O"),
    (HEAD + "0,82,strp_butted,,,\n", "strap_butted?"),
    (HEAD + "0,82,zzz,,,\n", "not one of"),
    (HEAD + "0,82,thread,600 mm,,\n", "Row 2: width_mm: 600 is more than 500"),
    (HEAD + "0,82,thread,99999,,\n", "the 2000 that can be here"),
    ("station_mm,reading_mm,over_film\n0,82,perhaps\n", "neither yes nor no"),
    ("station_mm,reading_mm,pull\n0,82,hrad\n", "hard?"),
    (HEAD + f"0,82,thread,,,{'x' * (LONGEST_CELL + 1)}\n", "2001 characters"),
    ("station_mm,reading_mm," + ",".join(f"c{n}" for n in range(MOST_COLUMNS)) + "\n0,82\n", "columns"),
    ("station_mm,reading_mm\n" + "1,90\n" * (MOST_ROWS + 1), "10000 rows"),
    (b"PK\x03\x04 spreadsheet", "Save it as CSV"),
    (b"%PDF-1.7", "Save it as CSV"),
    (b"\x00\x01\x02\x03", "not a text file"),
    (b"station_mm,reading_mm\n0,82\x00\n", "not a text file"),
    (b"\x81\x8d\x8f", "not a text file"),
    (b" " * (LARGEST_TABLE + 1), "5 MB"),
]


@pytest.mark.parametrize(("text", "part"), REFUSED, ids=[part for _, part in REFUSED])
def test_what_cannot_be_taken_is_told_with_its_row(text, part):
    with pytest.raises(InputRefused) as refused:
        read_readings(text.encode() if isinstance(text, str) else text)
    assert part in str(refused.value)
    assert_clear(str(refused.value))


def test_every_slip_of_a_table_at_once():
    text = HEAD + ",82,thread,,,\n40,,thread,,,\n95,abc,strap,x,-3,\n130,102,thread,,,\n"
    with pytest.raises(SeveralRefused) as refused:
        read_readings(text.encode())
    assert [one.where for one in each(refused.value)] == [
        ("row", 2, "station"),
        ("row", 3),
        ("row", 4, "reading"),
        ("row", 4, "instrument"),
        ("row", 4, "width"),
        ("row", 4, "depth"),
    ]


def test_a_unit_that_is_not_named_is_asked_for():
    text = "station,reading\n0,82\n40,87\n95,95\n"
    with pytest.raises(InDoubt, match="Millimetres or inches") as doubt:
        read_readings(text.encode())
    assert (doubt.value.where, doubt.value.choices[0], doubt.value.likely) == (("unit",), "mm", True)
    assert rows(text, unit="mm") == rows(text, answers={("unit",): "mm"}) == rows(text, yes=True)
    assert rows("station,reading\n0,3 1/4\n2,3.5\n", unit="inch")[0] == (0.0, 82.55)
    assert codes(text, yes=True)["TABLE-009"].text().endswith("millimetres.")


def test_cells_with_their_own_unit_need_no_other():
    assert rows("station,reading\n0 mm,82 mm\n4 cm,3 1/2 in\n") == [(0.0, 82.0), (40.0, 88.9)]


def test_one_reading_in_inches_among_millimetres():
    text = PLAIN.replace("87.8", "3.46")
    with pytest.raises(InDoubt, match=r"3.46 looks like inches; the other readings are near 8\d mm") as doubt:
        read_readings(text.encode())
    assert doubt.value.where == ("row", 3, "reading")
    assert doubt.value.choices == ("87.88 mm", "3.46 mm")
    assert_clear(str(doubt.value))
    assert rows(text, answers={("row", 3, "reading"): "3.46 mm"})[1] == (40.0, 3.46)
    assert rows(text, yes=True)[1] == (40.0, 87.88)
    found = codes(text, yes=True)["TABLE-008"]
    assert found.text() == 'Row 3, reading_mm: "3.46" was taken as 87.88 mm.'


def test_heights_in_centimetres_are_asked_about():
    text = "station_mm,reading_mm\n0,82\n4,87.8\n9.5,95.4\n13,102\n"
    with pytest.raises(InDoubt, match="they look like centimetres") as doubt:
        read_readings(text.encode())
    assert doubt.value.where == ("heights",)
    assert rows(text, answers={("heights",): "cm"}) == rows(text, yes=True) == SAME
    assert rows(text, answers={("heights",): "mm"})[3] == (13.0, 102.0)


def test_thousands_are_never_guessed_not_even_with_yes():
    text = "station_mm;reading_mm\n0;82\n95;95,123\n"
    for yes in (False, True):
        with pytest.raises(InDoubt, match="two ways"):
            read_readings(text.encode(), yes=yes)
    assert rows("station_mm;reading_mm\n0;82,0\n95;95,123\n")[1] == (95.0, 95.123)  # the table shows its mark


def test_a_strap_alone_is_asked_about():
    with pytest.raises(InDoubt, match="butted, overlapped or pinched") as doubt:
        read_readings(f"{HEAD}0,82,strap,,,\n".encode(), yes=True)
    assert doubt.value.choices[0] == "strap_butted"


def test_findings_of_a_table():
    unknown = codes("station_mm,reading_mm,weather\n0,82,wet\n")["TABLE-001"]
    assert unknown.text() == 'The column "weather" was kept, not used.'
    assert codes(HEAD + "0,82,thread,,,\n0,83,thread,,,\n")["TABLE-002"].numbers["second"] == 3
    assert "TABLE-002" not in codes(HEAD + "0,82,thread,,,\n0,83,paper,,,\n")
    slip = codes("station_mm,reading_mm\n0,82\n40,87\n13,90\n95,95\n130,102\n")["TABLE-003"]
    assert slip.text() == "Row 4 (13.0 mm) stands between 40.0 mm and 95.0 mm."
    assert "TABLE-004" in codes("station_mm,reading_mm\n95,95\n0,82\n130,102\n40,87\n136,101\n")
    assert codes("station_mm,reading_mm,note\n0,82,\n95,95,\n130,100")["TABLE-005"].numbers["row"] == 4
    assert codes("My knife\n" + PLAIN)["TABLE-006"].numbers["row"] == 2
    assert codes(PLAIN)["TABLE-007"].numbers["count"] == 4
    assert codes(
        PLAIN.replace("station_mm,reading_mm", "station_mm,reading_mm,instrument").replace(".0", ".0,thread")
    )


def test_downward_is_an_order_too():
    assert set(codes("station_mm,reading_mm\n130,102\n95,95\n0,82\n")) == {"TABLE-007"}


def test_unknown_columns_are_kept_with_the_reading():
    row = read_readings(b"station_mm,reading_mm,weather\n0,82,wet\n").rows[0]
    assert plain_of(row)["weather"] == "wet"


def test_one_row_only():
    assert rows("station_mm,reading_mm\n40,125.7\n") == [(40.0, 125.7)]


def test_ten_thousand_rows():
    text = "station_mm,reading_mm\n" + "".join(f"{n / 40},{90 + n / 1000}\n" for n in range(MOST_ROWS))
    assert len(rows(text)) == MOST_ROWS


@given(st.binary(max_size=400))
def test_any_bytes_are_a_table_or_refused(data):
    refused = refusal_of(read_readings, data)
    assert refused is None or str(refused)


_cell = st.text(alphabet="0123456789.,;/-+ \t'\"mcinx=½O_٣abstrap\n", max_size=8)
_columns = [
    "station_mm",
    "reading",
    "width_in",
    "depth_mm",
    "instrument",
    "pull",
    "over_film",
    "note",
    "what",
    "spread_cm",
]


@given(
    st.lists(st.sampled_from(_columns), min_size=1, max_size=6),
    st.lists(st.lists(_cell, max_size=7), max_size=6),
    st.sampled_from([",", ";", "\t"]),
    st.booleans(),
)
def test_anything_like_a_table_is_taken_or_refused(head, lines, delimiter, yes):
    text = "\n".join([delimiter.join(["station_mm", *head]), *(delimiter.join(line) for line in lines)])
    refused = refusal_of(read_readings, text.encode(), yes=yes)
    if refused is None:
        found = [plain_of(row) for row in read_readings(text.encode(), yes=yes).rows]
        job = job_of({"kind": "backseam.job", "version": 1, "form": {"girths": found}})
        assert loads(dumps(job)) == job
    else:
        assert all(str(one) for one in each(refused))
