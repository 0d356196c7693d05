"""(f) end to end: 60 injections x 6000 points -> baseline (arPLS on the 5400 points after the void), smoothing + peak detection, fits of 8 windows
(1 to 3 EMG peaks + straight baseline each), weighted quadratic calibration on 24 standards, 36 samples x 14 ions
quantified.  'numeric' = least_squares lm with numerical Jacobian (what most notebooks hold), 'analytic' = with ours."""
import common
import numpy as np
from scipy.signal import savgol_filter, find_peaks
from arpls import arpls_banded
import emgfit

M = common.manifest()
DT = M["dt_min"]
IONS = M["ions"]
B = M["files"]["batch60.f64"]
WIN = B["windows"]
Y = common.load("batch60.f64", (60, 6000))
T = np.arange(6000) * DT
VOID = 600


def process(y, analytic):
    x = np.zeros_like(y)                        # the void disturbance is left out: baseline from 2.0 min on
    z, _, it = arpls_banded(y[VOID:])
    x[VOID:] = y[VOID:] - z
    s = savgol_filter(x, 21, 3)
    pk, pr = find_peaks(s, prominence=0.01, width=4)
    area = np.zeros(14)
    ok = True
    nfev = 0
    for a, b, ions in WIN:
        i0, i1 = int(round(a / DT)), int(round(b / DT))
        t, v = T[i0:i1], x[i0:i1]
        p0 = []
        for j in ions:
            q = IONS[j]
            near = pk[np.abs(pk * DT - (q["tR"] + 0.6 * q["tau"])) < 0.09]
            top = near[np.argmax(s[near])] if near.size else int(round((q["tR"] + 0.6 * q["tau"]) / DT))
            p0 += [max(s[top], 1e-3) * q["sigma"] * 2.9, top * DT - 0.6 * q["tau"], q["sigma"], q["tau"]]
        p0 += [0.5 * (v[0] + v[-1]), 0.0]
        r = emgfit.fit(t, v, np.array(p0), "lm", analytic)
        nfev += r.nfev
        ok = ok and r.status > 0
        area[ions] = r.x[0:-2:4]
    return area, pk.size, it, ok, nfev


def batch(analytic):
    res = [process(Y[i], analytic) for i in range(60)]
    area = np.array([r[0] for r in res])
    xs = np.repeat(M["levels"], 3)
    X = np.vander(xs, 3, increasing=True)
    sw = np.sqrt(1.0 / xs)
    conc = np.empty((36, 14))
    for j in range(14):
        b = np.linalg.lstsq(X * sw[:, None], area[:24, j] * sw, rcond=None)[0]
        y0 = area[24:, j]
        conc[:, j] = (-b[1] + np.sqrt(np.maximum(0.0, b[1] ** 2 - 4 * b[2] * (b[0] - y0)))) / (2 * b[2])
    return conc, res


TRUE = np.array([r["conc"] for r in B["injections"][24:]])


def check(o):
    conc, res = o
    rel = conc / TRUE - 1.0
    return {"sum_conc": float(conc.sum()), "median_abs_rel_err": float(np.median(np.abs(rel))),
            "p90_abs_rel_err": float(np.quantile(np.abs(rel), 0.9)), "peaks": int(sum(r[1] for r in res)),
            "arpls_iterations": int(sum(r[2] for r in res)), "nfev": int(sum(r[4] for r in res)),
            "injections_with_failed_fit": int(sum(not r[3] for r in res))}


common.bench("batch60_numeric", lambda: batch(False), runs=1, warmup=0, check=check)
common.bench("batch60", lambda: batch(True), runs=3, warmup=0, check=check)
