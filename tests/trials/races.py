"""`make races`: the same decision taken at once by eight processes. One wins each time, every other is told who did.

Two hundred rounds on each database: eight colleagues accept one of two answers to a request in the same moment, half of
them the one, half the other; eight administrators decide one application; eight members state the eight steps of a
circle of part numbers; and while owners answer one estimate, colleagues take it back or send the next version. After each round the rows must show one winner, everybody else must have been told its name, and
each loser's notices must be of one event; of the circle seven steps must stand and one be refused. A database that
says "locked" counts as bad.
"""

from __future__ import annotations

import argparse
import multiprocessing
import subprocess
import sys
from collections.abc import Callable
from typing import Any

from tests.own_database import both, environment, prepare

PROCESSES = 8


def racer(place: int, start: Any, orders: Any, results: Any) -> None:
    """One process: waits for an order, waits for the others, does it, says what came of it."""
    import django

    django.setup()
    from jobs import estimating
    from jobs.models import Estimate
    from network.access import acting_for
    from network.models import Application, Membership, User
    from network.models.applications import AlreadyDecided
    from parts import sourcing, superseding
    from parts.models import Answer, Supersession

    def accept(answer: int, by: int) -> str:
        member = Membership.objects.select_related("workshop", "person").get(pk=by)
        try:
            sourcing.accept(answer=Answer.objects.get(pk=answer), by=member)
        except sourcing.AlreadySettled as told:
            return f"told {told.accepted.pk if told.accepted else None}"
        return f"won {answer}"

    def decide(application: int, by: int) -> str:
        try:
            Application.objects.get(pk=application).decline(by=User.objects.get(pk=by), reason=f"by {by}")
        except AlreadyDecided as told:
            return f"told {told.application.decided_by_id}"
        return f"won {by}"

    def state(old: int, by: int) -> str:
        member = Membership.objects.select_related("workshop", "person").get(pk=by)
        new = old + 1 if place + 1 < PROCESSES else old - place
        said = Supersession(old_id=old, new_id=new, evidence="bulletin")
        try:
            superseding.state(statement=said, by=member)
        except superseding.ClosesACircle as told:
            return f"refused after {len(told.way)}"
        return "stands"

    def settle(estimate: int, by: int) -> str:
        """Two take it back, one sends the version after it, the others answer as its owner would."""
        member = Membership.objects.select_related("workshop", "person").get(pk=by)
        with acting_for(member.workshop):
            one = Estimate.objects.select_related("job__vehicle__customer", "workshop").get(pk=estimate)
            try:
                if place in (0, 4):
                    estimating.take_back(estimate=one, by=member)
                elif place == 1:
                    after = Estimate.objects.get(job=one.job_id, number=one.number + 1)
                    estimating.send(estimate=after, seen=1, by=member)
                    return "sent the next"
                else:
                    estimating.answer(estimate=one, agreed=place % 2 == 0, name=f"Owner {place}", text="as seen")
            except estimating.Overtaken:
                return "told"
        return "won"

    verbs: dict[str, Callable[[int, int], str]] = {
        "accept": accept, "decide": decide, "state": state, "settle": settle,
    }  # fmt: skip
    while (order := orders.get()) is not None:
        verb, what, by = order
        start.wait(60)
        try:
            results.put((place, verbs[verb](what, by)))
        except Exception as error:  # whatever it is, it is the result of this round
            results.put((place, f"{type(error).__name__}: {error}"))


def run(rounds: int) -> int:
    """Every kind of race on the database of this process; how many rounds went wrong."""
    context = multiprocessing.get_context("spawn")
    start, results = context.Barrier(PROCESSES), context.Queue()
    orders = [context.Queue() for _place in range(PROCESSES)]
    racers = [
        context.Process(target=racer, args=(place, start, orders[place], results), daemon=True)
        for place in range(PROCESSES)
    ]
    for one in racers:
        one.start()
    bad = 0

    def race(each: list[tuple[str, int, int]]) -> list[str]:
        for queue, order in zip(orders, each, strict=True):
            queue.put(order)
        return [said for _place, said in sorted(results.get(timeout=90) for _one in each)]

    for number in range(rounds):
        for wrong in (acceptances(race), decisions(race), circles(race), estimates(race)):
            if wrong:
                bad += 1
                print(f"round {number}: {wrong}")
    for queue in orders:
        queue.put(None)
    for one in racers:
        one.join(10)
    return bad


Race = Callable[[list[tuple[str, int, int]]], list[str]]
_kept: dict[str, Any] = {}


def acceptances(race: Race) -> str:
    """Two answers, eight who accept; what is wrong afterwards, or nothing."""
    from network.models import Notice
    from parts.models import Answer
    from tests import cast as made
    from tests.parts.conftest import make_board

    if "board" not in _kept:
        _kept["board"] = make_board()
        asking = _kept["board"].asker.workshop
        _kept["askers"] = [made.make_member(asking, name=f"Asker {n}") for n in range(PROCESSES)]
    board = _kept["board"]
    request = made.make_request(board.asker)
    answers = [made.make_answer(request, board.rureifel), made.make_answer(request, board.moutfort)]
    said = race([("accept", answers[n % 2].pk, asker.pk) for n, asker in enumerate(_kept["askers"])])
    won = list(Answer.objects.filter(request=request, state="accepted").values_list("pk", flat=True))
    told = Notice.objects.filter(event__verb="answer_accepted", event__subject_id__in=[request.pk, *won])
    events = set(told.values_list("event_id", flat=True))
    if len(won) != 1 or sorted(said) != sorted([f"won {won[0]}", *[f"told {won[0]}"] * (PROCESSES - 1)]):
        return f"accepted {won}, said {said}"
    return "" if len(events) == 1 else f"told by {len(events)} events"


def decisions(race: Race) -> str:
    """One application, eight administrators."""
    from network.models import Application
    from tests import cast as made

    if "administrators" not in _kept:
        _kept["administrators"] = [made.make_administrator(f"Administrator {n}") for n in range(PROCESSES)]
    application = made.make_workshop(f"Atelier {len(_kept)}", state="applied").application
    said = race([("decide", application.pk, one.pk) for one in _kept["administrators"]])
    winner = Application.objects.get(pk=application.pk).decided_by_id
    right = [f"won {winner}", *[f"told {winner}"] * (PROCESSES - 1)]
    return "" if sorted(said) == sorted(right) else f"decided by {winner}, said {said}"


def circles(race: Race) -> str:
    """Eight numbers in a ring, eight who state that each is replaced by the next."""
    from parts.models import PartNumber, Supersession
    from tests import cast as made

    number = _kept["rings"] = _kept.get("rings", 0) + 1
    askers = _kept["askers"]
    keys = [made.make_number(askers[0], f"RG {number} {n}").pk for n in range(PROCESSES)]
    assert keys == list(range(keys[0], keys[0] + PROCESSES))
    said = race([("state", key, asker.pk) for key, asker in zip(keys, askers, strict=True)])
    standing = Supersession.objects.filter(old__in=PartNumber.objects.filter(pk__in=keys)).count()
    right = [f"refused after {PROCESSES}", *["stands"] * (PROCESSES - 1)]
    return "" if sorted(said) == right and standing == PROCESSES - 1 else f"{standing} stand, said {said}"


def estimates(race: Race) -> str:
    """One estimate that waits, with the next version written; five answer, two take it back, one sends the next."""
    from jobs import estimating
    from jobs.models import Estimate, EstimateAnswer
    from network.access import acting_for
    from network.models import Notice
    from tests import cast as made
    from tests.access_scene_estimates import kept_and_sent

    askers = _kept["askers"]
    job = made.make_job(askers[0])
    with acting_for(askers[0].workshop):
        waiting = kept_and_sent(job, askers[0])
        after = estimating.begin(job=job, by=askers[0])
        Estimate.objects.filter(pk=after.pk).update(edit=1)
    said = race([("settle", waiting.pk, asker.pk) for asker in askers])
    told = Notice.objects.filter(event__verb__in=("estimate_agreed", "estimate_declined"), event__subject_id=waiting.pk)
    with acting_for(askers[0].workshop):
        waiting.refresh_from_db()
        after.refresh_from_db()
        answers = EstimateAnswer.objects.filter(estimate=waiting).count()
    won = said.count("won") + (waiting.state == "replaced")
    answered = waiting.state in ("agreed", "declined")
    events = len(set(told.values_list("event_id", flat=True)))
    right = won == 1 and said.count("told") + said.count("won") == PROCESSES - 1 and after.state == "sent"
    return "" if right and answers == answered == events else f"{waiting.state}, {answers} answers, said {said}"


def child(database: str, arguments: list[str]) -> int:
    command = [sys.executable, "-m", "tests.trials.races", "--here", *arguments]
    return subprocess.run(command, env=environment(database)).returncode


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=200)
    parser.add_argument("--here", action="store_true", help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.here:
        prepare()
        return min(run(given.rounds), 250)
    with both() as databases:
        bad = sum(child(database, sys.argv[1:]) for database in databases.values())
    print(f"{8 * given.rounds} tried, {bad} bad")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
