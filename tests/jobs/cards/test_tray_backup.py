"""Cards that wait on the tray, targets and profiles come back with the shelf's backup."""

from __future__ import annotations

from pathlib import Path

from demo.camera import CAMERAS
from demo.target import reference_file

from scumble.jobs.cards.colour_aids import ColourAids, ColourWords
from scumble.jobs.cards.mark_up import BoxMark, MarkUp
from scumble.jobs.cards.tray import CardTray, TubeWords, open_tray
from scumble.jobs.shelf.keep_backup import keep_backup, restore_backup
from scumble.store.shelf import open_shelf

TARGET = reference_file().encode()
PROFILE = CAMERAS["phone"].profile()


def aids_of(tray: CardTray) -> ColourAids:
    return ColourAids(tray.folder / "aids")


def test_what_waits_beside_the_shelf_is_in_its_backup(tmp_path: Path) -> None:
    place, out = tmp_path / "shelf.sqlite", tmp_path / "b.sqlite"
    open_shelf(place).close()
    tray = open_tray(place)
    aids = aids_of(tray)
    target, profile = aids.add(TARGET, "t.txt"), aids.add(PROFILE, "phone.icc")
    words = ColourWords(target=target.key, profile=profile.key)
    aids.choose(words)
    aids.put_away(aids.add(TARGET + b"\n", "old.txt").key)
    card = tray.add(b"\xff\xd8\xff" * 20, "blue.jpg", "image/jpeg", colour=words)
    marks = MarkUp(boxes=[BoxMark(box_px=(0, 0, 50, 50), what="bare")])
    tray.change(card.key, tube=TubeWords(label="Blue", pigments=("PB29",)), marks=marks)
    tray.decide(card.key, {"white": "accept"})
    keep_backup(out, place)

    before = tray.cards()
    tray.change(card.key, taken_off=True)
    later = tray.add(b"later", "later.csv", "text/csv")
    restored = restore_backup(out, place)
    again = open_tray(place)
    assert again.cards() == before and again.path(card.key).read_bytes() == b"\xff\xd8\xff" * 20
    assert aids_of(again).all() == aids.all() and aids_of(again).chosen() == words
    assert aids_of(again).options(words)["profile"] == PROFILE
    # What waited until now is with the old shelf.
    restore_backup(Path(restored["kept"]), place)
    assert [card.key for card in open_tray(place).cards()] == [card.key, later.key]
