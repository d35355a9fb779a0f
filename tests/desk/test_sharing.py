"""Sharing out: real processes, and one that is ended from outside."""

from __future__ import annotations

import math
import os

import pytest

from giornata.core.foundation import ArtworkError
from giornata.desk import sharing
from giornata.desk.sharing import shared_out

PROCESS = "__import__('os').getpid()"


@pytest.fixture
def one_other(monkeypatch: pytest.MonkeyPatch) -> None:
    """One other process, which is called at once."""
    monkeypatch.setattr(sharing, "processors", lambda: 2)
    monkeypatch.setattr(sharing, "PATIENCE", 0.0)


@pytest.mark.usefixtures("one_other")
def test_results_come_back_in_order() -> None:
    assert shared_out(math.isqrt, (k * k for k in range(20))) == list(range(20))


@pytest.mark.usefixtures("one_other")
def test_two_processes_share_the_work() -> None:
    done = shared_out(eval, [PROCESS] * 8)
    assert len(set(done)) == 2
    assert os.getpid() in done


def test_little_work_is_not_given_away() -> None:
    # A function without a name would not find its way into another process.
    assert shared_out(lambda k: k + 1, [1, 2, 3]) == [2, 3, 4]
    assert shared_out(lambda k: k + 1, []) == []


def test_one_processor_does_it_all(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sharing, "processors", lambda: 1)
    monkeypatch.setattr(sharing, "PATIENCE", 0.0)
    assert shared_out(lambda k: k + 1, range(5)) == [1, 2, 3, 4, 5]


@pytest.mark.usefixtures("one_other")
def test_a_process_that_is_ended_says_so() -> None:
    ends_itself = f"{PROCESS} == {os.getpid()} or __import__('os')._exit(3)"
    with pytest.raises(ArtworkError, match="ended from outside"):
        shared_out(eval, [ends_itself] * 3)
