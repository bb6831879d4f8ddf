#!/usr/bin/env python3
# The yardstick of whole-job.sh: the script that a user would write instead of this program, with general-purpose libraries.
# It does less (no unit handling, no health checks, no intervals, no report) and is a yardstick for speed, not for accuracy.
# Needs Debian's python3-pandas, python3-scipy and python3-matplotlib; run it with /usr/bin/python3.
"""What a user would write instead: the same job with pandas, SciPy and matplotlib (Debian: python3-pandas,
python3-scipy, python3-matplotlib). The yardstick for speed, not for accuracy.
usage: script-instead.py LOG.csv OUTDIR
The log has a header row and a units row, columns t [s], push_XX [N], damp_XX [mm], speed [km/h], ax, ay, az [m/s2], brake [%]."""
import os, sys, time
import numpy as np, pandas as pd
from scipy import signal
import matplotlib; matplotlib.use("Agg")
import matplotlib.pyplot as plt

LOADS = ["push_FL", "push_FR", "push_RL", "push_RR"]
DAMPERS = ["damp_FL", "damp_FR", "damp_RL", "damp_RR"]

def rainflow(x):
    """Three-point stack rainflow (ASTM E1049 5.4.4) over turning points; returns ranges, means, counts."""
    d = np.diff(x); x = x[np.r_[True, d != 0]]; d = np.diff(x)
    tp = x[np.r_[True, d[:-1] * d[1:] < 0, True]]
    out, st = [], []
    for p in tp:
        st.append(p)
        while len(st) >= 3:
            a, b = abs(st[-2] - st[-3]), abs(st[-1] - st[-2])
            if b < a: break
            if len(st) == 3: out.append((a, (st[0] + st[1]) / 2, .5)); st.pop(0)
            else: out.append((a, (st[-3] + st[-2]) / 2, 1.)); last = st.pop(); st.pop(); st.pop(); st.append(last)
    for i in range(len(st) - 1): out.append((abs(st[i + 1] - st[i]), (st[i] + st[i + 1]) / 2, .5))
    return np.array(out)

def main(log, out):
    os.makedirs(out, exist_ok=True); t = [time.perf_counter()]; mark = lambda n: (t.append(time.perf_counter()), print(f"{n:10s} {t[-1]-t[-2]:7.2f} s"))
    df = pd.read_csv(log, skiprows=[1]); mark("read")
    fs = 1 / np.median(np.diff(df["t"].to_numpy()[:10000])); n0 = int(15 * fs)
    P = df[LOADS].to_numpy(); P = P - P[:n0].mean(0); D = df[DAMPERS].to_numpy() / 1e3
    ratio = np.array([.92, .92, .84, .84]) + D * np.array([1.8, 1.8, -1.1, -1.1])
    F = P * ratio; sos = signal.butter(4, 10, fs=fs, output="sos"); L = signal.sosfiltfilt(sos, F, axis=0); Df = signal.sosfiltfilt(sos, D, axis=0); mark("filter")
    H = L.sum(1); pitch = L[:, :2].sum(1) - L[:, 2:].sum(1); roll = L[:, [1, 3]].sum(1) - L[:, [0, 2]].sum(1); warp = L[:, [0, 3]].sum(1) - L[:, [1, 2]].sum(1)
    v = df["speed"].to_numpy() / 3.6; q = .5 * 1.168 * v**2; w = int(fs / 2); m = len(v) // w
    blk = lambda a: a[:m * w].reshape(m, w).mean(1)
    ok = (blk(v) > 20) & (np.abs(blk(df["ay"].to_numpy())) < 1.5) & (blk(df["brake"].to_numpy()) < .1) & (np.abs(blk(df["ax"].to_numpy())) < 5)
    fits = [np.polyfit(blk(q)[ok], blk(a)[ok], 1) for a in (L[:, :2].sum(1), L[:, 2:].sum(1))]; mark("aero")
    strikes = [signal.find_peaks(F[:, i] - L[:, i], height=2500, distance=int(.05 * fs))[0] for i in range(4)]; mark("strikes")
    rf = [rainflow(P[:, i]) for i in range(4)]; damage = [np.sum(r[:, 2] * (r[:, 0] / 60e3) ** 5) for r in rf]; mark("rainflow")
    tt = df["t"].to_numpy(); save = lambda n: (plt.savefig(f"{out}/{n}.png", dpi=100), plt.close())
    fig = lambda: plt.figure(figsize=(16, 9))
    fig(); plt.scatter(blk(v)[ok] * 3.6, blk(L[:, :2].sum(1))[ok], s=5); plt.scatter(blk(v)[ok] * 3.6, blk(L[:, 2:].sum(1))[ok], s=5); save("aero")
    for n, a in dict(heave=H, pitch=pitch, roll=roll, warp=warp).items(): fig(); plt.plot(tt, a, lw=.5); save(n)
    fig(); plt.plot(tt, F, lw=.4); save("loads")
    fig(); plt.hist2d(rf[0][:, 0], rf[0][:, 1], bins=64, weights=rf[0][:, 2], norm=matplotlib.colors.LogNorm()); save("matrix")
    fig(); [plt.semilogx(np.cumsum(np.sort(r[:, 0])[::-1] * 0 + 1), np.sort(r[:, 0])[::-1]) for r in rf]; save("exceedance"); mark("plots")
    np.save(f"{out}/channels.npy", np.column_stack([tt, H, pitch, roll, warp, F])); mark("write")
    print("total %.2f s" % (t[-1] - t[0]), [f.round(4).tolist() for f in fits], damage, [len(s) for s in strikes])

main(sys.argv[1], sys.argv[2])
