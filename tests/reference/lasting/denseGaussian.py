# Observations with noise of their own, a part shared by a group and an Ornstein-Uhlenbeck drift, by the dense covariance. Writes denseGaussian.json beside this file:
#   python3 denseGaussian.py
import json
import platform

import numpy as np

rng = np.random.default_rng(11)
times = np.array([0.0, 1.5, 2.0, 9.0, 30.0, 30.5, 44.0, 120.0, 121.0])
group = np.array([0, 0, 0, 1, 2, 2, 3, 4, 4])
own = np.round(rng.uniform(0.05, 0.6, len(times)), 3)
columns = np.round(rng.normal(size=(3, len(times))), 3)
shared, drift, memory = 0.09, 0.25, 21.0

lasting = drift * np.exp(-np.abs(times[:, None] - times) / memory)
V = np.diag(own) + shared * (group[:, None] == group) + lasting
toLast = lasting[-1]
with open("denseGaussian.json", "w") as out:
    json.dump(
        {
            "source": f"Python {platform.python_version()}, numpy {np.__version__}, denseGaussian.py",
            "times": times.tolist(), "group": group.tolist(), "own": own.tolist(), "columns": columns.tolist(),
            "shared": shared, "drift": drift, "memory": memory,
            "products": (columns @ np.linalg.solve(V, columns.T)).tolist(),
            "logDet": float(np.linalg.slogdet(V)[1]),
            "last": (toLast @ np.linalg.solve(V, columns.T)).tolist(),
            "lastVariance": float(drift - toLast @ np.linalg.solve(V, toLast)),
        },
        out,
    )
