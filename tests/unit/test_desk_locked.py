"""Nobody but the browser that was given the address gets anything from a desk, and only its page has anything written.

Loopback, exact Host and Origin, a secret of 128 bits for a cookie, a token, no CORS, a policy of content, no referrer.
Sources: RFC 6265bis, 4.1.2 (SameSite, HttpOnly); RFC 6454, 7 (Origin);
W3C, Fetch Metadata; W3C, Content Security Policy Level 3; Fetch standard, 3.2 (the CORS protocol).
"""

from __future__ import annotations

import json
import re
import socket
from base64 import urlsafe_b64decode
from collections.abc import Iterator
from pathlib import Path

import pytest
from desks import SCRIPT, Browser, served

pytest.importorskip("starlette", reason="the extra `desk` is not installed")
pytest.importorskip("uvicorn", reason="the extra `desk` is not installed")

from cavata.desk.safety import EDITORS, Guard, link_to, may_be_written
from cavata.desk.server import Server
from cavata.source import Source

ASKED = ("/", "/page/page.js", "/view/about", "/events", "/favicon.ico")


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    script = tmp_path_factory.mktemp("locked") / "lamp.cavata"
    script.write_text(SCRIPT, "utf-8")
    with served(script, watched=False) as server:
        yield server


@pytest.fixture
def browser(server: Server) -> Browser:
    browser = Browser(server)
    browser.enter()
    return browser


def refused(answer: tuple[int, dict[str, str], bytes]) -> None:
    """Nothing of the piece is said."""
    status, _, body = answer
    assert status == 403
    assert b"Lamp" not in body and set(json.loads(body)) == {"error"}


def test_it_listens_on_the_loopback_address_only(server: Server) -> None:
    assert server._socket.getsockname()[0] == "127.0.0.1"
    others = {each[4][0] for each in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)} - {"127.0.0.1"}
    for other in others:
        if other.startswith("127."):
            continue
        with pytest.raises(OSError):
            socket.create_connection((other, server.port), 1)


def test_the_secret_has_128_bits_and_is_another_each_time() -> None:
    keys = {Guard(1).addresses()[which].partition("key=")[2] for which in (0, 1) for _ in range(50)}
    assert len(keys) == 100
    assert {len(urlsafe_b64decode(key + "==")) * 8 for key in keys} == {128}


def test_the_secret_is_exchanged_for_a_cookie_and_taken_out_of_the_address(server: Server) -> None:
    browser = Browser(server)
    stays, once = (address.removeprefix(server.guard.origin) for address in server.guard.addresses())
    status, headers, body = browser.ask("GET", stays)
    assert (status, headers["location"], body) == (303, "/", b"")
    cookie, *about = headers["set-cookie"].split("; ")
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} == set(about)
    assert str(server.port) in cookie.partition("=")[0]
    assert len(urlsafe_b64decode(cookie.partition("=")[2] + "==")) * 8 == 128
    assert cookie.partition("=")[2] not in stays
    assert browser.ask("GET", once)[0] == 303
    refused(browser.ask("GET", once))  # it works once
    assert browser.ask("GET", stays)[0] == 303
    refused(browser.ask("GET", "/?key=guessed"))
    refused(browser.ask("GET", "/?key="))


@pytest.mark.parametrize("path", ASKED)
def test_nothing_is_answered_without_the_cookie(path: str, server: Server, browser: Browser) -> None:
    known = browser.cookie
    for cookie in ("", known[:-1], known + "x", f"other={known.partition('=')[2]}", "=", "a; b=;;c"):
        browser.cookie = cookie
        refused(browser.ask("GET", path))


@pytest.mark.parametrize("path", ASKED)
@pytest.mark.parametrize(
    "host", ["localhost:{port}", "127.0.0.1", "evil.example:{port}", "127.0.0.1:{port}.evil.example", "[::1]:{port}"]
)
def test_the_host_must_be_exact(host: str, path: str, server: Server, browser: Browser) -> None:
    """As by a name that somebody else's server resolves to this machine."""
    refused(browser.ask("GET", path, Host=host.format(port=server.port)))


def test_without_a_host_nothing_is_answered(server: Server, browser: Browser) -> None:
    browser.host = ""
    status, _, body = browser.ask("GET", "/view/about")
    assert status in (400, 403) and b"Lamp" not in body


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1:{port}", "http://127.0.0.1:1"])
def test_the_origin_must_be_exact(origin: str, server: Server, browser: Browser) -> None:
    refused(browser.ask("GET", "/view/about", Origin=origin.format(port=server.port)))
    refused(browser.ask("POST", "/do/undo", b"{}", Origin=origin.format(port=server.port)))


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_another_site_has_sent_is_not_answered(site: str, browser: Browser) -> None:
    refused(browser.ask("GET", "/view/about", Sec_Fetch_Site=site))
    assert browser.ask("GET", "/view/about", Sec_Fetch_Site="same-origin")[0] == 200


def test_what_writes_must_have_the_token_and_could_be_no_form(server: Server, browser: Browser) -> None:
    token = server.guard.token
    assert len(urlsafe_b64decode(token + "==")) * 8 == 128
    for changed in (
        {"X_Cavata_Token": ""}, {"X_Cavata_Token": token[:-1]}, {"Origin": ""}, {"Content_Type": "text/plain"},
        {"Content_Type": "application/x-www-form-urlencoded"}, {"Content_Type": ""},
    ):  # fmt: skip
        refused(browser.ask("POST", "/do/undo", b"{}", **{"x_cavata_token": token, **_lowered(changed)}))
    status, answer = browser.do("undo")
    assert (status, answer) == (404, {"error": "there is nothing to take back"})


def _lowered(changed: dict[str, str]) -> dict[str, str]:
    return {"x_cavata_token" if name == "X_Cavata_Token" else name: value for name, value in changed.items()}


def test_the_token_is_told_to_the_page_only(server: Server, browser: Browser) -> None:
    token = server.guard.token.encode()
    assert token in browser.ask("GET", "/")[2]
    for path in ("/page/page.js", "/view/about", "/view/none"):
        status, headers, body = browser.ask("GET", path)
        assert token not in body and token.decode() not in str(headers)


@pytest.mark.parametrize("path", [*ASKED[:3], "/view/none", "/none"])
def test_every_answer_says_what_a_browser_must_not_do(path: str, browser: Browser) -> None:
    _, headers, _ = browser.ask("GET", path)
    policy = dict(part.strip().partition(" ")[::2] for part in headers["content-security-policy"].split(";"))
    assert policy["default-src"] == "'self'"
    assert not {"script-src", "script-src-elem", "script-src-attr", "style-src", "connect-src"} & {*policy}
    assert policy["frame-ancestors"] == policy["base-uri"] == policy["form-action"] == "'none'"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] == "no-store"
    assert not [name for name in headers if name.startswith("access-control-")]


def test_no_other_site_is_told_that_it_may_ask(server: Server, browser: Browser) -> None:
    status, headers, _ = browser.ask(
        "OPTIONS", "/do/undo", Origin="http://evil.example", Access_Control_Request_Method="POST"
    )
    assert status == 403 and not [name for name in headers if name.startswith("access-control-")]


def test_the_page_has_no_script_and_no_style_of_its_own(browser: Browser) -> None:
    text = browser.ask("GET", "/")[2].decode()
    assert re.findall(r"<script(?! src=\"page/\w+\.js\"></script>)[^>]*>", text) == []
    assert "<style" not in text and not re.search(r"\son\w+=|\sstyle=|javascript:|https?://", text)


@pytest.mark.parametrize(
    "path",
    ["/page/../server.py", "/page/..%2fserver.py", "/page/%2e%2e/server.py", "/page//etc/passwd", "/page/desk.html",
     "/page/..%5cserver.py", "/../../etc/passwd", "/view/../../etc/passwd", "/page/page.js%00.css"],
)  # fmt: skip
def test_no_file_is_given_but_those_of_the_page(path: str, browser: Browser) -> None:
    status, _, body = browser.ask("GET", path)
    assert status == 404 and set(json.loads(body)) == {"error"}


@pytest.mark.parametrize("state", ["99", "-1", "x", "1.5", "", "9" * 5000])
def test_a_state_that_is_not_there_is_said_to_be_none(state: str, browser: Browser) -> None:
    status, _, body = browser.ask("GET", f"/view/about?state={state}")
    assert status == (200 if not state else 404), body


@pytest.mark.parametrize("body", [b"{", b"[]", b"1", b"", b"\xff", b'{"id": ["x"]}', b"[" * 100_000])
def test_whatever_is_sent_to_a_deed_is_answered(body: bytes, browser: Browser) -> None:
    status, _, answer = browser.ask("POST", "/do/show", body)
    assert status == 404 and set(json.loads(answer)) == {"error"}


def test_too_much_is_not_taken_in(browser: Browser) -> None:
    status, _, _ = browser.ask("POST", "/do/show", b" " * (2 << 20))
    assert status == 413


def test_only_the_script_and_its_own_files_may_be_written(tmp_path: Path) -> None:
    home, away = tmp_path / "home", tmp_path / "away"
    for folder in (home, away):
        folder.mkdir()
    script, beside, outside = home / "a.cavata", home / "b.cavata", away / "c.cavata"
    for path in (script, beside, outside, home / "d.cavata"):
        path.write_text("language 2\n")
    link = home / "link.cavata"
    link.symlink_to(outside)
    own = {str(path): "language 2\n" for path in (script, beside, outside, link, home / "gone.cavata")}
    assert may_be_written(script, script, own) == script
    assert may_be_written(beside, script, own) == beside
    assert may_be_written(outside, script, own) is None
    assert may_be_written(link, script, own) is None  # it leads out of the folder
    assert may_be_written(home / "d.cavata", script, own) is None  # the script does not use it
    assert may_be_written(home / "gone.cavata", script, own) is None
    assert may_be_written(home / ".." / "away" / "c.cavata", script, {**own, f"{home}/../away/c.cavata": ""}) is None


def test_editors_are_opened_by_addresses_of_a_fixed_list() -> None:
    source = Source("x", "one\ntwo three\n")
    path = Path("/home/a b/javascript:alert(1)/&line=9/x#?.cavata")
    schemes = {"vscode", "vscodium", "zed", "txmt", "idea"}
    for editor in EDITORS:
        address = link_to(editor, path, source, 8)
        assert address.partition(":")[0] in schemes
        told = address.partition(":")[2]
        assert " " not in told and "#" not in told and "&line=9" not in told
        assert "2" in told and "5" in told
    for editor in ("javascript", "http://evil.example/{path}", "", "file"):
        assert link_to(editor, path, source, 8) == ""
