"""Routes: a few lines each; what they say is built elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from starlette.responses import RedirectResponse, Response

from giornata.core.job import named_figures
from giornata.web.explaining import explanation
from giornata.web.night_left import left_of_night
from giornata.web.page_building import Asked, asked_of, fault_entries, job_page
from giornata.web.records import said
from giornata.web.rendering import page, record_response
from giornata.web.steps import step_words
from giornata.web.wall_drawing import artwork_drawing, wall_drawing
from giornata.web.watching import Deriving, Faulty, Halted, JobWatch, Ready, State

__all__ = ["data", "pages"]

pages = APIRouter()
data = APIRouter(prefix="/api")

Key = Annotated[str | None, Query(max_length=80)]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobState:
    """How far the job is."""

    state: str = said("deriving, halted, faulty or ready.")
    version: str = said("Digest of what the figures follow from; empty until they are there.")
    step: str = said("What is worked out just now.", default="")
    done: int = said("Steps done.", default=0)
    of: int = said("Steps in all; 0 while the files are read.", default=0)


def state_of(request: Request) -> State:
    """The job as its folder has it now."""
    watch: JobWatch = request.app.state.watch
    return watch.look()


Now = Annotated[State, Depends(state_of)]


def _said(state: State) -> JobState:
    match state:
        case Deriving():
            return JobState(
                state="deriving",
                version="",
                step=step_words(state.step),
                done=state.done,
                of=state.of,
            )
        case Halted():
            return JobState(state="halted", version="")
        case Faulty():
            return JobState(state="faulty", version="")
        case Ready():
            return JobState(state="ready", version=state.version)


def _asked(ready: Ready, option: str | None, colourway: str | None, units: str | None) -> Asked:
    return asked_of(ready.job.inputs, option=option, colourway=colourway, units=units)


def _not_ready(state: State) -> Response:
    """What the data routes say while there is nothing to show."""
    if isinstance(state, Faulty):
        return record_response(
            {**vars_of(_said(state)), "message": state.message, "remedy": state.remedy,
             "findings": fault_entries(state.findings)},
            status=409,
        )  # fmt: skip
    return record_response(_said(state), status=503)


def vars_of(state: JobState) -> dict[str, object]:
    """A state as a mapping."""
    return {"state": state.state, "version": state.version}


# ---------------------------------------------------------------- pages
@pages.get("/")
def show_job(
    now: Now, option: Key = None, colourway: Key = None, units: Key = None
) -> Response:  # fmt: skip
    """The job: its wall, its figures, its findings; or how far it is, or what is amiss."""
    match now:
        case Ready():
            asked = _asked(now, option, colourway, units)
            findings = now.job.findings(now.results)
            record = job_page(now.results, findings, asked, version=now.version)
            return page("job.html", page=record, asked=asked)
        case Faulty():
            return page("faulty.html", fault=now, groups=fault_entries(now.findings))
        case _:
            return page("waiting.html", state=_said(now))


@pages.post("/halt")
def halt(request: Request) -> Response:
    """Stop working the job out."""
    request.app.state.watch.halt()
    return RedirectResponse("/", status_code=303)


@pages.post("/resume")
def resume(request: Request) -> Response:
    """Go on after a halt."""
    request.app.state.watch.resume()
    return RedirectResponse("/", status_code=303)


@pages.get("/figure")
def show_figure(
    now: Now, name: Key = None, path: Key = None, units: Key = None
) -> Response:  # fmt: skip
    """How one figure came about: a piece of a page, unfolded under the figure."""
    if not isinstance(now, Ready):
        return page("unexplained.html", status=503)
    asked = _asked(now, None, None, units)
    found = explanation(named_figures(now.results), name or "", path or "", asked.system)
    if found is None:
        return page("unexplained.html", status=404)
    return page("explanation.html", it=found)


# ---------------------------------------------------------------- data
@data.get("/state")
def give_state(now: Now) -> Response:
    """How far the job is."""
    return record_response(_said(now))


@data.get("/job")
def give_job(
    now: Now, option: Key = None, colourway: Key = None, units: Key = None
) -> Response:  # fmt: skip
    """What the job's page says."""
    if not isinstance(now, Ready):
        return _not_ready(now)
    asked = _asked(now, option, colourway, units)
    findings = now.job.findings(now.results)
    return record_response(job_page(now.results, findings, asked, version=now.version))


@data.get("/figure")
def give_figure(
    now: Now, name: Key = None, path: Key = None, units: Key = None
) -> Response:  # fmt: skip
    """How one figure came about."""
    if not isinstance(now, Ready):
        return _not_ready(now)
    asked = _asked(now, None, None, units)
    found = explanation(named_figures(now.results), name or "", path or "", asked.system)
    if found is None:
        return record_response({"detail": "There is no such figure."}, status=404)
    return record_response(found)


@data.get("/tonight")
def give_tonight(now: Now, units: Key = None) -> Response:
    """How long it is dark tonight."""
    if not isinstance(now, Ready):
        return _not_ready(now)
    system = _asked(now, None, None, units).system
    return record_response(left_of_night(now.results, datetime.now(UTC), (), system))


@data.get("/wall")
def give_wall(now: Now, units: Key = None) -> Response:
    """The wall and what lies on it."""
    if not isinstance(now, Ready):
        return _not_ready(now)
    return record_response(wall_drawing(now.results, _asked(now, None, None, units).system))


@data.get("/artwork")
def give_artwork(now: Now, option: Key = None, units: Key = None) -> Response:
    """The painted regions of one option."""
    if not isinstance(now, Ready):
        return _not_ready(now)
    asked = _asked(now, option, None, units)
    design = next(one for one in now.results.designs if one.option.key == asked.option)
    return record_response(artwork_drawing(now.results, design, asked.system))
