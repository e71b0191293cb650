"""Templates escape what comes from a file, print nothing that is missing, and let no style in but their own."""

import base64
import hashlib
import html
import re

import jinja2
import pytest

from speclint.pages import render

STEERING = "Car <b>12</b> & \"co\" 'x'\n\x1b[31m\u202eevil\ud800</style><script>alert(1)</script>"


@pytest.fixture
def try_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """A template beside our own that prints a text wherever a page prints one."""
    trial = (
        '{% extends "base.html" %}{% block title %}{{ text }}{% endblock %}{% block header %}<h1>{{ text }}</h1>{% endblock %}'
        '{% block main %}<p title="{{ text }}">{{ more }}</p>{% endblock %}'
    )
    environment = render._environment()
    loader = jinja2.ChoiceLoader([jinja2.DictLoader({"trial.html": trial}), environment.loader])  # type: ignore[list-item]
    monkeypatch.setattr(environment, "loader", loader)


@pytest.mark.usefixtures("try_out")
def test_every_text_is_escaped_and_on_one_line_without_controls() -> None:
    text = render.page("trial.html", text=STEERING, more="x")
    assert "<script" not in text
    assert text.count("</style>") == 1
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e\ud800]", text)
    shown = re.search(r"<h1>(.*)</h1>", text)
    assert shown is not None
    assert html.unescape(shown[1]) == "Car <b>12</b> & \"co\" 'x' ?[31m?evil?</style><script>alert(1)</script>"
    assert '"co"' not in text


@pytest.mark.usefixtures("try_out")
def test_a_name_that_nobody_gave_and_a_value_that_is_none_are_errors() -> None:
    with pytest.raises(jinja2.UndefinedError):
        render.page("trial.html", text="x")
    with pytest.raises(TypeError):
        render.page("trial.html", text="x", more=None)


@pytest.mark.usefixtures("try_out")
def test_the_policy_lets_in_the_one_style_that_the_page_has() -> None:
    text = render.page("trial.html", text="x", more="y")
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', text)
    style = re.search(r"<style>(.*)</style>", text, re.DOTALL)
    assert policy is not None
    assert style is not None
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    assert html.unescape(policy[1]).startswith(f"default-src 'none'; style-src 'sha256-{digest}';")
    assert "unsafe" not in policy[1]
