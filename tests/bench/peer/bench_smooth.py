"""(b) Savitzky-Golay smoothing (21 points, cubic), its first derivative, and peaks with prominences and widths."""
import common
from scipy.signal import savgol_filter, find_peaks

DT = common.manifest()["dt_min"]


def work(y):
    smooth = savgol_filter(y, 21, 3)
    slope = savgol_filter(y, 21, 3, deriv=1, delta=DT)
    peaks, found = find_peaks(smooth, prominence=0.03, width=4)
    return smooth, slope, peaks, found


def check(r):
    smooth, slope, peaks, found = r
    return {"peaks": int(peaks.size), "sum_prom": float(found["prominences"].sum()),
            "sum_width": float(found["widths"].sum()), "sum_smooth": float(smooth.sum()),
            "max_deriv": float(slope.max())}


for tag, runs in (("6e3", 31), ("1e6", 7)):
    y = common.load("chrom_%s.f64" % tag)
    common.bench("smooth_peaks_" + tag, lambda: work(y), runs=runs, check=check)
