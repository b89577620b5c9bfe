"""Files are written whole or not at all, and what goes wrong is one sentence."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from tests.voice import assert_clear

from backseam.cli import files
from backseam.cli.files import CONTENTS, clean_name, read_bytes, write_new, write_papers
from backseam.ground.errors import InputRefused, OutputRefused


def names(folder: Path) -> set[str]:
    return {one.name for one in folder.iterdir()}


def failing(number):
    def fail(*_args, **_named):
        raise OSError(number, os.strerror(number))

    return fail


def test_reading_says_what_is_wrong(tmp_path):
    (tmp_path / "knife.json").write_text("{}")
    for path, part in (
        (tmp_path / "knive.json", "there is knife.json"),
        (tmp_path / "zzz", "is not there"),
        (tmp_path, "is a folder"),
        (tmp_path / "knife.json" / "x", "could not be read"),
        (tmp_path / ("x" * 300), "could not be read"),
        (tmp_path / "a\0b", "could not be read"),
    ):
        with pytest.raises(InputRefused) as refused:
            read_bytes(path)
        assert part in str(refused.value)
        assert_clear(str(refused.value).replace("\0", ""))


def test_reading_stops_at_a_size(tmp_path, monkeypatch):
    monkeypatch.setattr(files, "LARGEST", 10)
    (tmp_path / "big").write_bytes(b"x" * 11)
    with pytest.raises(InputRefused, match="too big"):
        read_bytes(tmp_path / "big")


def test_a_file_is_never_replaced_silently(tmp_path):
    path = tmp_path / "deep" / "knife.json"
    write_new(path, b"one")
    with pytest.raises(OutputRefused, match="--replace"):
        write_new(path, b"two")
    assert path.read_bytes() == b"one"
    write_new(path, b"two", replace=True)
    assert path.read_bytes() == b"two"
    assert names(path.parent) == {"knife.json"}


FAILS = [
    (errno.ENOSPC, "full"),
    (errno.EDQUOT, "full"),
    (errno.EROFS, "may not be written"),
    (errno.EACCES, "may not be written"),
    (errno.ENAMETOOLONG, "too long"),
    (errno.EIO, "could not be written"),
]


@pytest.mark.parametrize(("number", "part"), FAILS)
@pytest.mark.parametrize("at", ["fsync", "replace"])
def test_whatever_fails_nothing_is_half_written(tmp_path, monkeypatch, number, part, at):
    path = tmp_path / "knife.json"
    path.write_bytes(b"before")
    monkeypatch.setattr(os, at, failing(number))
    with pytest.raises(OutputRefused) as refused:
        write_new(path, b"after", replace=True)
    assert part in str(refused.value)
    assert_clear(str(refused.value))
    assert path.read_bytes() == b"before"
    assert names(tmp_path) == {"knife.json"}


@pytest.mark.parametrize(("number", "part"), FAILS)
def test_papers_come_all_or_none(tmp_path, monkeypatch, number, part):
    real, written = os.fsync, []

    def full_at_the_second(handle):
        written.append(handle)
        if len(written) == 2:
            raise OSError(number, os.strerror(number))
        real(handle)

    monkeypatch.setattr(os, "fsync", full_at_the_second)
    with pytest.raises(OutputRefused) as refused:
        write_papers(tmp_path / "papers", {"a.pdf": b"a", "b.pdf": b"b", "c.pdf": b"c"})
    assert part in str(refused.value)
    assert_clear(str(refused.value))
    assert names(tmp_path) == set()


def test_a_really_full_device_is_told():
    if not Path("/dev/full").exists():
        pytest.skip("no such device here")
    with pytest.raises(OutputRefused, match="full"), files._writing(Path("/dev/full")):
        files._write(Path("/dev/full"), b"x")


def test_a_file_in_the_way_of_the_folder(tmp_path):
    (tmp_path / "papers").write_text("a file")
    for folder in (tmp_path / "papers", tmp_path / "papers" / "deeper"):
        with pytest.raises(OutputRefused, match="A file stands where") as refused:
            write_papers(folder, {"a.pdf": b"a"})
        assert_clear(str(refused.value))
    with pytest.raises(OutputRefused, match="A file stands where"):
        write_new(tmp_path / "papers" / "knife.json", b"x")


def test_a_second_run_takes_its_own_papers_away(tmp_path):
    write_papers(tmp_path, {"pattern.pdf": b"full", "worked.json": b"1"})
    left = write_papers(tmp_path, {"preview.pdf": b"preview", "worked.json": b"2"})
    assert left == ()
    assert names(tmp_path) == {"preview.pdf", "worked.json", CONTENTS}
    assert (tmp_path / "worked.json").read_bytes() == b"2"


def test_what_a_person_changed_or_brought_stays(tmp_path):
    write_papers(tmp_path, {"pattern.svg": b"ours", "pattern.pdf": b"ours"})
    (tmp_path / "pattern.svg").write_bytes(b"changed by hand")
    (tmp_path / "photo.jpg").write_bytes(b"theirs")
    assert write_papers(tmp_path, {"preview.pdf": b"x"}) == ("pattern.svg",)
    assert names(tmp_path) == {"pattern.svg", "photo.jpg", "preview.pdf", CONTENTS}


def test_a_strangers_file_is_not_replaced(tmp_path):
    (tmp_path / "pattern.pdf").write_bytes(b"theirs")
    with pytest.raises(OutputRefused, match="not from Backseam"):
        write_papers(tmp_path, {"pattern.pdf": b"ours"})
    assert (tmp_path / "pattern.pdf").read_bytes() == b"theirs"
    assert names(tmp_path) == {"pattern.pdf"}
    write_papers(tmp_path, {"pattern.pdf": b"ours"}, replace=True)
    assert (tmp_path / "pattern.pdf").read_bytes() == b"ours"


@pytest.mark.parametrize("listed", ["", "[]", '{"papers": 3}', '{"papers": {"../x": "1", "a": 2}}'])
def test_a_broken_list_of_contents_takes_nothing_away(tmp_path, listed):
    (tmp_path / CONTENTS).write_text(listed)
    (tmp_path / "a").write_text("theirs")
    write_papers(tmp_path, {"b": b"b"})
    assert names(tmp_path) == {"a", "b", CONTENTS}


def test_names_that_every_system_takes():
    assert clean_name("Puukko: birch/elm?") == "Puukko- birch-elm"
    assert clean_name("høvel č š") == "høvel č š"
    for bad in ("", "...", "CON", "lpt1.txt", "/", "\x00\n"):
        assert clean_name(bad) == "job"
    assert len(clean_name("x" * 500)) == 80
