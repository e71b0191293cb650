"""`speclint editor`: a language server on standard input and output (LSP 3.17), by the library pygls."""

import os
import sys
from datetime import date
from typing import TYPE_CHECKING, Any, Final

import click

from speclint.commands.shell import CONTEXT, current_folder
from speclint.errors import UsageError

if TYPE_CHECKING:
    from lsprotocol import types as lsp

    from speclint.editor.session import Marked, Session
    from speclint.files import Folder

__all__ = ["editor"]

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

    _serve(Session(UnsavedFiles(current_folder()), date.today()))


class _Names:
    """Files and places as the protocol writes them, and back."""

    def __init__(self, folder: "Folder", session: "Session") -> None:
        self._folder = folder
        self._session = session

    def name_of(self, uri: str) -> str:
        """The name of a file that people are shown."""
        from pygls.uris import to_fs_path

        return self._folder.shown(to_fs_path(uri) or uri)

    def uri_of(self, file: str) -> str:
        """The address of a file."""
        from pygls.uris import from_fs_path

        return from_fs_path(self._folder.full(file)) or file

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
    from speclint.reports.check.remarks import Weight

    names = _Names(current_folder(), session)
    server = LanguageServer("speclint", __version__, text_document_sync_kind=lsp.TextDocumentSyncKind.Full)
    severities = {
        Weight.ILLEGAL: lsp.DiagnosticSeverity.Error,
        Weight.PROBLEM: lsp.DiagnosticSeverity.Error,
        Weight.NOT_SHOWN: lsp.DiagnosticSeverity.Warning,
        Weight.CLOSE_CALL: lsp.DiagnosticSeverity.Warning,
        Weight.DIFFERS: lsp.DiagnosticSeverity.Warning,
        Weight.ADVICE: lsp.DiagnosticSeverity.Information,
    }
    marks: dict[str, tuple[Marked, ...]] = {}

    def publish() -> None:
        marks.clear()
        marks.update(session.check())
        for file, of_file in marks.items():
            diagnostics = [
                lsp.Diagnostic(
                    names.range_of(file, mark),
                    mark.remark.text,
                    severity=severities[mark.remark.weight],
                    code=mark.remark.about,
                    source="speclint",
                )
                for mark in of_file
            ]
            server.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(names.uri_of(file), diagnostics))

    @server.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    def opened(parameters: lsp.DidOpenTextDocumentParams) -> None:
        session.files.put(names.name_of(parameters.text_document.uri), parameters.text_document.text)
        publish()

    @server.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    def changed(parameters: lsp.DidChangeTextDocumentParams) -> None:
        document = server.workspace.get_text_document(parameters.text_document.uri)
        session.files.put(names.name_of(parameters.text_document.uri), document.source)
        publish()

    @server.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def closed(parameters: lsp.DidCloseTextDocumentParams) -> None:
        session.files.drop(names.name_of(parameters.text_document.uri))
        empty = lsp.PublishDiagnosticsParams(parameters.text_document.uri, [])
        server.text_document_publish_diagnostics(empty)
        publish()

    @server.feature(lsp.TEXT_DOCUMENT_HOVER)
    def hover(parameters: lsp.HoverParams) -> lsp.Hover | None:
        file = names.name_of(parameters.text_document.uri)
        text = session.hover(file, parameters.position.line + 1, names.column_of(file, parameters.position))
        return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.PlainText, text)) if text else None

    @server.feature(lsp.TEXT_DOCUMENT_CODE_ACTION)
    def code_actions(parameters: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        file = names.name_of(parameters.text_document.uri)
        wanted = [mark for mark in marks.get(file, ()) if _overlap(names.range_of(file, mark), parameters.range)]
        return [
            lsp.CodeAction(
                mend.title,
                kind=lsp.CodeActionKind.QuickFix,
                edit=lsp.WorkspaceEdit(changes=names.edits_of(mend.changes)),
            )
            for mark in wanted
            for mend in session.mends(mark.remark)
        ]

    @server.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    def definition(parameters: lsp.DefinitionParams) -> lsp.Location | None:
        file = names.name_of(parameters.text_document.uri)
        place = session.definition(file, parameters.position.line + 1, names.column_of(file, parameters.position))
        if place is None:
            return None
        start = names.position(place.file, place.line, place.column)
        return lsp.Location(names.uri_of(place.file), lsp.Range(start, start))

    @server.feature(lsp.TEXT_DOCUMENT_COMPLETION)
    def completions(parameters: lsp.CompletionParams) -> list[lsp.CompletionItem]:
        file = names.name_of(parameters.text_document.uri)
        words = session.completions(file, parameters.position.line + 1, names.column_of(file, parameters.position))
        return [lsp.CompletionItem(word) for word in words]

    # The library closes what it writes to, if it was asked anything; standard output is needed once more in the end.
    with os.fdopen(os.dup(sys.stdout.fileno()), "wb") as answers:
        server.start_io(sys.stdin.buffer, answers)


def _overlap(first: Any, second: Any) -> bool:
    """Whether two ranges have a position in common."""
    starts, ends = (first.start, second.start), (first.end, second.end)
    return max((at.line, at.character) for at in starts) <= min((at.line, at.character) for at in ends)
