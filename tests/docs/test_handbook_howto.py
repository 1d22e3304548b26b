"""The examples of the page on writing a sheet are in order."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from graftwright.handbook import load_handbook
from house import ROOT

if TYPE_CHECKING:
    from pathlib import Path


def test_the_sheet_and_the_own_value_of_the_page_load(tmp_path: Path) -> None:
    page = (ROOT / "docs" / "how-to" / "write-a-sheet.md").read_text(encoding="utf-8")
    value, sheet = re.findall(r"```toml\n(.*?)```", page, re.DOTALL)
    (tmp_path / "sheets").mkdir()
    (tmp_path / "values.toml").write_text(value)
    (tmp_path / "sheets" / "my-bench-graft.toml").write_text(sheet)
    handbook = load_handbook([tmp_path])
    assert handbook.sheets["my-bench-graft"].path == ("callusing", "growing", "planted")
    assert len(handbook.sheets["hypocotyl-closed-bag"].theirs) == 1
