"""Applies `calc` to the network: drop, fault current, protection, balance, availability; one frozen result each."""

import os

# The matrices are small: threads would wait for each other longer than they work. Holds if set before NumPy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
