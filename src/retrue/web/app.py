"""The door for browsers: every route on one list, and the application around it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from retrue.base.refusals import Refusal
from retrue.kinds.library import Kind
from retrue.kinds.spoken import spoken
from retrue.records.knowing import Meanwhile
from retrue.records.shop import RecordShop
from retrue.web import (
    devices,
    diary,
    files,
    first,
    floor,
    given,
    keeping,
    language,
    manual,
    note,
    offline,
    pairing,
    reckon,
    search,
    shop,
    through,
    twice,
)
from retrue.web.behind import Behind
from retrue.web.door import TakenBack
from retrue.web.find import acts, aim, practice, start
from retrue.web.fix import (
    buy,
    buy_files,
    cards,
    hands,
    home,
    options,
    quotes,
    together,
    tonight,
    waiting,
)
from retrue.web.fix import papers as on_paper
from retrue.web.fix import plan as dates
from retrue.web.fix.planner import Planner
from retrue.web.gate import Gate
from retrue.web.keeper import Keeper
from retrue.web.kept_now import Noting
from retrue.web.known import Known
from retrue.web.language import Speaking
from retrue.web.move import arrival, data, plan, rest
from retrue.web.onward import Onward
from retrue.web.pages import STATIC
from retrue.web.prove import (
    begin,
    bench,
    instruments,
    papers,
    quiet,
    quiet_paper,
    readings,
    result,
)
from retrue.web.refusals import broken, no_form, refuse, unknown_page
from retrue.web.security import Settings
from retrue.web.settle import routes as money
from retrue.web.signpost import Signpost
from retrue.web.strip import amend, apart, camera, cleaning, machine_files, night, places
from retrue.web.strip import papers as labels
from retrue.web.wake import ladder, stage, watch
from retrue.web.wake import papers as sheets
from retrue.web.wake.follower import Follower
from retrue.web.worth import close, looks, lots, pictures, price, screen_routes, seller, visit
from retrue.web.worth.screen_work import Screener

__all__ = ["ROUTES", "Settings", "app"]

LOT = "/lots/{lot}"
MACHINE = LOT + "/machines/{machine}"
PICTURE = LOT + "/pictures/{picture}"
MEASURE = MACHINE + "/measure"
FIND = MACHINE + "/find"
AIM = FIND + "/{aim}"
SET = "/sets/{set}"
STRIP = MACHINE + "/strip"
MOVE = MACHINE + "/move"
WAKE = MACHINE + "/wake"
STAGE = WAKE + "/stages/{stage}"
WATCH = WAKE + "/watch"
FIX = MACHINE + "/fix"
OUT = "/fix/waiting/{out}"
ONE_WATCH = WATCH + "/{watch}"

ROUTES = [
    Route("/", home.home),
    Route("/lots/new", lots.show_new),
    Route("/lots", lots.post_new, methods=["POST"]),
    Route(LOT, price.show_price),
    Route(LOT + "/terms", lots.show_terms),
    Route(LOT + "/terms", lots.post_terms, methods=["POST"]),
    Route(LOT + "/machines", lots.show_add_machine),
    Route(LOT + "/machines", lots.post_add_machine, methods=["POST"]),
    Route(MACHINE + "/facts", lots.show_facts),
    *through.ROUTES,
    *first.ROUTES,
    *screen_routes.ROUTES,
    Route(MACHINE, lots.post_machine, methods=["POST"]),
    Route(MACHINE + "/plate", looks.show_plate),
    Route(MACHINE + "/plate", looks.post_plate, methods=["POST"]),
    Route(MACHINE + "/looks", looks.show_looks),
    Route(MACHINE + "/looks/{check}", looks.show_look),
    Route(MACHINE + "/looks/{check}", looks.post_look, methods=["POST"]),
    Route(LOT + "/pictures", pictures.show_pictures),
    Route(LOT + "/pictures", pictures.post_pictures, methods=["POST"]),
    Route(LOT + "/pictures/next", pictures.next_picture),
    Route(PICTURE, pictures.show_picture),
    Route(PICTURE + "/sort", pictures.post_sort, methods=["POST"]),
    Route(PICTURE + "/tap", pictures.post_tap, methods=["POST"]),
    Route(PICTURE + "/untap", pictures.post_untap, methods=["POST"]),
    Route(LOT + "/findings", looks.show_findings),
    Route(LOT + "/findings/{finding}", looks.show_history),
    Route(LOT + "/findings/{finding}/withdraw", looks.post_withdraw, methods=["POST"]),
    Route(LOT + "/message", seller.show_message),
    Route(LOT + "/message", seller.post_sent, methods=["POST"]),
    Route(LOT + "/call", seller.show_call),
    Route(LOT + "/call", seller.post_call, methods=["POST"]),
    Route(LOT + "/visit", visit.show_visits),
    Route(LOT + "/visit", visit.post_visit, methods=["POST"]),
    Route("/visits", visit.find_visit),
    Route("/visits/{code}", visit.show_visit, name="visit"),
    Route("/visits/{code}", visit.post_visit_answers, methods=["POST"]),
    Route("/visits/{code}/pack.pdf", visit.visit_file),
    Route(LOT + "/costs", close.show_costs),
    Route(LOT + "/costs", close.post_cost, methods=["POST"]),
    Route(LOT + "/freeze", close.show_freeze),
    Route(LOT + "/freeze", close.post_freeze, methods=["POST"]),
    Route(LOT + "/freeze.pdf", files.freeze_file),
    Route(LOT + "/outcome", close.post_outcome, methods=["POST"]),
    Route(FIND, start.show_start),
    Route(FIND, start.post_told, methods=["POST"]),
    Route(FIND + "/learned", start.show_learned),
    Route("/practice", practice.show_practice),
    Route(AIM, aim.show_aim),
    Route(AIM + "/look", acts.post_look, methods=["POST"]),
    Route(AIM + "/did", acts.post_did, methods=["POST"]),
    Route(AIM + "/again", acts.post_again, methods=["POST"]),
    Route(AIM + "/sign", acts.post_sign, methods=["POST"]),
    Route(AIM + "/guess", acts.post_guess, methods=["POST"]),
    Route(AIM + "/opened", acts.post_opened, methods=["POST"]),
    Route(AIM + "/swap", acts.post_swap, methods=["POST"]),
    Route(AIM + "/sheet.pdf", aim.sheet_file),
    Route(AIM + "/answers/{record}", acts.show_answer),
    Route(AIM + "/answers/{record}", acts.post_answer, methods=["POST"]),
    Route(AIM + "/answers/{record}/back", acts.post_back, methods=["POST"]),
    Route(MOVE, plan.show_plan),
    Route(MOVE + "/steps", plan.post_step, methods=["POST"]),
    Route(MOVE + "/back", plan.post_back, methods=["POST"]),
    Route(MOVE + "/data", data.show_data),
    Route(MOVE + "/data", data.post_copy, methods=["POST"]),
    Route(MOVE + "/data/again", data.post_read_back, methods=["POST"]),
    Route(MOVE + "/sheet.pdf", plan.sheet_file),
    Route(MOVE + "/layout.pdf", plan.layout_file),
    Route(MOVE + "/{method}", reckon.show_method),
    Route(MOVE + "/{method}", reckon.post_method, methods=["POST"]),
    Route(MACHINE + "/wake/reckon/{method}", reckon.show_method),
    Route(MACHINE + "/wake/reckon/{method}", reckon.post_method, methods=["POST"]),
    Route(MACHINE + "/prove", quiet.to_quiet),
    Route(MACHINE + "/prove/quiet", quiet.show_quiet),
    Route(MACHINE + "/prove/quiet", quiet.post_sensed, methods=["POST"]),
    Route(MACHINE + "/prove/quiet/back", quiet.post_back, methods=["POST"]),
    Route(MACHINE + "/prove/quiet.pdf", quiet_paper.sheet_file),
    Route(MACHINE + "/prove/quiet/readings/{record}", quiet.show_one),
    Route(MACHINE + "/prove/reckon/{method}", reckon.show_method),
    Route(MACHINE + "/prove/reckon/{method}", reckon.post_method, methods=["POST"]),
    Route(MACHINE + "/arrival", arrival.show_arrival),
    Route(MACHINE + "/arrival", arrival.post_arrived, methods=["POST"]),
    Route(MACHINE + "/arrival/sides", arrival.post_side, methods=["POST"]),
    Route(MACHINE + "/arrival/damage.pdf", arrival.damage_file),
    Route(MACHINE + "/rest", rest.show_rest),
    Route(MACHINE + "/rest", rest.post_rest, methods=["POST"]),
    Route(MACHINE + "/rest/rounds", rest.post_round, methods=["POST"]),
    Route(STRIP, night.show_strip),
    Route(STRIP + "/night", night.show_night),
    Route(STRIP + "/evening", night.show_evening),
    Route(STRIP + "/ticks", night.post_tick, methods=["POST"]),
    Route(STRIP + "/back", amend.post_back, methods=["POST"]),
    Route(STRIP + "/shots", camera.post_shots, methods=["POST"]),
    Route(STRIP + "/places/{place}", places.show_place),
    Route(STRIP + "/places/{place}", places.post_entry, methods=["POST"]),
    Route(STRIP + "/places/{place}/cleaned", places.post_cleaned, methods=["POST"]),
    Route(STRIP + "/apart", apart.show_apart),
    Route(STRIP + "/apart", apart.post_apart, methods=["POST"]),
    Route(STRIP + "/apart/{code}", apart.show_label),
    Route(STRIP + "/apart/{code}", apart.post_back, methods=["POST"]),
    Route(STRIP + "/remaining", apart.show_remaining),
    Route(STRIP + "/labels.pdf", labels.labels_file),
    Route(STRIP + "/bags.pdf", labels.bags_file),
    Route(STRIP + "/log.pdf", labels.log_file),
    Route(STRIP + "/night.pdf", labels.night_file),
    Route(STRIP + "/cleaning", cleaning.show_cleaning),
    Route(STRIP + "/cleaning", cleaning.post_reading, methods=["POST"]),
    Route(STRIP + "/files", machine_files.show_files),
    Route(STRIP + "/files", machine_files.post_file, methods=["POST"]),
    Route(STRIP + "/files/{file}", machine_files.post_read_back, methods=["POST"]),
    Route("/labels", apart.find_label),
    Route(WAKE, ladder.show_ladder),
    Route(WAKE + "/back", ladder.post_back, methods=["POST"]),
    Route(STAGE, stage.show_stage),
    Route(STAGE + "/begin", stage.post_begin, methods=["POST"]),
    Route(STAGE + "/readings", stage.post_reading, methods=["POST"]),
    Route(STAGE + "/sign", stage.post_sign, methods=["POST"]),
    Route(STAGE + "/abort", stage.post_abort, methods=["POST"]),
    Route(STAGE + "/found", stage.post_found, methods=["POST"]),
    Route(STAGE + "/leave", stage.post_leave, methods=["POST"]),
    Route(STAGE + "/not_fitted", stage.post_not_fitted, methods=["POST"]),
    Route(STAGE + "/sheet.pdf", sheets.stage_file),
    Route(WATCH, watch.show_start),
    Route(WATCH, watch.post_start, methods=["POST"]),
    Route(WATCH + "/sheet.pdf", sheets.watch_file),
    Route(ONE_WATCH, watch.show_watch),
    Route(ONE_WATCH + "/state", watch.give_state),
    Route(ONE_WATCH + "/readings", watch.show_readings),
    Route(ONE_WATCH + "/readings", watch.post_readings, methods=["POST"]),
    Route(ONE_WATCH + "/back", watch.post_back, methods=["POST"]),
    Route(ONE_WATCH + "/sound", watch.post_sound, methods=["POST"]),
    Route(ONE_WATCH + "/logger", watch.post_logger, methods=["POST"]),
    Route(ONE_WATCH + "/end", watch.post_end, methods=["POST"]),
    Route("/fix", tonight.show_fix),
    Route("/fix/mark", tonight.post_mark, methods=["POST"]),
    Route("/fix/mark/back", tonight.post_back, methods=["POST"]),
    Route("/fix/waiting", waiting.show_waiting),
    Route(OUT, waiting.show_out),
    Route(OUT + "/ring", waiting.post_ring, methods=["POST"]),
    Route(OUT + "/back", waiting.post_back, methods=["POST"]),
    Route(OUT + "/judge", waiting.post_judge, methods=["POST"]),
    Route(OUT + "/correct", waiting.post_correct, methods=["POST"]),
    Route(OUT + "/withdraw", waiting.post_withdraw, methods=["POST"]),
    Route("/fix/send", waiting.show_send),
    Route("/fix/send", waiting.post_send, methods=["POST"]),
    Route("/fix/quote", quotes.show_quote),
    Route("/fix/quote", quotes.post_quote, methods=["POST"]),
    Route("/fix/take", quotes.post_take, methods=["POST"]),
    Route("/fix/plan", dates.show_plan),
    Route("/fix/plan", dates.post_plan, methods=["POST"]),
    Route("/fix/plan/progress", dates.give_progress),
    Route("/fix/plan.ics", on_paper.calendar),
    Route("/fix/cards", on_paper.find_card),
    Route("/fix/week.pdf", on_paper.week_file),
    Route("/fix/hands", hands.show_hands),
    Route("/fix/hands", hands.post_hands, methods=["POST"]),
    Route("/fix/gear", hands.show_gear),
    Route("/fix/gear", hands.post_gear, methods=["POST"]),
    Route("/fix/buy", buy.show_buy),
    Route("/fix/buy.csv", buy_files.csv_file),
    Route("/fix/buy.xlsx", buy_files.xlsx_file),
    Route("/fix/buy/read", buy_files.post_read, methods=["POST"]),
    Route("/fix/buy/keep", buy_files.post_keep, methods=["POST"]),
    Route("/fix/stock", buy.post_stock, methods=["POST"]),
    Route(FIX, options.show_options),
    Route(FIX, options.post_chosen, methods=["POST"]),
    Route(FIX + "/faults/{fault}", options.show_fault),
    Route(FIX + "/faults/{fault}", options.post_way, methods=["POST"]),
    Route(FIX + "/together/{place}", together.show_together),
    Route(FIX + "/together/{place}", together.post_renew, methods=["POST"]),
    Route(FIX + "/extras", together.show_extras),
    Route(FIX + "/extras", together.post_extra, methods=["POST"]),
    Route(FIX + "/cards", cards.show_cards),
    Route(FIX + "/cards.pdf", on_paper.cards_file),
    Route(FIX + "/cards/{card}.pdf", on_paper.card_file),
    Route(FIX + "/cards/{card}", cards.show_card),
    Route(FIX + "/match/{method}", reckon.show_method),
    Route(FIX + "/match/{method}", reckon.post_method, methods=["POST"]),
    *money.ROUTES,
    Route(MEASURE, bench.show_bench),
    Route(MEASURE + "/limits", bench.show_limits),
    Route(MEASURE + "/limits", bench.post_limit, methods=["POST"]),
    Route(MEASURE + "/acceptance.pdf", bench.acceptance_file),
    Route(MEASURE + "/sheets/{test}.pdf", papers.blank_file),
    Route(MEASURE + "/{test}/new", begin.show_begin),
    Route(MEASURE + "/{test}/new", begin.post_begin, methods=["POST"]),
    Route("/measure", papers.find_set),
    Route(SET, readings.show_set, name="set"),
    Route(SET, readings.post_reading, methods=["POST"]),
    Route(SET + "/all", readings.show_all),
    Route(SET + "/all", readings.post_all, methods=["POST"]),
    Route(SET + "/readings.csv", readings.readings_file),
    Route(SET + "/blank.pdf", papers.blank_set_file),
    Route(SET + "/result", result.show_result),
    Route(SET + "/judge", result.post_judge, methods=["POST"]),
    Route(SET + "/entered", result.post_entered, methods=["POST"]),
    Route(SET + "/sheet.pdf", result.result_file),
    Route(SET + "/files/{name}", result.table_file),
    Route("/instruments", instruments.show_instruments),
    Route("/instruments", instruments.post_instrument, methods=["POST"]),
    Route("/shop", shop.show_shop),
    Route("/shop", shop.post_shop, methods=["POST"]),
    Route("/shop/needs", shop.post_need, methods=["POST"]),
    Route("/shop/alternatives", shop.post_alternative, methods=["POST"]),
    Route("/note", note.show_notes),
    Route("/note", note.post_note, methods=["POST"]),
    Route("/note/alarm", note.post_alarm, methods=["POST"]),
    Route("/note/setting", note.post_setting, methods=["POST"]),
    Route("/files/{file}", files.give_file),
    Route("/files/{file}/shown/{size}", files.show_file),
    Route("/pair", pairing.show_offer),
    Route("/pair", pairing.offer, methods=["POST"]),
    Route("/pair/{code}", pairing.show_button),
    Route("/pair/{code}", pairing.redeem, methods=["POST"]),
    *keeping.ROUTES,
    *devices.ROUTES,
    *diary.ROUTES,
    *search.ROUTES,
    *floor.ROUTES,
    *given.ROUTES,
    *offline.ROUTES,
    *twice.ROUTES,
    *language.ROUTES,
    *manual.ROUTES,
    Mount("/static", StaticFiles(directory=STATIC), name="static"),
]
SIGNPOST = Signpost(ROUTES)


def app(
    *,
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    clock: Callable[[], datetime],
    settings: Settings,
    ring: Callable[[], None] = lambda: None,
) -> Starlette:
    """The application that a server runs.

    Parameters
    ----------
    shop : RecordShop
        Where everything is kept.
    kinds : mapping of str to Kind
        The types of machine it knows.
    clock : callable
        The moment it is, with its offset; for title blocks and for codes that end.
    settings : Settings
        Names, port, secret, seed, loggers.
    ring : callable
        Rings the bell of the server's terminal once: a watch has called stop.

    Returns
    -------
    Starlette
        ``state.pairing`` holds the code on offer to a phone; ``state.follower`` follows running
        watches, in a thread of its own inside ``with made.state.follower.following():``;
        ``state.planner`` plans, in a thread of its own, when a page asks for it, and
        ``state.screener`` prices catalogues inside ``with made.state.screener.working():``;
        ``state.behind`` works ahead inside ``with made.state.behind.working():``.
    """
    known, routes = Known(shop), [SIGNPOST]
    made = Starlette(
        routes=routes,
        middleware=[
            Middleware(Speaking),
            Middleware(Gate, settings=settings, known=known, clock=clock, routes=routes),
            Middleware(Onward),
            Middleware(Noting),
        ],
        exception_handlers={
            Refusal: refuse,
            Meanwhile: twice.ask,
            TakenBack: twice.agree,
            404: unknown_page,
            405: unknown_page,
            HTTPException: no_form,
            Exception: broken,
        },
    )
    english, kinds = kinds, spoken(kinds)
    made.state.shop, made.state.kinds = shop, kinds
    made.state.clock, made.state.settings = clock, settings
    made.state.known, made.state.pairing = known, pairing.Pairing()
    made.state.planner = Planner(shop, kinds, clock)
    made.state.behind = Behind(shop, kinds, clock, settings)
    made.state.keeper = Keeper(shop, clock)
    made.state.screener = Screener(shop, english, kinds, settings, clock)
    made.state.follower = Follower(shop, kinds, clock, settings.loggers, settings.by, ring)
    return made
