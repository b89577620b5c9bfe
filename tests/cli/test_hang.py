"""hang on a sample: for people, for machines, as a picture."""

from __future__ import annotations

import json


def test_hang_says_weight_balance_and_lean(call, job):
    out = call("hang", job)
    assert out.code == 0
    for word in ("Weight:", "Centre of gravity:", "Hangs upright", "Sideways:"):
        assert word in out.out


def test_hang_for_machines(call, job):
    told = json.loads(call("hang", job, "--json").out)
    assert told["hanging"]["stands"] == "upright"
    assert told["centre_mm"] == sorted(told["centre_mm"])
    assert sum(told["parts_g"].values()) > told["empty_g"]


def test_the_picture_is_written_and_never_over_another(call, job, tmp_path):
    target = tmp_path / "hang.svg"
    assert call("hang", job, "--drawing", target).code == 0
    assert "<svg" in target.read_text(encoding="utf-8")
    assert call("hang", job, "--drawing", target).code == 2


def test_a_job_without_a_hanger(call, tmp_path):
    from tests.jobs import raw

    path = tmp_path / "tube.json"
    path.write_text(json.dumps(raw("tube")), encoding="utf-8")
    out = call("hang", path)
    assert out.code == 0
    assert "No hanger" in out.out
    assert json.loads(call("hang", path, "--json").out)["hanging"] is None


def test_the_side_goes_with_the_hand(call, tmp_path):
    from tests.jobs import raw

    for hand in ("right", "left"):
        document = raw()
        document["construction"]["hand"] = hand
        path = tmp_path / f"{hand}.json"
        path.write_text(json.dumps(document), encoding="utf-8")
        assert f"worn on the {hand} hip" in call("hang", path).out
