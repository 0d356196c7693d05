"""(c) 12 overlapped EMG peaks + straight baseline, 50 parameters, 6000 points: lm with numerical Jacobian (what most
notebooks hold) and trf with our analytic Jacobian (the best form found), default tolerances (1e-8), x_scale 'jac'; and
twenty windows of 3 peaks, 14 parameters, 400 points, where lm with our analytic Jacobian is the best form."""
import common
import numpy as np
import emgfit

M = common.manifest()
DT = M["dt_min"]
F = M["files"]["fit12.f64"]
y12 = common.load("fit12.f64")
t12 = np.arange(y12.size) * DT
p12 = np.array(F["start"])
truth = np.array(F["truth"])


def check12(r):
    a = r.x[0:48:4]
    s = np.diag(np.linalg.inv(r.jac.T @ r.jac)) ** 0.5 * np.sqrt(2 * r.cost / (t12.size - 50))
    return {"cost": float(r.cost), "sum_area": float(a.sum()), "nfev": int(r.nfev),
            "njev": int(r.njev) if r.njev is not None else None, "status": int(r.status),
            "max_abs_dev_over_se": float(np.max(np.abs(r.x - truth) / s)), "optimality": float(r.optimality)}


common.bench("fit12_numeric", lambda: emgfit.fit(t12, y12, p12, "lm", False), runs=3, warmup=0, check=check12)
common.bench("fit12", lambda: emgfit.fit(t12, y12, p12, "trf", True), runs=5, warmup=1, check=check12)

WINDOWS = M["files"]["windows.f64"]
yw = common.load("windows.f64", tuple(WINDOWS["shape"]))
tw = np.arange(yw.shape[1]) * DT
pw = np.array(WINDOWS["start"])


def windows(method, analytic):
    return [emgfit.fit(tw, y, p0, method, analytic) for y, p0 in zip(yw, pw)]


def checkw(rs):
    return {"cost": float(sum(r.cost for r in rs)), "sum_area": float(sum(r.x[0:12:4].sum() for r in rs)),
            "nfev": int(sum(r.nfev for r in rs)), "failed": int(sum(r.status <= 0 for r in rs))}


common.bench("windows20_numeric", lambda: windows("lm", False), runs=5, check=checkw)
common.bench("windows20_trf", lambda: windows("trf", True), runs=5, check=checkw)
common.bench("windows20", lambda: windows("lm", True), runs=7, check=checkw)
