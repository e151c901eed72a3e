"""The page of keeping: a backup is made, told how far, handed out and noted; check; export."""

from __future__ import annotations

import io
import json
import zipfile
from datetime import timedelta

import pytest
from tests.fakes.shop import FakeShop
from tests.store.keeping import fill
from tests.web.visitor import Visitor, text_of

from retrue.phases.keeping import since_backup
from retrue.records.keeping import BackedUp
from retrue.store.shop import open_shop
from retrue.store.unpacked import proved
from retrue.web.app import Settings, app
from retrue.web.keeper import Stands

PAGE = "/shop/keeping"


@pytest.fixture
def shop(tmp_path, clock):
    opened = open_shop(str(tmp_path / "own" / "shop.sqlite"), clock=clock)
    fill(opened)
    yield opened
    opened.close()


@pytest.fixture
def house(shop, kinds, clock):
    settings = Settings(secret="only for tests", edition="retrue 0.1.0", worlds=400)
    return app(shop=shop, kinds=kinds, clock=clock, settings=settings)


def done(house, owner, what, **form):
    answer = owner.post(f"{PAGE}/{what}", form, follow=False)
    assert answer.status_code == 303, text_of(answer)
    house.state.keeper.wait(120)
    return owner.get(PAGE)


def test_a_backup_is_made_handed_out_and_noted(house, owner, shop, tmp_path, clock):
    assert "No backup was taken off this laptop yet." in text_of(owner.get(PAGE))
    page = done(house, owner, "backup")
    assert "The backup is made, read back and waits here" in text_of(page)
    last = list(shop.rows())[-1].sha256
    groups = " ".join(last[at : at + 4] for at in range(0, 32, 4))
    assert groups in text_of(page)
    file = owner.post(f"{PAGE}/file")
    assert file.headers["content-disposition"].startswith(
        "attachment; filename*=UTF-8''shop-backup"
    )
    assert int(file.headers["content-length"]) == len(file.content)
    (tmp_path / "b.zip").write_bytes(file.content)
    assert proved(tmp_path / "b.zip").last_sha256 == last
    (kept,) = shop.current(BackedUp)
    assert (kept.fact.records, kept.fact.last_sha256, kept.device) == (14, last, "laptop")
    assert kept.fact.size_bytes == len(file.content)
    told = text_of(owner.get(PAGE))
    assert "The last backup is of today." in told
    assert "to this laptop" in told
    assert sorted(path.name for path in (tmp_path / "own").glob(".*")) == []


def test_a_backup_waits_on_while_something_else_is_made(house, owner, shop):
    done(house, owner, "backup")
    done(house, owner, "check")
    page = done(house, owner, "export")
    assert "The backup is made, read back and waits here" in text_of(page)
    assert "Everything is written and waits here" in text_of(page)
    assert "The shop is whole" in text_of(page)
    file = owner.post(f"{PAGE}/file", {"deed": "backup"})
    assert file.headers["content-disposition"].startswith("attachment; filename*=UTF-8''shop-backu")
    page = owner.get(PAGE)
    assert "The backup is made" not in text_of(page)
    assert "Everything is written and waits here" in text_of(page)
    assert len(shop.current(BackedUp)) == 1


@pytest.mark.parametrize("typed", ["0000 0000 0000 0000", "0" * 64, "f" * 16])
def test_an_invented_hash_is_not_found(house, owner, typed):
    page = done(house, owner, "check", last=typed)
    assert "records after it" not in text_of(page)
    assert "The shop is not whole" in text_of(page)
    assert owner.post(f"{PAGE}/check", {"last": typed.replace(" ", "")[:15]}).status_code == 422


def test_a_file_is_handed_out_once_then_made_again(house, owner):
    done(house, owner, "backup")
    owner.post(f"{PAGE}/file")
    again = owner.post(f"{PAGE}/file")
    assert again.status_code == 409
    assert "no file to hand out any more" in text_of(again)


def test_the_export_is_handed_out_and_is_no_backup(house, owner, shop):
    done(house, owner, "export")
    file = owner.post(f"{PAGE}/file")
    with zipfile.ZipFile(io.BytesIO(file.content)) as packed:
        assert "tables/finding.csv" in packed.namelist()
    assert shop.current(BackedUp) == []


def test_the_check_names_what_is_wrong_and_the_noted_hash_finds_what_was_cut_off(
    house, owner, shop, tmp_path
):
    assert "The shop is whole Records: 14. Kept files: 2." in text_of(done(house, owner, "check"))
    page = done(house, owner, "check", last=list(shop.rows())[-2].sha256[:20])
    assert "records after it: 1" in text_of(page)
    next(iter((tmp_path / "own").glob("shop.sqlite.files/*/*"))).write_bytes(b"rotten")
    page = done(house, owner, "check", last="0123 4567 89ab cdef")
    assert "The shop is not whole" in text_of(page)
    assert "this kept file is damaged" in text_of(page)
    assert "records were cut off the end" in text_of(page)


def test_a_hash_that_is_none_is_marked_at_its_field(owner):
    answer = owner.post(f"{PAGE}/check", {"last": "belt"})
    assert answer.status_code == 422
    assert 'aria-invalid="true"' in answer.text
    assert 'value="belt"' in answer.text


def test_how_far_it_is_is_told_as_json_and_on_the_page(house, owner):
    going = json.loads(owner.get(f"{PAGE}/progress").text)
    assert going == {"going": False, "schema": "keeping/1", "share": 0.0, "words": ""}
    house.state.keeper.stands = Stands(going="backup", words="Files: 3 of 9", share=1 / 3)
    assert json.loads(owner.get(f"{PAGE}/progress").text)["share"] == 0.333
    page = owner.get(PAGE)
    assert "Files: 3 of 9" in text_of(page)
    assert 'data-asks="/shop/keeping/progress"' in page.text
    assert "/shop/keeping/backup" not in page.text  # one at a time
    assert owner.post(f"{PAGE}/backup", follow=False).status_code == 303
    assert house.state.keeper.stands.words == "Files: 3 of 9"


def test_a_full_disk_is_told_on_the_page_and_an_error_of_ours_is_not_waited_for(
    house, owner, monkeypatch
):
    monkeypatch.setattr("shutil.disk_usage", lambda _: type("Usage", (), {"free": 0})())
    assert "lacks" in text_of(done(house, owner, "backup"))
    monkeypatch.undo()

    def breaks(*_, **__):
        raise ZeroDivisionError

    monkeypatch.setattr("retrue.web.keeper.export", breaks)
    monkeypatch.setattr("retrue.web.keeper._log.exception", lambda *_: None)
    assert "That broke." in text_of(done(house, owner, "export"))


def test_a_shop_in_memory_says_why_it_has_no_backup(kinds, clock, settings):
    house = app(shop=FakeShop(), kinds=kinds, clock=clock, settings=settings)
    owner = Visitor(house)
    assert "Nothing is kept yet." in text_of(owner.get(PAGE))
    assert "stands on no disk" in text_of(done(house, owner, "backup"))


def test_it_is_the_owners_alone(house, clock):
    stranger = Visitor(house, address="192.0.2.7")
    for method, path in (("GET", ""), ("GET", "/progress"), ("POST", "/backup"), ("POST", "/file")):
        assert stranger.send(method, PAGE + path).status_code == 403


def test_a_week_without_a_backup_is_told(house, owner, shop, clock):
    assert not since_backup(shop, clock().date()).is_due
    clock.passes(days=7)
    assert since_backup(shop, clock().date()).is_due
    assert "Make one now" in text_of(owner.get(PAGE))
    done(house, owner, "backup")
    owner.post(f"{PAGE}/file")
    told = since_backup(shop, clock().date())
    assert (told.days, told.is_due) == (0, False)
    later = since_backup(shop, clock().date() + timedelta(days=8))
    assert (later.days, later.is_due, later.words) == (8, True, "The last backup is 8 days old.")


def test_my_shop_leads_there(owner):
    assert 'href="/shop/keeping"' in owner.get("/shop").text
