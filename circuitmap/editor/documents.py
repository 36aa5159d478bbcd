"""Which platform a document belongs to: that of the folder in which its file lies."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from pygls.uris import from_fs_path, to_fs_path

from circuitmap.flows.edited import EditedPlatform, EditedState
from circuitmap.notation.folder import ENDING


class Opened(NamedTuple):
    """One document: its platform, and the name of its file there."""

    platform: EditedPlatform
    path: str

    @property
    def state(self) -> EditedState:
        return self.platform.state()


@dataclass
class Documents:
    """All platforms of which a document was opened, by their folder."""

    platforms: dict[Path, EditedPlatform] = field(default_factory=dict)

    def at(self, uri: str) -> Opened | None:
        """The document at an address; None for one that is no file of notation."""
        path = to_fs_path(uri)
        if path is None or not path.endswith(ENDING):
            return None
        file = Path(path)
        platform = self.platforms.setdefault(file.parent, EditedPlatform(file.parent))
        return Opened(platform, file.name)


def uri_of(platform: EditedPlatform, path: str) -> str:
    return str(from_fs_path(str(platform.folder / path)))
