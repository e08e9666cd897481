"""One page from a template: text made visible and escaped, the style inside, a policy that loads nothing."""

from __future__ import annotations

from base64 import b64encode
from functools import lru_cache
from hashlib import sha256
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from precheck.read.show import visible
from precheck.report.html.words import sentence
from precheck.report.lines import counted, listed

_PACKAGE = "precheck.report.html"
_NOTHING = ("default-src 'none'", "img-src 'none'", "base-uri 'none'", "form-action 'none'")


def document(template: str, *, title: str, **facts: Any) -> str:
    """The page as ASCII text; signs beyond ASCII are character references, so that no encoding spoils them.

    The same facts give the same bytes. Raises jinja2.UndefinedError where a template asks for what is not
    given.
    """
    found = environment().get_template(template).render(title=title, policy=policy(), style=style(), **facts)
    return found.rstrip("\n").encode("ascii", "xmlcharrefreplace").decode("ascii") + "\n"


@lru_cache(maxsize=1)
def environment() -> Environment:
    """The templates, with everything they print made visible first and escaped after that."""
    made = Environment(
        loader=PackageLoader(_PACKAGE, "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(sentence=sentence, listed=listed)
    made.globals.update(counted=counted)
    return made


def _shown(value: Any) -> Any:
    """Control and direction signs as escapes. What a macro returns was shown already."""
    return value if isinstance(value, Markup) else visible(str(value))


@lru_cache(maxsize=1)
def style() -> Markup:
    """The one style sheet, as it stands inside <style>; ours alone, with no text from any file."""
    return Markup(files(_PACKAGE).joinpath("style.css").read_text(encoding="ascii"))


def policy() -> str:
    """The content security policy: this style by its hash, and nothing else."""
    digest = b64encode(sha256(style().encode("ascii")).digest()).decode("ascii")
    return "; ".join((*_NOTHING, f"style-src 'sha256-{digest}'"))
