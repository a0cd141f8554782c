"""The shelf as JSON: what stands where, checked when it is read, and published as a JSON Schema."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AwareDatetime, Base64Bytes, BaseModel, ConfigDict, Field

from scumble.paint import Binder, Quantity
from scumble.paint.camera_doubt import CameraDoubt
from scumble.store.proof import ProofSource
from scumble.store.tube_facts import LightScale
from scumble.tables import BANDS

TRIANGLE, SQUARE = BANDS * (2 * BANDS + 1), 4 * BANDS * BANDS
"""Numbers of a covariance by rows: of its lower triangle, or whole where it is not symmetric."""

FORMAT, FORMAT_VERSION = "scumble-shelf", 1

Spectrum = Annotated[list[float], Field(min_length=BANDS, max_length=BANDS)]
Moment = AwareDatetime
Index = Annotated[int, Field(ge=0)]
Triple = tuple[float, float, float]
Mark = Annotated[str, Field(pattern="^[0-9a-f]{64}$")]


class Plain(BaseModel):
    """Nothing more than is named here, and finite numbers only."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)


class OpticsModel(Plain):
    """Absorption and reduced scattering per coat in 36 bands, 380 to 730 nm, and the covariance of their logs."""

    provenance: Literal["card", "instrument", "illustrative"]
    absorption: Spectrum
    scattering: Spectrum
    covariance: list[float] | None = Field(
        default=None,
        description="None: taken as exact. 2628 numbers: lower triangle by rows. 5184 numbers: whole, by rows.",
    )


class ReadingModel(Plain):
    """One area of a card: XYZ with the perfect diffuser at Y = 100, or reflectance 0-1."""

    area: str
    film: str
    paint_parts: float
    white_parts: float
    ground: str
    weight: float = 1.0
    values: list[float]
    blind: list[tuple[float, float, float]] = Field(
        default=[], description="Directions in XYZ about which the reading says nothing."
    )


class CardModel(Plain):
    """One painted card as it was read."""

    quantity: Quantity
    light: str = "D65"
    observer: int = 2
    noise: float = 0.01
    camera: CameraDoubt | None = Field(
        default=None, description="What a camera does to all areas at once, as standard deviations."
    )
    condition: Literal["", "M0", "M1", "M2", "M3"] = Field(
        default="", description="Measurement condition of the instrument (ISO 13655)."
    )
    backing: str = Field(default="", description="What lay under the card while it was measured.")
    serial: str = Field(default="", description="Serial of the printed card.")
    readings: list[ReadingModel]


class PictureModel(Plain):
    """The picture a card was read from, with the corners of each area in it [pixel]."""

    media_type: str
    content: Base64Bytes
    outlines: dict[str, list[tuple[float, float]]] = {}


class VersionModel(Plain):
    """One version; optics, card and picture are places in the paint's lists, counted from 0."""

    saved_at: Moment
    label: str
    pigments: list[str] = []
    binder: Binder = Binder.ACRYLIC
    status: list[str] = []
    optics: Index
    card: Index | None = None
    picture: Index | None = None


class RatingModel(Plain):
    """Lightfastness on one scale, and who says so."""

    scale: LightScale
    rating: str
    said_by: str


class TubeModel(Plain):
    """What was known of the tube from then on."""

    saved_at: Moment
    price: Decimal | None = None
    currency: str = ""
    size_ml: float | None = None
    stock: int | None = None
    shop_code: str = ""
    discontinued: bool = False
    lightfastness: list[RatingModel] = []
    notes: str = ""
    coat: str = Field(
        default="",
        description="How much paint a full coat is: '80 um', '0.4 ml on 50 cm2', '12 m2/l' and the like.",
    )


class PaintModel(Plain):
    """A paint with its past; ``current`` is the version that counts, from 1."""

    key: str
    current: Annotated[int, Field(ge=1)]
    binned_at: Moment | None = None
    optics: list[OpticsModel]
    cards: list[CardModel] = []
    pictures: list[PictureModel] = []
    versions: Annotated[list[VersionModel], Field(min_length=1)]
    tubes: list[TubeModel] = []


class PastGroundModel(Plain):
    """What a ground was before, or that it lay in the bin."""

    saved_at: Moment
    binned: bool = False
    label: str
    reflectance: Spectrum | None = None
    lab: tuple[float, float, float] | None = None
    notes: str = ""


class GroundModel(Plain):
    """A named ground: a spectrum or a colour (CIELAB, D65, 2 degrees); ``past`` is what it was before, oldest first."""

    key: str
    label: str
    reflectance: Spectrum | None = None
    lab: tuple[float, float, float] | None = None
    notes: str = ""
    saved_at: Moment | None = None
    past: list[PastGroundModel] = []


class PastRecipeModel(Plain):
    """What a layering was before, or that it lay in the bin."""

    saved_at: Moment
    binned: bool = False
    label: str
    layering: dict[str, Any]
    notes: str = ""


class RecipeModel(Plain):
    """A named layering, as ``scumble layer`` takes it; ``past`` is what it was before, oldest first."""

    key: str
    label: str
    layering: dict[str, Any]
    notes: str = ""
    saved_at: Moment | None = None
    past: list[PastRecipeModel] = []


class PastPlanModel(Plain):
    """What a plan was before, or that it lay in the bin."""

    saved_at: Moment
    binned: bool = False
    label: str
    content: dict[str, Any]
    notes: str = ""


class PlanModel(Plain):
    """A plan of a painting with a name; ``past`` is what it was before, oldest first."""

    key: str
    label: str
    content: dict[str, Any]
    notes: str = ""
    saved_at: Moment | None = None
    past: list[PastPlanModel] = []


class LabModel(Plain):
    """A predicted colour: CIELAB, and its covariance from the paints' optics and from the hand that paints."""

    lab: Triple
    optics: tuple[Triple, Triple, Triple]
    hand: tuple[Triple, Triple, Triple]


class PromisedPaintModel(Plain):
    """A paint as it stood when a prediction was kept; ``optics`` is the SHA-256 of its spectra as float64."""

    key: str
    label: str
    version: Annotated[int, Field(ge=1)]
    optics: Mark
    is_illustrative: bool = False


class ProofUseModel(Plain):
    """That a reading went into these optics of a paint."""

    paint: str
    optics: Mark


class ProofReadingModel(Plain):
    """What was read of a painted proof; ``picture`` is a place in the shelf's list of proof pictures."""

    read_at: Moment
    binned_at: Moment | None = None
    source: ProofSource
    lab: Triple
    error: tuple[Triple, Triple, Triple]
    expected: LabModel
    quantity: Quantity
    values: list[float]
    ground: list[float] | None = None
    light: str = "D65"
    observer: int = 2
    noise: float
    camera: CameraDoubt | None = None
    blind: list[Triple] = []
    sheet: str = ""
    area: str = ""
    said: list[str] = []
    uses: list[ProofUseModel] = []
    picture: Index | None = None


class ProofModel(Plain):
    """A prediction kept to be proved, and what was read of it, oldest first."""

    key: str
    label: str
    kind: str
    ground: str
    layering: dict[str, Any]
    paints: list[PromisedPaintModel]
    light: str
    observer: int
    promise: LabModel
    notes: str = ""
    kept_at: Moment
    binned_at: Moment | None = None
    readings: list[ProofReadingModel] = []


class ProofSheetModel(Plain):
    """A printed sheet and the proof in each of its boxes."""

    serial: str
    page: str
    printed_at: Moment
    boxes: dict[str, str]


class AnswerModel(Plain):
    """What was answered to one question; ``difficulty`` is a logit, ``guessed`` the chance to be right by guessing."""

    kind: str
    paints: list[str]
    right: bool
    difficulty: float
    guessed: float
    round: str
    place: int
    slip: str = ""
    off_de00: float | None = None
    answered_at: Moment


class TraineeModel(Plain):
    """Somebody who learns, by a name or initials, with their answers, oldest first."""

    name: str
    added_at: Moment
    answers: list[AnswerModel] = []


class ShelfModel(Plain):
    """A whole shelf."""

    model_config = ConfigDict(title="Scumble shelf")

    format: Literal["scumble-shelf"]
    format_version: Literal[1]
    written_at: datetime | None = None
    paints: list[PaintModel] = []
    grounds: list[GroundModel] = []
    recipes: list[RecipeModel] = []
    binned_grounds: list[GroundModel] = []
    binned_recipes: list[RecipeModel] = []
    plans: list[PlanModel] = []
    binned_plans: list[PlanModel] = []
    proof_pictures: list[PictureModel] = []
    proofs: list[ProofModel] = []
    proof_sheets: list[ProofSheetModel] = []
    trainees: list[TraineeModel] = []
