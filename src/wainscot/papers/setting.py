"""A page set by typst: every paper goes through here, so that none may read a file or the clock.

    pdf = compiled(source, "pdf", {"data": packed}, "a paper", timestamp=0)

What a page shows reaches it as data.  The letters are shipped, so that the same page gives the same
bytes on every machine.
"""

from __future__ import annotations

from importlib import resources
from typing import Any

from wainscot.drawing import Drawing, as_svg
from wainscot.drawing.dxf import MissingPackageError
from wainscot.drawing.svg import paper_size


def compiled(source: bytes, form: str, inputs: dict[str, str], what: str, **options: Any) -> Any:
    """Return what typst makes of a page: bytes, or a list of them.

    Parameters
    ----------
    source : bytes
        The page.
    form : str
        ``pdf``, ``png`` or ``svg``.
    inputs : dict of str to str
        The data that it is given.
    what : str
        What needs typst, in words.
    **options
        Of typst.

    Raises
    ------
    MissingPackageError
        If typst is not installed.
    """
    try:
        import typst
    except ImportError:
        raise MissingPackageError("typst", what) from None
    with resources.as_file(resources.files("wainscot.papers.fonts")) as fonts:
        return typst.compile(
            source, format=form,  # type: ignore[call-overload] # the stub wants a literal
            root=str(fonts), font_paths=[str(fonts)], ignore_system_fonts=True,
            sys_inputs=inputs, **options,
        )  # fmt: skip


def drawn(drawing: Drawing) -> dict[str, Any]:
    """Return a drawing as a page takes it: SVG text beside its size on paper. [mm]"""
    width, height = paper_size(drawing)
    return {
        "title": drawing.title, "about": drawing.about, "width": width, "height": height,
        "svg": as_svg(drawing, ground=False),
    }  # fmt: skip
