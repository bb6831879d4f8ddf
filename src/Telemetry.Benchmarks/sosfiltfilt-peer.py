#!/usr/bin/env python3
# The yardstick of the zero-phase filter: SciPy's sosfiltfilt on the same samples (Debian: python3-scipy; run it with /usr/bin/python3).
"""usage: sosfiltfilt-peer.py SAMPLES.f64 RESULT.f64 ORDER CUTOFF_HZ RATE_HZ PADDING REPEATS
Writes the filtered samples; prints SciPy's version, then one time a repeat, s. The cut-off is that of one pass."""
import sys, time
import numpy as np, scipy
from scipy import signal

samples, result, order, cutoff, rate, padding, repeats = sys.argv[1:]
x = np.fromfile(samples)
sos = signal.butter(int(order), float(cutoff), fs=float(rate), output="sos")
print(scipy.__version__)
y = signal.sosfiltfilt(sos, x, padlen=int(padding))
y.tofile(result)
for _ in range(int(repeats)):
    start = time.perf_counter()
    signal.sosfiltfilt(sos, x, padlen=int(padding))
    print(time.perf_counter() - start)
