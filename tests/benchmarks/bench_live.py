"""A saved note until it is findable: in the running program, and in another one open beside it."""

from __future__ import annotations

import threading
import time

from tests.benchmarks.bench_build import added_notes
from tests.benchmarks.measuring import Failed, Row, median, seconds, timed

from benchlore.index.watching import watch
from benchlore.shop import Shop
from benchlore.tui.session import Session

PATIENCE_S = 20.0
FIRST_NEW = 900_000
"""The number that `added_notes` gives its first note."""


def rows(name: str, shop: Shop) -> list[Row]:
    """Both ways, each over the same notes; the index files stay as they are."""
    return [
        Row(
            f"saved note until findable, running program, {name}",
            "0.30 s",
            seconds(median(in_the_program(shop))),
        ),
        Row(
            f"saved note until findable, in another program open on the same shop, {name}",
            "2.00 s",
            seconds(median(in_another(shop))),
        ),
    ]


def opened(shop: Shop) -> Session:
    """The shop as the program has it after its first answer."""
    session = Session(shop)
    session.open()
    session.find("hums", None)
    return session


def in_the_program(shop: Shop) -> list[float]:
    """Seconds from the call after saving to the end of the search that finds the note."""
    session, spent = opened(shop), []
    with added_notes(shop) as notes:
        for number, text in enumerate(notes, FIRST_NEW):
            path = f"kb/added/{number}.md"
            spent.append(timed(lambda p=path, t=text: refresh_and_find(session, p, t)))
    return spent


def refresh_and_find(session: Session, path: str, text: str) -> None:
    """What the program does after its form has saved a note, and a search for it."""
    session.refresh([path], certain=True)
    if not finds(session, text):
        raise Failed(f"the note just saved was not found: {path}")


def in_another(shop: Shop) -> list[float]:
    """Seconds from the file being written to the end of a search that finds it, where a program
    watches the shop."""
    session, stop, spent = opened(shop), threading.Event(), []

    def follow() -> None:
        for paths in watch(shop.root, stop, session.store.files()):
            session.refresh(paths)

    follower = threading.Thread(target=follow, daemon=True)
    follower.start()
    time.sleep(2.0)
    with added_notes(shop) as notes:
        before = session.store
        for text in notes:
            started = time.perf_counter()
            while session.store is before or not finds(session, text):
                if time.perf_counter() - started > PATIENCE_S:
                    raise Failed("the other program did not find the note")
                time.sleep(0.01)
            spent.append(time.perf_counter() - started)
            before = session.store
        stop.set()
        follower.join()
    return spent


def finds(session: Session, text: str) -> bool:
    """Whether a search for the symptom of a note brings it."""
    symptom = next(line for line in text.splitlines() if line.startswith("symptom:"))
    case = text.splitlines()[1].removeprefix("case: ")
    answer = session.find(symptom.removeprefix("symptom:"), None).answer
    return answer is not None and case in [hit.note.case for hit in answer.cases]
