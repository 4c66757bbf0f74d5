"""Boards as plates: published coefficients, two other methods, and what must hold everywhere."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.structure.beams import patched_span
from optimizer.structure.plates import free_edge, patched_edge, plate_rigidity

# Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., table of uniformly loaded
# plates with three edges supported and one free, nu 0.3 (from memory): b/a, sag, moment.
PUBLISHED = [(0.5, 0.00710, 0.060), (2 / 3, 0.00968, 0.083), (1.0, 0.01286, 0.112)]


@pytest.mark.parametrize(("ratio", "sag", "moment"), PUBLISHED)
def test_published_coefficients(ratio: float, sag: float, moment: float) -> None:
    """w = alpha q a^4 / D and M = beta q a^2 at the middle of the free edge."""
    edge = free_edge(ratio, 0.3)
    assert edge.deflection == pytest.approx(sag, rel=2e-3)
    assert edge.moment == pytest.approx(moment, abs=6e-4)


class _Grid:
    """Least energy on a grid of finite differences: `steps` along the span of 1."""

    def __init__(self, ratio: float, steps: int) -> None:
        self.steps, self.deep = steps, max(4, round(steps * ratio))
        self.h, self.k = 1.0 / steps, ratio / self.deep
        self.size = (steps + 1) * (self.deep + 1)

    def node(self, i: int, j: int) -> int:
        """Number of a point."""
        return i * (self.deep + 1) + j

    def row(self, *entries: tuple[int, int, float]) -> np.ndarray:
        """A row of the sum of `factor` x the sag at each point."""
        found = np.zeros(self.size)
        for i, j, factor in entries:
            found[self.node(i, j)] += factor
        return found

    def cell(self, i: int, j: int) -> float:
        """Area that belongs to a point."""
        ends = (0.5 if i in (0, self.steps) else 1.0) * (0.5 if j in (0, self.deep) else 1.0)
        return ends * self.h * self.k

    def along(self, i: int, j: int) -> np.ndarray:
        """w_xx at a point."""
        step = 1.0 / self.h**2
        return self.row((i - 1, j, step), (i, j, -2 * step), (i + 1, j, step))

    def across(self, i: int, j: int) -> np.ndarray:
        """w_yy at a point."""
        step = 1.0 / self.k**2
        return self.row((i, j - 1, step), (i, j, -2 * step), (i, j + 1, step))

    def energy(self, poisson: float) -> np.ndarray:
        """Matrix of the strain energy over D / 2.

        (w_xx + w_yy)^2 - 2 (1 - nu) (w_xx w_yy - w_xy^2); at the front w_yy = -nu w_xx.
        """
        less, step = 1.0 - poisson, 1.0 / self.h / self.k
        inside = [(i, j) for i in range(1, self.steps) for j in range(1, self.deep)]
        xx, yy = (np.array([of(i, j) for i, j in inside]) for of in (self.along, self.across))
        areas = np.array([self.cell(i, j) for i, j in inside])[:, None]
        front = np.array([self.along(i, self.deep) for i in range(1, self.steps)])
        xy = np.array(
            [
                self.row((i, j, step), (i + 1, j + 1, step), (i + 1, j, -step), (i, j + 1, -step))
                for i in range(self.steps)
                for j in range(self.deep)
            ]
        )
        both = (xx + yy).T @ (areas * (xx + yy))
        both -= less * (xx.T @ (areas * yy) + yy.T @ (areas * xx))
        both += self.cell(1, self.deep) * (1.0 - poisson**2) * front.T @ front
        return both + self.h * self.k * 2.0 * less * xy.T @ xy

    def loads(self, patch: float, per_length: float) -> np.ndarray:
        """A uniform load of 1, and `per_length` on the front edge up to `patch`."""
        found = np.zeros(self.size)
        last = round(patch * self.steps)
        for i in range(self.steps + 1):
            for j in range(self.deep + 1):
                found[self.node(i, j)] += self.cell(i, j)
            if i <= last:
                part = 0.5 if i in (0, last) else 1.0
                found[self.node(i, self.deep)] += part * self.h * per_length
        return found


def _by_differences(ratio: float, patch: float = 1.0, share: float = 0.0) -> float:
    """Largest sag over q a^4 / D at nu 0.3, held at the back and at both ends."""
    grid = _Grid(ratio, 24)
    energy, loads = grid.energy(0.3), grid.loads(patch, share * ratio / patch)
    free = [grid.node(i, j) for i in range(1, grid.steps) for j in range(1, grid.deep + 1)]
    return float(max(np.linalg.solve(energy[np.ix_(free, free)], loads[free])))


@pytest.mark.parametrize("ratio", [1 / 3, 0.5, 1.0])
def test_against_finite_differences(ratio: float) -> None:
    """Least energy on a grid, which knows no series, gives the same sag to 1 %."""
    assert free_edge(ratio, 0.3).deflection == pytest.approx(_by_differences(ratio), rel=0.01)


@pytest.mark.parametrize(("patch", "share"), [(0.5, 0.5), (0.25, 1.0), (1.0, 0.3)])
def test_patch_against_finite_differences(patch: float, share: float) -> None:
    """A line load on the free edge beside the uniform one, by the same grid to 2 %."""
    assert patched_edge(0.5, 0.3, patch, share).deflection == pytest.approx(
        _by_differences(0.5, patch, share), rel=0.02
    )


def test_against_a_package_of_finite_elements() -> None:
    """PyNite's rectangular plates: 36 x 12 x 3/4 in at 15 psf, the same sag to 2 %."""
    from Pynite import FEModel3D

    across, deep = 18, 6
    model = FEModel3D()
    model.add_material("board", 313_300.0, 313_300.0 / 2.6, 0.3, 0.0)
    step = 36.0 / across
    for i in range(across + 1):
        for j in range(deep + 1):
            name = f"N{i}_{j}"
            model.add_node(name, i * step, 0.0, j * step)
            held = i in (0, across) or j == 0
            model.def_support(name, True, held, True, False, True, False)
    for i in range(across):
        for j in range(deep):
            corners = (f"N{i}_{j}", f"N{i + 1}_{j}", f"N{i + 1}_{j + 1}", f"N{i}_{j + 1}")
            model.add_plate(f"P{i}_{j}", *corners, 0.75, "board")
            model.add_plate_surface_pressure(f"P{i}_{j}", 15.0 / 144.0)
    model.analyze(check_statics=False)
    sag = abs(next(iter(model.nodes[f"N{across // 2}_{deep}"].DY.values())))
    rigidity = plate_rigidity(313_300.0, 0.75, 0.3)
    ours = free_edge(12 / 36, 0.3).deflection * 15.0 / 144.0 * 36.0**4 / rigidity
    assert ours == pytest.approx(sag, rel=0.02)


def test_deep_plate_is_a_strip_with_a_free_end() -> None:
    """Far from the back the front edge no longer knows it: the sag stops growing."""
    assert free_edge(5.0, 0.3).deflection == pytest.approx(
        free_edge(50.0, 0.3).deflection, rel=1e-5
    )
    assert free_edge(50.0, 0.3).deflection == pytest.approx(0.01522, abs=2e-5)


@given(st.floats(0.05, 4.0), st.floats(1.01, 2.0))
def test_sag_grows_with_depth(ratio: float, factor: float) -> None:
    """The deeper the board for its span, the less the back holds its front."""
    assert free_edge(ratio * factor, 0.3).deflection > free_edge(ratio, 0.3).deflection * (1 - 1e-9)


@given(st.floats(0.05, 3.0), st.floats(0.1, 1.0), st.floats(0.0, 2.0))
def test_patch_only_adds(ratio: float, patch: float, share: float) -> None:
    """A line load on the front edge never lifts it, and without one nothing changes."""
    plain = free_edge(ratio, 0.3).deflection
    assert patched_edge(ratio, 0.3, patch, 0.0).deflection == pytest.approx(plain, rel=1e-3)
    assert patched_edge(ratio, 0.3, patch, share).deflection >= plain * (1 - 1e-3)


def test_patched_span_with_the_patch_all_along() -> None:
    """A patch over the whole span is so much more uniform load: 5/384 and 1/8 of the sum."""
    sag, moment = patched_span(1.0, 0.5)
    assert sag == pytest.approx(1.5 * 5 / 384, rel=1e-4)
    assert moment == pytest.approx(1.5 / 8, rel=1e-3)


def test_patched_span_under_a_short_patch_at_the_end() -> None:
    """A load P spread over a short end: 1/8 of the uniform moment and next to nothing more."""
    sag, _ = patched_span(0.02, 1.0)
    assert 5 / 384 < sag < 1.1 * 5 / 384
