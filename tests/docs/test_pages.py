"""The manual as a whole: links lead somewhere, every page can be reached, words are those of the glossary."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from house import ROOT, project_files

if TYPE_CHECKING:
    from pathlib import Path

PAGES = [path for path in project_files() if path.suffix == ".md"]
LINK = re.compile(r"\]\(([^)#\s]+)")


def linked(page: Path) -> set[Path]:
    """Return the files a page links to; addresses of other sites are not looked up."""
    targets = LINK.findall(page.read_text(encoding="utf-8"))
    return {(page.parent / target).resolve() for target in targets if "://" not in target}


@pytest.mark.parametrize("page", PAGES, ids=[str(page.relative_to(ROOT)) for page in PAGES])
def test_links_lead_to_files_that_are_there(page: Path) -> None:
    assert sorted(target for target in linked(page) if not target.exists()) == []


def test_every_page_of_the_manual_can_be_reached_from_its_map() -> None:
    reached: set[Path] = set()
    ahead = {ROOT / "docs" / "README.md"}
    while ahead:
        page = ahead.pop()
        reached.add(page)
        ahead |= {target for target in linked(page) if target.suffix == ".md" and target.exists()} - reached
    assert {page for page in PAGES if page.is_relative_to(ROOT / "docs")} - reached == set()


def test_no_word_is_used_that_means_something_else_in_the_trade() -> None:
    wrong = re.compile(r"\b(?:strike|strikes|struck|striking)\b", re.IGNORECASE)
    ours = [path for path in project_files() if path.suffix in {".md", ".py", ".toml", ".html", ".js"}]
    told = [path for path in ours if path.parts[len(ROOT.parts)] not in {"GLOSSARY.md", "tests"}]
    assert [path for path in told if wrong.search(path.read_text(encoding="utf-8"))] == []
