"""What a page of a PDF draws, letter by letter, and whether an eye would see it.

It runs in the child of pdf_child.py only: pdfminer.six is loaded here.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from pdfminer.converter import PDFLayoutAnalyzer
from pdfminer.layout import LTChar, LTCurve, LTImage, LTItem, LTLine, LTRect
from pdfminer.pdfinterp import PDFPageInterpreter, PDFResourceManager
from pdfminer.pdftypes import PDFObjRef, dict_value, list_value, resolve1
from pdfminer.psparser import PSLiteral

from quotegen.taking.pdf_child import (
    MOST_LETTERS,
    SLANTED,
    TINY,
    Drawn,
    Letter,
    Shape,
    TooMuch,
)

THIN_LINE = 2.5  # points; a filled area that is narrower is a rule
MOST_SHAPES = 4000
FAR = 100_000.0  # points; a page has at most 14,400 (ISO 32000-2, annex C)
DEEPEST = 12  # forms inside forms
Box = tuple[float, float, float, float]


def drawn_on(
    document: Any, page: Any
) -> tuple[Drawn, tuple[float, float], Callable[[Box], Sequence[float]]]:
    """The letters, areas and rules of a page, its size, and how a box of the file lies on it."""
    device = Device(PDFResourceManager(), _layers_off(document))
    interpreter = Interpreter(device.rsrcmgr, device)
    interpreter.process_page(page)
    return device.drawn, device.size, device.on_page


def _layers_off(document: Any) -> frozenset[int]:
    """The numbers of the layers that are switched off when the file is opened."""
    layers = resolve1(document.catalog.get("OCProperties"))
    shown = resolve1(layers.get("D")) if isinstance(layers, dict) else None
    off = list_value(shown.get("OFF", [])) if isinstance(shown, dict) else []
    return frozenset(each.objid for each in off if isinstance(each, PDFObjRef))


class Device(PDFLayoutAnalyzer):
    """Keeps what is drawn, in order, and whether it is seen."""

    def __init__(self, rsrcmgr: PDFResourceManager, off: frozenset[int]) -> None:
        super().__init__(rsrcmgr)
        self.off = off
        self.drawn = Drawn()
        self.size = (0.0, 0.0)
        self.crop: Box = (0.0, 0.0, 0.0, 0.0)
        self.alpha, self.mode, self.depth = 1.0, 0, 0
        self.layers: list[bool] = []
        self.number = 0

    def begin_page(self, page: Any, ctm: Any) -> None:
        super().begin_page(page, ctm)
        self.page_ctm = ctm
        x0, y0, x1, y1 = self._turned(page.mediabox)
        self.size = (x1 - x0, y1 - y0)
        crop = self.on_page(tuple(page.cropbox))
        self.crop = (max(crop[0], 0), max(crop[1], 0), min(crop[2], self.size[0]),
                     min(crop[3], self.size[1]))  # fmt: skip

    def _turned(self, box: Any) -> Box:
        from pdfminer.utils import apply_matrix_rect

        x0, y0, x1, y1 = apply_matrix_rect(self.page_ctm, tuple(box))
        return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))

    def on_page(self, box: Box) -> Box:
        """A box of the file as a viewer shows it, y down from the upper edge."""
        return self._flipped(self._turned(box))

    def _flipped(self, box: Sequence[float]) -> Box:
        return (box[0], self.size[1] - box[3], box[2], self.size[1] - box[1])

    def begin_figure(self, name: str, bbox: Any, matrix: Any) -> None:
        self.depth += 1
        if self.depth > DEEPEST:
            raise TooMuch("pdf-broken", "forms inside forms without end")
        super().begin_figure(name, bbox, matrix)

    def end_figure(self, name: str) -> None:
        self.depth -= 1
        super().end_figure(name)

    def render_string(self, textstate: Any, seq: Any, ncs: Any, graphicstate: Any) -> None:
        self.mode = textstate.render
        super().render_string(textstate, seq, ncs, graphicstate)

    def render_char(self, *args: Any, **kwargs: Any) -> float:
        adv = super().render_char(*args, **kwargs)
        item = self._last()
        if isinstance(item, LTChar):
            self._letter(item)
        return adv

    def paint_path(self, gstate: Any, stroke: bool, fill: bool, evenodd: bool, path: Any) -> None:
        super().paint_path(gstate, stroke, fill, evenodd, path)
        for item in self._taken():
            self._shape(item, gstate)

    def render_image(self, name: str, stream: Any) -> None:
        super().render_image(name, stream)
        item = self._last()
        if isinstance(item, LTImage):
            self.number += 1
            box = self._flipped(item.bbox)
            self.drawn.picture = max(self.drawn.picture, self._share(box))
            whole = not any(key in stream for key in ("SMask", "Mask", "ImageMask"))
            self._add(Shape(box=box, light=None, number=self.number, covers=whole))

    def _last(self) -> LTItem | None:
        taken = self._taken()
        return taken[-1] if taken else None

    def _taken(self) -> Sequence[LTItem]:
        """What was just drawn; it is not kept twice."""
        items: Sequence[LTItem] = list(self.cur_item._objs)  # noqa: SLF001  # pdfminer gives no other way
        self.cur_item._objs.clear()  # noqa: SLF001
        return items

    def _share(self, box: Box) -> float:
        wide = max(0.0, min(box[2], self.size[0]) - max(box[0], 0))
        high = max(0.0, min(box[3], self.size[1]) - max(box[1], 0))
        return wide * high / max(1.0, self.size[0] * self.size[1])

    def _letter(self, item: LTChar) -> None:
        self.number += 1
        if len(self.drawn.letters) > MOST_LETTERS:
            raise TooMuch("pdf-too-long", f"{MOST_LETTERS:,} letters")
        text = item.get_text()
        if text.startswith("(cid:"):
            text = "\N{REPLACEMENT CHARACTER}"
        a, b, _, _, e, f = item.matrix
        if not all(abs(each) < FAR for each in (*item.matrix, *item.bbox)):
            self._lost(text)
            return
        angle = math.degrees(math.atan2(b, a)) % 360
        turn = round(angle / 90) % 4 * 90
        slanted = abs((angle - turn + 180) % 360 - 180) > 5
        x0, top, x1, low = self._flipped(item.bbox)
        y = self.size[1] - f
        along, base = {
            0: ((x0, x1), y),
            90: ((-low, -top), e),
            180: ((-x1, -x0), -y),
            270: ((top, low), -e),
        }[turn]
        size = (x1 - x0) if turn in (90, 270) else (low - top)
        self.drawn.letters.append(
            Letter(
                text=text, x0=along[0], x1=along[1], base=base, size=size,
                turn=SLANTED if slanted else turn, number=self.number,
                hidden=self._unseen((x0, top, x1, low), size),
                light=_light(item.graphicstate.ncolor, item.ncs),
            )
        )  # fmt: skip

    def _lost(self, text: str) -> None:
        """A letter beyond all bounds, which is told as one outside of the page."""
        edge = -FAR / 2
        self.drawn.letters.append(
            Letter(text=text, x0=edge, x1=edge, base=edge, size=1.0, turn=0, number=self.number,
                   hidden="outside of the page", light=None)
        )  # fmt: skip

    def _unseen(self, box: Box, size: float) -> str:
        """Why a letter is not seen; "" where it is, as far as it alone can tell."""
        middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        inside = (
            self.crop[0] <= middle[0] <= self.crop[2] and self.crop[1] <= middle[1] <= self.crop[3]
        )
        if not inside:
            return "outside of the page"
        if self.mode in (3, 7):
            return "drawn invisibly"
        if self.alpha < 0.1:
            return "transparent"
        if any(self.layers):
            return "on a layer that is switched off"
        return "too small to be read" if size < TINY else ""

    def _shape(self, item: LTItem, gstate: Any) -> None:
        if not isinstance(item, LTLine | LTRect | LTCurve):
            return
        self.number += 1
        box = self._flipped(item.bbox)
        if not all(abs(each) < FAR for each in box):
            return
        wide, high = box[2] - box[0], box[3] - box[1]
        straight = isinstance(item, LTLine | LTRect)
        if straight and min(wide, high) <= THIN_LINE:
            self.drawn.rules.append(box)
            return
        if isinstance(item, LTLine):
            return
        if straight:
            x0, top, x1, low = box
            self.drawn.rules += [(x0, top, x1, top), (x0, low, x1, low), (x0, top, x0, low),
                                 (x1, top, x1, low)]  # fmt: skip
        if item.fill and straight and self.alpha > 0.9:
            light = _light(gstate.ncolor, gstate.ncs)
            covers = light is not None
            self._add(Shape(box=box, light=light, number=self.number, covers=covers))

    def _add(self, shape: Shape) -> None:
        if len(self.drawn.shapes) < MOST_SHAPES:
            self.drawn.shapes.append(shape)


def _light(colour: Any, space: Any) -> float | None:
    """The brightness of a colour, 0 to 1; None where it cannot be told."""
    parts = colour if isinstance(colour, tuple | list) else (colour,)
    name = getattr(space, "name", "")
    plain = bool(parts) and all(isinstance(each, int | float) for each in parts)
    if not plain or name in ("Indexed", "Pattern", "Lab"):
        return None
    if name in ("Separation", "DeviceN"):
        return 1.0 - float(max(parts))
    if len(parts) == 4:
        return max(0.0, 1.0 - float(parts[3]) - _weighed(parts[:3]))
    if len(parts) in (1, 3):
        return float(parts[0]) if len(parts) == 1 else _weighed(parts)
    return None


def _weighed(parts: Sequence[float]) -> float:
    """Red, green and blue as bright as they look."""
    return 0.3 * parts[0] + 0.59 * parts[1] + 0.11 * parts[2]


class Interpreter(PDFPageInterpreter):
    """Follows transparency and layers, which pdfminer leaves aside."""

    device: Device

    def init_state(self, ctm: Any) -> None:
        super().init_state(ctm)
        self.alphas: list[float] = []

    def do_q(self) -> None:
        self.alphas.append(self.device.alpha)
        super().do_q()

    def do_Q(self) -> None:  # noqa: N802  # the name of the operator
        if self.alphas:
            self.device.alpha = self.alphas.pop()
        super().do_Q()

    def do_gs(self, name: Any) -> None:
        states = dict_value(resolve1(self.resources.get("ExtGState")) or {})
        state = resolve1(states.get(getattr(name, "name", "")))
        if isinstance(state, dict):
            alpha, blend = resolve1(state.get("ca")), resolve1(state.get("BM"))
            if isinstance(alpha, int | float):
                self.device.alpha = float(alpha)
            if isinstance(blend, PSLiteral) and blend.name not in ("Normal", "Compatible"):
                self.device.alpha = min(self.device.alpha, 0.5)

    def do_BDC(self, tag: Any, props: Any) -> None:  # noqa: N802
        self.device.layers.append(_name_of(tag) == "OC" and self._is_off(props))
        super().do_BDC(tag, props)

    def do_BMC(self, tag: Any) -> None:  # noqa: N802
        self.device.layers.append(False)
        super().do_BMC(tag)

    def do_EMC(self) -> None:  # noqa: N802
        if self.device.layers:
            self.device.layers.pop()
        super().do_EMC()

    def do_Do(self, xobjid_arg: Any) -> None:  # noqa: N802
        made = self.xobjmap.get(_name_of(xobjid_arg))
        attrs = getattr(made, "attrs", {})
        self.device.layers.append("OC" in attrs and self._refers_off(attrs["OC"]))
        alpha = self.device.alpha
        super().do_Do(xobjid_arg)
        self.device.alpha = alpha
        self.device.layers.pop()

    def _is_off(self, props: Any) -> bool:
        known = dict_value(resolve1(self.resources.get("Properties")) or {})
        return self._refers_off(known.get(_name_of(props)))

    def _refers_off(self, layer: Any) -> bool:
        """A layer that is off, or a group of which all are."""
        if isinstance(layer, PDFObjRef) and layer.objid in self.device.off:
            return True
        group = resolve1(layer)
        inner = group.get("OCGs") if isinstance(group, dict) else None
        listed = inner if isinstance(inner, list) else [inner]
        return bool(inner) and all(
            isinstance(each, PDFObjRef) and each.objid in self.device.off for each in listed
        )


def _name_of(value: Any) -> str:
    return str(value.name) if isinstance(value, PSLiteral) else ""
