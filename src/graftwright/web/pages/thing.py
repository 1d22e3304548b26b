"""What a code or a name opens: a batch, a plant, a bag or shelf, a lot, a variety, a person."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from starlette.responses import RedirectResponse

from graftwright.actions.show import Card, show
from graftwright.ledger import codes
from graftwright.web.models import BatchPage, History, PlantPage
from graftwright.web.pages import history
from graftwright.web.pages.acts import acts_for
from graftwright.web.pages.bag import bag_page
from graftwright.web.pages.cautions import of_stages, stored_sheet
from graftwright.web.pages.due_lines import due_lines
from graftwright.web.pages.names import Names, href
from graftwright.web.pages.ribbons_of import ribbons
from graftwright.web.parts import Act, Fact, Subject
from graftwright.web.wording import day_by_day

if TYPE_CHECKING:
    from starlette.responses import Response

    from graftwright.actions.ports import Reading
    from graftwright.handbook.sheets import Sheet
    from graftwright.web.parts import DueLine
    from graftwright.web.visit import Visit

_FACT_WORDS = {"sheet": "how raised", "scions from": "scions", "walking": "on your way round"}


async def find(visit: Visit) -> Response:
    """Send on to the page of a code or name that was typed."""
    typed = visit.asked("code")
    with visit.book.notebook.reading() as reading:
        card = show(reading, visit.book.site, visit.today, typed)
    return visit.to(href(card.code))


async def thing(visit: Visit) -> Response:
    """Answer with the page of a code, or send a name on to its own address."""
    typed = visit.path("code")
    with visit.book.notebook.reading() as reading:
        card = show(reading, visit.book.site, visit.today, typed)
        address = href(card.code)
        if visit.request.url.path != address:
            return RedirectResponse(str(visit.request.url.replace(path=address)), 307)
        template, page = _Maker(visit, reading, card).page()
    return visit.page(template, page)


def _without(line: DueLine, address: str) -> DueLine:
    """Leave out buttons that lead to the page they would stand on."""
    return replace(line, acts=tuple(act for act in line.acts if act.href != address))


class _Maker:
    def __init__(self, visit: Visit, reading: Reading, card: Card) -> None:
        self.visit, self.reading, self.card = visit, reading, card
        places = [one.place for one in card.standing]
        tasks = [code for line in card.due for code in (line.subject, line.place)]
        grouped = [place for group in card.forecast.groups for place in group.places] if card.forecast else []
        self.names = Names(
            reading, [card.code, *places, *tasks, *grouped, *(one.thing for one in card.standing)]
        )
        self.due = tuple(
            _without(line, href(card.code)) for line in due_lines(card.due, self.names, visit.today)
        )
        self.sheet = self._sheet()

    def _sheet(self) -> Sheet | None:
        whole = self.names.known[self.card.code].part_of or self.card.code
        found = self.names.known.get(whole)
        version = found.get("sheet") if found and found.kind == "batch" else None
        return stored_sheet(self.reading, version) if version else None

    def page(self) -> tuple[str, object]:
        """Return the template and what it shows."""
        if self.card.kind == "place":
            return "bag.html", bag_page(self.visit, self.reading, self.card, self.names, self.due)
        return ("plant.html", self._plant()) if self.card.kind == "plant" else ("batch.html", self._other())

    @property
    def _subject(self) -> Subject:
        places = sorted({one.place for one in self.card.standing if one.place})
        return self.names.subject(self.card.code, self.names.all_of(places))

    def _facts(self) -> tuple[Fact, ...]:
        facts = []
        for word, value, code in self.card.facts:
            if word == "sheet" and self.sheet:
                facts.append(Fact("how raised", self.sheet.title, f"/handbook/{self.sheet.key}"))
            else:
                written = day_by_day(value, self.visit.today)
                facts.append(Fact(_FACT_WORDS.get(word, word), written, href(code) if code else ""))
        return tuple(facts)

    def _plant(self) -> PlantPage:
        card, standing = self.card, self.card.standing
        return PlantPage(
            subject=self._subject,
            stage=", ".join(one.stage for one in standing),
            facts=self._facts(),
            acts=self._acts() if standing else (),
            history=self._history(),
            ended="" if standing else f"No longer growing: {card.sentence}.",
            due=self.due if standing else (),
            cautions=of_stages(self.sheet, {one.stage for one in standing}) if self.sheet else (),
        )

    def _other(self) -> BatchPage:
        card, today = self.card, self.visit.today
        forecast = card.forecast if card.kind in {"batch", "seed"} else None
        counted = card.kind in {"batch", "seed", "scionwood", "stock"}
        return BatchPage(
            subject=self._subject,
            counts=history.counts(card, href(card.code)) if counted else (),
            facts=self._facts(),
            acts=self._acts(),
            history=self._history(),
            ribbons=ribbons(forecast, self.names, self.visit.book.site, today) if forecast else (),
            no_window=forecast.untried if forecast else "",
            due=self.due,
            cautions=of_stages(self.sheet, {one.stage for one in card.standing}) if self.sheet else (),
        )

    def _history(self) -> History:
        parts = (
            [part.code for part in self.reading.parts(self.card.code)] if self.card.kind == "batch" else []
        )
        return history.history(self.visit, self.reading, self.card, parts)

    def _acts(self) -> tuple[Act, ...]:
        places = sorted({one.place for one in self.card.standing})
        place = places[0] if len(places) == 1 else ""
        return acts_for(self.card, self.sheet, codes.shown(self.card.code), place)
