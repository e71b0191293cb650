"""Where the files of a run come from: `speclint.files.Folder` is one such source, a mapping of names to bytes another."""

import posixpath
from collections.abc import Iterable, Mapping, Sequence
from typing import Protocol

from speclint.files import FileText, Found, ListedFile, file_text
from speclint.places import Place
from speclint.problems import Problem


class Source(Protocol):
    """Reads files by the names that people are shown."""

    def read(self, shown: str) -> FileText:
        """The text of a file, or the problem that kept it from being read."""
        ...

    def find(self, paths: Iterable[str], *, pass_over: bool = False, most_folders: int | None = None) -> Found:
        """The speclint files under the paths; with `pass_over` nothing is said of those that are named and are none.

        With `most_folders` the search ends after so many folders below each path.
        """
        ...

    def beside(self, file: str, reference: str) -> str:
        """The name of a file that another one names by a path from its own folder."""
        ...

    def full(self, shown: str) -> str:
        """An identity of the file: two names of one file have the same."""
        ...

    def siblings(self, file: str) -> tuple[FileText, ...]:
        """The speclint files in the folder of a file, itself among them."""
        ...

    def outside(self, file: str, reference: str) -> str:
        """Outside of what a file lies that another one names, such as that one's repository; "" where it may be read."""
        ...

    def rulesets_for(self, file: str) -> tuple[str, ...]:
        """The folders in which a setup's rulesets are looked for."""
        ...

    def uncounted_rulesets(self, file: str) -> str:
        """The nearest folder `rulesets` above a file that does not count for it, since there is no repository; or ""."""
        ...

    def above(self, file: str) -> tuple[str, ...]:
        """The folder of a file and those above it, up to the top of its repository; its own alone where it has none."""
        ...


def tops_around(source: Source, file: str) -> tuple[str, ...]:
    """The folders that hold what belongs to a file: its repository, and the current folder, where there is none."""
    return tuple(dict.fromkeys((*source.above(file)[-1:], *(() if file.startswith(("../", "/")) else (".",)))))


class NamedFiles:
    """The files of one repository in a mapping, such as those of a git revision or of an editor.

    Args:
        files: what they hold, by their names from the repository's top, with "/" between the parts.
        place: the folder, named likewise, from which people are shown names, as those of a current folder.
        submodules: folders, named likewise, whose files another repository has.
    """

    def __init__(self, files: Mapping[str, bytes], place: str = "", submodules: Sequence[str] = ()) -> None:
        self._files = files
        self._submodules = submodules
        self._place = posixpath.normpath(place) if place else ""

    def read(self, shown: str) -> FileText:
        """The text of a file, or the problem that kept it from being read."""
        data = self._files.get(self.full(shown))
        if data is None:
            return FileText(shown, "", Problem("file-missing", "there is no such file", Place(shown)))
        return file_text(shown, data)

    def find(
        self,
        paths: Iterable[str],
        *,
        pass_over: bool = False,
        most_folders: int | None = None,  # noqa: ARG002 - all names are at hand
    ) -> Found:
        """The YAML files under the paths that declare a format of speclint's."""
        files: dict[str, ListedFile] = {}
        passed_over: list[str] = []
        by_name: set[str] = set()
        submodules: set[str] = set()
        troubles: list[str] = []
        full_place = self.full(".")  # the folder that the command runs in is there, whatever git has of it
        for path in paths:
            top = self.full(path)
            named = [self.read(self._shown(top))] if top in self._files else []
            under = [self.read(self._shown(name)) for name in self._files if _is_yaml(name) and _is_walked(name, top)]
            texts = (text for text in (*named, *under) if text.declares)
            files.update((text.file, ListedFile(text.file, text.declares)) for text in texts)
            apart = [
                folder for folder in self._submodules if f"{top}/".startswith(f"{folder}/") or _is_under(folder, top)
            ]
            submodules.update(map(self._shown, apart))
            if not named and not under and top != full_place:
                troubles.append(f"{path}: there is no such file or folder")
            by_name.update(() if pass_over else (text.file for text in named))
            passed_over += [text.file for text in named if not text.declares and not pass_over]
        in_order = tuple(files[name] for name in sorted(files))
        return Found(
            in_order,
            tuple(sorted(set(troubles))),
            tuple(sorted(set(passed_over))),
            frozenset(by_name),
            tuple(sorted(submodules)),
        )

    def beside(self, file: str, reference: str) -> str:
        """The name of a file that another one names by a path from its own folder."""
        return self._shown(posixpath.normpath(posixpath.join(posixpath.dirname(self.full(file)), reference)))

    def full(self, shown: str) -> str:
        """The name from the repository's top."""
        return posixpath.normpath(posixpath.join(self._place, shown))

    def siblings(self, file: str) -> tuple[FileText, ...]:
        """The speclint files in the folder of a file, itself among them."""
        folder = posixpath.dirname(self.full(file))
        names = (name for name in sorted(self._files) if posixpath.dirname(name) == folder and _is_yaml(name))
        return tuple(text for name in names if (text := self.read(self._shown(name))).declares)

    def outside(self, file: str, reference: str) -> str:  # noqa: ARG002 - all files are in one repository
        """The repository, where a name leads out of it."""
        return "the repository of this file" if self.full(reference).startswith(("../", "/")) else ""

    def rulesets_for(self, file: str) -> tuple[str, ...]:
        """The folders `rulesets` beside a file and above it, the nearest first."""
        candidates = (posixpath.normpath(posixpath.join(folder, "rulesets")) for folder in self.above(file))
        return tuple(folder for folder in candidates if any(_is_under(name, self.full(folder)) for name in self._files))

    def uncounted_rulesets(self, file: str) -> str:  # noqa: ARG002 - all files are in one repository
        """None."""
        return ""

    def above(self, file: str) -> tuple[str, ...]:
        """The folder of a file and those above it, up to the repository's top."""
        folders = [posixpath.dirname(self.full(file))]
        while folders[-1]:
            folders.append(posixpath.dirname(folders[-1]))
        return tuple(self._shown(folder or ".") for folder in folders)

    def _shown(self, name: str) -> str:
        """A name from the top as it is shown from the place."""
        place, parts = _parts(self._place), _parts(name)
        shared = 0
        while shared < min(len(place), len(parts)) and place[shared] == parts[shared]:
            shared += 1
        return "/".join((*[".."] * (len(place) - shared), *parts[shared:])) or "."


def _parts(name: str) -> list[str]:
    return [part for part in name.split("/") if part not in ("", ".")]


def _is_under(name: str, folder: str) -> bool:
    return folder == "." or name.startswith(f"{folder}/")


def _is_walked(name: str, folder: str) -> bool:
    """Whether a walk through the folder comes to the file: not below a dot, and not among other people's packages."""
    rest = _parts(name if folder == "." else name.removeprefix(f"{folder}/"))
    return _is_under(name, folder) and not any(part.startswith(".") or part == "node_modules" for part in rest)


def _is_yaml(name: str) -> bool:
    return name.lower().endswith((".yaml", ".yml"))
