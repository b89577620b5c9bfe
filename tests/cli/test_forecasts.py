"""fit and dry on a sample: what they print for people and machines, the drawings, and what they refuse."""

import json

import pytest
from tests.jobs import SAMPLES, sample
from tests.voice import assert_clear


def test_fit_speaks_in_words_until_something_was_measured(call, job):
    out = call("fit", job)
    assert out.code == 0
    assert "Draw:" in out.out
    assert " N " not in out.out


def test_fit_for_machines(call, job):
    told = json.loads(call("fit", job, "--json").out)
    assert told["calibrated"] is False
    assert 0 <= told["loses"] <= 1
    assert told["said"]
    assert told == json.loads(call("fit", job, "--json").out), "same seed, same forecast"


def test_a_knife_that_may_fall_out_stands_first(call, job):
    found = json.loads(call("fit", job, "--json").out)["findings"]
    assert found[0]["code"] == "FIT-001"
    assert found[0]["severity"] == "check"


def test_dry_gives_times_of_day_in_order(call, job):
    out = call("dry", job, "--room", "19 C, 55 %", "--start", "14:00")
    assert out.code == 0
    assert "ready to mould" in out.out
    assert "day + 1" in out.out


def test_dry_for_machines_is_a_band_for_each_moment(call, job):
    rows = json.loads(call("dry", job, "--json").out)["minutes"]
    assert {"soaked", "ready", "clamps_off", "first_draw", "second_draw", "wax"} <= set(rows)
    for low, likely, high in rows.values():
        assert low <= likely <= high


def test_warm_dry_air_is_sooner_ready_than_cool_damp_air(call, job):
    rooms = ("24 C, 40 %", "68 F, 70 %")
    quick, slow = (json.loads(call("dry", job, "--room", r, "--json").out)["minutes"] for r in rooms)
    assert quick["wax"][1] < slow["wax"][1]


@pytest.mark.parametrize(
    "options", [("--room", "hot"), ("--room", "80 C, 50 %"), ("--room", "20 C, 300 %"), ("--start", "25:10")]
)
def test_a_room_or_a_start_that_is_none_is_refused_in_a_sentence(call, job, options):
    out = call("dry", job, *options)
    assert out.code == 2
    assert_clear(out.beside.strip())


@pytest.mark.parametrize("command", ["fit", "dry"])
def test_the_drawing_is_written_whole_and_never_over_another(call, job, tmp_path, command):
    target = tmp_path / "curve.svg"
    assert call(command, job, "--drawing", target).code == 0
    assert target.read_text(encoding="utf-8").rstrip().endswith("</svg>")
    again = call(command, job, "--drawing", target)
    assert again.code == 2


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_has_a_forecast_and_a_timetable(name):
    from backseam.job.forecast import hold, timetable
    from backseam.job.recipe import work

    worked = work(sample(name))
    assert hold(worked).samples >= 10_000
    assert timetable(worked).moment("wax").likely > 60


WEIGHED = ("--start", "14:00", "--piece", "46 g", "--form", "210 g")


def test_weights_narrow_the_rest_of_the_timetable(call, job):
    guessed = json.loads(call("dry", job, "--start", "14:00", "--json").out)["minutes"]["wax"]
    rows = ("--weigh", "21:00 270,5 g", "--weigh", "23:00 266 g", "--weigh", "7:10 259 g")
    out = json.loads(call("dry", job, *WEIGHED, *rows, "--json").out)
    low, _, high = out["minutes"]["wax"]
    assert high - low < guessed[2] - guessed[0]
    assert out["drying"]["dry_g"][0] <= out["drying"]["dry_g"][1] <= out["drying"]["dry_g"][2]
    assert "still to go" in call("dry", job, *WEIGHED, *rows).out


def test_hours_after_the_soak_say_the_same_as_times_of_day(call, job):
    timed = call("dry", job, *WEIGHED, "--weigh", "21:00 270.5 g", "--weigh", "7:00 259 g", "--json")
    counted = call("dry", job, *WEIGHED, "--weigh", "7 h 270.5 g", "--weigh", "1020 min, 259 g", "--json")
    assert timed.out == counted.out


def test_weights_that_rise_while_drying_are_a_finding(call, job):
    rows = ("--weigh", "6 h 260 g", "--weigh", "8 h 258 g", "--weigh", "10 h 266 g")
    codes = [one["code"] for one in json.loads(call("dry", job, *rows, "--json").out)["findings"]]
    assert {"WET-011", "WET-012"} <= set(codes)


@pytest.mark.parametrize(
    "options",
    [("--weigh", "20:30 264 g"), ("--start", "14:00", "--weigh", "heavy"), ("--weigh", "6 h -3 g")],
)
def test_a_weight_that_cannot_be_read_is_refused_in_a_sentence(call, job, options):
    out = call("dry", job, *options)
    assert out.code == 2
    assert_clear(out.beside.strip())


@pytest.mark.parametrize("room", ["-20 C, 50 %", "80 C, 50 %", "20 C, 100 %"])
def test_a_room_in_which_nothing_dries_is_one_sentence(call, job, room):
    out = call("dry", job, "--room", room)
    assert out.code == 2
    assert len(out.beside.strip().splitlines()) == 1
    assert_clear(out.beside.strip())


def test_bone_dry_air_is_a_finding_and_no_refusal(call, job):
    out = call("dry", job, "--room", "20 C, 0 %", "--json")
    assert out.code == 0
    assert "WET-005" in [one["code"] for one in json.loads(out.out)["findings"]]
    assert "NaN" not in out.out


def test_a_wanted_hold_says_how_to_come_to_it_and_how_likely(call, job):
    told = json.loads(call("fit", job, "--hold", "everyday", "--json").out)["aim"]
    assert told["wanted_n"] == [12, 25]
    assert {way["kind"] for way in told["ways"]} == {"height", "drop", "tighter"}
    assert all(0 <= way["chance_share"] <= 1 for way in told["ways"])
    assert len(told["said"]) == len(told["ways"])
    assert "Wanted, everyday: as the job is," in call("fit", job, "--hold", "everyday").out


def test_what_is_not_reachable_says_so_and_what_would_do_it(call, job):
    found = json.loads(call("fit", job, "--hold", "everyday", "--json").out)
    assert not found["aim"]["reachable"]
    said = [one for one in found["findings"] if "not reachable with this handle" in one["text"]]
    assert said
    assert said[0]["remedy"]


def test_newtons_may_be_asked_for_once_girth_and_pull_are_known(call, job):
    measured = ("--girth", "94.2", "--pull", "2.4 kg")
    out = call("fit", job, *measured, "--hold", "15 to 25 N")
    assert out.code == 0
    assert " N (" in out.out
    known = json.loads(call("fit", job, *measured, "--hold", "15-25 N", "--json").out)
    assert known["calibrated"]
    assert known["aim"]["wanted_n"] == [15, 25]
    assert "FIT-022" not in [one["code"] for one in known["findings"]]
    early = json.loads(call("fit", job, "--hold", "15 N to 25 N", "--json").out)["findings"]
    assert "FIT-022" in [one["code"] for one in early]


def test_a_girth_and_a_pull_that_cannot_be_are_findings(call, job):
    found = json.loads(call("fit", job, "--girth", "60", "--pull", "900 N", "--json").out)["findings"]
    assert {"FIT-010", "FIT-011"} <= {one["code"] for one in found}


def test_the_trial_ring_of_the_job_narrows_the_band(tmp_path, call, job):
    document = json.loads(job.read_text(encoding="utf-8"))
    document["made"] = {"ring": {"inside_mm": 95.4}}
    with_ring = tmp_path / "ring.json"
    with_ring.write_text(json.dumps(document), encoding="utf-8")
    codes = [
        [x["code"] for x in json.loads(call("fit", j, "--json").out)["findings"]] for j in (job, with_ring)
    ]
    assert "FIT-009" in codes[0]
    assert "FIT-009" not in codes[1]


@pytest.mark.parametrize(
    "options", [("--hold", "strong"), ("--hold", "25 to 15 N"), ("--pull", "hard"), ("--girth", "wide")]
)
def test_a_wish_or_a_measurement_that_cannot_be_read_is_one_sentence(call, job, options):
    out = call("fit", job, *options)
    assert out.code == 2
    assert_clear(out.beside.strip())
