"""What the icons beside this file measure, by libraries that have nothing to do with ours: curves by svgelements, regions
by GEOS. Prints the table measures.csv; run by hand:

    pip install shapely==2.2.0 svgelements==1.9.6 && python measures.py > measures.csv
"""

import pathlib

import numpy as np
import shapely
import svgelements
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.ops import polygonize, unary_union

FOLDER = pathlib.Path(__file__).parent / "icons"
MM = 25.4 / 96.0
# So many points for a curve.
FINE = np.linspace(0.0, 1.0, 257)


def rings(path):
    """Each subpath as points, and whether it is closed."""
    points, closed = [], False
    for segment in path:
        if isinstance(segment, svgelements.Move):
            if len(points) > 1:
                yield points, closed
            points, closed = [], False
        elif isinstance(segment, (svgelements.Line, svgelements.Close)):
            closed |= isinstance(segment, svgelements.Close)
        else:
            points += [(at.x * MM, at.y * MM) for at in map(segment.point, FINE[1:-1])]
        points.append((segment.end.x * MM, segment.end.y * MM))
    if len(points) > 1:
        yield points, closed


def winding(ring, x, y):
    """How often a ring winds round a point."""
    count = 0
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1]):
        side = (bx - ax) * (y - ay) - (x - ax) * (by - ay)
        if ay <= y < by and side > 0:
            count += 1
        elif by <= y < ay and side < 0:
            count -= 1
    return count


def filled(path):
    """What is inside of a path by its fill rule: the faces between all its lines, each asked for itself."""
    parts = [ring for ring, _ in rings(path)]
    closed = [ring + ring[:1] for ring in parts if len(ring) > 2]
    lines = unary_union([LineString(ring) for ring in closed])
    odd = path.values.get("fill-rule") == "evenodd"
    faces = []
    for face in polygonize(lines):
        at = face.representative_point()
        count = sum(winding(ring, at.x, at.y) for ring in parts)
        if count % 2 if odd else count:
            faces.append(face)
    return unary_union(faces)


def stroked(path):
    """The outline of a stroke with round ends and corners: what a disc covers that is moved along the line."""
    width = float(path.stroke_width) * MM
    moved = []
    for ring, _ in rings(path):
        for ends in zip(ring, ring[1:]):
            line = Point(ends[0]) if ends[0] == ends[1] else LineString(ends)
            moved.append(line.buffer(width / 2.0, quad_segs=64))
    return unary_union(moved)


def main():
    print(f"# svgelements 1.9.6, shapely {shapely.__version__} with GEOS {shapely.geos_version_string}; mm and mm2; by measures.py")
    print("file,strokes,length,area,outline,pieces,islands,x,y,width,height")
    for file in sorted(FOLDER.glob("*/*.svg")):
        strokes = file.parent.name == "tabler"
        length, regions = 0.0, []
        for path in svgelements.SVG.parse(file).elements():
            if not isinstance(path, svgelements.Shape):
                continue
            paint = path.stroke if strokes else path.fill
            if paint is None or paint.value is None:
                continue
            path = svgelements.Path(path).reify()
            length += sum(
                segment.length(error=1e-9) for segment in path if not isinstance(segment, svgelements.Move)
            )
            regions.append(stroked(path) if strokes else filled(path))
        region = unary_union(regions)
        pieces = region.geoms if isinstance(region, MultiPolygon) else [region]
        # Left out: what lies between two approximations of one curve.
        pieces = [piece for piece in pieces if piece.area > 1e-4 * piece.length]
        islands = sum(len(piece.interiors) for piece in pieces)
        x0, y0, x1, y1 = region.bounds
        figures = [length * MM, region.area, region.length]
        box = [x0, y0, x1 - x0, y1 - y0]
        print(
            f"{file.parent.name}/{file.name},{int(strokes)}",
            *[f"{figure:.6f}" for figure in figures],
            len(pieces),
            islands,
            *[f"{figure:.6f}" for figure in box],
            sep=",",
        )


if __name__ == "__main__":
    main()
