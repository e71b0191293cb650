"""What the help says that an option takes, and what is told of something else, for every option of every command."""

from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from speclint.cli import COMMANDS
from speclint.commands.numbers import count
from speclint.logbook.fields import Shape, fields_of
from speclint.logbook.kinds import KINDS
from tests.console import in_process


def commands() -> Iterator[tuple[str, click.Command, click.Context]]:
    from speclint.cli import speclint

    top = click.Context(speclint)
    for name in COMMANDS:
        command = speclint.get_command(top, name)
        assert command is not None
        context = click.Context(command, info_name=name)
        yield name, command, context
        if isinstance(command, click.Group):
            for inner_name in command.list_commands(context):
                inner = command.get_command(context, inner_name)
                assert inner is not None
                yield f"{name} {inner_name}", inner, click.Context(inner, info_name=inner_name)


def options() -> Iterator[tuple[str, click.Option, click.Context]]:
    for name, command, context in commands():
        for param in command.params:
            if isinstance(param, click.Option) and not param.is_flag:
                yield f"{name} {param.opts[0]}", param, context


@pytest.mark.parametrize(("name", "option", "context"), [pytest.param(*entry, id=entry[0]) for entry in options()])
def test_the_help_says_what_is_given_in_our_words(name: str, option: click.Option, context: click.Context) -> None:
    metavar = option.metavar or option.make_metavar(context)
    assert metavar not in ("INTEGER", "FLOAT", "INTEGER RANGE", "FLOAT RANGE", "RATIO"), name
    assert "RANGE" not in (option.get_help_record(context) or ("", ""))[0]
    # The library's own types of numbers have sentences of their own for what is none.
    assert not isinstance(option.type, click.types.IntParamType | click.types.FloatParamType), name


def test_what_takes_a_word_is_not_said_to_take_a_ratio() -> None:
    ratios = {field.key for kind in KINDS for field in fields_of(kind) if field.shape is Shape.RATIO}
    assert ratios == {"internal_ratio"}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["check", ".", "--jobs", "many"], "many is not a number of processes: write a whole number, 1 or more"),
        (["check", ".", "--jobs", "0"], "0 is not a number of processes: write a whole number, 1 or more"),
        (["check", ".", "--jobs", "2.5"], "2.5 is not a number of processes"),
        (["check", ".", "--jobs", "9" * 5000], "is not a number of processes"),
        (["check", ".", "--apply", "x"], "x is not the number of a remedy: write a whole number, 1 or more"),
        (["check", ".", "--coming", "soon"], "soon is not a number of days: write a whole number, 1 to 366"),
        (["check", ".", "--coming", "367"], "367 is not a number of days: write a whole number, 1 to 366"),
        (["gearing", "car.yaml", "--entry", "x"], "x is not the number of an entry: write a whole number, 1 or more"),
    ],
)
def test_a_number_that_is_none_is_told_with_what_is_expected(words: list[str], told: str, tmp_path: Path) -> None:
    done = in_process(tmp_path, *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr
    assert "integer range" not in done.stderr


def test_a_file_in_place_of_a_command_is_told_the_command_that_checks_it(tmp_path: Path) -> None:
    (tmp_path / "car-7.yaml").write_text("format: setup/1\n")
    done = in_process(tmp_path, "car-7.yaml")
    assert (done.returncode, done.stdout) == (2, "")
    assert "No such command 'car-7.yaml'. Did you mean 'check car-7.yaml'?" in done.stderr


def test_a_count_is_read_as_it_is_written() -> None:
    assert count("a number of days", 366).convert("366", None, None) == 366
