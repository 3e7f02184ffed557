"""Cuts the rows of a sheet with GEOS, through shapely: strips of 16 rows, each
with the shapes that reach it, in the turned frame. Reads what TestWriteSheet
writes; polygons are made before the clock starts."""
import sys
import time
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.ops import polygonize, unary_union
from shapely.strtree import STRtree

shapes = []
for line in open(sys.argv[1]):
    words = line.split()
    if words[0] == "rows":
        n, y0, step = int(words[1]), float(words[2]), float(words[3])
    elif words[0] == "shape":
        shapes.append((words[1], []))
    elif words[0] == "ring":
        v = list(map(float, words[2:]))
        shapes[-1][1].append(list(zip(v[::2], v[1::2])))


def winding(p, rings):
    w = 0
    for r in rings:
        px, py = r[-1]
        for qx, qy in r:
            if (py <= p.y) != (qy <= p.y) and px + (qx - px) * (p.y - py) / (qy - py) > p.x:
                w += 1 if qy > py else -1
            px, py = qx, qy
    return w


def filled(rule, rings):
    keep = []
    for face in polygonize(unary_union([LineString(r + r[:1]) for r in rings if len(r) > 2])):
        w = winding(face.representative_point(), rings)
        if w % 2 if rule == "evenodd" else w:
            keep.append(face)
    return unary_union(keep)


regions = [r for r in (filled(*s) for s in shapes) if not r.is_empty]


def count(g):
    if g.is_empty:
        return 0, 0.0
    return len(g.geoms) if hasattr(g, "geoms") else 1, g.length


best = 1e300
for run in range(3):
    start = time.perf_counter()
    spans, length = 0, 0.0
    for r in regions:
        x0, lo, x1, hi = r.bounds
        k = max(0, int((lo - y0) / step))
        while k < n and y0 + k * step <= hi:
            strip = MultiLineString([((x0 - 1, y0 + i * step), (x1 + 1, y0 + i * step)) for i in range(k, min(k + 16, n))])
            s, l = count(r.intersection(strip))
            spans, length = spans + s, length + l
            k += 16
    best = min(best, time.perf_counter() - start)
print(f"GEOS, strips of 16: {spans} spans, {length:.4f} mm, best {best * 1e3:.2f} ms")
