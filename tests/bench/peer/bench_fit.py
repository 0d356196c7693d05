"""(c) 12 overlapped EMG peaks + straight baseline, 50 parameters, 6000 points: lm with numerical Jacobian (what most
notebooks hold) and trf with our analytic Jacobian (the best form found), default tolerances (1e-8), x_scale 'jac'."""
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
