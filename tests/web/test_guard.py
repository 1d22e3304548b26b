"""What may come in: this machine's own names, forms of our own pages, forms of a sane length."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from starlette.datastructures import Headers

from graftwright.ledger.codes import shown
from graftwright.web.guard import refused

if TYPE_CHECKING:
    from web.conftest import Bench


@pytest.mark.parametrize(
    "host", ["127.0.0.1", "127.0.0.1:8765", "localhost:1", "LOCALHOST", "[::1]", "[::1]:8765"]
)
def test_this_machine_is_served_under_its_own_names(bench: Bench, host: str) -> None:
    assert bench.reader.get("/", host=host).status == 200


@pytest.mark.parametrize(
    "host",
    [
        "bench.example",
        "127.0.0.1.example",
        "localhost.example:8765",
        "10.0.0.7",
        "",
        "[::1",
        "127.0.0.1@evil",
    ],
)
def test_no_other_name_is_served(bench: Bench, host: str) -> None:
    answer = bench.reader.get("/", host=host)
    assert answer.status == 421
    assert "Fenn" not in answer.html


FOREIGN = [
    {"sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "same-site"},
    {"sec-fetch-site": "cross-site", "origin": "http://127.0.0.1:8765"},
    {"origin": "http://evil.example"},
    {"origin": "null"},
    {"origin": "https://127.0.0.1:8765"},
    {"origin": "http://127.0.0.1:9999"},
]
OURS = [
    {"sec-fetch-site": "same-origin"},
    {"sec-fetch-site": "none"},
    {"origin": "http://127.0.0.1:8765"},
    {},
]


@pytest.mark.parametrize("headers", FOREIGN)
def test_a_form_sent_from_another_site_writes_nothing(bench: Bench, headers: dict[str, str]) -> None:
    form = bench.reader.get(f"/record/note?subject={shown(bench.season.batch)}").page
    before = bench.entries
    answer = bench.reader.send("POST", form.action, form.values | {"note": "n"}, **headers)
    assert (answer.status, bench.entries) == (403, before)


@pytest.mark.parametrize("headers", OURS)
def test_a_form_of_our_own_is_written(bench: Bench, headers: dict[str, str]) -> None:
    form = bench.reader.get(f"/record/note?subject={shown(bench.season.batch)}").page
    answer = bench.reader.send("POST", form.action, form.values | {"note": "n"}, **headers)
    assert answer.status == 303


def test_a_form_must_say_how_long_it_is_and_be_short() -> None:
    host = {"host": "127.0.0.1"}
    assert refused("POST", Headers({**host, "content-length": "64000"})) is None
    for length, status in ((None, 411), ("x", 411), ("-1", 411), ("64001", 413)):
        said = refused("POST", Headers(host | ({"content-length": length} if length else {})))
        assert said is not None
        assert said.status_code == status


def test_every_answer_says_that_nothing_may_run_frame_or_sniff(bench: Bench) -> None:
    for path in ("/", "/nothing-there", "/static/book.css", "/first"):
        headers = bench.reader.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "form-action 'self'" in policy
        assert "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "same-origin"


def test_reading_never_writes_and_other_methods_find_nothing(bench: Bench) -> None:
    before = bench.entries
    for method in ("PUT", "DELETE", "PATCH"):
        assert bench.reader.send(method, "/", {"a": "b"}).status == 405
    assert bench.reader.send("POST", "/aside", {"a": "b"}).status == 405
    assert bench.entries == before
