"""`speclint editor`: a language server on standard input and output (LSP 3.17), by the library pygls."""

import os
import sys
from datetime import date
from typing import TYPE_CHECKING, Any, Final

import click

from speclint.commands.shell import CONTEXT, current_folder_as
from speclint.errors import UsageError

if TYPE_CHECKING:
    from lsprotocol import types as lsp
    from pygls.lsp.server import LanguageServer

    from speclint.editor.session import Marked, Session

_HOW_TO_GET_IT: Final = "`speclint editor` needs the library pygls: install speclint[editor], or pygls beside it"


@click.command(context_settings=CONTEXT)
def editor() -> None:
    """A language server for editors, over standard input and output; an editor starts it in the top folder of a repository.

    It says of the text as it stands, saved or not, what `check` says; shows value, limit and margin at a value; offers
    remedies; leads to rules and files that are named; and completes rulesets, classes, motors, instruments and
    quantities.
    """
    try:
        import pygls.lsp.server  # noqa: F401 - whether it is there
    except ImportError as error:
        raise UsageError(_HOW_TO_GET_IT) from error
    from speclint.editor.session import Session
    from speclint.editor.unsaved import UnsavedFiles

    _serve(Session(current_folder_as(UnsavedFiles), date.today()))


class _Names:
    """Files and places as the protocol writes them, and back."""

    def __init__(self, session: "Session") -> None:
        self._session = session

    def name_of(self, uri: str) -> str:
        """The name of a file that people are shown."""
        from pygls.uris import to_fs_path

        return self._session.files.shown(to_fs_path(uri) or uri)

    def uri_of(self, file: str) -> str:
        """The address of a file."""
        from pygls.uris import from_fs_path

        return from_fs_path(self._session.files.full(file)) or file

    def position(self, file: str, line: int, column: int) -> "lsp.Position":
        """A place as the protocol counts: from 0, columns in units of UTF-16."""
        from lsprotocol import types as lsp

        before = self._session.line(file, line)[: column - 1]
        return lsp.Position(line - 1, len(before.encode("utf-16-le", "surrogatepass")) // 2)

    def column_of(self, file: str, at: "lsp.Position") -> int:
        """The column of a position, in code points from 1."""
        units = self._session.line(file, at.line + 1).encode("utf-16-le", "surrogatepass")[: at.character * 2]
        return len(units.decode("utf-16-le", "replace")) + 1

    def range_of(self, file: str, mark: "Marked") -> "lsp.Range":
        """Where a mark begins and ends."""
        from lsprotocol import types as lsp

        place = mark.remark.place
        return lsp.Range(self.position(file, place.line, place.column), self.position(file, *mark.end))

    def edits_of(self, changes: dict[str, Any]) -> "dict[str, list[lsp.TextEdit]]":
        """Splices as edits, by file."""
        from lsprotocol import types as lsp

        edits: dict[str, list[lsp.TextEdit]] = {}
        for file, (document, file_splices) in changes.items():
            at = document.positions.line_and_column
            edits[self.uri_of(file)] = [
                lsp.TextEdit(
                    lsp.Range(self.position(file, *at(splice.start)), self.position(file, *at(splice.end))), splice.text
                )
                for splice in file_splices
            ]
        return edits


def _serve(session: "Session") -> None:
    """Answers until the editor ends it."""
    from lsprotocol import types as lsp
    from pygls.lsp.server import LanguageServer

    from speclint import __version__

    names = _Names(session)
    server = LanguageServer("speclint", __version__, text_document_sync_kind=lsp.TextDocumentSyncKind.Full)
    remarks = _Remarks(server, session, names)
    _take_texts(server, session, names, remarks)
    _answer_questions(server, session, names, remarks)
    # The library closes what it writes to, if it was asked anything; standard output is needed once more in the end.
    with os.fdopen(os.dup(sys.stdout.fileno()), "wb") as answers:
        server.start_io(sys.stdin.buffer, answers)


class _Remarks:
    """What is to be said of each file, as the editor was told it last."""

    def __init__(self, server: "LanguageServer", session: "Session", names: _Names) -> None:
        self._server = server
        self._session = session
        self._names = names
        self._marks: dict[str, tuple[Marked, ...]] = {}

    def within(self, file: str, shown_range: "lsp.Range") -> "list[Marked]":
        """Those that touch a part of a file."""
        return [mark for mark in self._marks.get(file, ()) if _overlap(self._names.range_of(file, mark), shown_range)]

    def publish(self) -> None:
        """Checks the files as they stand, and tells the editor."""
        self._marks = dict(self._session.check())
        for file, marks in self._marks.items():
            self._tell(self._names.uri_of(file), [self._diagnostic(file, mark) for mark in marks])

    def withdraw(self, uri: str) -> None:
        """Has nothing said of a file any more."""
        self._tell(uri, [])

    def _tell(self, uri: str, diagnostics: "list[lsp.Diagnostic]") -> None:
        from lsprotocol import types as lsp

        self._server.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, diagnostics))

    def _diagnostic(self, file: str, mark: "Marked") -> "lsp.Diagnostic":
        from lsprotocol import types as lsp

        from speclint.reports.check.remarks import Weight

        severities = {
            Weight.ILLEGAL: lsp.DiagnosticSeverity.Error,
            Weight.PROBLEM: lsp.DiagnosticSeverity.Error,
            Weight.NOT_SHOWN: lsp.DiagnosticSeverity.Warning,
            Weight.CLOSE_CALL: lsp.DiagnosticSeverity.Warning,
            Weight.DIFFERS: lsp.DiagnosticSeverity.Warning,
            Weight.ADVICE: lsp.DiagnosticSeverity.Information,
        }
        return lsp.Diagnostic(
            self._names.range_of(file, mark),
            mark.remark.text,
            severity=severities[mark.remark.weight],
            code=mark.remark.about,
            source="speclint",
        )


def _take_texts(server: "LanguageServer", session: "Session", names: _Names, remarks: _Remarks) -> None:
    """Has the session follow what is opened, typed and closed; each time all is told anew."""
    from lsprotocol import types as lsp

    @server.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    def opened(parameters: lsp.DidOpenTextDocumentParams) -> None:
        session.files.put(names.name_of(parameters.text_document.uri), parameters.text_document.text)
        remarks.publish()

    @server.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    def changed(parameters: lsp.DidChangeTextDocumentParams) -> None:
        document = server.workspace.get_text_document(parameters.text_document.uri)
        session.files.put(names.name_of(parameters.text_document.uri), document.source)
        remarks.publish()

    @server.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def closed(parameters: lsp.DidCloseTextDocumentParams) -> None:
        session.files.drop(names.name_of(parameters.text_document.uri))
        remarks.withdraw(parameters.text_document.uri)
        remarks.publish()


def _answer_questions(server: "LanguageServer", session: "Session", names: _Names, remarks: _Remarks) -> None:
    """Has the session answer what the editor asks at a place of a text."""
    from lsprotocol import types as lsp

    def place_of(parameters: Any) -> tuple[str, int, int]:
        file = names.name_of(parameters.text_document.uri)
        return file, parameters.position.line + 1, names.column_of(file, parameters.position)

    @server.feature(lsp.TEXT_DOCUMENT_HOVER)
    def hover(parameters: lsp.HoverParams) -> lsp.Hover | None:
        text = session.hover(*place_of(parameters))
        return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.PlainText, text)) if text else None

    @server.feature(lsp.TEXT_DOCUMENT_CODE_ACTION)
    def code_actions(parameters: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        return [
            lsp.CodeAction(
                mend.title,
                kind=lsp.CodeActionKind.QuickFix,
                edit=lsp.WorkspaceEdit(changes=names.edits_of(mend.changes)),
            )
            for mark in remarks.within(names.name_of(parameters.text_document.uri), parameters.range)
            for mend in session.mends(mark.remark)
        ]

    @server.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    def definition(parameters: lsp.DefinitionParams) -> lsp.Location | None:
        place = session.definition(*place_of(parameters))
        if place is None:
            return None
        start = names.position(place.file, place.line, place.column)
        return lsp.Location(names.uri_of(place.file), lsp.Range(start, start))

    @server.feature(lsp.TEXT_DOCUMENT_COMPLETION)
    def completions(parameters: lsp.CompletionParams) -> list[lsp.CompletionItem]:
        return [lsp.CompletionItem(word) for word in session.completions(*place_of(parameters))]


def _overlap(first: Any, second: Any) -> bool:
    """Whether two ranges have a position in common."""
    starts, ends = (first.start, second.start), (first.end, second.end)
    return max((at.line, at.character) for at in starts) <= min((at.line, at.character) for at in ends)
