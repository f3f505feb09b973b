"""Photos in a folder of this machine, outside of everything that is served as it is."""

import os
import re
import secrets
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from configurator.services.ports.photos import FilesUnavailable

_NAME = re.compile(r"[0-9a-f]{8,64}\.[a-z]{1,10}\.webp")
_UNFINISHED = "unfinished"


@dataclass(frozen=True)
class FolderPhotos:
    """Files in 256 folders by the beginning of their random name. Only the server's own user may read them."""

    folder: Path

    def put(self, file: str, content: bytes) -> None:
        """Writes elsewhere and renames, so that a half-written file never has a photo's name."""
        path, unfinished = self._path(file), self._path(secrets.token_hex(16))
        try:
            for folder in (path.parent, unfinished.parent):
                folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            with os.fdopen(os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as opened:
                opened.write(content)
                opened.flush()
                os.fsync(opened.fileno())
            unfinished.rename(path)
        except OSError as error:
            with suppress(OSError):
                unfinished.unlink(missing_ok=True)
            raise FilesUnavailable(type(error).__name__) from error

    def get(self, file: str) -> bytes | None:
        try:
            return self._path(file).read_bytes()
        except FileNotFoundError:
            return None
        except OSError as error:
            raise FilesUnavailable(type(error).__name__) from error

    def remove(self, file: str) -> None:
        try:
            self._path(file).unlink(missing_ok=True)
        except OSError as error:
            raise FilesUnavailable(type(error).__name__) from error

    def everything(self) -> Iterator[tuple[str, datetime]]:
        """Every file, those that were never finished included."""
        for path in self.folder.glob("*/*"):
            with suppress(FileNotFoundError):
                yield path.name, datetime.fromtimestamp(path.stat().st_mtime, UTC)

    def _path(self, file: str) -> Path:
        """A photo's place by its name; every other name lies among the unfinished, so none can lead out of the folder."""
        name = Path(file).name
        return self.folder / (name[:2] if _NAME.fullmatch(name) else _UNFINISHED) / (name or _UNFINISHED)
