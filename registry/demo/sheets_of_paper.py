"""Papers of the demo, drawn here: one page of plain lines as a PDF (ISO 32000-1), the same bytes every time."""

from collections.abc import Sequence

# A4 in points; lines in the standard typeface Helvetica, which every reader of PDF has.
WIDTH, HEIGHT, LEFT, TOP, SIZE, LEADING = 595, 842, 72, 770, 11, 18


def page_of_lines(heading: str, lines: Sequence[str]) -> bytes:
    """Return a PDF of one page."""
    drawn = [f"BT /F1 {SIZE + 5} Tf {LEFT} {TOP} Td ({_text(heading)}) Tj ET"]
    drawn += [
        f"BT /F1 {SIZE} Tf {LEFT} {TOP - LEADING * (number + 2)} Td ({_text(line)}) Tj ET"
        for number, line in enumerate(lines)
    ]
    content = "\n".join(drawn).encode("cp1252", "replace")
    font = b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>"
    page = f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {WIDTH} {HEIGHT}] /Contents 4 0 R"
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        f"{page} /Resources << /Font << /F1 5 0 R >> >> >>".encode(),
        b"<< /Length %d >>\nstream\n%s\nendstream" % (len(content), content),
        font,
    ]
    return _file(objects)


def _text(line: str) -> str:
    return line.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")


def _file(objects: Sequence[bytes]) -> bytes:
    """Return the objects as a file, with the table of where each begins."""
    written, places = b"%PDF-1.4\n", []
    for number, body in enumerate(objects, start=1):
        places.append(len(written))
        written += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    count = len(objects) + 1
    trailer = b"trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (count, len(written))
    return written + b"xref\n0 %d\n0000000000 65535 f \n" % count + table + trailer
