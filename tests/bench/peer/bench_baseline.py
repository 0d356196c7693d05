"""(a) arPLS baseline on 6e3, 1e5 and 1e6 points."""
import common
from arpls import arpls_banded


def check(r):
    z, w, it = r
    return {"iterations": it, "sum_z": float(z.sum()), "sum_w": float(w.sum())}


for tag, runs in (("6e3", 25), ("1e5", 5), ("1e6", 3)):
    y = common.load("chrom_%s.f64" % tag)
    common.bench("arpls_" + tag, lambda: arpls_banded(y), runs=runs, check=check)
