"""Every template compiles, and a page's vocabulary is exactly what its template uses."""

import importlib
import pkgutil
import re

import pytest
from jinja2 import meta, nodes

import server.web
from server import places
from server.web.bench.kind_view import VIEWS as VIEWS_OF_KINDS
from server.web.site import page

for found in pkgutil.walk_packages(server.web.__path__, "server.web."):
    importlib.import_module(found.name)

ENV = page.environment(places.TEMPLATES)
TEMPLATES = sorted(str(p.relative_to(places.TEMPLATES)) for p in places.TEMPLATES.rglob("*.html"))
VIEWS = [view for view in page.View.known if hasattr(view, "template")]
FRAME = {"frame"}
BY_KIND = "bench/_do_now.html"
KIND_TEMPLATES = [view.template for view in VIEWS_OF_KINDS.values()]


def used(name):
    """The names that a template and what it includes and extends ask for."""
    tree = ENV.parse(ENV.loader.get_source(ENV, name)[0])
    children = list(meta.find_referenced_templates(tree))
    if name == BY_KIND:  # the one template that is found by a name made at run time
        children = [child for child in children if child is not None] + KIND_TEMPLATES
    named = [name for found in tree.find_all(nodes.FromImport) for name in found.names]
    imported = {name if isinstance(name, str) else name[1] for name in named}  # `x as y`
    assert None not in children, f"{name} includes a template by a name made at run time"
    imported |= {found.target for found in tree.find_all(nodes.Import)}
    made = {macro.name for macro in tree.find_all(nodes.Macro)}
    own = meta.find_undeclared_variables(tree) - ENV.globals.keys() - imported - made
    return own.union(*(used(child) for child in children)) - FRAME


def test_there_are_templates_and_views_to_look_at():
    assert len(TEMPLATES) > 10
    assert len(VIEWS) > 2


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_compiles(name):
    ENV.get_template(name)


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_holds_no_inline_code(name):
    text = (places.TEMPLATES / name).read_text()
    assert not re.findall(r"<style|\sstyle=|\son[a-z]+=|javascript:|hx-on|hx-vals=.js:", text)
    assert not re.findall(r"<script(?! src=)", text)


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.__name__)
def test_a_template_uses_exactly_what_its_view_gives(view):
    assert used(view.template) == page.vocabulary(view)


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.__name__)
def test_a_fragment_uses_no_more_than_its_view_gives(view):
    if view.fragment:
        assert used(view.fragment) <= page.vocabulary(view)


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.__name__)
def test_a_page_has_a_title(view):
    whole = "site/base.html" in meta.find_referenced_templates(
        ENV.parse(ENV.loader.get_source(ENV, view.template)[0])
    )
    assert not whole or view.title or view.titled is not page.View.titled


def test_the_check_sees_a_name_that_nobody_gives():
    tree = ENV.parse("{% for x in rows %}{{ x }}{{ y }}{% endfor %}")
    assert meta.find_undeclared_variables(tree) == {"rows", "y"}


@pytest.mark.parametrize("name", TEMPLATES)
def test_every_sign_that_a_template_names_is_drawn(name):
    text = (places.TEMPLATES / name).read_text()
    for sign in re.findall(r"""icon\(["'](\w+)["']\)|icon_name=["'](\w+)["']""", text):
        assert ENV.globals["icon"]("".join(sign))
