"""All that one entry will ask for, fetched in one statement.

The statement is written in the database's own words because it is one thought: the things named, with
whole batches; what stands in a place that is named; the places round all of them; the grower's own values;
and the id's answer.
Lists of codes come as one value, so that their number has no limit and the statement never changes.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select, text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy import Column, ColumnElement

LOOK = text("""
WITH RECURSIVE
asked (key) AS (SELECT value FROM json_each(:keys)),
-- the place that stands for what is in it, with all places within
opened (code) AS (
    SELECT code FROM things WHERE kind = 'place' AND code IN (SELECT value FROM json_each(:inside))
    UNION SELECT code FROM things WHERE kind = 'place' AND slug IN (SELECT value FROM json_each(:inside))
    UNION SELECT things.code FROM things JOIN opened ON things.within = opened.code
),
named (code, whole) AS (
    SELECT code, part_of FROM things WHERE code IN (SELECT key FROM asked)
    UNION SELECT code, part_of FROM things WHERE slug IN (SELECT key FROM asked)
    UNION SELECT code, part_of FROM things WHERE code IN (
        SELECT thing FROM balances
        WHERE place IN (SELECT code FROM opened) AND name = 'there' AND amount <> 0
    )
),
roots (code) AS (SELECT iif(whole = '', code, whole) FROM named),
family (code, kind) AS (
    SELECT code, kind FROM things WHERE code IN (SELECT code FROM roots)
    UNION SELECT code, kind FROM things WHERE code IN (SELECT code FROM named)
    UNION SELECT code, kind FROM things WHERE part_of IN (SELECT code FROM roots)
),
-- every place that is named or that grafts have lain in, and every place that these have stood in
around (code) AS (
    SELECT code FROM family WHERE kind = 'place'
    UNION SELECT place FROM lines
        WHERE place <> '' AND thing IN (SELECT code FROM family WHERE kind IN ('batch', 'plant', 'seed'))
    UNION SELECT json_extract(within.value, '$[2]')
        FROM around JOIN things ON things.code = around.code, json_each(things.said, '$.within') AS within
)
SELECT 'thing' AS what, code AS a, kind AS b, part_of AS c, said AS d, latest AS e, NULL AS n FROM things
    WHERE code IN (SELECT code FROM family) OR code IN (SELECT code FROM around) OR kind = 'handbook'
UNION ALL SELECT 'there', thing, unit, name, detail, place, amount FROM balances
    WHERE thing IN (SELECT code FROM family) AND name = 'there' AND amount <> 0
UNION ALL SELECT 'sheet', version, text, species, '', '', NULL FROM sheets
    WHERE version IN (SELECT sheet FROM things WHERE code IN (SELECT code FROM roots))
    OR lower(replace(substr(version, 1, instr(version, '/') - 1), 'seed:', '')) IN (SELECT key FROM asked)
UNION ALL SELECT 'next', '', '', '', '', '', coalesce(max(number), 0) + 1 FROM entries
UNION ALL SELECT 'entry', '', '', '', '', '', number FROM entries WHERE id = :id
UNION ALL SELECT 'aside', '', '', '', '', '', 0 FROM aside WHERE id = :id
""")


# balances keep a row of each place that a thing ever stood in
_STOOD = """
SELECT DISTINCT forecasts.batch
FROM balances JOIN things ON things.code = balances.thing
    JOIN forecasts ON forecasts.batch = iif(things.part_of = '', things.code, things.part_of)
WHERE balances.place IN (SELECT code FROM places) AND balances.name = 'there' AND forecasts.living > 0
ORDER BY forecasts.batch
"""
BATCHES_IN = text(f"WITH places (code) AS (SELECT :place) {_STOOD}")
BATCHES_WITHIN = text(f"""
WITH RECURSIVE
stood (code, outer) AS MATERIALIZED (
    SELECT things.code, json_extract(within.value, '$[2]')
    FROM things, json_each(things.said, '$.within') AS within WHERE things.kind = 'place'
),
places (code) AS (SELECT :place UNION SELECT stood.code FROM stood JOIN places ON stood.outer = places.code)
{_STOOD}""")  # noqa: S608 - as above

BATCHES_OF = text("""
SELECT forecasts.batch FROM forecasts JOIN things ON things.code = forecasts.batch
WHERE forecasts.living > 0 AND :key IN
    (substr(things.sheet, 1, instr(things.sheet, '/') - 1), json_extract(things.said, '$.genus[#-1][2]'))
ORDER BY forecasts.batch
""")


def among(column: Column[Any], values: Iterable[Any]) -> ColumnElement[bool]:
    """Whether a column holds one of the values; they travel as one."""
    each = func.json_each(json.dumps(sorted(set(values)))).table_valued("value")
    return column.in_(select(each.c.value))
