from __future__ import annotations

import pytest

from assistant.errors import Slip
from assistant.keypad.keys import Key, keyed


def test_a_text_is_the_keys_it_stands_for():
    assert keyed("53.5/8 E<") == (
        Key.FIVE, Key.THREE, Key.DOT, Key.FIVE, Key.SLASH, Key.EIGHT, Key.ENTER, Key.BACKSPACE,
    )  # fmt: skip


def test_every_key_can_be_typed_out():
    assert keyed("".join(key.value for key in Key)) == tuple(Key)


@pytest.mark.parametrize("text", ["53x", "5½", "٣", "Ｅ5", "5\x00"])
def test_a_key_that_no_keypad_has_is_named(text):
    with pytest.raises(Slip, match=r"There is no .* on the keypad\. Use "):
        keyed(text)
