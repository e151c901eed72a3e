"""What is put into a finished page: what it knew, and that two said something else."""

from __future__ import annotations

from retrue.web.marking import marked

PAGE = '<main><div id="page"><h1>Mill</h1><form method="post" action="/shop"></form></div></main>'


def test_a_page_with_something_undecided_is_the_same_page_with_one_line_more() -> None:
    page = marked(PAGE, 7, 2)
    assert page.count('<div id="page">') == 1
    assert "&lt;" not in page
    assert page.index('<div id="page">') < page.index('id="undecided"') < page.index("<h1>")
    assert 'name="knows" value="7"' in page


def test_a_page_with_nothing_undecided_has_no_line() -> None:
    assert 'id="undecided"' not in marked(PAGE, 7, 0)
