"""How the kinds of entry are laid out for somebody who looks for one, each with a line to begin from."""

from __future__ import annotations

GROUPS = {
    "Seed, wood and stocks": (
        "receive", "cut-scions", "chill", "bring-out", "return-to-cold", "pull", "discard", "check-wood",
        "stock-taking",
    ),
    "At the bench": ("graft", "regraft", "codes"),
    "While they grow": ("check", "vent", "open", "close-again", "carry"),
    "Onwards": ("pot", "settle", "harden", "store", "unwrap", "head-back", "plant", "step-back"),
    "Gone": ("lose", "cull", "fail", "give"),
    "What is wanted": ("wish", "promise"),
    "The book": ("describe", "note", "away", "adopt", "plan", "cross-out"),
}  # fmt: skip

OWN_COMMAND = (
    "away",
    "adopt",
    "plan",
    "cross-out",
)  # entered by commands of their own; here only for scripts

EXAMPLES = {
    "receive": "receive 60 --what seed --of 'Old Hedge' --genus Castanea",
    "cut-scions": "cut-scions --of 'Alder Hill' --sticks 8 --buds-per-stick 5 --place 'Cold box'",
    "chill": "chill K7QF4-Z",
    "bring-out": "bring-out K7QF4-Z 30 --place 'Warm shelf'",
    "return-to-cold": "return-to-cold K7QF4-Z 12",
    "pull": "pull K7QF4-Z 24 --double 1 --put-back 8",
    "discard": "discard K7QF4-Z --reason grub=1 --reason 'hollow or floated=4'",
    "check-wood": "check-wood K7QF4-Z --reason mouldy=2",
    "stock-taking": "stock-taking K7QF4-Z --counted chilling=52",
    "graft": "graft 20 --scion K7QF4-Z --stock K7QF4-Z --sheet hypocotyl-closed-bag --place 'Warm shelf' --bags 10",
    "regraft": "regraft 2 --scion K7QF4-Z --stock K7QF4-Z --sheet plain",
    "codes": "codes K7QF4-Z",
    "check": "check K7QF4-Z --seen swollen=1 --reason mould=1 --air misted",
    "vent": "vent K7QF4-Z --opening 'six pin holes'",
    "open": "open K7QF4-Z --opening 'a thumb wide'",
    "close-again": "close-again K7QF4-Z",
    "carry": "carry K7QF4-Z --to 'Window sill'",
    "pot": "pot K7QF4-Z --to 'Tray 1'",
    "settle": "settle K7QF4-Z",
    "harden": "harden K7QF4-Z 6 --to 'Garden frame'",
    "store": "store K7QF4-Z --to 'Cold box'",
    "unwrap": "unwrap K7QF4-Z 30",
    "head-back": "head-back K7QF4-Z",
    "plant": "plant K7QF4-Z --to 'Row 2'",
    "step-back": "step-back K7QF4-Z --back-to potted --reason frost",
    "lose": "lose K7QF4-Z 1 --reason mould --guess",
    "cull": "cull K7QF4-Z 2 --reason weak",
    "fail": "fail K7QF4-Z 1 --reason 'no join'",
    "give": "give K7QF4-Z 2 --to-whom 'Tam Okello'",
    "describe": "describe --what place --name 'Warm shelf' --place-kind shelf --temperature-c 22.5",
    "note": "note K7QF4-Z --note 'the lamp was off over night'",
    "wish": "wish 'Alder Hill' 12 --ready-by 2027-06-10 --sheet hypocotyl-closed-bag --genus Castanea",
    "promise": "promise 'Alder Hill' 3 --to-whom 'Tam Okello'",
    "away": "away --from-day 2027-04-10 --to-day 2027-04-17",
    "adopt": "adopt --of hypocotyl-closed-bag --path leafing.act_within.days --value 2 --scope 'three batches'",
    "cross-out": "cross-out --numbers 12 --reason 'the wrong bag'",
}


def example_of(kind: str) -> str:
    """Return the line to begin from; what is worked out by a command is made by that command."""
    return f"record {EXAMPLES[kind]}" if kind in EXAMPLES else f"{kind} --keep"
