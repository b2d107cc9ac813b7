"""The parts of pages: forms, figures, empty states, and the error pages."""

from typing import Any

import pytest
from bs4 import BeautifulSoup, Tag
from django import forms
from django.template.loader import render_to_string
from django.test import RequestFactory

from stock.house import House
from tests.pages import words

SMOOTS = "'12 smoots' is not a length we know. Write a number and mm, cm or in, such as 40 mm."


class CutForm(forms.Form):
    """A small form with each kind of field."""

    length = forms.CharField(help_text="Such as 36 in.")
    note = forms.CharField(required=False)
    closed = forms.BooleanField(required=False, label="All edges welded")
    grind = forms.ChoiceField(choices=[("flat", "Flat")], widget=forms.RadioSelect)

    def clean_length(self) -> str:
        """No length is accepted."""
        raise forms.ValidationError(SMOOTS)

    def clean(self) -> None:
        """Nor is the form."""
        self.add_error(None, "This bar is spoken for. Choose another.")


def soup_of(template: str, **context: Any) -> BeautifulSoup:
    """A rendered template, parsed."""
    return parsed(render_to_string(template, context))


def parsed(html: str) -> BeautifulSoup:
    """A piece of a page, parsed."""
    return BeautifulSoup(html, "html.parser")


def one(soup: BeautifulSoup | Tag, selector: str) -> Tag:
    """The only element that matches."""
    found = soup.select(selector)
    assert len(found) == 1, f"{len(found)} elements match {selector}"
    return found[0]


def refused() -> CutForm:
    """A form that was sent with a length nobody knows."""
    return CutForm({"length": "12 smoots", "grind": "flat"})


def test_a_refused_field_keeps_what_was_typed_and_is_tied_to_its_hint_and_error() -> None:
    soup = parsed(refused()["length"].as_field_group())

    field = one(soup, "input")
    assert field["value"] == "12 smoots"
    assert field["aria-invalid"] == "true"
    assert field["aria-describedby"] == "id_length_helptext id_length_error"
    assert one(soup, "#id_length_helptext").text == "Such as 36 in."
    assert one(soup, "#id_length_error li").text == SMOOTS
    assert one(soup, "label")["for"] == "id_length"


def test_a_form_says_first_what_is_wrong_with_all_of_it() -> None:
    soup = parsed(refused().render())

    first = soup.find(True)
    assert isinstance(first, Tag)
    assert first["class"] == ["errorlist", "nonfield"]
    assert first.text == "This bar is spoken for. Choose another."
    assert len(soup.select(".field")) == 4


def test_an_optional_field_says_so_and_a_box_has_its_words_beside_it() -> None:
    soup = parsed(CutForm().render())

    assert words(soup, "label[for=id_note]") == "Note (optional)"
    assert one(soup, ".field.tick > label > input[type=checkbox]")["id"] == "id_closed"
    assert words(soup, "fieldset.field > legend") == "Grind"


def test_what_a_person_typed_is_shown_as_text_and_not_run() -> None:
    form = CutForm({"length": "<script>alert(1)</script>"})

    soup = parsed(form.render())

    assert soup.select("script") == []
    assert one(soup, "#id_length")["value"] == "<script>alert(1)</script>"


def test_a_figure_has_its_second_unit_small_beside_it() -> None:
    figures = [{"word": "Work between", "text": "860 and 980 °C", "second": "1580–1796 °F"}]

    soup = soup_of("parts/figures.html", figures=figures)

    assert one(soup, "dt").text == "Work between"
    assert one(soup, "dd small").text == "1580–1796 °F"


def test_an_empty_page_offers_one_act() -> None:
    soup = soup_of("parts/empty.html", sentence="No class yet.", act="Plan a class", url="/new/")

    assert one(soup, "a.button")["href"] == "/new/"


def test_an_act_that_asks_first_works_as_a_plain_form() -> None:
    soup = soup_of(
        "parts/confirm.html", act="Cancel the plan", sentence="Metal is free again.", url="/x/"
    )

    form = one(soup, "details.confirm > form")
    assert (form["method"], form["action"]) == ("post", "/x/")
    assert one(form, "button[type=submit]").text == "Cancel the plan"
    assert one(soup, "summary").text == "Cancel the plan"


@pytest.mark.parametrize("template", ["403.html", "404.html", "403_csrf.html"])
def test_an_error_page_says_what_to_do_and_where_to_go(template: str) -> None:
    request = RequestFactory().get("/x/")

    soup = BeautifulSoup(
        render_to_string(template, {"house": House(name="Ash Hollow")}, request), "html.parser"
    )

    assert one(soup, "h1").text
    assert one(soup, "main a.button")["href"] == "/"
    assert "Ash Hollow" in one(soup, "a.house").text


def test_the_page_for_a_broken_server_needs_nothing_from_it() -> None:
    soup = soup_of("500.html")

    assert "was not saved" in one(soup, "p.lede").text
    assert one(soup, "a.button")["href"] == "/"


@pytest.mark.parametrize("template", ["base.html", "404.html", "500.html"])
def test_a_page_holds_no_inline_style_or_script(template: str) -> None:
    request = RequestFactory().get("/x/")

    soup = BeautifulSoup(render_to_string(template, {"house": House()}, request), "html.parser")

    assert soup.select("style, [style], [onclick], [onload]") == []
    assert [tag for tag in soup.select("script") if not tag.get("src")] == []
