"""Everything that is kept about one person in one archive: a JSON document and the photos."""

import json
import zipfile
from typing import BinaryIO

from configurator.domain.data_rights import Holding
from configurator.domain.photos import PhotoSize
from configurator.services.pictures import photos
from configurator.services.records.erasing import Records

README = (
    "data.json holds everything that is kept about the person: one list for each kind of record, with the names that the program uses.\n"
    "Times are in UTC; amounts ending in _minor are in the currency's smallest unit. photos holds the photos by request.\n"
)


def export_person(email: str, records: Records, archive: BinaryIO) -> Holding:
    """Writes a ZIP archive with `data.json`, `README.txt` and `photos/`; what was found. Nothing is written when nothing was."""
    with records.store.reading() as work:
        holding = work.data_rights.held(email)
        if holding.is_empty:
            return holding
        document = work.data_rights.everything(holding)
        found = [(request.reference, photo) for request in holding.requests for photo in work.photos.of(request.id)]
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("README.txt", README)
        written = {"made_at": records.clock().isoformat(), **document}
        packed.writestr("data.json", json.dumps(written, ensure_ascii=False, indent=1))
        for number, (reference, photo) in enumerate(found, 1):
            name = f"photos/{reference}-{number:02d}-{photo.kind.value}.webp"
            packed.writestr(zipfile.ZipInfo(name), photos.content(photo, PhotoSize.LARGE, records.album))
    return holding
