"""Times of the record: RFC 3339, with the offset of the place where they were taken."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone

from assistant.errors import JournalError

_FORM = re.compile(r"(\d{4})-(\d\d)-(\d\d)[Tt](\d\d):(\d\d):(\d\d)(?:\.(\d+))?(?:([Zz])|([+-])(\d\d):(\d\d))", re.ASCII)


def parse_time(text: str) -> datetime:
    """The moment that an RFC 3339 text names, with its offset.

    A leap second counts as the second before it; digits beyond the microsecond are cut off.

    Raises:
        JournalError: The text is not an RFC 3339 date and time, or no such day or hour exists.
    """
    found = _FORM.fullmatch(text)
    if found is None:
        raise JournalError(f"{text!r} is not a time such as 2026-05-04T09:30:00+02:00")
    year, month, day, hour, minute, second = (int(part) for part in found.groups()[:6])
    micro = int((found[7] or "0")[:6].ljust(6, "0"))
    try:
        moment = datetime(year, month, day, hour, minute, min(second, 59), micro, _offset(found))
    except ValueError as error:
        raise JournalError(f"{text!r} is not a time: {error}") from error
    if second == 60 and not _may_be_leap(moment):
        raise JournalError(f"{text!r} is not a time: no leap second stands there")
    if second > 60:
        raise JournalError(f"{text!r} is not a time: second must be in 0..60")
    return moment


def stamp(moment: datetime | None = None) -> str:
    """RFC 3339 text of a moment (default: now), to the second, with the local offset."""
    moment = moment if moment is not None else datetime.now(UTC).astimezone()
    return moment.replace(microsecond=0).isoformat()


def seconds_between(earlier: str, later: str) -> float:
    """Seconds from one RFC 3339 time to another; negative when the clock went back.

    Raises:
        JournalError: One of the texts is not a time.
    """
    return (parse_time(later) - parse_time(earlier)).total_seconds()


def _offset(found: re.Match[str]) -> timezone:
    if found[8]:
        return UTC
    hours, minutes = int(found[10]), int(found[11])
    if hours > 23 or minutes > 59:
        raise ValueError("the offset must be below 24:00")
    size = timedelta(hours=hours, minutes=minutes)
    return timezone(-size if found[9] == "-" else size)


def _may_be_leap(moment: datetime) -> bool:
    """Leap seconds end a month in UTC (RFC 3339, section 5.7)."""
    try:
        at = moment.astimezone(UTC)
    except OverflowError:
        return False
    return (at.hour, at.minute) == (23, 59) and (at + timedelta(days=1)).day == 1
