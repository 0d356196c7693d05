"""arPLS (Baek et al. 2015), banded scipy form.  lambda 1e6, tolerance 1e-3, max 50 iterations.

   minimise  (y-z)' W (y-z) + lam |D z|^2 ,  D second differences
   d = y - z ; m, s = mean and standard deviation (divisor n) of the negative d
   w = 1/(1 + exp(2 (d - (2 s - m))/s)) ; stop when |w - w_new|/|w| < tol
z returned is the one solved with the last accepted w (the paper's loop).
"""
import numpy as np
from scipy.linalg import solveh_banded
from scipy.special import expit


def penalty_bands(n, lam):
    ab = np.zeros((3, n))                      # upper form, 2 super-diagonals
    ab[2] = 6.0
    ab[2, [0, -1]] = 1.0
    ab[2, [1, -2]] = 5.0
    ab[1, 1:] = -4.0
    ab[1, [1, -1]] = -2.0
    ab[0, 2:] = 1.0
    return lam * ab


def arpls_banded(y, lam=1e6, tol=1e-3, max_iter=50):
    n = y.size
    pen = penalty_bands(n, lam)
    w = np.ones(n)
    for it in range(1, max_iter + 1):
        ab = pen.copy()
        ab[2] += w
        z = solveh_banded(ab, w * y, overwrite_ab=True, overwrite_b=True, check_finite=False)
        d = y - z
        dn = d[d < 0]
        m, s = dn.mean(), dn.std()
        wn = expit(-2.0 * (d - (2.0 * s - m)) / s)
        if np.linalg.norm(w - wn) / np.linalg.norm(w) < tol:
            return z, wn, it
        w = wn
    return z, w, max_iter
