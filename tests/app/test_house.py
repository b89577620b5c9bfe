"""What the house knows of its book and could not do stands on the first page."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from backseam.store import backup, place


def test_doubts_about_the_book_stand_on_the_first_page(client, app, monkeypatch):
    monkeypatch.setattr(place, "free_bytes", lambda book: 0)
    shown = client.get("/").text
    assert "MB are free" in shown
    monkeypatch.setattr(place, "free_bytes", lambda book: place.LOW)
    assert "MB are free" not in client.get("/").text


def test_a_backup_that_does_not_go_through_is_said(client, app, monkeypatch):
    def fails(*_: object) -> None:
        raise OSError("The disk took no backup.")

    house = app.state.house
    monkeypatch.setattr(backup, "due", lambda *_: True)
    monkeypatch.setattr(backup, "make", fails)
    house.keep_daily()
    house.keep_copies()  # that these went through does not hide that the other did not
    assert "The disk took no backup." in client.get("/").text
    monkeypatch.setattr(backup, "make", lambda *_: None)
    house.keep_daily()
    assert "The disk took no backup." not in client.get("/").text


def test_a_backup_is_made_while_the_app_stays_open_for_days(client, app):
    house = app.state.house
    start = datetime(2126, 11, 25, 9, tzinfo=UTC)  # after the backup made at opening, whenever this runs
    for hours in range(0, 24 * 16, 6):
        house.now = lambda at=start + timedelta(hours=hours): at
        house.keep_daily()
    days = [one.made_at[:10] for one in backup.listed(house.path) if one.made_at > "2126"]
    assert len(days) == len(set(days)) == 10 + 1  # ten days, and the last of the month before
    assert days[0] == "2126-12-10"
    assert days[-1] == "2126-11-30"
