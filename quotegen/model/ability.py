"""What a supplier says of its own ability; it counts before any published number."""

from __future__ import annotations

from quotegen.model.fields import Form, LengthField, MassField, ProcessWord, Text


class Ability(Form):
    """One line under `can hold`: what is held as it comes from the process.

    tolerance is written as on a drawing, `DCTG 5` or `+/- 0.1 mm`, and holds for sizes of at most
    up_to. surface is a roughness such as `Ra 3.2 um`, wall the thinnest one, heaviest and longest
    what is taken at all. Without process the line holds for every one of the supplier.
    """

    process: ProcessWord | None = None
    tolerance: Text | None = None
    up_to: LengthField | None = None
    surface: Text | None = None
    wall: LengthField | None = None
    heaviest: MassField | None = None
    longest: LengthField | None = None
