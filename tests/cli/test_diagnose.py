"""diagnose: the list, one symptom with and without a job, words of one's own, and what it refuses."""

from __future__ import annotations

import json

from tests.voice import assert_clear


def test_alone_it_prints_the_list_safety_first(call):
    out = call("diagnose")
    assert out.code == 0
    assert out.out.index("loose_fit") < out.out.index("tight_fit") < out.out.index("water_mark")
    told = json.loads(call("diagnose", "--json").out)
    assert told[0]["severity"] == "safety"


def test_with_a_job_it_goes_by_its_numbers(call, job):
    out = call("diagnose", job, "rattles")
    assert out.code == 0
    assert "Taken as loose_fit." in out.out
    assert "Here" in out.out
    assert out.out.splitlines()[0].startswith("■ Safety")


def test_without_a_job_it_gives_the_general_order(call):
    out = call("diagnose", "cracked", "at", "the", "fold")
    assert "The general order" in out.out
    assert "Here" not in out.out


def test_for_machines(call, job):
    told = json.loads(call("diagnose", job, "falls out", "--json").out)
    assert told["symptom"] == "loose_fit"
    assert told["withdraw"]
    assert abs(sum(cause["share"] for cause in told["causes"]) - 1) < 0.01
    shares = [cause["share"] for cause in told["causes"]]
    assert shares == sorted(shares, reverse=True)


def test_hanging_uses_the_weighed_knife(call, job):
    document = json.loads(job.read_text(encoding="utf-8"))
    document["knife"] = {"weight_g": 240, "balance_mm": 45, "handle_length_mm": 130}
    job.write_text(json.dumps(document), encoding="utf-8")
    told = json.loads(call("diagnose", job, "tips over", "--json").out)
    assert told["causes"][0]["id"] == "high_weight"


def test_what_is_not_found_is_refused_in_a_sentence(call, job):
    for arguments in (("xyzzy",), (job, "xyzzy"), ("gone.json", "loose"), ("losefit",)):
        out = call("diagnose", *arguments)
        if arguments == ("losefit",):
            assert "loose_fit" in (out.out + out.beside)
            continue
        assert out.code == 2
        assert_clear(out.beside.strip())
