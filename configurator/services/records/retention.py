"""What happens by itself when time has passed: finished requests lose their person, left-over files go."""

import logging
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from configurator.domain.desk import CLOCK
from configurator.services.pictures import photos
from configurator.services.ports import FilesUnavailable, StoreUnavailable
from configurator.services.records.erasing import Records, erase_holding, remove_remains

log = logging.getLogger("tuckline.retention")

BATCH = 50
EVERY = timedelta(hours=1)


def erase_overdue(months: int, records: Records) -> int:
    """Erases the people of requests that ended more than `months` ago (0: keeps everything); how many requests."""
    if not months:
        return 0
    count = 0
    while True:
        with records.store.writing() as work:
            holding = work.data_rights.finished_before(months_before(records.clock(), months), limit=BATCH)
            if not holding.requests:
                return count
            remains = erase_holding(holding, CLOCK, records, work)
        remove_remains(remains, records)
        count += len(holding.requests)


def months_before(moment: datetime, months: int) -> datetime:
    """The same day and time so many months earlier; the 28th where the month is shorter."""
    place = moment.year * 12 + moment.month - 1 - months
    year, month = divmod(place, 12)
    return moment.replace(year=year, month=month + 1, day=min(moment.day, 28))


@dataclass
class Housekeeper:
    """Does the round once an hour, however often it is asked."""

    records: Records
    months: int
    last: datetime | None = field(default=None, init=False)

    def look_around(self) -> None:
        """The round, if it is time for one. Raises StoreUnavailable; whatever else goes wrong waits for the next round."""
        now = self.records.clock()
        if self.last is not None and now - self.last < EVERY:
            return
        self.last = now
        try:
            erased, swept = erase_overdue(self.months, self.records), photos.sweep(self.records.album)
        except StoreUnavailable:
            self.last = None
            raise
        except FilesUnavailable:
            log.warning("photos can't be reached, so left-over files stay for now")
        except Exception:  # mail is sent by the same worker: it must go on
            log.exception("keeping house went wrong and is tried again in an hour")
        else:
            if erased or swept:
                log.info("erased the people of %s finished requests, swept %s left-over files", erased, swept)
