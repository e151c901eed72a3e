"""When it will cut: dates as ranges, what they hang on, the chart, days to hire; plan again."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from retrue.cases.fix.bench_drawing import bench_drawing
from retrue.cases.fix.dates_drawing import dates_drawings
from retrue.cases.fix.plan_lines import PlanView
from retrue.phases import fix
from retrue.web.door import again, deed, hand, sum_of, to, typed
from retrue.web.fix.drawn import EVERY, Drawn, each_drawn
from retrue.web.fix.hands import assumed_of
from retrue.web.fix.planner import Going, Planner
from retrue.web.fix.where import show, today

PLAN = "/fix/plan"
TWICE = 2.0  # as if every delivery took so many times as long
NEXT_DAYS = 6  # of which the cards stand open: today and a week on


def planner_of(request: Request) -> Planner:
    """Who makes the plans of this server."""
    made: Planner = request.app.state.planner
    return made


async def kept_plan(request: Request) -> PlanView | None:
    """The plan that was kept last; None before the first."""
    state = request.app.state
    view: PlanView | None = await deed(fix.kept_plan, request, state.kinds, now=state.clock())
    return view


async def chart_of(request: Request, view: PlanView | None) -> Drawn:
    """The bench chart of a plan."""
    (chart,) = await each_drawn(request, [bench_drawing(view) if view is not None else None], EVERY)
    return chart


async def show_plan(request: Request, /, **more: Any) -> Response:
    """When each machine will cut, and why not sooner; while it is planned, how far that is."""
    going = planner_of(request).stands
    view = await kept_plan(request)
    if going.refusal is not None and "refusal" not in more:
        more = more | {"refusal": going.refusal}
    rules = await each_drawn(request, dates_drawings(view) if view is not None else ())
    told: dict[str, Any] = {"drawn": await chart_of(request, view), "rules": rules}
    told |= by_week(view, today(request)) if view else {"assumed": await assumed_of(request)}
    return show(request, "plan.html", view=view, going=going, **told, **more)


def by_week(view: PlanView, on: date) -> dict[str, Any]:
    """The cards of a plan: what begins within a week, and what comes later."""
    until = (on + timedelta(days=NEXT_DAYS)).isoformat()
    soon = [row for row in view.rows if row.begins[:10] <= until]
    later = [row for row in view.rows if row.begins[:10] > until]
    return {"until": until, "soon": soon, "later": later}


@again(show_plan)
async def post_plan(request: Request) -> Response:
    """Plan again from now on, or see what twice the waits would do; the page says how far it is."""
    form = await typed(request)
    form.check()
    twice = form.text("as_if") == "twice"
    asked = {"why": form.text("why"), "seed": sum_of(request)["seed"]}
    asked |= {"lead_times": TWICE} if twice else {}
    planner_of(request).begin(asked, hand(request, form), keep=not twice)
    return to(PLAN)


async def give_progress(request: Request) -> Response:
    """How far planning is, as JSON, for the page that shows it."""
    going: Going = planner_of(request).stands
    told = {"going": going.going, "schema": "planning/1", "share": round(going.share, 3),
            "words": going.words}  # fmt: skip
    return JSONResponse(told)
