"""The cars of one team side by side: what stands in two of them at once, and what git does not have of their files."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final, NamedTuple

from speclint.advice.model import AdviceSort, Observation, PaddockCase, ParkedCar
from speclint.moments import day_text


class _Shared(NamedTuple):
    """What two cars have in common: a thing's name, where the second car names it, and the day of both."""

    first: ParkedCar
    second: ParkedCar
    on: date


def _in_two(cars: Sequence[ParkedCar], things: Sequence[str]) -> Iterator[_Shared]:
    """Each car that has what an earlier one has on the same day; `things` says what each of them has, "" for nothing."""
    first_on: dict[tuple[str, date], int] = {}
    for number, (car, thing) in enumerate(zip(cars, things, strict=True)):
        days = {entry.on for entry in car.entries} if thing else set[date]()
        earlier = [(first_on[thing, day], day) for day in days if (thing, day) in first_on]
        if earlier:
            first, on = min(earlier)
            yield _Shared(cars[first], car, on)
        for day in days:
            first_on.setdefault((thing, day), number)


def _one_motor(case: PaddockCase) -> Iterator[Observation]:
    for shared in _in_two(case.cars, [car.motor for car in case.cars]):
        yield Observation(
            f"{shared.second.motor_name} is in {shared.first.file} too, and both are entered for {day_text(shared.on)}: one motor"
            " runs in one car at a time, and bench runs and rebuilds of one car change the verdict on the other. Name the"
            " motor that is in this car; if they share it on purpose, leave it so",
            case.place(shared.second.file, ("motor",)),
        )


def _one_pack(case: PaddockCase) -> Iterator[Observation]:
    for shared in _in_two(case.cars, [car.pack for car in case.cars]):
        yield Observation(
            f"the pack {shared.second.pack} is in {shared.first.file} too, and both are entered for {day_text(shared.on)}: what"
            " the inspector reads on it holds for the car that it is in. Correct the serial, or leave it so if they share it",
            case.place(shared.second.file, ("battery", "serial")),
        )


def _one_entry(case: PaddockCase) -> Iterator[Observation]:
    first_with: dict[tuple[str, str, str, date], str] = {}
    for car in case.cars:
        backwards = reversed(car.entries)  # of what is stated twice the first place counts
        starts = {(car.name, entry.ruleset, entry.class_id, entry.on): entry.path for entry in backwards}
        copied = {first_with[start]: path for start, path in starts.items() if start in first_with}
        for original, path in copied.items():
            yield Observation(
                f"{original} has the same name, {car.name}, and the same entry: a copy that was kept is judged like a car of"
                " its own, and nobody sees which of the two comes to the start. Give one another name, or delete it",
                case.place(car.file, path),
            )
        for start in starts:
            first_with.setdefault(start, car.file)


def _not_in_git(case: PaddockCase) -> Iterator[Observation]:
    missing = case.untracked
    for car in case.cars:
        if car.file in missing:
            continue
        for path, file in car.rests_on:
            if file in missing:
                yield Observation(
                    f"{file} is not in git: this car is judged with it here, and without it wherever else the repository is."
                    f" `git add {file}` takes it in",
                    case.place(car.file, path),
                )


_MOTOR: Final = "format: motor/1\nturns: 17.5\n"
_ENTRY: Final = "entries: [{ruleset: coastal-league, class: stock-17, on: 2026-03-21}]\n"

PADDOCK: Final = (
    AdviceSort[PaddockCase](
        "motor-in-two-cars",
        "one motor, two cars",
        because="A motor is in one car; a setup that was copied goes on naming the motor of the first.",
        example=(
            f"format: setup/1\nname: Car 1\n{_ENTRY}motor: car-2.yaml\n",
            f"format: setup/1\nname: Car 2\n{_ENTRY}motor: car-2.yaml\n",
            _MOTOR,
        ),
        find=_one_motor,
    ),
    AdviceSort[PaddockCase](
        "pack-in-two-cars",
        "one pack, two cars",
        because="What is read on a pack holds for the car that it is in.",
        example=(
            f'format: setup/1\nname: Car 1\n{_ENTRY}battery: {{serial: "P-31"}}\n',
            f'format: setup/1\nname: Car 2\n{_ENTRY}battery: {{serial: "P-31"}}\n',
        ),
        find=_one_pack,
    ),
    AdviceSort[PaddockCase](
        "entry-twice",
        "one entry, two setups",
        because="Of two files for one start, one is a copy that somebody forgot.",
        example=(
            f"format: setup/1\nname: Car 1\n{_ENTRY}",
            f"format: setup/1\nname: Car 1\n{_ENTRY}car: {{mass_g: 1400}}\n",
        ),
        find=_one_entry,
    ),
    AdviceSort[PaddockCase](
        "file-not-in-git",
        "a file that git does not have",
        because="What is not in git counts for the one who has it and is missing for everybody else.",
        # `git status` lists the second file as untracked.
        example=(f"format: setup/1\nname: Car 1\n{_ENTRY}motor: car-1.yaml\n", f"{_MOTOR}notes: not in git\n"),
        find=_not_in_git,
    ),
)
"""All advice on the cars of one run together."""
