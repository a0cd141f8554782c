"""Everything that is said of a paint by itself: how it covers, thins and tints, how it dries, and how it glazes."""

from __future__ import annotations

from scumble.jobs.draws import standard_draws
from scumble.jobs.grounds import SIX_GROUNDS, chart_ground
from scumble.paint import Paint
from scumble.paint.behaviour import Behaviour
from scumble.paint.finish import describe_finish, predict_finish
from scumble.paint.glazing import Glazed, describe_glazing, predict_glazing
from scumble.paint.words import Sentence, describe_behaviour


def say_behaviour(paint: Paint, behaviour: Behaviour) -> tuple[Sentence, ...]:
    """All sentences about a paint, cover first.

    Parameters
    ----------
    paint : Paint
        The tube.
    behaviour : Behaviour
        Of the paint.
    """
    return (
        *describe_behaviour(behaviour),
        describe_glazing(glazes_of(paint)),
        *describe_finish(predict_finish(paint, normals=standard_draws()[0])),
    )


def glazes_of(paint: Paint) -> tuple[Glazed, ...]:
    """One glaze of a paint over each of the six grounds of the charts."""
    grounds = {name: chart_ground(name) for name in SIX_GROUNDS}
    return predict_glazing(paint, grounds, normals=standard_draws()[0])
