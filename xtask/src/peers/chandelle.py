"""The best chandelle of the reference airplane A by CasADi with Ipopt: Legendre-Gauss-Radau collocation of degree 3, control rates
constant on each of N equal intervals. Prints milliseconds of one cold solve and the height gained; arguments: N, repeats."""
import sys
import time

import casadi as ca
import numpy as np

N, REPEATS = int(sys.argv[1]), int(sys.argv[2])
G, M, S = 9.80665, 1000.0, 16.2
CD0, K, CLMAX = 0.034, 0.0566, 1.45
V0, TMAX, BANK = 50.0, 31.7, np.radians(30.0)
RHO, CLDOT, MUDOT = 1.225, 0.5, np.radians(30.0)
CL_LEVEL = 2 * M * G / (RHO * V0**2 * S)
V_STALL = np.sqrt(2 * M * G / (RHO * S * CLMAX))
# State: height / 100 m, speed / V0, climb angle, course, lift coefficient, lift bank.
SCALE = np.array([100.0, V0, 1.0, 1.0, 1.0, 1.0])


def rates(x, u):
    _, v, gamma, _, cl, mu = [x[i] * SCALE[i] for i in range(6)]
    q = 0.5 * RHO * v**2
    n = q * S * cl / (M * G)
    thrust = 2750.0 - 14.0 * v - 0.12 * v**2
    drag = q * S * (CD0 + K * cl**2)
    return ca.vertcat(
        v * ca.sin(gamma),
        (thrust - drag) / M - G * ca.sin(gamma),
        G / v * (n * ca.cos(mu) - ca.cos(gamma)),
        G * n * ca.sin(mu) / (v * ca.cos(gamma)),
        CLDOT * u[0],
        MUDOT * u[1],
    ) / SCALE, n


def radau():
    points = np.append(0, ca.collocation_points(3, "radau"))
    slopes = np.zeros((4, 4))
    for j in range(4):
        p = np.poly1d([1])
        for r in range(4):
            if r != j:
                p *= np.poly1d([1, -points[r]]) / (points[j] - points[r])
        slopes[j] = [np.polyder(p)(points[r]) for r in range(4)]
    return points, slopes


def build():
    points, slopes = radau()
    x, u = ca.SX.sym("x", 6), ca.SX.sym("u", 2)
    f, load = rates(x, u)
    motion = ca.Function("motion", [x, u], [f, load])
    w, w0, low, high = [], [], [], []
    g, g_low, g_high = [], [], []

    def variable(name, size, start, lo, hi):
        symbol = ca.SX.sym(name, size)
        w.append(symbol)
        w0.extend(start)
        low.extend(lo)
        high.extend(hi)
        return symbol

    def guess(share):
        speed = 1 + (1.25 * V_STALL / V0 - 1) * share
        return [2.0 * share, speed, 0.15, np.pi * share, min(CL_LEVEL / speed**2, 1.2), 0.35]

    lo = [0, 1.05 * V_STALL / V0, -1.2, -0.1, 0, 0]
    hi = [10, 2, 1.2, 4, CLMAX, BANK]
    time_total = variable("T", 1, [TMAX], [0.2 * TMAX], [TMAX])
    first = [0, 1, 0, 0, CL_LEVEL, 0]
    state = variable("x0", 6, first, first, first)
    smooth = 0
    h = time_total / N
    for k in range(N):
        control = variable(f"u{k}", 2, [0, 0], [-1, -1], [1, 1])
        smooth += h * ca.dot(control, control)
        inner = [state]
        for j in range(1, 4):
            inner.append(variable(f"x{k}_{j}", 6, guess((k + points[j]) / N), lo, hi))
        for j in range(1, 4):
            f, load = motion(inner[j], control)
            along = sum(slopes[r, j] * inner[r] for r in range(4))
            g.append(along - h * f)
            g_low += [0] * 6
            g_high += [0] * 6
            g.append(load)
            g_low.append(0.5)
            g_high.append(2.5)
        state = inner[3]
    g.append(ca.vertcat(state[3] - np.pi, state[5], state[2]))
    g_low += [0, 0, 0]
    g_high += [0, 0, 2]
    problem = {"x": ca.vertcat(*w), "f": -state[0] + 0.05 / 100 * smooth, "g": ca.vertcat(*g)}
    options = {"ipopt.print_level": 0, "print_time": 0, "ipopt.tol": 1e-9, "ipopt.sb": "yes"}
    solver = ca.nlpsol("solver", "ipopt", problem, options)
    arguments = {"x0": w0, "lbx": low, "ubx": high, "lbg": g_low, "ubg": g_high}
    return solver, arguments


solver, arguments = build()
times = []
for _ in range(REPEATS):
    begin = time.perf_counter()
    found = solver(**arguments)
    times.append(time.perf_counter() - begin)
if not solver.stats()["success"]:
    sys.exit(f"not solved: {solver.stats()['return_status']}")
print(1e3 * sorted(times)[len(times) // 2], 100 * float(found["x"][-6]), -100 * float(found["f"]))
