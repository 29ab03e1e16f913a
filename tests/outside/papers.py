#!/usr/bin/env python3
"""Outside checks of printed papers, kept out of the everyday tests.

usage: papers.py codes FOLDER      reads every code on the PDFs of an issue (PyPI zxing-cpp, pillow;
                                   pdftoppm of poppler-utils) and prints what it says
       papers.py speed N           documents a second of the common Python table writer (PyPI
                                   reportlab) on the page of `cargo bench --bench papers`
"""
import io
import pathlib
import subprocess
import sys
import tempfile
import time


def codes(folder):
    import zxingcpp
    from PIL import Image

    missed = 0
    for paper in ("manifest", "package"):
        file = pathlib.Path(folder) / f"{paper}.pdf"
        with tempfile.TemporaryDirectory() as within:
            subprocess.run(["pdftoppm", "-r", "203", "-gray", "-png", file, f"{within}/p"], check=True)
            for n, page in enumerate(sorted(pathlib.Path(within).iterdir())):
                found = zxingcpp.read_barcodes(Image.open(page))
                for code in found:
                    print(paper, n + 1, code.format.name, repr(code.text))
                if not found and (paper == "package" or n == 0):
                    print(paper, n + 1, "NO CODE READ")
                    missed += 1
    return missed


def speed(count):
    from reportlab.lib import colors
    from reportlab.lib.styles import getSampleStyleSheet
    from reportlab.platypus import Paragraph, SimpleDocTemplate, Table, TableStyle

    styles = getSampleStyleSheet()
    look = TableStyle([("GRID", (0, 0), (-1, -1), 0.5, colors.black), ("FONTSIZE", (0, 0), (-1, -1), 8)])

    def page(number):
        head = ["No", "Serial", "Model", "kg", "Wh", "SoC %", "Class"]
        rows = [
            [str(n), f"SN{number * 24 + n:09d}", f"M{n % 12:02d}", "24.0", "2560", "27.5", "eol_large"]
            for n in range(24)
        ]
        table = Table([head] + rows, repeatRows=1)
        table.setStyle(look)
        lines = [
            f"Consignor Depot {number}, Industrial Road 5",
            "Consignee Recycling Works, Harbour 12",
            "UN3480, Lithium ion batteries, 9",
        ]
        out = io.BytesIO()
        story = [Paragraph(f"Packing manifest {number:06d}", styles["Heading1"])]
        story += [Paragraph(line, styles["Normal"]) for line in lines]
        SimpleDocTemplate(out).build(story + [table])
        return out.getvalue()

    size = len(page(0))
    begun = time.perf_counter()
    for number in range(1, count + 1):
        page(number)
    taken = time.perf_counter() - begun
    print(f"reportlab {count} documents, {count / taken:.0f} a second, {size} bytes each")
    return 0


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["codes", folder]:
            sys.exit(codes(folder))
        case ["speed", count]:
            sys.exit(speed(int(count)))
    sys.exit(__doc__)
