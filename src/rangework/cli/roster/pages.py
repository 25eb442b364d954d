"""What the verbs of `rangework roster` print of a player and of all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rangework.cli.tables import Block, clock, number, paragraph, table
from rangework.errors import told_together
from rangework.shown_text import shown_text

if TYPE_CHECKING:
    from rangework.records.profile import PlayerProfile
    from rangework.roster.cards import Became, ReadCard
    from rangework.roster.importing import ReadCourse, ReadFile
    from rangework.roster.practice_files import ReadPractice
    from rangework.store.cards import KeptCard
    from rangework.store.plans import KeptPlan
    from rangework.store.players import Player
    from rangework.store.practice import Practice
    from rangework.store.record_files import Held, Imported, Line

NONE = "-"
LONGEST_NAME_SHOWN = 30


def import_text(
    name: str,
    read: Sequence[ReadFile],
    imported: Sequence[Imported],
    cards: Sequence[tuple[ReadCard, Became]],
    practice: Sequence[tuple[ReadPractice, int]],
    profiles: Sequence[PlayerProfile],
    courses: Sequence[ReadCourse],
) -> str:
    """What became of each file, and the rows that were skipped."""
    lines = [shown_text(name)]
    lines += [f"  {shown_text(each.name)}: {_became(each)}" for each in imported]
    lines += [f"  {shown_text(each.path.name)}: {_card_became(each, became)}" for each, became in cards]
    lines += [f"  {shown_text(each.path.name)}: {_practice_became(each, new)}" for each, new in practice]
    lines += ["  profile: kept" for _ in profiles]
    lines += [f"  {shown_text(course.name)}: kept as home course" for course in courses]
    with_skipped: list[ReadFile | ReadPractice] = [*read, *(each for each, _ in practice)]
    for file in with_skipped:
        if file.skipped:
            lines.append(f"  skipped in {shown_text(file.path.name)}:")
            lines += [paragraph(shown_text(told), indent="    ") for told in told_together(file.skipped)]
    warnings = [str(problem) for file in read for problem in file.records.warnings]
    return "\n".join([*lines, *(paragraph(f"Look at {warning}", indent="  ") for warning in warnings)])


def _became(file: Imported) -> str:
    if file.known:
        return f"nothing changed: this very file came in on {file.known[:10]}"
    if not file.balls_new:
        return f"nothing changed: all {file.balls_read} balls are there already"
    known = file.balls_read - file.balls_new
    told = _counted(file.balls_new, "ball") + (f", {known} more were there already" if known else "")
    return told + (f", {_counted(file.rows_skipped, 'row')} skipped" if file.rows_skipped else "")


def _card_became(read: ReadCard, became: Became) -> str:
    card = read.card
    told = f"card of the test {shown_text(card.name)!r} of {card.day}, {len(card.balls)} balls"
    left_out = f", {_counted(len(card.left_out), 'fault')} left out" if card.left_out else ""
    words = {"kept": "kept", "gone on with": "kept, in place of the card that it goes on with"}
    return f"{told}{left_out}: {words.get(became, 'nothing changed, it is there already')}"


def _practice_became(read: ReadPractice, new: int) -> str:
    if not new:
        return f"nothing changed: {_counted(len(read.lines), 'line')} of practice, there already"
    told = f"{_counted(new, 'line')} of practice"
    return told + (f", {len(read.lines) - new} more were there already" if new < len(read.lines) else "")


def list_text(lines: Sequence[Line]) -> str:
    """The players in a table."""
    if not lines:
        return "Nobody yet: `rangework roster add NAME --handicap INDEX`."
    rows = [
        [
            _short(line.name),
            index_words(line.handicap),
            str(line.balls),
            line.last_ball or NONE,
            (line.last_plan or NONE)[:10],
            line.last_practice or NONE,
        ]
        for line in lines
    ]
    headings = ["player", "index", "balls", "last ball", "last plan", "practised"]
    return table(headings, [Block("", rows)]) + f"\n  {len(lines)} players"


def show_text(
    player: Player,
    held: Held,
    files: Sequence[Imported],
    cards: Sequence[KeptCard],
    course: str,
    plans: Sequence[KeptPlan],
    practice: Sequence[Practice],
) -> str:
    """What is kept of a player, with the latest plan."""
    profile = player.profile
    who = [f"handicap {index_words(profile.handicap)}" if profile.handicap is not None else "no handicap"]
    who += [f"{profile.age} years"] if profile.age is not None else []
    who += [f"{profile.hand}-handed"]
    who += [f"home course {shown_text(course)}"] if course else ["no home course"]
    parts = [f"{shown_text(player.name)}: {', '.join(who)}"]
    if held.balls:
        told = (
            f"{held.balls} balls of {_counted(held.sessions, 'session')}, {held.first_day} to {held.last_day}: "
            f"{held.aimed} aimed, {held.putts} practice putts, {held.strokes} strokes of rounds, from "
            f"{_counted(len(files), 'file')}."
        )
        parts.append(paragraph(told))
    else:
        parts.append("No balls yet.")
    if cards:
        told = ", ".join(f"{shown_text(card.name)} ({card.day}, {card.balls} balls)" for card in cards)
        parts.append(paragraph(f"Filled cards of tests: {told}."))
    parts += [plan_and_practice_text(plan, practice) for plan in plans] or [
        f"No plan yet: `rangework roster plan {player.name!r} --hours 4` makes one."
    ]
    return "\n\n".join(parts)


def done_since(plan: KeptPlan, practice: Sequence[Practice]) -> dict[str, float]:
    """Hours of each drill that were logged since the day on which a plan was made."""
    since = [each for each in practice if each.day >= plan.made_at[:10]]
    return {
        drill: sum(each.hours for each in since if each.drill == drill)
        for drill in dict.fromkeys(each.drill for each in since)
    }


def plan_and_practice_text(plan: KeptPlan, practice: Sequence[Practice]) -> str:
    """The week of a plan, and the hours of each drill that were done since it was made."""
    done = done_since(plan, practice)
    rows = [[shown_text(h.name), clock(h.minutes), hours_done(done.pop(h.drill, 0.0))] for h in plan.hours]
    names = _drill_names([plan])
    rows += [[shown_text(names.get(drill, drill)), NONE, hours_done(hours)] for drill, hours in done.items()]
    head = (
        f"PLAN of {plan.made_at[:10]} for {shown_text(plan.course)}: saves about "
        f"{number(plan.strokes_saved, 2)} strokes a round"
    )
    shown = table(["drill", "a week", "done since"], [Block("", rows)]) if rows else ""
    return "\n".join(filter(None, (head, shown, _of_kind(plan))))


def hours_done(hours: float) -> str:
    """Hours of a drill that were logged; a dash for none."""
    return _hours(hours) if hours else NONE


def _drill_names(plans: Sequence[KeptPlan]) -> dict[str, str]:
    """The names of drills by id: those that come with rangework, and those of the plans."""
    from rangework.plan.drills import drill_catalogue

    names = {each.drill: each.name for plan in plans for each in plan.hours}
    return names | {drill.id: drill.name for drill in drill_catalogue()}


def _of_kind(plan: KeptPlan) -> str:
    """How a week that a share or a lot has changed goes with its page; empty for a plan of its own."""
    words = {
        "shared": "These are the hours that the facility gives this player",
        "trial": "These are the hours with the drill that was drawn by lot",
    }
    told = words.get(str(plan.settings.get("kind")))
    if told is None:
        return ""
    if not plan.hours:
        return paragraph("The facility has no hours left for this player this week.")
    return paragraph(
        f"{told}. The whole plan (`roster report`) begins with the week before that, and ends with this one."
    )


def history_text(
    player: Player,
    files: Sequence[Imported],
    cards: Sequence[KeptCard],
    plans: Sequence[KeptPlan],
    practice: Sequence[Practice],
) -> str:
    """A line for everything that happened, the latest first."""
    names = _drill_names(plans)
    events = [(player.added_at, "added to the roster")]
    events += [(f.imported_at, f"{shown_text(f.name)}: {f.balls_new} balls imported") for f in files]
    events += [(card.day, f"tested: {shown_text(card.name)}, {card.balls} balls") for card in cards]
    events += [
        (
            p.made_at,
            f"plan for {shown_text(p.course)}{_kind(p)}: {number(p.strokes_saved, 2)} strokes a round",
        )
        for p in plans
    ]
    events += [
        (
            p.day,
            f"practised {_hours(p.hours)} of {shown_text(names.get(p.drill, p.drill))}"
            + (f": {shown_text(p.note)}" if p.note else ""),
        )
        for p in practice
    ]
    # of one moment the last told is the latest; what has a day only is put at its end
    events.reverse()
    latest = sorted(events, key=lambda e: e[0] if "T" in e[0] else f"{e[0]}T24", reverse=True)
    return "\n".join([shown_text(player.name), *(f"  {moment[:10]}  {what}" for moment, what in latest)])


def _kind(plan: KeptPlan) -> str:
    words = {"shared": ", within the shared hours", "trial": ", with the drill drawn by lot"}
    return words.get(str(plan.settings.get("kind")), "")


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def index_words(handicap: float | None) -> str:
    """A handicap index as golfers write it."""
    if handicap is None:
        return NONE
    return f"+{-handicap:.1f}" if handicap < 0 else f"{handicap:.1f}"


def _short(name: str) -> str:
    shown = shown_text(name)
    return shown if len(shown) <= LONGEST_NAME_SHOWN else shown[: LONGEST_NAME_SHOWN - 1] + "…"


def _hours(hours: float) -> str:
    return clock(60.0 * hours)
