"""A platform as it stands in an editor: files with changes that are not saved yet, and what an editor asks about them.

Places are offsets into the text; nothing here knows a protocol.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import hanging_on
from circuitmap.flows.reread import JustRead, Rereading
from circuitmap.flows.stamps import stamps_of
from circuitmap.notation.folder import LARGEST_FILE, read_folder
from circuitmap.notation.tidy import tidy
from circuitmap.problems import Problem, Severity
from circuitmap.source import SourceFile, Span
from circuitmap.transcribing.names_in import NameUse, names_in
from circuitmap.transcribing.renaming import TextChange, renamed, with_changes
from circuitmap.transcribing.what_follows import MayFollow, may_follow
from circuitmap.wiring.parts import Fuse, Load


@dataclass(frozen=True)
class EditedState:
    """One state of all files, and what follows from it, worked out when it is asked for."""

    just_read: JustRead

    @property
    def sources(self) -> Mapping[str, SourceFile]:
        return {source.path: source for source in self.just_read.folder.sources}

    @cached_property
    def uses(self) -> tuple[NameUse, ...]:
        folder = self.just_read.folder
        return tuple(names_in(folder.platform, folder.notations))

    @cached_property
    def hanging(self) -> Mapping[str, Mapping[str, str]]:
        """Fuse -> what hangs on it, by name."""
        return hanging_on(self.just_read.bench)

    def use_at(self, path: str, offset: int) -> NameUse | None:
        """The name that stands at an offset, its last character's end counted in."""
        here = [use for use in self.uses if use.span.path == path and use.span.start <= offset <= use.span.end]
        return min(here, key=lambda use: (use.span.end - use.span.start, -use.span.start), default=None)

    def alike(self, use: NameUse) -> tuple[NameUse, ...]:
        """All places that name the same thing."""
        return tuple(its for its in self.uses if (its.kind, its.name) == (use.kind, use.name))

    def declared(self, use: NameUse) -> tuple[Span, ...]:
        """Where it is declared; what needs no declaration, where it is first used."""
        alike = self.alike(use)
        return tuple(its.span for its in alike if its.declares) or tuple(its.span for its in alike[:1])

    def hover(self, path: str, offset: int) -> tuple[Span, str] | None:
        """The name at an offset, and what it is and hangs on."""
        from circuitmap.reports.problems.named_words import named_words

        use = self.use_at(path, offset)
        if use is None:
            return None
        return use.span, named_words(self.just_read.folder.platform, use, self.hanging)

    def loads_on(self, path: str) -> Iterator[tuple[Span, str]]:
        """Each fuse that is declared in a file, and how much hangs on it."""
        from circuitmap.reports.problems.named_words import hanging_words

        parts = self.just_read.folder.platform.parts
        for use in self.uses:
            part = parts.get(use.name)
            if use.declares and use.kind == "part" and use.span.path == path and isinstance(part, Fuse):
                yield use.span, hanging_words(self.just_read.folder.platform, part, self.hanging.get(use.name, {}))

    def assumed(self, path: str) -> Iterator[tuple[Span, str]]:
        """Each end of a wire whose part in the circuit nobody typed in, and for what it is taken."""
        from circuitmap.reports.problems.named_words import assumed_words

        platform = self.just_read.folder.platform
        outputs = {(its.module, its.pin): its for its in platform.outputs if its.assumed}
        for use in self.uses:
            part = platform.parts.get(use.name)
            if use.declares or use.span.path != path or not use.whole or not isinstance(part, Load):
                continue
            behind = _pin_behind(use)
            if behind and (part.name, behind) in outputs:
                yield _with_pin(use, behind), assumed_words("output", outputs[part.name, behind].action)
            elif behind in part.assumed_roles:
                yield _with_pin(use, behind), assumed_words(part.roles[behind], "")

    def outline(self, path: str) -> Iterator[tuple[str, Span, tuple[NameUse, ...]]]:
        """Each sheet of a file, or what stands before the first, with what is declared on it."""
        for piece in self.just_read.pieces:
            if piece.source.path == path:
                span = Span(piece.source, piece.start, piece.end)
                inside = (use for use in self.uses if use.declares and use.span.path == path and use.kind != "sheet")
                title = f"{piece.sheet} {piece.title}".strip() if piece.sheet else "on no sheet"
                yield title, span, tuple(use for use in inside if piece.start <= use.span.start < piece.end)

    def follows(self, path: str, offset: int) -> list[MayFollow]:
        return may_follow(self.sources[path], offset, self.just_read.folder.platform)

    def tidied(self, path: str) -> str:
        return tidy(self.sources[path])


@dataclass
class EditedPlatform:
    """A folder, with the texts that an editor holds in the place of its files; a name without a file is a new one."""

    folder: Path
    texts: dict[str, str] = field(default_factory=dict)
    _state: EditedState | None = None
    _of: object = None
    _reading: Rereading = field(init=False)

    def __post_init__(self) -> None:
        self._reading = Rereading(self.folder)

    def state(self) -> EditedState:
        """As it is now; nothing is read again as long as nothing changed. Raises CannotRead, LimitReached."""
        of = stamps_of(self.folder), dict(self.texts)
        if self._state is None or self._of != of:
            self._state, self._of = EditedState(self._with(self.texts)), of
        return self._state

    def mends(self, problem: Problem) -> tuple[TextChange, ...]:
        """What a problem's suggestion would change; only if it is gone then and no error is new."""
        meant = problem.suggestion
        if not meant or " or " in meant or "\n" in problem.span.text:
            return ()
        change = TextChange(problem.span, meant)
        before = self.state().just_read.problems
        after = self._after((change,)).problems
        still = [its for its in after if (its.code, its.headline) == (problem.code, problem.headline)]
        as_before = [its for its in before if (its.code, its.headline) == (problem.code, problem.headline)]
        if len(still) >= len(as_before) or _errors(after) > _errors(before):
            return ()
        return (change,)

    def rename(self, use: NameUse, new: str) -> tuple[TextChange, ...]:
        """The changes in all files. Raises WrongUse where it cannot be, or would mean something else then."""
        state = self.state()
        changes = renamed(state.just_read.folder.platform, state.uses, use, new)
        after, before = self._after(changes), state.just_read
        same = _kinds(after) == _kinds(before)
        if not same or _errors(after.problems) > _errors(before.problems):
            raise WrongUse(f"{new} would mean something else in some place.", "Choose another name.")
        return changes

    def _after(self, changes: tuple[TextChange, ...]) -> JustRead:
        sources = self.state().sources
        paths = {change.span.path for change in changes}
        texts = {
            path: with_changes(sources[path].text, [its for its in changes if its.span.path == path]) for path in paths
        }
        return self._with({**self.texts, **texts})

    def _with(self, texts: Mapping[str, str]) -> JustRead:
        """The folder with these texts in the place of files. Its files may all be new ones."""
        sources, problems = read_folder(self.folder)
        known = {source.path: source for source in sources}
        known |= {path: SourceFile(path, text[:LARGEST_FILE]) for path, text in texts.items()}
        ours = tuple(known[path] for path in sorted(known))
        return self._reading.read(ours, [its for its in problems if its.span.path not in texts])


def _errors(problems: tuple[Problem, ...]) -> int:
    return sum(problem.severity is Severity.ERROR for problem in problems)


def _kinds(just_read: JustRead) -> Counter[str]:
    """How many parts there are of each kind: a name that no longer is what it was changes that."""
    return Counter(part.kind for part in just_read.folder.platform.parts.values())


def _pin_behind(use: NameUse) -> str:
    """The pin that is written behind a part's name; empty where there is none."""
    text = use.span.source.text
    if text[use.span.end : use.span.end + 1] not in (".", "/"):
        return ""
    end = use.span.end + 1
    while end < len(text) and (text[end].isalnum() or text[end] in "_+-/."):
        end += 1
    return text[use.span.end + 1 : end]


def _with_pin(use: NameUse, pin: str) -> Span:
    return Span(use.span.source, use.span.start, use.span.end + 1 + len(pin))
