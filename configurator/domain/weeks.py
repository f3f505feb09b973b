"""ISO 8601 weeks: Monday to Sunday, numbered by the year that holds their Thursday."""

from dataclasses import dataclass
from datetime import date, timedelta


@dataclass(frozen=True, order=True)
class IsoWeek:
    year: int
    number: int

    @classmethod
    def of(cls, day: date) -> "IsoWeek":
        year, number, _ = day.isocalendar()
        return cls(year, number)

    @property
    def days(self) -> tuple[date, ...]:
        """The seven days, Monday first."""
        monday = date.fromisocalendar(self.year, self.number, 1)
        return tuple(monday + timedelta(days=ahead) for ahead in range(7))

    def __str__(self) -> str:
        return f"{self.year:04d}-W{self.number:02d}"
