"""The classical Runge-Kutta scheme of fourth order, for what has no closed form."""

from collections.abc import Callable


def rk4(
    rates: Callable[[float, tuple[float, ...]], tuple[float, ...]],
    state: tuple[float, ...],
    start: float,
    end: float,
    steps: int,
) -> tuple[float, ...]:
    """State at `end`, in `steps` equal steps.

    The error falls with the fourth power of the step (Kutta 1901).

    Args:
        rates: Derivatives of the state for a time and a state, as many as the state has.
        state: State at `start`.
        start: First time.
        end: Last time.
        steps: Number of steps, at least one.
    """
    step = (end - start) / steps
    for index in range(steps):
        time = start + index * step
        one = rates(time, state)
        two = rates(time + step / 2.0, tuple(y + step / 2.0 * d for y, d in zip(state, one, strict=True)))
        three = rates(time + step / 2.0, tuple(y + step / 2.0 * d for y, d in zip(state, two, strict=True)))
        four = rates(time + step, tuple(y + step * d for y, d in zip(state, three, strict=True)))
        state = tuple(
            y + step / 6.0 * (a + 2.0 * b + 2.0 * c + d)
            for y, a, b, c, d in zip(state, one, two, three, four, strict=True)
        )
    return state
