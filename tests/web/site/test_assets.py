"""Static files: bundled, cut, named by their content, and kept by the browser for ever."""

import gzip
import multiprocessing
import re
from io import BytesIO
from pathlib import Path

import brotli
import pytest
from fastapi import FastAPI
from fontTools.ttLib import TTFont

from server import places
from server.web.site import assets, fonts
from server.web.site.assets import Assets
from server.web.site.page import View
from tests.query_counter import Asking

KB = 1000


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    return Assets.build(places.STATIC, tmp_path_factory.mktemp("cuts"), fonts_now=False)


@pytest.fixture(scope="module")
def client(built):
    app = FastAPI()
    app.add_route("/assets/{digest}/{name}", built.answer)
    return Asking(app)


@pytest.fixture(scope="module")
def latin():
    made = next(made for made in fonts.cuts() if made.name == "fira-sans-400-latin.woff2")
    return made, fonts.cut(fonts._source(made.face), made.block)


@pytest.mark.parametrize(
    ("name", "media"),
    [
        ("quadwright.css", "text/css"),
        ("quadwright.js", "text/javascript"),
        ("htmx.js", "text/javascript"),
        ("mark.svg", "image/svg+xml"),
    ],
)
def test_a_file_comes_by_its_digest_and_stays_for_ever(client, built, name, media):
    answer = client.get(built.url(name))
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith(media)
    assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"


@pytest.mark.parametrize("path", ["/assets/0000/quadwright.css", "/assets/0000/nothing.css"])
def test_another_digest_or_name_is_not_there(client, path):
    assert client.get(path).status_code == 404


def test_the_address_changes_with_the_content(tmp_path):
    for name in ("tokens.css", "base.css"):
        (tmp_path / "css").mkdir(exist_ok=True)
        (tmp_path / "css" / name).write_text("a{color:red}")
    before = Assets.build(tmp_path, tmp_path, fonts_now=False).url("quadwright.css")
    (tmp_path / "css/base.css").write_text("a{color:blue}")
    assert Assets.build(tmp_path, tmp_path, fonts_now=False).url("quadwright.css") != before


@pytest.mark.parametrize(
    ("accepted", "way", "unpack"),
    [
        ("br, gzip", "br", brotli.decompress),
        ("gzip;q=0.8", "gzip", gzip.decompress),
        ("br;q=0", None, bytes),
        ("", None, bytes),
    ],
)
def test_a_browser_gets_the_packing_that_it_takes(built, accepted, way, unpack):
    asset = built.kept["quadwright.css"]
    answer = assets._sent(asset, accepted)
    assert answer.headers.get("content-encoding") == way
    assert answer.headers["vary"] == "Accept-Encoding"
    assert unpack(answer.body) == asset.plain


def test_style_and_script_stay_within_their_budget(built):
    assert len(built.kept["quadwright.css"].plain) <= 40 * KB
    for view in View.known:
        # Any page may have the strip.
        names = {"quadwright.js", "strip.js", *(f"{name}.js" for name in view.scripts)}
        assert sum(len(built.kept[name].plain) for name in names) <= 15 * KB, view


def test_the_first_page_stays_within_its_budget(built, latin):
    packed = sum(
        len(built.kept[name].packed["br"])
        for name in ("quadwright.css", "quadwright.js", "htmx.js")
    )
    assert packed + 3 * len(latin[1]) <= 90 * KB  # of 100; the rest is for the page itself


def test_every_style_sheet_and_script_is_in_the_bundle(built):
    style = built.kept["quadwright.css"].plain.decode()
    for path in places.STATIC.glob("css/*.css"):
        selectors = re.findall(r"\n  (\.[a-z-]+) \{", path.read_text())
        assert path.name in ("tokens.css", "print.css") or any(s in style for s in selectors)
    for folder in (places.STATIC / "js", *(places.STATIC / "js").iterdir()):
        if folder.is_dir():
            name = "quadwright.js" if folder.name == "js" else f"{folder.name}.js"
            count = built.kept[name].plain.count(b"(()=>{")
            assert count >= len(list(folder.glob("*.js"))) > 0
    assert style.index(".dw") > style.index("@layer reset,tokens")


def test_tidied_css_keeps_what_stands_in_quotes():
    text = 'a :hover { content: "x ;  y" ; } /* gone */ b > c , d { margin: 0 auto }'
    assert assets.tidy_css(text) == 'a :hover{content:"x ;  y"}b>c,d{margin:0 auto}'


def test_tidied_css_needs_no_quotes_round_a_word_and_no_space_round_a_plus():
    text = 'a[b="c-d"] + e, f[g="-1"] + h { top: calc(1px + 2px); content: "x" }'
    assert assets.tidy_css(text) == ('a[b=c-d]+e,f[g="-1"]+h{top:calc(1px + 2px);content:"x"}')


def test_a_layer_goes_on_where_the_sheet_before_left_it():
    one, two = "@layer a,b;@layer a{x{y:z}}@layer b{p{q:r}}", "@layer b{s{t:u}}@layer c{v{w:x}}"
    assert assets.joined(one, two) == (
        "@layer a,b;@layer a{x{y:z}}@layer b{p{q:r}s{t:u}}@layer c{v{w:x}}"
    )
    assert assets.joined(two, one) == two + one


def test_tidied_script_keeps_what_stands_in_quotes():
    text = 'const a = { b: "x = ( 1 ,  2 ) ; \\" { " };\nif (a ?? b) tell(-a + +b);\n'
    assert assets.tidy_js(text) == ('const a={b:"x = ( 1 ,  2 ) ; \\" { "};if(a??b)tell(-a + +b);')


def test_short_names_keep_every_property_apart():
    text = ":root{--mat:#fff;--ink:#000}a{--mat:red;--ink:tan;color:var(--ink);top:var(--mat)}"
    assert assets.short_names(text) == (
        ":root{--b:#fff;--a:#000}a{--b:red;--a:tan;color:var(--a);top:var(--b)}"
    )
    many = "a{" + "".join(f"--name{i}:a long value;" for i in range(1000))
    assert len(set(assets.short_names(many).split(";"))) == 1001


def test_a_property_that_never_changes_gives_way_to_its_value():
    text = ":root{--gap:8px;--mat:#fff}a{margin:var(--gap)}b{--mat:#000;color:var(--mat)}"
    assert assets.short_names(text) == (":root{--a:#fff}a{margin:8px}b{--a:#000;color:var(--a)}")


def test_nothing_beside_the_styles_names_a_property():
    others = [*places.STATIC.glob("js/**/*.js"), *places.TEMPLATES.rglob("*.html")]
    assert [path.name for path in others if "var(--" in path.read_text()] == []


def test_no_file_loads_anything_from_elsewhere(built):
    for name in ("quadwright.css", "quadwright.js"):
        text = built.kept[name].plain.decode().replace("http://www.w3.org/2000/svg", "")
        assert not re.findall(r"https?://[a-z]", text)
        assert "eval(" not in text


def test_htmx_is_the_packaged_second_version(built):
    assert b'version:"2.' in built.kept["htmx.js"].plain


def test_the_cut_has_every_sign_that_pages_print(latin):
    made, body = latin
    font = TTFont(BytesIO(body))
    wanted = set(fonts.characters(made.block))
    assert set(font.getBestCmap()) == wanted
    assert {ord(c) for c in "AZaz09äéñøßµ°Ω→←−–“”…"} - wanted == {ord("Ω")}  # Ω is Greek
    features = {record.FeatureTag for record in font["GSUB"].table.FeatureList.FeatureRecord}
    assert {"tnum", "zero"} <= features
    assert len(body) < 20 * KB


def test_every_font_rule_names_a_cut_and_waits_for_nothing(built):
    rules = re.findall(r"@font-face\{(.*?)\}", built.kept["quadwright.css"].plain.decode())
    assert len(rules) == len(fonts.FACES) * len(fonts.SCRIPTS)
    assert all("font-display:optional" in rule for rule in rules)
    named = {re.search(r"url\((.*?)\)", rule)[1] for rule in rules}
    assert named == {built.url(made.name) for made in fonts.cuts()}


def test_a_font_is_cut_when_first_asked_for_and_then_kept(tmp_path):
    fresh = Assets.build(places.STATIC, tmp_path, fonts_now=False)
    app = FastAPI()
    app.add_route("/assets/{digest}/{name}", fresh.answer)
    address = fresh.url("fira-sans-600-greek.woff2")
    first = Asking(app).get(address)
    assert first.headers["content-type"] == "font/woff2"
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [first.content]


def _cut_into(folder):
    made = next(made for made in fonts.cuts() if made.name == "fira-sans-400-greek.woff2")
    return made.body(Path(folder))


def test_two_processes_may_cut_at_once(tmp_path):
    with multiprocessing.get_context("spawn").Pool(2) as pool:
        one, two = pool.map(_cut_into, [str(tmp_path)] * 2)
    assert one == two
    assert len(list(tmp_path.iterdir())) == 1
