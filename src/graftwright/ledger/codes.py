"""Label codes: six characters that people can read aloud, with a check character.

Five characters from an alphabet without 0, 1, I, L and O, then the check character of
ISO 7064 MOD 37,36. Codes whose check character would be one of those five, and codes in which
some swap of two neighbours also checks, are never given and do not check: so every single wrong
character and every swap of neighbours is caught.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from graftwright.errors import ValueComplaint, as_typed

if TYPE_CHECKING:
    import random

ALPHABET = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
_ISO_36 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_VALUE = {character: value for value, character in enumerate(_ISO_36)}
_BODY = 5
_LENGTH = 6
# six characters at the end, however spaced, that do not go on a word begun before them
_WRITTEN = re.compile(rf"(?<![^\W_])(?:[0-9A-Za-z][\s-]*){{{_LENGTH}}}\Z")


class UnknownCode(ValueComplaint):
    """A text that is no code at all, or one with a wrong or swapped character."""

    key = "code"

    def __init__(self, typed: str) -> None:
        super().__init__(
            f"{as_typed(typed)} is not a code: a character is wrong, missing or swapped.",
            do="Read the label again; a code looks like K7QF4-Z.",
        )
        self.typed = typed


def iso7064_mod_37_36(payload: str) -> str:
    """Check character of a payload of digits and capital letters (ISO 7064, hybrid system 37,36)."""
    product = 36
    for character in payload:
        total = (product + _VALUE[character]) % 36 or 36
        product = (total * 2) % 37
    return _ISO_36[(37 - product) % 36]


def _checks(code: str) -> bool:
    return iso7064_mod_37_36(code[:-1]) == code[-1]


def _swaps(code: str) -> list[str]:
    """All texts made from `code` by swapping two unlike neighbours."""
    return [
        code[:i] + code[i + 1] + code[i] + code[i + 2 :]
        for i in range(len(code) - 1)
        if code[i] != code[i + 1]
    ]


def is_code(text: str) -> bool:
    """Whether `text`, written without hyphen in capitals, is a code that could have been given."""
    if len(text) != _LENGTH or any(character not in ALPHABET for character in text):
        return False
    return _checks(text) and not any(_checks(swapped) for swapped in _swaps(text))


def new_code(chance: random.Random) -> str:
    """Draw a code that can be given."""
    while True:
        body = "".join(chance.choice(ALPHABET) for _ in range(_BODY))
        code = body + iso7064_mod_37_36(body)
        if is_code(code):
            return code


def shown(code: str) -> str:
    """Write a code the way labels do: K7QF4-Z."""
    return f"{code[:_BODY]}-{code[_BODY:]}" if is_code(code) else code


def read(typed: str) -> str:
    """Find the code in what was typed or scanned; case, spaces, hyphens and what stands before it do not count."""
    written = _WRITTEN.search(typed)
    code = _plain(written[0]) if written else ""
    if not is_code(code):
        raise UnknownCode(typed)
    return code


def _plain(typed: str) -> str:
    return re.sub(r"[\s-]", "", typed).upper()


def near(typed: str) -> set[str]:
    """Codes that are one wrong character or one swap of neighbours away from what was typed."""
    written = _WRITTEN.search(typed)
    plain = _plain(written[0]) if written else ""
    wrong = {plain[:i] + right + plain[i + 1 :] for i in range(len(plain)) for right in ALPHABET}
    return {code for code in wrong.union(_swaps(plain)) if is_code(code)}


def looks_like_code(typed: str) -> bool:
    """Whether somebody who typed this meant a code, right or wrong (a name may stand there instead)."""
    plain = _plain(typed)
    if len(plain) != _LENGTH or any(character not in ALPHABET for character in plain):
        return False
    return is_code(plain) or any(character.isdigit() for character in plain) or typed.strip()[-2:-1] == "-"
