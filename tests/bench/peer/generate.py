"""Deterministic synthetic suppressed-conductivity chromatograms.

usage: python3 generate.py --data DIR [--seed 20240601]

Writes little-endian binary64 (.f64) files plus manifest.json (every parameter, the true
values, the starting guesses, sha256 of each file).  THE FILES ARE THE REFERENCE: the
noise is bit-for-bit reproducible in any language with IEEE binary64 and 64-bit integers;
the peaks use exp and erfcx, whose last bits depend on the maths library.

Random numbers (all arithmetic modulo 2^64)
    mix(z):  z = (z ^ (z>>30))*0xBF58476D1CE4E5B9 ; z = (z ^ (z>>27))*0x94D049BB133111EB ; z ^ (z>>31)
    key(s) = mix(seed + (s+1)*0xD1B54A32D192ED03)                      stream s = 0,1,2,...
    u(s,i) = (mix(key(s) + (i+1)*0x9E3779B97F4A7C15) >> 11) * 2^-53     in [0,1), i = 0,1,2,...
    g(s,i) = (((u(s,12i) + u(s,12i+1)) + ...) + u(s,12i+11)) - 6        near-normal, unit variance
Noise of a trace of stream base b
    white  w_i = g(b,i)
    1/f    p_i = sum_{k=0..7} x_k,i ,  x_k,0 = g(b+1+k,0),  x_k,i = a_k x_k,i-1 + c_k g(b+1+k,i)
           a_k = 1 - 2^-(k+1),  c_k = sqrt(1 - a_k^2)                   (equal variance per octave)
    noise  sw*w_i + (sp/sqrt(8))*p_i                                    sums taken in the order written
Time      t_i = i*dt, dt = 20 min / 6000 = 1/300 min (5 Hz)
Peak      EMG of unit area, u = t - mu, z = (s/T - u/s)/sqrt(2):
             z >= 0:  exp(-u^2/(2 s^2)) erfcx(z) / (2T)
             z <  0:  exp(s^2/(2T^2) - u/T) erfc(z) / (2T)
Baseline  B(t) = 0.80 + 0.010 t + 0.60/(1 + exp(-(t-11)/2.2))           gradient-like
Void dip  -1.50 exp(-(t-1.45)^2/(2*0.06^2))
Signal in uS/cm, area in uS/cm min.
Long traces repeat the 6000-point injection (peak areas rescaled per injection, the gradient
returning to its start at each injection by the factor  (1 - r)  with r = max(0,(t-18.5)/1.5),
plus a drift 0.002 uS/cm per min over the whole trace), as one continuous recording.
"""
import common
import hashlib, json, os
import numpy as np
from scipy.special import erfcx, erfc
from scipy.signal import lfilter

ARGS = common.ARGS
M64 = (1 << 64) - 1
G1, G2 = 0x9E3779B97F4A7C15, 0xD1B54A32D192ED03


def mix_int(z):
    z &= M64
    z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & M64
    z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & M64
    return z ^ (z >> 31)


def uniform(stream, n, first=0):
    key = mix_int(ARGS.seed + (stream + 1) * G2)
    z = np.arange(first + 1, first + n + 1, dtype=np.uint64)
    z *= np.uint64(G1)
    z += np.uint64(key)
    z ^= z >> np.uint64(30)
    z *= np.uint64(0xBF58476D1CE4E5B9)
    z ^= z >> np.uint64(27)
    z *= np.uint64(0x94D049BB133111EB)
    z ^= z >> np.uint64(31)
    return (z >> np.uint64(11)).astype(np.float64) * 2.0 ** -53


def gauss(stream, n):
    out = np.empty(n)
    step = 1 << 17
    for a in range(0, n, step):
        m = min(step, n - a)
        u = uniform(stream, 12 * m, 12 * a).reshape(m, 12)
        acc = u[:, 0].copy()
        for k in range(1, 12):
            acc += u[:, k]
        out[a:a + m] = acc - 6.0
    return out


def noise(base, n, sw, sp):
    p = np.zeros(n)
    for k in range(8):
        a = 1.0 - 2.0 ** -(k + 1)
        c = np.sqrt(1.0 - a * a)
        e = gauss(base + 1 + k, n)
        x = lfilter([1.0], [1.0, -a], np.concatenate(([e[0]], c * e[1:])))
        p += x
    return sw * gauss(base, n) + (sp / np.sqrt(8.0)) * p


def emg(t, mu, s, T):
    u = t - mu
    z = (s / T - u / s) / np.sqrt(2.0)
    pos = z >= 0
    out = np.empty_like(t)
    out[pos] = np.exp(-u[pos] ** 2 / (2 * s * s)) * erfcx(z[pos])
    q = ~pos
    out[q] = np.exp(s * s / (2 * T * T) - u[q] / T) * erfc(z[q])
    return out / (2 * T)


DT = 1.0 / 300.0
N = 6000
#        name        tR     sigma  tau    area per mg/L  curvature q
IONS = [("fluoride", 3.10, 0.060, 0.030, 0.420, 0.020),
        ("acetate", 3.38, 0.065, 0.035, 0.110, 0.060),
        ("formate", 3.72, 0.070, 0.035, 0.170, 0.050),
        ("chlorite", 4.90, 0.075, 0.040, 0.150, 0.030),
        ("bromate", 5.25, 0.078, 0.040, 0.090, 0.020),
        ("chloride", 6.60, 0.080, 0.050, 0.310, 0.020),
        ("nitrite", 8.00, 0.090, 0.050, 0.200, 0.040),
        ("chlorate", 9.60, 0.100, 0.060, 0.120, 0.020),
        ("bromide", 10.02, 0.105, 0.060, 0.130, 0.020),
        ("nitrate", 10.75, 0.110, 0.065, 0.170, 0.020),
        ("carbonate", 12.60, 0.130, 0.090, 0.060, 0.120),
        ("sulfate", 14.60, 0.120, 0.070, 0.230, 0.020),
        ("oxalate", 15.20, 0.130, 0.080, 0.150, 0.040),
        ("phosphate", 17.60, 0.150, 0.100, 0.090, 0.070)]
LEVELS = [0.1, 0.2, 0.5, 1.0, 2.0, 4.0, 7.0, 10.0]
CMAX = 10.0
SW, SP = 0.0020, 0.0020


def area_of(j, c):
    return IONS[j][4] * c * (1.0 - IONS[j][5] * c / CMAX)


def frame(t):
    b = 0.80 + 0.010 * t + 0.60 / (1.0 + np.exp(-(t - 11.0) / 2.2))
    d = -1.50 * np.exp(-(t - 1.45) ** 2 / (2 * 0.06 ** 2))
    return b, d


def injection(areas, shift=0.0, broad=1.0):
    t = np.arange(N) * DT
    b, d = frame(t)
    y = b + d
    for j, (_, mu, s, T, _, _) in enumerate(IONS):
        y = y + areas[j] * emg(t, mu + shift * mu / 10.0, s * broad, T * broad)
    return y


def main():
    out = ARGS.data
    os.makedirs(out, exist_ok=True)
    man = {"seed": ARGS.seed, "dt_min": DT, "n_short": N, "levels": LEVELS, "cmax": CMAX,
           "ions": [dict(zip(("name", "tR", "sigma", "tau", "sens", "curv"), r)) for r in IONS],
           "noise": {"white_sd": SW, "pink_sd": SP}, "files": {}}

    def put(name, a, **info):
        a = np.ascontiguousarray(a, dtype="<f8")
        a.tofile(os.path.join(out, name))
        info.update(shape=list(a.shape), sha256=hashlib.sha256(a.tobytes()).hexdigest())
        man["files"][name] = info

    # 1. one short trace: 14 ions, mid-range amounts -------------------------------------
    t = np.arange(N) * DT
    nz = noise(0, N, SW, SP)
    conc = [2.0, 5.0, 1.5, 1.0, 0.8, 8.0, 1.2, 0.9, 1.5, 4.0, 3.0, 9.0, 1.1, 2.5]
    areas = [area_of(j, c) for j, c in enumerate(conc)]
    put("chrom_6e3.f64", injection(areas) + nz, stream=0, conc=conc)

    # 2. long traces -----------------------------------------------------------------------
    for tag, n, base in (("1e5", 100000, 100), ("1e6", 1000000, 200)):
        reps = -(-n // N)
        scale = 0.25 + 1.5 * uniform(base + 20, reps * 14).reshape(reps, 14)
        T1 = np.arange(N) * DT
        b, d = frame(T1)
        r = np.maximum(0.0, (T1 - 18.5) / 1.5)
        b0 = b[0]
        b = b0 + (b - b0) * (1.0 - r)
        prof = np.array([emg(T1, mu, s, T) for (_, mu, s, T, _, _) in IONS])
        y = np.empty(reps * N)
        for k in range(reps):
            y[k * N:(k + 1) * N] = b + d + (np.array(areas) * scale[k]) @ prof
        y = y[:n] + 0.002 * (np.arange(n) * DT) + noise(base, n, SW, SP)
        put("chrom_%s.f64" % tag, y, stream=base, injections=reps)

    # 3. twelve overlapped peaks on a straight baseline (50-parameter fit) -------------------
    mu = [3.60, 4.32, 5.20, 6.02, 6.98, 7.90, 8.98, 9.98, 11.20, 12.30, 13.62, 14.90]
    s = [0.17, 0.175, 0.185, 0.20, 0.205, 0.22, 0.235, 0.24, 0.26, 0.27, 0.29, 0.30]
    T = [0.10, 0.08, 0.12, 0.09, 0.14, 0.10, 0.16, 0.12, 0.15, 0.18, 0.14, 0.20]
    A = [2.1, 1.0, 3.2, 0.7, 4.0, 1.6, 0.9, 5.0, 1.2, 2.6, 3.4, 0.8]
    y = 0.90 + 0.012 * t
    for k in range(12):
        y = y + A[k] * emg(t, mu[k], s[k], T[k])
    y = y + 0.004 * gauss(400, N)
    q = 2.0 * uniform(401, 48).reshape(12, 4) - 1.0
    start = []
    for k in range(12):
        start += [A[k] * (1 + 0.15 * q[k, 0]), mu[k] + T[k] * 0.5 + 0.06 * q[k, 1],
                  s[k] * (1.10 + 0.10 * q[k, 2]), T[k] * (0.75 + 0.20 * q[k, 3])]
    put("fit12.f64", y, order="A,mu,sigma,tau per peak, then c0,c1 (baseline c0 + c1*t)",
        truth=[v for k in range(12) for v in (A[k], mu[k], s[k], T[k])] + [0.90, 0.012],
        start=start + [0.85, 0.010], noise_sd=0.004)

    # 4. twenty windows of 400 points, 3 overlapped peaks each (14-parameter fits) ------------
    q = uniform(500, 20 * 24).reshape(20, 24)
    tw = np.arange(400) * DT
    ys, starts = [], []
    for w in range(20):
        p, p0 = [], []
        m = 0.30 + 0.04 * q[w, 0]
        for k in range(3):
            area, sg, ta = 0.15 + q[w, 7 + k], 0.055 + 0.02 * q[w, 1 + k], 0.025 + 0.03 * q[w, 4 + k]
            p += [area, m, sg, ta]
            p0 += [area * (0.8 + 0.4 * q[w, 10 + k]), m + 0.5 * ta + 0.015 * (2 * q[w, 13 + k] - 1),
                   sg * (1.0 + 0.2 * q[w, 16 + k]), ta * (0.6 + 0.4 * q[w, 19 + k])]
            m += sg * (3.6 + 0.8 * q[w, 22])
        yy = 0.5 + 0.02 * tw
        for k in range(3):
            yy = yy + p[4 * k] * emg(tw, *p[4 * k + 1:4 * k + 4])
        ys.append(yy + 0.003 * gauss(510 + w, 400))
        starts.append(p0 + [0.48, 0.0])
    put("windows.f64", np.array(ys), start=starts, noise_sd=0.003)

    # 5. batch: 8 levels x 3 + 36 samples, 14 ions -------------------------------------------
    q = uniform(600, 60 * 20).reshape(60, 20)
    sets, rows = [], []
    for i in range(60):
        if i < 24:
            c = [LEVELS[i // 3]] * 14
            kind = "standard"
        else:
            c = [0.3 + 8.7 * q[i, j] * q[i, j] for j in range(14)]
            kind = "sample"
        ar = [area_of(j, c[j]) * (1.0 + 0.004 * (2 * q[i, 15] - 1)) for j in range(14)]
        y = injection(ar, shift=0.02 * (2 * q[i, 16] - 1), broad=1.0 + 0.03 * (2 * q[i, 17] - 1))
        rows.append(y + noise(700 + 10 * i, N, SW, SP))
        sets.append({"kind": kind, "conc": c})
    put("batch60.f64", np.array(rows), injections=sets,
        windows=[[2.55, 4.25, [0, 1, 2]], [4.40, 5.90, [3, 4]], [6.00, 7.40, [5]], [7.40, 8.80, [6]],
                 [9.00, 11.70, [7, 8, 9]], [11.80, 13.70, [10]], [13.90, 16.30, [11, 12]],
                 [16.70, 19.10, [13]]])

    # 6. calibration: 14 ions x 8 levels x 3 replicates, 36 unknowns per ion ------------------
    x = np.repeat(LEVELS, 3)
    cal, unk = [], []
    for j in range(14):
        a = np.array([area_of(j, c) for c in x])
        cal.append(a * (1 + 0.01 * gauss(1400 + j, 24)) + 0.002 * gauss(1420 + j, 24))
        cu = 0.3 + 8.7 * uniform(1440 + j, 36)
        unk.append(np.array([area_of(j, c) for c in cu]) * (1 + 0.01 * gauss(1460 + j, 36)))
    put("calib_x.f64", x)
    put("calib_y.f64", np.array(cal))
    put("calib_unknown.f64", np.array(unk))

    with open(os.path.join(out, "manifest.json"), "w") as f:
        json.dump(man, f, indent=1)
    print(json.dumps({"workload": "generate", "files": {k: v["sha256"][:16] for k, v in man["files"].items()}}))


main()
