"""Write docs/tutorials/first-season.md: a first season on the command line, with what the program really answers."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from tempfile import TemporaryDirectory

from _generated import keep
from _session import Session

HEAD = """# A first season

Forty nuts in October, wood in January, twelve grafts in April. The bench, the people and the varieties are
invented; every answer below is what the program says. Your own codes will be others: read them off its answers.
"""

# (the day at the bench, what a grower would say of it, the command; {nuts} stands for a code given before)
STORY = (
    ("2026-10-18", "Make a book and tell it where things stand.",
     "new --name \"Fenn's bench\" --time-zone Europe/Paris"),
    ("2026-10-18", "", "record describe --what place --name Refrigerator --place-kind refrigerator --temperature-c 3"),
    ("2026-10-18", "", "record describe --what place --name 'Warm shelf' --place-kind shelf --temperature-c 22.5"),
    ("2026-10-18", "The nuts come in: the book says at once that they do not wait.",
     "record receive 40 --what seed --of 'Old Hedge' --genus Castanea --place Refrigerator => nuts"),
    ("2026-11-01", "Into the cold.", "record chill {nuts}"),
    ("2027-01-30", "Dormant wood, cut and stored.",
     "record cut-scions --sticks 6 --buds-per-stick 5 --of 'Alder Hill' --genus Castanea --place Refrigerator => wood"),
    ("2027-03-20", "Out of the cold, so that sprouts are ready for the bench.",
     "record bring-out {nuts} --place 'Warm shelf'"),
    ("2027-04-03", "Bench day.", "record pull {nuts} 13 --put-back 20"),
    ("2027-04-03", "Twelve grafts, two to a bag.",
     ("record graft 12 --scion {wood} --stock {nuts} --sheet hypocotyl-closed-bag --bags 6 "
     "--place 'Warm shelf' => batch bag")),
    ("2027-04-03", "What is this batch, and when does it want me?", "show {batch}"),
    ("2027-04-13", "One look at one bag: both buds are swollen. The windows move.",
     "record check {bag} --seen swollen=2"),
    ("2027-04-13", "What is due?", "today"),
    ("2027-04-14", "A slip: it was one swollen and one dead of mould. Entries are never edited, they are put right.",
     "correct 10 --seen swollen=1 --reason mould=1"),
    ("2027-04-14", "And the book can prove that no graft was lost.", "verify"),
)  # fmt: skip


def _code_in(answer: str, name: str) -> str:
    """Code that an answer gives to something: the first bag's for a bag, else the first of all."""
    found = re.search(rf"{'bags? ' if name == 'bag' else ''}([2-9A-HJKMNP-Z]{{5}}-[2-9A-HJKMNP-Z])", answer)
    assert found, (name, answer)
    return found[1]


def told(session: Session) -> str:
    """Run the story and write it down."""
    named: dict[str, str] = {}
    parts = [HEAD]
    for day, said, line in STORY:
        command, _, names = line.partition(" => ")
        command = command.format(**named)
        session.today = day
        answer = session.run(*shlex.split(command))
        assert answer.exit_code == 0, (command, answer.err)
        named |= {name: _code_in(answer.out, name) for name in names.split()}
        out = answer.out.replace(str(session.notebook), "bench.graftwright").rstrip()
        parts.append(f"{said}\n" if said else "")
        parts.append(f"```text\n{day}$ graftwright {command}\n{out}\n```\n")
    return "\n".join(part for part in parts if part)


if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        keep("tutorials/first-season.md", told(Session(Path(folder) / "bench.graftwright", "2026-10-18")))
