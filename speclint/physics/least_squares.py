"""Small dense linear algebra: symmetric systems by Cholesky's method, and a linear model of columns by least squares."""

from collections.abc import Sequence
from math import sqrt

Matrix = list[list[float]]
"""Rows of a small matrix."""

_RIDGE = 1e-9


def factored(matrix: Matrix) -> Matrix:
    """Lower triangle L with L·Lᵀ = matrix, which is symmetric and positive definite (Cholesky).

    Raises:
        ValueError: It is not positive definite.
    """
    count = len(matrix)
    lower = [[0.0] * count for _ in range(count)]
    for row in range(count):
        for column in range(row + 1):
            rest = matrix[row][column] - sum(
                a * b for a, b in zip(lower[row][:column], lower[column][:column], strict=True)
            )
            if row > column:
                lower[row][column] = rest / lower[column][column]
            elif rest > 0:
                lower[row][row] = sqrt(rest)
            else:
                raise ValueError("the matrix is not positive definite")
    return lower


def solved(lower: Matrix, right: Sequence[float]) -> list[float]:
    """The x of L·Lᵀ·x = right."""
    count = len(lower)
    forward = [0.0] * count
    for row in range(count):
        forward[row] = (right[row] - sum(lower[row][k] * forward[k] for k in range(row))) / lower[row][row]
    back = [0.0] * count
    for row in reversed(range(count)):
        back[row] = (forward[row] - sum(lower[k][row] * back[k] for k in range(row + 1, count))) / lower[row][row]
    return back


def linear_model(places: Sequence[Sequence[float]], values: Sequence[Sequence[float]]) -> Matrix:
    """Slopes of the linear model of values over places, by least squares: a row a value.

    Args:
        places: A row a sample.
        values: A row a sample.
    """
    count = len(places[0]) + 1
    design = [[1.0, *place] for place in places]
    columns = list(zip(*design, strict=True))
    normal = [[0.0] * count for _ in range(count)]
    for row in range(count):
        for column in range(row + 1):
            normal[row][column] = sum(a * b for a, b in zip(columns[row], columns[column], strict=True))
        # A place that never moves has a slope of nothing.
        normal[row][row] += _RIDGE * len(places)
    factor = factored(normal)
    solutions = [
        solved(factor, [sum(a * b for a, b in zip(column, value, strict=True)) for column in columns])
        for value in zip(*values, strict=True)
    ]
    return [solution[1:] for solution in solutions]
