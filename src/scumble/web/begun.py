"""Pages whose answer takes a while: the work is begun, its address is answered, and its page shows how far it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, TypeVar

from fastapi import Query, Request, UploadFile
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.errors import CardError, InputError, ScumbleError
from scumble.jobs.task import Progress, State, Task
from scumble.web.leads import lead_to, leads_on
from scumble.web.render import render
from scumble.web.tasks import tasks_of
from scumble.web.uploads import receive_upload

Work = Callable[[Progress], Any]
Found = TypeVar("Found")

TaskKey = Annotated[str, Query(max_length=40, description="work that was begun")]

BEGINS = leads_on()
"""What a route promises that begins work: it leads to the page that shows how far that is."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of work, beside what was asked, so that a form keeps its words whatever comes.

    Parameters
    ----------
    asked : object
        The form.
    found : object
        The answer; None where there is none.
    wrong : str
        Why there is none.
    """

    asked: Any
    found: Any = None
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class BegunPage:
    """A page with a form whose answer takes a while.

    Parameters
    ----------
    template : str
        File among the templates; it is told ``asked``, ``found``, ``begun``, ``wrong`` and ``labels``.
    address : str
        Where it lies.
    empty : callable
        What is asked before anything is.
    """

    template: str
    address: str
    empty: Callable[[], object]

    def show(self, request: Request, key: str, **more: Any) -> HTMLResponse:
        """The form, and what came of the work of a key; no key, no work. The template is told ``more`` besides.

        Raises
        ------
        InputError
            If the work is not known.
        """
        begun = tasks_of(request).find(key) if key else None
        outcome = begun.result if begun is not None and isinstance(begun.result, Outcome) else None
        asked, found = (outcome.asked, outcome.found) if outcome else (self.empty(), None)
        wrong = (outcome.wrong if outcome else "") or _wrong(begun)
        return self._page(request, asked=asked, found=found, begun=begun, wrong=wrong, **more)

    def lay_out(self, request: Request, asked: object, found: object, **more: Any) -> HTMLResponse:
        """The form with an answer that no work of this program brought."""
        return self._page(request, asked=asked, found=found, begun=None, wrong="", **more)

    def answer(
        self, request: Request, title: str, asked: object, prepare: Callable[[], Work], **more: Any
    ) -> Response:
        """Begin the work that a form asks for, and lead to the page that shows how far it is.

        Parameters
        ----------
        request : Request
            That brought the form.
        title : str
            What the work is called while it lasts.
        asked : object
            The form.
        prepare : callable
            Checks the form and makes the work; where it raises InputError or CardError, the form is answered as it was
            sent, with what is wrong with it.
        **more
            What the template is told besides.
        """
        try:
            work = prepare()
        except (InputError, CardError) as error:
            return self._page(
                request, status=422, asked=asked, found=None, begun=None, wrong=str(error), **more
            )
        return self._begin(request, title, asked, work)

    def found(self, request: Request, key: str, kind: type[Found], *, wanted: str, hint: str) -> Found:
        """What the work of a key found.

        Parameters
        ----------
        request : Request
            That asks for it.
        key : str
            Of the work.
        kind : type
            What is looked for.
        wanted, hint : str
            What the key should have named, and what to do where it does not.

        Raises
        ------
        InputError
            If the work is not known, not done, or found something else.
        """
        outcome = tasks_of(request).find(key).result
        found = outcome.found if isinstance(outcome, Outcome) else None
        if not isinstance(found, kind):
            raise InputError("task", key, wanted, hint)
        return found

    def _begin(self, request: Request, title: str, asked: object, work: Work) -> RedirectResponse:

        def work_out(progress: Progress) -> Outcome:
            try:
                return Outcome(asked, work(progress))
            except ScumbleError as error:
                return Outcome(asked, wrong=str(error))

        key = tasks_of(request).start(title, work_out, kind=self.address.strip("/"))
        return lead_to(f"{self.address}?task={key}")

    def _page(self, request: Request, *, status: int = 200, **context: Any) -> HTMLResponse:
        labels = tuple((entry.key, entry.label) for entry in request.app.state.shelf.load_entries())
        return render(request, self.template, status=status, labels=labels, **context)


def picture_of(upload: UploadFile | None) -> tuple[bytes, str]:
    """Content and name of a picture that came with a form, both empty where none was chosen."""
    if upload is None or not upload.filename:
        return b"", ""
    received = receive_upload(upload)
    return received.content, received.name


def _wrong(begun: Task | None) -> str:
    if begun is None or begun.state is State.DONE:
        return ""
    return "It was stopped." if begun.state is State.CANCELLED else begun.error
