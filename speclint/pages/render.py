"""Templates into pages: every text is escaped, and what nobody gave is an error."""

from base64 import b64encode
from collections.abc import Iterator
from functools import lru_cache
from hashlib import sha256
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from speclint import __version__
from speclint.plain import one_line


def page(template: str, **content: Any) -> str:
    """A page from the template of that name.

    Args:
        template: the name of a file in `templates/`.
        content: what the template names.

    Raises:
        jinja2.UndefinedError: the template names what nobody gave.
    """
    return "".join(page_parts(template, **content))


def page_parts(template: str, **content: Any) -> Iterator[str]:
    """A page from the template of that name, in parts as they are drawn: what `content` iterates over may come late."""
    return _environment().get_template(template).generate(**content)


def source(name: str) -> str:
    """A file of `templates/` as it stands: a script, or a style of its own."""
    return PackageLoader("speclint.pages").get_source(_environment(), name)[0]


@lru_cache(maxsize=1)
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("speclint.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        auto_reload=False,
    )
    # The policy lets in this one style by its digest, so that no other can be slipped in.
    style = environment.get_template("style.css").render().strip()
    digest = b64encode(sha256(style.encode()).digest()).decode()
    environment.globals["version"] = __version__
    environment.globals["style"] = style
    closed = f"default-src 'none'; style-src 'sha256-{digest}'{{}}; base-uri 'none'; form-action 'none'"
    environment.globals["policy"] = closed.format("")
    # A page that runs Python takes scripts and files of its own site, and compiles them; it reaches nothing else.
    own = " 'self'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self' blob:; connect-src 'self'"
    environment.globals["policy_with_scripts"] = closed.format(own)
    return environment


def _shown(value: Any) -> Any:
    """What a template prints: of a text one line, never a None that somebody forgot."""
    if value is None:
        raise TypeError("a page says None: let its template leave it out")
    return one_line(value) if isinstance(value, str) and not isinstance(value, Markup) else value
