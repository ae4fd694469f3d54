"""QR codes as SVG, by segno: black squares, with the quiet zone that ISO/IEC 18004 asks for."""

import io

import segno

QUIET_ZONE = 4  # modules of white on each side, ISO/IEC 18004


def qr_svg(text: str) -> str:
    """An <svg> string, one unit a module, that scanners read as `text`.

    Error correction M (about 15 % may be lost), for a slip that is folded in a pocket.
    Raises segno.DataOverflowError where `text` is longer than a code can hold.
    """
    out = io.BytesIO()
    code = segno.make(text, error="m", micro=False)
    code.save(out, kind="svg", border=QUIET_ZONE, xmldecl=False, omitsize=True)
    return out.getvalue().decode()
