"""A made-up computer for the tests of setting up."""

import pytest

from studio import bootstrap
from studio.computer import Computer, Finished

GOOD = Finished(0, "")


class FakeRunner:
    """Remembers what it was asked to run; answers by a word in the command."""

    def __init__(self, **answers):
        self.answers = answers
        self.lines = []

    def __call__(self, command):
        line = " ".join(command)
        self.lines.append(line)
        return next((said for word, said in self.answers.items() if word in line), GOOD)


class Speaker(list):
    """Keeps the sentences that would have stood on the screen."""

    def __call__(self, sentence):
        self.append(sentence)


@pytest.fixture
def computer():
    """A Debian machine with root at the keys, where nothing is installed yet."""
    return Computer(
        family="debian",
        is_root=True,
        run=FakeRunner(),
        hand_over=lambda line, environment: 7,
        say=Speaker(),
        can_load=lambda names: False,
        find_program=lambda names: None,
        free_bytes=lambda folder: bootstrap.ROOM_BYTES,
    )
