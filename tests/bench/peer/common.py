"""Shared by every benchmark script: argument parsing, thread control, timing, output.

Must be imported BEFORE numpy: the number of BLAS threads and the BLAS kernel are
chosen when numpy loads.  OPENBLAS_CORETYPE / OPENBLAS_L2_SIZE are dropped from this
process only, so that OpenBLAS picks the kernel of the real processor.

Options known to all scripts
  --data DIR     folder written by generate.py            (default: ./data)
  --runs N       timed repetitions per workload            (default: per workload)
  --threads N    BLAS threads; 1 also pins to --core        (default: 1)
  --core K       core to pin to when --threads 1            (default: last)
  --only TEXT    run only the workloads whose name contains TEXT
median_s is wall clock; cpu_median_s is processor time of the process, which a busy
machine disturbs far less (equal to wall clock on an idle one when --threads 1).
"""
import argparse, gc, json, os, statistics, sys, time

for _k in ("OPENBLAS_CORETYPE", "OPENBLAS_L2_SIZE"):
    os.environ.pop(_k, None)

_p = argparse.ArgumentParser()
_p.add_argument("--data", default="data")
_p.add_argument("--runs", type=int, default=0)
_p.add_argument("--threads", type=int, default=1)
_p.add_argument("--core", type=int, default=-1)
_p.add_argument("--only", default="")
_p.add_argument("--seed", type=int, default=20240601)
ARGS, _ = _p.parse_known_args()

for _k in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
    os.environ[_k] = str(ARGS.threads)
if ARGS.threads == 1 and hasattr(os, "sched_setaffinity"):
    _cores = sorted(os.sched_getaffinity(0))
    os.sched_setaffinity(0, {_cores[ARGS.core]})


def versions():
    import numpy, scipy
    return {"python": sys.version.split()[0], "numpy": numpy.__version__, "scipy": scipy.__version__,
            "threads": ARGS.threads}


_V = None


def bench(name, fn, runs=7, warmup=1, check=None):
    """Time fn() and print one JSON line.  check(result) -> dict of comparable figures."""
    global _V
    if ARGS.only and ARGS.only not in name:
        return None
    if _V is None:
        _V = versions()
    if ARGS.runs:
        runs = ARGS.runs
    r, cold = None, None
    for _ in range(warmup):
        c = time.process_time()
        r = fn()
        cold = time.process_time() - c if cold is None else cold
    ts, cs = [], []
    for _ in range(runs):
        r = None
        gc.collect()
        gc.disable()
        c, t = time.process_time(), time.perf_counter()
        r = fn()
        ts.append(time.perf_counter() - t)
        cs.append(time.process_time() - c)
        gc.enable()
    med = statistics.median(ts)
    line = {"workload": name, "median_s": med, "min_s": min(ts), "max_s": max(ts),
            "cpu_median_s": statistics.median(cs), "cold_cpu_s": cs[0] if cold is None else cold, "runs": runs,
            "check": check(r) if check else {}, "env": _V, "load1": round(os.getloadavg()[0], 2)}
    print(json.dumps(line), flush=True)
    return r


def load(name, shape=None):
    import numpy as np
    a = np.fromfile(os.path.join(ARGS.data, name), dtype="<f8")
    return a.reshape(shape) if shape else a


def manifest():
    with open(os.path.join(ARGS.data, "manifest.json")) as f:
        return json.load(f)
