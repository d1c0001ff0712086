"""The thirteen steps of a job in words, computed from rows and never typed.

Each room tells where its own step stands. It registers a function when the app starts:

    register("quoted", quote_standings)

`quote_standings(jobs)` answers {job.pk: Standing(...)} for many jobs at once, in a fixed number of
queries, and leaves out jobs it has nothing to say about. A room that reads the same rows for
several steps registers once with register_steps() and answers {step: {job.pk: Standing(...)}}.
Several rooms may speak about one step. What nobody speaks about follows from the job's state.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from jobs.intake.models import Job

STEPS = {
    "enquiry": "Enquiry",
    "arrival": "Checked in",
    "requirements": "Requirements",
    "quoted": "Quoted",
    "approved": "Approved",
    "designed": "Designed",
    "parts": "Parts ready",
    "work": "In work",
    "changes": "Changes",
    "checks": "Quality checks",
    "rework": "Rework clear",
    "released": "Released",
    "delivered": "Delivered",
}


class Now(StrEnum):
    """Where a step stands. Of several answers about one step, the first of these counts."""

    OPEN = "now"
    WAITING = "waiting"
    LATER = "later"
    DONE = "done"
    NOT_NEEDED = "not needed"


@dataclass(frozen=True, kw_only=True, slots=True)
class Action:
    """What somebody with one of these roles can do next, and where."""

    words: str
    url: str
    roles: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Standing:
    now: Now
    detail: str = ""
    waiting_for: str = ""
    blockers: tuple[str, ...] = ()
    action: Action | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    key: str
    word: str
    standing: Standing

    @property
    def status(self) -> str:
        return {"done": "pass", "now": "info", "waiting": "wait", "not needed": "na"}.get(
            self.standing.now, "open"
        )

    @property
    def status_word(self) -> str:
        if self.standing.now == Now.WAITING:
            return f"Waiting for {self.standing.waiting_for or 'somebody else'}"
        return {"later": "Not yet"}.get(self.standing.now, self.standing.now.capitalize())


Answers = Mapping[int, Standing]
Standings = Callable[[Sequence[Job]], Answers]
Rooms = Callable[[Sequence[Job]], Mapping[str, Answers]]
_rooms: list[tuple[Callable[..., object], Rooms]] = []


def register(key: str, standings: Standings) -> None:
    """Let a room speak about one step. Registering the same function again changes nothing."""
    _register(standings, (key,), lambda jobs: {key: standings(jobs)})


def register_steps(keys: Sequence[str], standings: Rooms) -> None:
    """Let a room speak about several steps at once."""
    _register(standings, keys, standings)


def _register(name: Callable[..., object], keys: Sequence[str], room: Rooms) -> None:
    for key in keys:
        if key not in STEPS:
            raise ValueError(f"Step {key!r} does not exist; choose from {', '.join(STEPS)}.")
    if name not in [known for known, _ in _rooms]:
        _rooms.append((name, room))


def spines(jobs: Sequence[Job]) -> dict[int, list[Step]]:
    """The steps of each job, in order. The number of queries does not grow with the jobs."""
    told: dict[str, list[Answers]] = {key: [] for key in STEPS}
    for _, room in _rooms:
        for key, answers in room(jobs).items():
            told[key].append(answers)
    return {job.pk: [_step(job, key, told[key]) for key in STEPS] for job in jobs}


def spine(job: Job) -> list[Step]:
    return spines([job])[job.pk]


def current(steps: Iterable[Step]) -> Step | None:
    """The step the job is at: the first that can go on, else that waits, else that comes."""
    steps = list(steps)
    for now in (Now.OPEN, Now.WAITING, Now.LATER):
        for step in steps:
            if step.standing.now == now:
                return step
    return None


def next_action(steps: Iterable[Step], roles: Iterable[str]) -> Action | None:
    """The first thing somebody with these roles can do; what waits or comes later stands last."""
    steps, held = list(steps), frozenset(roles)
    for now in (Now.OPEN, Now.WAITING, Now.LATER):
        for step in steps:
            action = step.standing.action
            if action and step.standing.now == now and held & frozenset(action.roles):
                return action
    return None


def blockers(steps: Iterable[Step]) -> list[str]:
    return [sentence for step in steps for sentence in step.standing.blockers]


def _step(job: Job, key: str, told: Sequence[Answers]) -> Step:
    answers = [answer[job.pk] for answer in told if job.pk in answer]
    standing = _joined(answers) if answers else _from_state(job, key)
    if job.state == Job.State.CANCELLED and standing.now not in (Now.DONE, Now.NOT_NEEDED):
        standing = Standing(now=Now.NOT_NEEDED, detail="The job is cancelled")
    return Step(key=key, word=STEPS[key], standing=standing)


def _joined(answers: Sequence[Standing]) -> Standing:
    """Several rooms about one step: the least finished answer counts, every word is kept."""
    order = list(Now)
    first, *rest = sorted(answers, key=lambda answer: order.index(answer.now))
    if not rest:
        return first
    return Standing(
        now=first.now,
        detail="; ".join(answer.detail for answer in answers if answer.detail),
        waiting_for=first.waiting_for,
        blockers=tuple(sentence for answer in answers for sentence in answer.blockers),
        action=next((answer.action for answer in (first, *rest) if answer.action), None),
    )


# What a job's state alone says: the steps behind it are done, the named one is where it stands.
_AT = {
    Job.State.ENQUIRY: ("quoted", Now.LATER, ""),
    Job.State.QUOTED: ("approved", Now.WAITING, "the agency"),
    Job.State.APPROVED: ("designed", Now.OPEN, ""),
    Job.State.BUILDING: ("work", Now.OPEN, ""),
    Job.State.RELEASED: ("delivered", Now.OPEN, ""),
}


def _from_state(job: Job, key: str) -> Standing:
    if job.state == Job.State.DELIVERED:
        return Standing(now=Now.DONE)
    at, now, waiting_for = _AT.get(job.state, ("enquiry", Now.LATER, ""))
    order = list(STEPS)
    if order.index(key) < order.index(at):
        return Standing(now=Now.DONE)
    if key == at:
        return Standing(now=now, waiting_for=waiting_for)
    return Standing(now=Now.LATER)
