"""Plans of a whole roster: kept as they are made, and the same to the last bit wherever they are made."""

from __future__ import annotations

import subprocess
import sys
import textwrap
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from rangework.cli.roster.pages import plan_and_practice_text
from rangework.plan.drills import PLACES, drill_catalogue
from rangework.plan.hours import allocate_hours
from rangework.plan.hours_program import HoursProblem
from rangework.plan.limit_rows import limit_rows
from rangework.plan.limits import Limits
from rangework.plan.response import draw_responses, responses_for
from rangework.plan.returns import pair_draws
from rangework.plan.sharing import week_of
from rangework.records.profile import PlayerProfile
from rangework.roster import monday as monday_module
from rangework.roster.logged_hours import practice_log
from rangework.roster.monday import Monday, monday
from rangework.roster.planning import Job, Planned, Settings, Stakes, plan_player, within_share
from rangework.roster.trial import Pair, drawn_by_lot, most_asked, open_question
from rangework.skill.parts import PART_IDS
from rangework.store import Practice, Roster, add_player, open_roster
from rangework.store.plans import plans_of
from rangework.store.trials import assignments

SETTINGS = Settings(drill_catalogue(), draws=12)
PLAYERS = 4
PAIR = Pair(*sorted(drill.id for drill in drill_catalogue() if drill.place == "putting_green")[:2])


@pytest.fixture(scope="module")
def planned() -> list[Planned]:
    """Plans as ``plan_player`` gives them, without the golf: worths are drawn."""
    limits = Limits(hours=4.0)
    found = []
    for number in range(1, PLAYERS + 1):
        rng = np.random.default_rng(number)
        saved = 0.3 * np.exp(0.5 * rng.standard_normal((12, 24)))
        responses = draw_responses(responses_for(10.0), 12, rng)
        plan = allocate_hours(saved, responses, SETTINGS.drills, limits, robust_draws=4)
        problem = HoursProblem(
            SETTINGS.drills, pair_draws(saved, responses, 8.0), limit_rows(limits, SETTINGS.drills), 4.0
        )
        stakes = Stakes(saved, responses, limits, week_of(problem))
        found.append(
            Planned(
                number, f"player {number}", course="Threlby", page="page", results={"a": 1},
                strokes_saved=plan.strokes_saved, hours=plan.hours, payoffs=plan.payoffs, stakes=stakes,
            )
        )  # fmt: skip
    return found


@pytest.fixture
def roster(tmp_path: Path) -> Iterator[Roster]:
    with open_roster(tmp_path / "club.roster", make=True) as made:
        for number in range(1, PLAYERS + 2):
            add_player(made, PlayerProfile(name=f"player {number}"))
        yield made


def run(roster: Roster, planned: list[Planned], monkeypatch: pytest.MonkeyPatch, **options: object) -> Monday:
    given = {"capacity": {}, "trial": False, **options}
    everybody = [*planned, Planned(PLAYERS + 1, "player 5", fault="no balls yet")]
    monkeypatch.setattr(monday_module, "plan_all", lambda *_, **__: iter(everybody[::-1]))
    return monday(
        roster, lambda _done: (), SETTINGS, lambda *_: ("", {}), render_again, total=PLAYERS + 1, processes=1,
        scheduler=None, told={"hours": 4.0}, progress=lambda *_: None, **given,
    )  # type: ignore[arg-type]  # fmt: skip


def render_again(week: Monday, planned: Planned) -> tuple[str, dict[str, object]]:
    return f"page as shared of {planned.player}", {"share": dict(week.share(planned.player) or {})}


def test_plans_are_kept(roster: Roster, planned: list[Planned], monkeypatch: pytest.MonkeyPatch) -> None:
    week = run(roster, planned, monkeypatch)
    assert [each.name for each in week.planned] == [f"player {n}" for n in range(1, PLAYERS + 2)]
    kept = plans_of(roster, 1)
    assert len(kept) == 1
    assert sorted(kept[0].hours, key=lambda h: h.drill) == sorted(planned[0].hours, key=lambda h: h.drill)
    assert kept[0].settings == {"hours": 4.0, "kind": "alone"}
    assert plans_of(roster, PLAYERS + 1) == []


def test_shared_hours_become_plans(
    roster: Roster, planned: list[Planned], monkeypatch: pytest.MonkeyPatch
) -> None:
    week = run(roster, planned, monkeypatch, capacity={"range": 1.0, "putting_green": 2.0})
    spent = {"range": 0.0, "putting_green": 0.0}
    for each in planned:
        plan = week.again[each.player]
        assert not isinstance(plan, str)
        for hours in plan.hours:
            spent[hours.place] = spent.get(hours.place, 0.0) + hours.minutes / 60.0
        kept = plans_of(roster, each.player, latest=1)[0]
        assert kept.settings["kind"] == "shared"
        assert kept.page == f"page as shared of {each.player}"
        assert kept.strokes_saved == plan.strokes_saved.value
        by_place: dict[str, float] = {}
        for hours in kept.hours:
            by_place[hours.place] = by_place.get(hours.place, 0.0) + hours.minutes / 60.0
        assert all(spent <= kept.results["share"][place] + 1e-9 for place, spent in by_place.items())
        assert {h.drill: h.minutes for h in kept.hours} == {h.drill: h.minutes for h in plan.hours}
    assert spent["range"] <= 1.0 + 1e-9
    assert spent["putting_green"] <= 2.0 + 1e-9
    assert week.share(PLAYERS + 1) is None


def test_whom_no_hours_are_left_for_has_a_week_without_hours(
    roster: Roster, planned: list[Planned], monkeypatch: pytest.MonkeyPatch
) -> None:
    nothing = dict.fromkeys(PLACES, 0.0)
    week = run(roster, planned, monkeypatch, capacity=nothing)
    for each in planned:
        assert isinstance(week.again[each.player], str)
        kept = plans_of(roster, each.player, latest=1)[0]
        assert (kept.hours, kept.settings["kind"]) == ((), "shared")
        assert kept.strokes_saved <= 0.0
        assert "no hours left" in plan_and_practice_text(kept, [])


def test_lots_are_drawn_evenly_and_kept(
    roster: Roster, planned: list[Planned], monkeypatch: pytest.MonkeyPatch
) -> None:
    # whatever the draws say, everybody's question is the same pair
    monkeypatch.setattr("rangework.roster.trial.open_question", lambda _planned: PAIR)
    week = run(roster, planned, monkeypatch, trial=True)
    kept = assignments(roster)
    assert {each.player for each in kept} == {1, 2, 3, 4}
    assert sorted(each.assigned for each in kept) == sorted([PAIR.first, PAIR.second] * 2)
    for lot in kept:
        plan = week.again[lot.player]
        assert not isinstance(plan, str)
        minutes = {hours.drill: hours.minutes for hours in plan.hours}
        other = ({PAIR.first, PAIR.second} - {lot.assigned}).pop()
        assert minutes[lot.assigned] >= 60 * lot.hours_a_week - 1e-6
        assert lot.hours_a_week > 0.3
        assert other not in minutes


def test_the_question_is_asked_only_where_it_is_open(planned: list[Planned]) -> None:
    def with_chances(each: Planned, first: float, second: float) -> Planned:
        best = sorted(each.payoffs, key=lambda payoff: -payoff.first_hour.value)
        chances = [first, second, *[0.0] * len(best)]
        changed = [replace(p, chance_best=c) for p, c in zip(best, chances, strict=False)]
        return replace(each, payoffs=tuple(changed))

    assert open_question(with_chances(planned[0], 0.9, 0.1)) is None
    assert open_question(with_chances(planned[0], 0.5, 0.45)) is not None
    assert most_asked([with_chances(planned[0], 0.5, 0.45)]) is None
    pair, players = most_asked([with_chances(planned[0], 0.5, 0.45)] * 2) or (None, [])
    assert pair
    assert len(players) == 2


def test_lots_follow_the_seed_and_are_fair(planned: list[Planned]) -> None:
    day = date(2026, 6, 1)
    once, again, other = (drawn_by_lot(PAIR, planned, weeks=8.0, seed=seed, day=day) for seed in (1, 1, 2))
    assert once == again
    seen = [
        sum(
            lot.assigned == PAIR.first
            for lot in drawn_by_lot(PAIR, planned[:1], weeks=8.0, seed=seed, day=day)
        )
        for seed in range(400)
    ]
    # binomial(400, 1/2): four standard deviations
    assert abs(sum(seen) - 200) < 40
    assert {lot.player for lot in other} == {1, 2, 3, 4}


def test_a_share_is_given_out_in_five_minutes() -> None:
    limits = within_share(Limits(hours=4.0), {"range": 1.04, "home": 0.05})
    assert limits is not None
    assert limits.hours_by_place == pytest.approx({"range": 1.0})
    assert within_share(Limits(hours=4.0), {"range": 0.05}) is None


def test_logged_hours_become_effective_hours() -> None:
    drill = drill_catalogue()[3]
    part, share = max(drill.trains.items(), key=lambda item: item[1])
    log = practice_log(
        [Practice("2026-06-01", drill.id, 0.5), Practice("2026-06-02", "unknown", 1.0)], SETTINGS.drills
    )
    assert log is not None
    assert log.between(date(2026, 6, 1), date(2026, 6, 2))[PART_IDS.index(part)] == pytest.approx(0.5 * share)
    assert log.between(date(2026, 6, 2), date(2026, 6, 3)).sum() == 0.0
    assert practice_log([Practice("2026-06-02", "unknown", 1.0)], SETTINGS.drills) is None


def test_a_player_without_balls_has_a_fault() -> None:
    job = Job(1, PlayerProfile(name="Wren"), fault="no balls yet")
    assert plan_player(job, SETTINGS, lambda *_: ("", {})).fault == "no balls yet"


@pytest.mark.slow
def test_a_killed_process_is_made_up_for(tmp_path: Path) -> None:
    """Run in a process of its own: the pool's threads and warnings stay there."""
    script = f"""
        import os, signal, sys
        from pathlib import Path
        import rangework.roster.planning as planning
        from rangework.records.profile import PlayerProfile

        def render(job, advice, settings):
            return "", {{}}

        def jobs(done):
            return [planning.Job(n, PlayerProfile(name=str(n)), fault="x") for n in range(1, 7) if n not in done]

        class Profile:
            def __reduce__(self):
                return (die_once, ())

        def die_once():
            flag = Path({str(tmp_path / "flag")!r})
            if not flag.exists():
                flag.touch()
                os.kill(os.getpid(), signal.SIGKILL)
            return PlayerProfile(name="3")

        def deadly(done):
            for job in jobs(done):
                yield planning.Job(3, Profile(), fault="x") if job.player == 3 else job

        found = list(planning.plan_all(deadly, planning.Settings(()), render, processes=2))
        assert sorted(each.player for each in found) == [1, 2, 3, 4, 5, 6], found
        print("all there")
    """
    file = tmp_path / "killed.py"
    file.write_text(textwrap.dedent(script))
    done = subprocess.run([sys.executable, str(file)], capture_output=True, text=True, timeout=300)
    assert "all there" in done.stdout, done.stdout + done.stderr


@pytest.mark.slow
def test_every_machine_gives_the_same_plans(tmp_path: Path, small_course: Path) -> None:
    """One after another, over two processes, and on a cluster of two workers of which one is killed."""
    (tmp_path / "course.toml").write_bytes(small_course.read_bytes())
    script = Path(__file__).with_name("cluster_run.py")
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path)], capture_output=True, text=True, timeout=900
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.startswith("equal: 3 players")
