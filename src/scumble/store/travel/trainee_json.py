"""Trainees with their answers as JSON, and taken from it into a shelf."""

from __future__ import annotations

from sqlalchemy import Connection

from scumble.store.drawers.trainee_drawer import add_answers, add_trainee, find_trainee
from scumble.store.trainee import Answer, Trainee, check_trainee_name
from scumble.store.travel.shelf_json import AnswerModel, TraineeModel

NEW, CHANGED, SAME = "new", "changed", "same"

_OF_AN_ANSWER = (
    "kind",
    "paints",
    "right",
    "difficulty",
    "guessed",
    "round",
    "place",
    "slip",
    "off_de00",
    "answered_at",
)


def trainee_to_model(trainee: Trainee, answers: tuple[Answer, ...]) -> TraineeModel:
    """A trainee with what they answered as JSON."""
    return TraineeModel(
        name=trainee.name,
        added_at=trainee.added_at,
        answers=[AnswerModel(**{name: getattr(each, name) for name in _OF_AN_ANSWER}) for each in answers],
    )


def take_trainee(connection: Connection, model: TraineeModel) -> str:
    """Take a trainee within a visit: a new one whole, of a known one the answers that are new; what became of it.

    Raises
    ------
    InputError
        If a name or an answer cannot be kept.
    """
    name = check_trainee_name(model.name)
    several = [_model_to_answer(each) for each in model.answers]
    known = find_trainee(connection, name)
    trainee = add_trainee(connection, name, model.added_at) if known is None else known
    added = add_answers(connection, trainee.number, several)
    if known is None:
        return NEW
    return CHANGED if added else SAME


def _model_to_answer(model: AnswerModel) -> Answer:
    values = {name: getattr(model, name) for name in _OF_AN_ANSWER}
    return Answer(**{**values, "paints": tuple(model.paints)})
