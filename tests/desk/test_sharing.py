"""Sharing out: real processes, and one that is ended from outside."""

from __future__ import annotations

import math
import os

import pytest

from giornata.core.foundation import ArtworkError
from giornata.desk.sharing import shared_out


def test_results_come_back_in_order(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    assert shared_out(math.isqrt, (k * k for k in range(20))) == list(range(20))


def test_one_item_alone_is_not_given_away() -> None:
    # A function without a name would not find its way into another process.
    assert shared_out(lambda k: k + 1, [1]) == [2]
    assert shared_out(lambda k: k + 1, []) == []


def test_a_process_that_is_ended_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    with pytest.raises(ArtworkError, match="ended from outside"):
        shared_out(os._exit, [3, 3])
