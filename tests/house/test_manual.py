"""The manual knows every command, option, page and setting, in the program's own words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from starlette.routing import Route
from tests.house import paste

HOME = Path(__file__).resolve().parents[2]
DOCS = HOME / "docs"
AGAIN = "run .venv/bin/python tests/house/paste.py"


@pytest.mark.parametrize(("what", "name"), paste.PAGES.items())
def test_what_is_pasted_is_what_the_program_says(what: str, name: str):
    page = (DOCS / name).read_text(encoding="utf-8")
    assert f"<!-- pasted: {what} -->" in page
    assert paste.pasted(page) == page, AGAIN


def test_every_command_and_option_is_in_the_manual_with_its_help():
    manual = (DOCS / "commands.md").read_text(encoding="utf-8")
    for path, context in paste.commands():
        assert f"\n## {path}\n" in manual, AGAIN
        assert context.command.help or context.command.short_help, f"{path} has no help"
        part = manual.split(f"\n## {path}\n", 1)[1].split("\n## ", 1)[0]
        for parameter in context.command.get_params(context):
            if parameter.param_type_name == "option":
                assert getattr(parameter, "help", None), f"{path} {parameter.opts} has no help"
                assert all(name in part for name in parameter.opts), AGAIN


def test_every_page_is_in_the_manual_and_says_what_it_does():
    manual = (DOCS / "pages.md").read_text(encoding="utf-8")
    for route in paste.routes():
        (row,) = re.findall(
            rf"^\| `{re.escape(route.path)}` \| {'POST' if _posts(route) else 'GET'} \|(.*)\|$",
            manual,
            re.MULTILINE,
        )
        assert row.strip(), f"{route.path}: the page's function has no docstring"


def _posts(route: Route) -> bool:
    return "POST" in (route.methods or set())


def test_every_setting_is_in_the_manual():
    sources = [*(HOME / "src").rglob("*.py"), HOME / "retrue", HOME / "tests" / "everything.py"]
    text = "\n".join(path.read_text(encoding="utf-8") for path in sources)
    read = set(re.findall(r"\bRETRUE_[A-Z_]+\b", text)) | {"CI"}
    manual = (DOCS / "settings.md").read_text(encoding="utf-8")
    assert set(re.findall(r"^\| `(\w+)` \|", manual, re.MULTILINE)) == read


def test_no_link_of_the_manual_leads_nowhere():
    broken = []
    for page in [HOME / "README.md", *DOCS.rglob("*.md")]:
        for target in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            if "://" not in target and not (page.parent / target).exists():
                broken.append(f"{page.name}: {target}")
    assert broken == []


def test_the_readme_opens_with_the_job_and_shows_it():
    readme = (HOME / "README.md").read_text(encoding="utf-8")
    job, commands, picture = readme.index("worn machine"), readme.index("```"), readme.index("![")
    assert readme.startswith("# retrue\n")
    assert job < commands < picture
    assert "./retrue demo" in readme
