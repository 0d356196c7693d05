"""(d) weighted (1/x) straight-line and quadratic calibration of 14 ions x 8 levels x 3 replicates and
inverse prediction of 36 unknowns per ion with 95 % intervals (delta method, Student t).
Two forms: 'polyfit' per ion and per unknown scalar root (what most notebooks hold), 'vector' over unknowns.
The lines alone (calib14_all) are what our whole evaluation of the same 14 ions is held against."""
import common
import numpy as np
from scipy.stats import t as student

x = common.load("calib_x.f64")
Y = common.load("calib_y.f64", (14, 24))
U = common.load("calib_unknown.f64", (14, 36))
w = 1.0 / x


def fit(y, deg):
    X = np.vander(x, deg + 1, increasing=True)
    sw = np.sqrt(w)
    b, _, _, _ = np.linalg.lstsq(X * sw[:, None], y * sw, rcond=None)
    r = y - X @ b
    dof = x.size - deg - 1
    s2 = float((w * r * r).sum() / dof)
    cov = s2 * np.linalg.inv((X * w[:, None]).T @ X)
    return b, cov, s2, dof


def inverse_vector(b, cov, s2, dof, y0):
    if b.size == 2:
        x0 = (y0 - b[0]) / b[1]
        slope = np.full_like(x0, b[1])
    else:
        x0 = (-b[1] + np.sqrt(b[1] ** 2 - 4 * b[2] * (b[0] - y0))) / (2 * b[2])
        slope = b[1] + 2 * b[2] * x0
    V = np.vander(x0, b.size, increasing=True)
    var = (np.einsum("ij,jk,ik->i", V, cov, V) + s2 * np.maximum(x0, 1e-12)) / slope ** 2   # Var(y0) = s2/w, w = 1/x
    half = student.ppf(0.975, dof) * np.sqrt(var)
    return x0, half


def vector(degrees):
    return np.array([inverse_vector(*fit(Y[j], deg), U[j]) for deg in degrees for j in range(14)])


def scalar(degrees):
    out = []
    for deg in degrees:
        for j in range(14):
            c, cov = np.polyfit(x, Y[j], deg, w=np.sqrt(w), cov=True)
            dof = x.size - deg - 1
            r = Y[j] - np.polyval(c, x)
            s2 = (w * r * r).sum() / dof
            tq = student.ppf(0.975, dof)
            xs, hs = [], []
            for y0 in U[j]:
                cc = c.copy()
                cc[-1] -= y0
                ro = np.roots(cc)
                ro = ro[np.isreal(ro)].real
                x0 = ro[np.argmin(np.abs(ro - 5.0))]
                v = np.vander([x0], deg + 1)[0]
                sl = np.polyval(np.polyder(c), x0)
                hs.append(tq * np.sqrt((v @ cov @ v + s2 * x0) / sl ** 2))
                xs.append(x0)
            out.append((np.array(xs), np.array(hs)))
    return np.array(out)


def check(o):
    found = {"sum_x0_linear": float(o[:14, 0].sum()), "sum_half_linear": float(o[:14, 1].sum())}
    if len(o) > 14:
        found.update(sum_x0_quad=float(o[14:, 0].sum()), sum_half_quad=float(o[14:, 1].sum()))
    return found


for name, degrees in (("calib14", (1, 2)), ("calib14_all", (1,))):
    common.bench(name, lambda: vector(degrees), runs=41, warmup=3, check=check)
    common.bench(name + "_scalar", lambda: scalar(degrees), runs=15, warmup=2, check=check)
