"""A catalogue at the keyboard: priced, kept beside the file, written out, stopped and gone on."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from tests.cases.screen.catalogues import read
from tests.cli.conftest import keys_of_others

from retrue.cases.screen.parts import Here
from retrue.cli.house import House
from retrue.cli.worth_screen_sale_lines import top_lines
from retrue.wiring import run

HOME = Path(__file__).resolve().parents[2]
NEEDS = str(HOME / "examples" / "ghent-school-lot.toml")
SALE = """\
Lot;Description;Year;Start
1;CNC vertical machining centre;2004;1500
2;CNC turning centre;2008;800
3;horizontal machining centre;2001;
4;bench with drawers;;50
"""
FEW = ("--needs", NEEDS, "--worlds", "100", "--processes", "1", "--best", "2")


@pytest.fixture(autouse=True)
def few_worlds(monkeypatch: pytest.MonkeyPatch) -> None:
    """What to ask is held elsewhere."""
    monkeypatch.setattr("retrue.cases.screen.asking.LEAST_WORLDS", 100)


@pytest.fixture(scope="module")
def sale(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One for all tests: what the first has worked out is kept beside it."""
    path = tmp_path_factory.mktemp("sale") / "sale.csv"
    path.write_text(SALE, encoding="utf-8")
    return path


def test_the_best_come_first_and_every_line_is_accounted_for(call, sale: Path) -> None:
    door = call("worth", "screen", str(sale), *FEW, "--all")
    assert door.code == 0, door.err
    assert door.out.startswith("Caution: estimate for planning.")
    assert "Lots: 4; with a price: 3; worth a bid: " in door.out
    assert "no such type is known here" in " ".join(door.out.split())
    assert "Without a price: 1." in door.out
    assert "Line 1 is no lot" in door.out
    assert "Column Start is read as lowest first bid." in door.out
    assert "These are first prices" in door.out


def test_for_a_program_it_is_one_object_and_the_same_bytes_again(call, sale: Path) -> None:
    first = call("worth", "screen", str(sale), *FEW, "--json")
    told = json.loads(first.out)
    assert list(told) == sorted(told)
    assert set(told) == keys_of_others()["worth screen"]
    assert all(one["said"] for one in told["lots"])
    assert not first.err
    numbers = [one["number"] for one in told["lots"]]
    assert sorted(numbers) == ["1", "2", "3", "4"]
    last = told["lots"][-1]
    assert last["walk_away"] is None
    assert told["why"]["lots.3.walk_away"] == last["why"]
    assert call("worth", "screen", str(sale), *FEW, "--json").out == first.out
    anew = call("worth", "screen", str(sale), *FEW, "--json", "--restart")
    assert anew.out == first.out


@pytest.mark.parametrize("ending", ["csv", "xlsx", "pdf"])
def test_it_is_written_to_a_file(call, sale: Path, tmp_path: Path, ending: str) -> None:
    target = tmp_path / f"list.{ending}"
    door = call("worth", "screen", str(sale), *FEW, "--to", str(target))
    assert door.code == 0, door.err
    assert door.out.splitlines()[-1] == str(target)
    begins = {"csv": b"place,number,title", "xlsx": b"PK", "pdf": b"%PDF"}[ending]
    assert target.read_bytes().startswith(begins)


class Stops(Here):
    """Somebody presses Ctrl-C after the first part."""

    def run(self, work, parts, kinds):
        yield from super().run(work, parts[:1], kinds)
        if len(parts) > 1:
            raise KeyboardInterrupt


def test_a_run_that_is_stopped_says_what_is_kept_and_goes_on(
    house: House, tmp_path: Path, capsys, monkeypatch
) -> None:
    lines = [f"{n};bench;;{100 * n}" for n in range(1, 31)]
    lines[3] = lines[28] = "77;CNC turning centre;2009;500"
    path = tmp_path / "sale.csv"
    path.write_text("Lot;Description;Year;Start\n" + "\n".join(lines) + "\n", encoding="utf-8")
    words = ["worth", "screen", str(path), *FEW, "--json"]  # one number stands twice in it
    whole = replace(house, spread=lambda processes, cluster: Here())
    assert run(words, whole) == 0
    expected = capsys.readouterr().out
    (tmp_path / "sale.csv.screening").unlink()
    stopping = replace(house, spread=lambda processes, cluster: Stops())
    assert run(words, stopping) == 1
    told = capsys.readouterr().err
    assert "Stopped: 25 of 30 lots." in told
    assert "Kept in sale.csv.screening; the same command goes on from there." in told
    seen: list[int] = []

    class Watched(Here):
        def run(self, work, parts, kinds):
            seen.extend(part.number for part in parts)
            yield from super().run(work, parts, kinds)

    assert run(words, replace(house, spread=lambda processes, cluster: Watched())) == 0
    assert capsys.readouterr().out == expected
    assert seen == [1]
    assert run([*words, "--distance", "300"], whole) == 0  # finished: it gives way


def test_what_cannot_be_is_refused_before_the_work(call, sale: Path, tmp_path: Path) -> None:
    door = call("worth", "screen", str(sale), *FEW, "--to", str(tmp_path / "list.doc"))
    assert (door.code, "neither CSV, XLSX nor PDF" in door.err) == (2, True)
    door = call("worth", "screen", str(sale), *FEW, "--rate", "CHF=much")
    assert (door.code, "much is no rate" in door.err) == (2, True)
    door = call("worth", "screen", str(sale), *FEW, "--closes", "Thursday")
    assert (door.code, "Thursday is no moment" in door.err) == (2, True)
    door = call("worth", "screen", str(sale), *FEW, "--columns", "asking")
    assert (door.code, "two sides" in door.err) == (2, True)
    door = call("worth", "screen", str(tmp_path / "nothing.csv"), *FEW)
    assert (door.code, "cannot be read" in door.err) == (2, True)


def test_where_nothing_may_be_written_it_works_all_the_same(
    call, sale: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from retrue.cli import worth_screen

    nowhere = sale.parent / "nowhere" / "sale.csv"
    monkeypatch.setattr(worth_screen, "beside", lambda path: nowhere)
    door = call("worth", "screen", str(sale), *FEW)
    assert door.code == 0
    assert "Not kept: sale.csv cannot be written" in door.err


def test_the_shop_that_is_kept_says_what_it_needs(call, sale: Path, house: House) -> None:
    told = json.loads(call("worth", "screen", str(sale), *FEW, "--json").out)
    alone = json.loads(call("worth", "screen", str(sale), *FEW[2:], "--json").out)
    assert told["lots"][0]["walk_away"] != alone["lots"][0]["walk_away"]


def test_words_are_the_readers_and_numbers_anybodys(
    sale: Path, house: House, capsys, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ["worth", "screen", str(sale), *FEW]
    assert run([*words, "--json"], house) == 0
    english = json.loads(capsys.readouterr().out)
    monkeypatch.setenv("RETRUE_LANGUAGE", "nl")
    assert run(words, house) == 0
    dutch = capsys.readouterr().out
    assert "Caution" not in dutch
    best = english["lots"][0]["number"]
    assert f"1. Kavel {best}: " in dutch


def test_what_is_guessed_again_and_again_is_told_once(call, sale: Path) -> None:
    told = call("worth", "screen", str(sale), *FEW).out
    whole = call("worth", "screen", str(sale), *FEW, "--all").out
    assert "The same again: " in told
    assert told.count("names a currency") == 1
    assert whole.count("names a currency") > 1


TOLD = """\
Opgeld 17% (online 19%), btw 21%, removal: 15 days
Lot;Description;Start
1;CNC turning centre;800
2;CNC turning centre;800
3;CNC turning centre;250000
"""


def test_what_holds_for_all_is_told_once_and_what_changes_all_at_the_top(
    call, tmp_path: Path
) -> None:
    path = tmp_path / "sale.csv"
    path.write_text(TOLD, encoding="utf-8")
    door = call("worth", "screen", str(path), *FEW[2:], "--best", "3")
    told = " ".join(door.out.split())
    head, lots = told.split("1. Lot ", 1)
    assert "Nobody has said what work must be done" in head
    assert "--needs LOT.toml" in head
    assert (
        "it may be one figure or the other. Type what is so: --premium 0.17 / --premium 0.19"
        in (head)
    )
    assert "Type what is so: --removal 15" in head
    assert "Line 1, “Opgeld 17% (online 19%), btw 21%, removal: 15 days”: rate of tax: 21 %" in told
    for once in ("buyer's premium: 16 %", "distance: 100 km", "others who bid: 3 (judgement)",
                 "how it is sold: an auction in steps", "tax: comes back",
                 "price of a comparable new one", "holders, jaws and vices"):  # fmt: skip
        assert told.count(once) == 1, once
    assert lots.count("age of CNC turning centre") == 3
    said = ("--premium", "0.17", "--tax", "0.21", "--removal", "15")
    again = " ".join(call("worth", "screen", str(path), *FEW, *said).out.split())
    assert "Type what is so" not in again
    assert "buyer's premium: 16 %" not in again
    assert "Nobody has said what work" not in again
    assert "buyer's premium, not counted; you said it yourself" in again


def test_what_a_line_says_of_the_sale_counts_and_is_listed_with_its_line(
    call, tmp_path: Path
) -> None:
    path = tmp_path / "sale.csv"
    path.write_text(TOLD.replace(" (online 19%)", "").replace("removal:", "removal within"),
                    encoding="utf-8")  # fmt: skip
    told = " ".join(call("worth", "screen", str(path), *FEW).out.split())
    line = "Line 1, “Opgeld 17%, btw 21%, removal within 15 days”: "
    assert f"{line}buyer's premium: 17 %" in told
    assert f"{line}days from the hammer until it is out: 15" in told
    assert "Type what is so" not in told
    assert "buyer's premium: 16 %" not in told  # what is taken where nobody says it
    sale = json.loads(call("worth", "screen", str(path), *FEW, "--json").out)["sale"]
    assert [(one["line"], one["field"], one["how"], one["value"]) for one in sale] == [
        (1, "premium", "understood", "0.17"), (1, "tax_rate", "understood", "0.21"),
        (1, "removal_days", "understood", "15"),
    ]  # fmt: skip


def test_what_no_figure_or_no_option_says_is_asked_in_words_of_its_own():
    text = "No premium for dealers\nAll prices in thousands\nLot;What;Price\n1;CNC lathe;900\n"
    told = "\n".join(top_lines(read(text)))
    assert "“for dealers” stands beside it. Type what is so: --premium with its share" in told
    assert "write them in full in the file. Type what is so: in the file itself" in told
    assert "--removal" not in told


def test_a_start_above_the_price_and_lots_alike_are_said(call, tmp_path: Path) -> None:
    path = tmp_path / "sale.csv"
    path.write_text(TOLD.replace("Description;", "Description;Year;")
                    .replace("centre;", "centre;2012;"), encoding="utf-8")  # fmt: skip
    words = ("worth", "screen", str(path), *FEW[:2], *FEW[4:], "--best", "3", "--worlds", "300")
    told = json.loads(call(*words, "--json").out)["lots"]
    one, other, dear = sorted(told, key=lambda row: row["number"])
    assert one["gain"] == other["gain"] > 0
    assert one["places"] == other["places"] == {"first": 1, "last": 2}
    assert (dear["wins"], dear["places"]) == (0.0, None)
    out = call(*words).out
    assert "It costs at least € 250 000, above your price" in " ".join(out.split()).replace(
        "\u202f", " "
    )
    assert "any of 2 lots may be the best" in " ".join(out.split())
    assert out.count("It may stand anywhere from 1 to 2.") == 2


def test_a_kept_file_that_was_changed_is_said_and_worked_out_anew(call, tmp_path: Path) -> None:
    path = tmp_path / "sale.csv"
    path.write_text(TOLD, encoding="utf-8")
    words = ("worth", "screen", str(path), *FEW, "--json")
    first = call(*words)
    kept = path.with_name("sale.csv.screening")
    kept.write_bytes(kept.read_bytes().replace(b'"walk_away":', b'"walk_away":9'))
    again = call(*words)
    assert again.out == first.out
    assert "sale.csv.screening is damaged: 1 of its lines" in again.err
    assert "damaged" not in call(*words).err
