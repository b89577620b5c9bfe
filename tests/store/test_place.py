"""Room and place of a book: said before it hurts."""

from __future__ import annotations

from pathlib import Path, PurePath, PureWindowsPath

import pytest

from backseam.store import place
from tests.voice import assert_clear


def codes(book: Path) -> list[str]:
    found = place.findings(book)
    for one in found:
        assert_clear(one.text())
        assert_clear(one.remedy())
    return [one.code for one in found]


def test_a_book_on_this_machine_with_room_raises_nothing(tmp_path, monkeypatch):
    monkeypatch.setattr(place, "free_bytes", lambda book: place.LOW)
    assert codes(tmp_path / "book.sqlite") == []


def test_little_room_is_said_before_it_hurts(tmp_path, monkeypatch):
    monkeypatch.setattr(place, "free_bytes", lambda book: place.LOW - 1)
    assert codes(tmp_path / "book.sqlite") == ["STORE-001"]


@pytest.mark.parametrize("name", ["Dropbox", "OneDrive - Workshop", "Nextcloud", "Mobile Documents"])
def test_a_synchronised_folder_is_said(tmp_path, monkeypatch, name):
    monkeypatch.setattr(place, "free_bytes", lambda book: place.LOW)
    folder = tmp_path / name / "sheaths"
    folder.mkdir(parents=True)
    assert codes(folder / "book.sqlite") == ["STORE-002"]


def test_a_folder_that_carries_the_mark_of_a_synchronising_program_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr(place, "free_bytes", lambda book: place.LOW)
    (tmp_path / ".stfolder").mkdir()
    assert codes(tmp_path / "book.sqlite") == ["STORE-002"]


def test_a_network_drive_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr(place, "free_bytes", lambda book: place.LOW)
    mounts = tmp_path / "mounts"
    mounts.write_text(f"/dev/sda1 / ext4 rw 0 0\nserver:/share {tmp_path} cifs rw 0 0\n")
    monkeypatch.setattr(place, "MOUNTS", mounts)
    assert codes(tmp_path / "book.sqlite") == ["STORE-002"]


def test_a_drive_of_another_machine_by_its_name():
    assert place.on_network(PureWindowsPath(r"\\server\share\book.sqlite"), "")
    assert not place.on_network(PureWindowsPath(r"C:\book.sqlite"), "")
    assert place.on_network(PurePath("/mnt/my drive/b"), "h:/x /mnt/my\\040drive nfs rw 0 0")
