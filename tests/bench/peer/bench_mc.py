"""(e) GUM Monte Carlo, 1e6 trials of a nine-input model

    c = (A - b0)/b1 * f1 * f2 * V/m ,   f1 = Vf1/Vp1 , f2 = Vf2/Vp2
    A   normal(12.40, 0.062)              b0  0.050 + 0.020 * t(6)      b1  2.480 + 0.012 * t(6)
    Vf1 triangular(99.90, 100, 100.10)    Vp1 triangular(9.98, 10, 10.02)
    Vf2 triangular(49.94, 50, 50.06)      Vp2 triangular(4.985, 5, 5.015)
    V   rectangular(0.2495, 0.2505)       m   rectangular(0.9998, 1.0002)
gives mean, sd, shortest 95 % interval.  'sort' = full sort (what most notebooks hold),
'partition' = np.partition of the two 5 % tails, then sort them (best numpy form found),
'chunk' = trials in cache-sized chunks of 65536, then partition."""
import common
import numpy as np


def draw(rng, n):
    A = rng.normal(12.40, 0.062, n)
    b0 = 0.050 + 0.020 * rng.standard_t(6, n)
    b1 = 2.480 + 0.012 * rng.standard_t(6, n)
    f1 = rng.triangular(99.90, 100.0, 100.10, n) / rng.triangular(9.98, 10.0, 10.02, n)
    f2 = rng.triangular(49.94, 50.0, 50.06, n) / rng.triangular(4.985, 5.0, 5.015, n)
    V = rng.uniform(0.2495, 0.2505, n)
    m = rng.uniform(0.9998, 1.0002, n)
    return (A - b0) / b1 * f1 * f2 * V / m


def shortest_sort(c, p=0.95):
    c = np.sort(c)
    k = int(np.ceil(p * c.size))
    w = c[k:] - c[:-k]
    i = int(np.argmin(w))
    return c[i], c[i + k]


def shortest_partition(c, p=0.95):
    n = c.size
    k = int(np.ceil(p * n))
    m = n - k
    q = np.partition(c, (m - 1, k))
    lo, hi = np.sort(q[:m]), np.sort(q[k:])
    i = int(np.argmin(hi - lo))
    return lo[i], hi[i]


def mc(n, form):
    rng = np.random.default_rng(20240601)
    if form == "chunk":
        c = np.empty(n)
        for a in range(0, n, 65536):
            b = min(n, a + 65536)
            c[a:b] = draw(rng, b - a)
    else:
        c = draw(rng, n)
    lo, hi = shortest_sort(c) if form == "sort" else shortest_partition(c)
    return c.mean(), c.std(ddof=1), lo, hi


def check(r):
    return dict(zip(("mean", "sd", "lo95", "hi95"), map(float, r)))


for form, tag in (("sort", "mc_1e6_sort"), ("chunk", "mc_1e6")):
    common.bench(tag, lambda: mc(10 ** 6, form), runs=5, warmup=1, check=check)
