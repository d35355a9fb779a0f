"""What changes while a page's stream looks at the log is told as well, and not lost."""

from __future__ import annotations

import asyncio
import time

from giornata.web import night_routes
from giornata.web.hub import Hub


class Desk:
    """A desk whose squaring ends just while the log is being looked at."""

    def __init__(self) -> None:
        self.hub, self.looks, self.square = Hub(), 0, ""

    def signature(self) -> object:
        self.looks += 1
        if self.looks == 2:
            self.square = "flat wall"
            self.hub.changed()
            time.sleep(0.1)  # the loop hears of it before the look is over
        return "the log is as it was"

    def state(self) -> dict[str, str]:
        return {"square": self.square}


def test_n69_a_result_that_comes_during_a_look_at_the_log_is_told(monkeypatch):
    monkeypatch.setattr(night_routes, "_LOOK", 0.02)

    async def heard() -> list[str]:
        desk, events = Desk(), []
        stream = night_routes._told(desk, "", lambda: True)
        async with asyncio.timeout(5):
            async for event in stream:
                events.append(event)
                if "flat wall" in event:
                    break
        await stream.aclose()
        return events

    assert "flat wall" in asyncio.run(heard())[-1]
