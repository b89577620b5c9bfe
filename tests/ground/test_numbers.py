"""The number reader. Lengths are worked out by hand beside each: inch 25.4 mm, ounce 1/64 inch, foot 12 inches."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.voice import assert_clear, refusal_of

from backseam.ground.errors import InDoubt, InputRefused
from backseam.ground.numbers import (
    plain,
    read_angle,
    read_count,
    read_length,
    read_lengths,
    read_percent,
    read_share,
)

READS = [
    ("86", 86.0),
    ("86,0", 86.0),
    ("86.0", 86.0),
    (" 86 mm ", 86.0),
    ("86mm", 86.0),
    ("86 MM.", 86.0),
    ("8.5 cm", 85.0),
    ("8,5cm", 85.0),
    ("0.086 m", 86.0),
    ('3/16"', 4.7625),  # 3 x 25.4 / 16
    ("3 3/4 in", 95.25),  # 3.75 x 25.4
    ('3-3/4"', 95.25),
    ("3¾ inch", 95.25),
    ("3 3⁄4″", 95.25),
    ('.5"', 12.7),
    ("2''", 50.8),
    ("1'2\"", 355.6),  # 14 x 25.4
    ("1'2", 355.6),
    ("1 ft 2 1/2 in", 368.3),  # 14.5 x 25.4
    ("2 feet", 609.6),
    ("0,123", 0.123),
    ("95.123", 95.123),
    ("12,3456", 12.3456),
    ("+5", 5.0),
    ("1\u00a0in", 25.4),
]


@pytest.mark.parametrize(("text", "mm"), READS)
def test_reads_what_benches_show(text, mm):
    assert read_length(text).mm == mm


def test_keeps_what_was_typed_and_its_unit():
    length = read_length(" 3 3/4 in ")
    assert (length.typed, length.unit, length.given) == ("3 3/4 in", "inch", True)
    assert not read_length("86,0").given


def test_five_ounces_are_about_two_millimetres():  # common practice, no source; exactly 5 x 25.4 / 64
    assert read_length("5 oz", thickness=True).mm == 1.984375
    assert read_length("5oz", thickness=True).mm == pytest.approx(2.0, abs=0.05)


def test_a_bare_number_takes_the_unit_it_is_given():
    assert read_length("3.74", unit="inch").mm == pytest.approx(94.996, abs=1e-12)
    assert read_length("3 3/4", unit="inch").mm == 95.25
    assert read_length("86 mm", unit="inch").mm == 86.0


def test_below_zero_only_where_it_can_be():
    assert read_length("−5,5", signed=True).mm == -5.5
    assert read_length("-0").mm == 0.0
    with pytest.raises(InputRefused, match="below zero"):
        read_length("-5")


REFUSED = [
    ("", "Nothing stands here"),
    ("   ", "Nothing stands here"),
    ("nan", "measured"),
    ("-Infinity", "measured"),
    ("1e309", "exponent"),
    ("1e2", "exponent"),
    ("1_0", "Type 10?"),
    ("٨٦", "Type 86?"),
    ("９５", "Fullwidth"),
    ("9O,5", "letter O in it. Type 90,5?"),
    ("l0", "Type 10?"),
    ("10o mm", "Type 100 mm?"),
    ("abc", "not a number"),
    ("86 87", "86, 87"),
    ("86-87", "Type one"),
    ("1 234", "more than one number"),
    ("86,0,1", "more than one decimal mark"),
    ("86.", "Type 86 or 86.0?"),
    ("86/87", "fraction of a rule"),
    ("3 5/4 in", "fraction of a rule"),
    ("5/0", "fraction of a rule"),
    ("5 oz", "thickness of leather"),
    ("86 furlong", "no unit"),
    ("86€", "€"),
    ("=1+1", "="),
    ("1²", "²"),
    ("0x10", "more than one number"),
    ("1'2 mm", "more than one number"),
    ("3000", "the 2000 that can be here"),
    ("1" * 61, "61 characters"),
]


@pytest.mark.parametrize(("text", "part"), REFUSED)
def test_refuses_in_one_clear_sentence(text, part):
    with pytest.raises(InputRefused) as refused:
        read_length(text)
    assert part in str(refused.value)
    assert_clear(str(refused.value))


DOUBTS = [
    ("1,234", ("1,2340 mm", "1234 mm"), False),
    ("1.234", ("1.2340 mm", "1234 mm"), False),
    ("95,123", ("95,1230 mm",), False),
    ("1.234,5", ("1234,5 mm",), False),
    ("1,234.5", ("1234.5 mm",), False),
    ("1.234.567", ("1234567 mm",), False),
    ("3 3/4", ("3 3/4 in", "3 3/4 mm"), True),
    ("3/16", ("3/16 in", "3/16 mm"), True),
]


@pytest.mark.parametrize(("text", "choices", "likely"), DOUBTS)
def test_two_meanings_are_asked_about_never_guessed(text, choices, likely):
    with pytest.raises(InDoubt) as doubt:
        read_length(text)
    assert doubt.value.choices == choices
    assert doubt.value.likely is likely
    assert_clear(str(doubt.value))


@pytest.mark.parametrize("choices", [choices for _, choices, _ in DOUBTS])
def test_each_choice_of_a_doubt_has_one_meaning(choices):
    for choice in choices:  # or it lies beyond any sheath, and that is said
        assert not isinstance(refusal_of(read_length, choice), InDoubt), choice


def test_a_known_decimal_mark_settles_the_thousands():
    assert read_length("95,123", decimal=",").mm == 95.123
    assert read_length("1.234", decimal=".").mm == 1.234
    with pytest.raises(InDoubt):
        read_length("1.234", decimal=",")


def test_several_readings_with_spaces_or_semicolons():
    assert [one.mm for one in read_lengths("2,0 2,1 1,9")] == [2.0, 2.1, 1.9]
    assert [one.mm for one in read_lengths("5 oz; 2 mm", thickness=True)] == [1.984375, 2.0]
    assert [one.mm for one in read_lengths("2 1/8 in")] == [53.975]
    with pytest.raises(InputRefused, match="not a number"):
        read_lengths("2,0 x")


def test_angles_percents_shares_and_counts():
    assert read_angle("-7,5°").value == -7.5
    assert read_angle("22 1/2 deg").value == 22.5
    assert read_percent("1,5 %").value == 1.5
    assert read_share("45 %").value == pytest.approx(0.45)
    assert read_count("4").value == 4
    for read, text in (
        (read_angle, "45 mm"),
        (read_percent, "3°"),
        (read_count, "3.5"),
        (read_count, "4 mm"),
    ):
        with pytest.raises(InputRefused) as refused:
            read(text)
        assert_clear(str(refused.value))


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused(text):
    for read in (read_length, read_lengths, read_angle, read_percent, read_share, read_count):
        refused = refusal_of(read, text)
        assert refused is None or str(refused)[-1] in ".?"


@given(st.text(alphabet="0123456789.,/-+ '\"mcintofz½O_e٣", max_size=14))
def test_anything_like_a_number_is_a_length_or_refused(text):
    refused = refusal_of(read_length, text)
    assert str(refused)[-1] in ".?" if refused else 0 <= read_length(text).mm <= 2000


@given(st.integers(0, 199_999))
def test_point_and_comma_mean_the_same(hundredths):
    text = f"{hundredths / 100:.2f}"
    assert read_length(text).mm == read_length(text.replace(".", ",")).mm == hundredths / 100


@given(st.integers(0, 1000), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_sixty_fourths_are_exact(number, under):  # k/2^n inch = k x 25.4 / 2^n mm, rounded once
    whole, top = divmod(number % (70 * under), under)
    text = f"{whole} {top}/{under} in" if top else f"{whole} in"
    assert read_length(text).mm == pytest.approx((whole + top / under) * 25.4, abs=1e-12)


@given(st.floats(0, 2000))
def test_what_plain_writes_reads_back(value):
    text = plain(value)
    if "e" not in text:
        assert read_length(text, decimal=".").mm == pytest.approx(value, rel=1e-9)
