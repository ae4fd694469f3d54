"""Files out of a ZIP archive, with an end to how many and how large, whatever it says of itself."""

import io
import zipfile
import zlib
from collections.abc import Iterator

from server.ledger.budget import Limits, TooMuch
from server.ledger.checking.sorting import Brought, ours

ENDING = ".zip"
_ENTRY = b"PK\x01\x02"  # how each line of the archive's list begins


def is_archive(name: str, data: bytes) -> bool:
    """Whether the file is taken for an archive."""
    return name.lower().endswith(ENDING) or data.startswith(b"PK\x03\x04")


def unpacked(data: bytes, limits: Limits) -> tuple[tuple[Brought, ...], int]:
    """The archive's files of ours, and how many others were passed over. Raises TooMuch."""
    # The list is counted before it is read: a small file may hold some hundred thousand lines.
    if data.count(_ENTRY) > 4 * limits.files:
        raise TooMuch("The archive holds more files than are looked at.")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            inside = [each for each in archive.infolist() if not each.is_dir()]
            wanted = [each for each in inside if ours(each.filename)]
            if len(wanted) > limits.files:
                raise TooMuch(f"The archive holds {len(wanted)} files; at most {limits.files}.")
            return tuple(_read(archive, wanted, limits)), len(inside) - len(wanted)
    except (
        zipfile.BadZipFile,
        zlib.error,
        NotImplementedError,
        RuntimeError,
        EOFError,
        OSError,
        ValueError,
    ) as bad:
        if isinstance(bad, TooMuch):
            raise
        raise TooMuch("The archive cannot be read: it is damaged or locked.") from bad


def _read(
    archive: zipfile.ZipFile, wanted: list[zipfile.ZipInfo], limits: Limits
) -> Iterator[Brought]:
    left = limits.bytes
    for entry in wanted:
        # What an entry says of its own size is not believed; one byte too many ends it.
        with archive.open(entry) as file:
            data = file.read(left + 1)
        left -= len(data)
        if left < 0:
            raise TooMuch(f"Unpacked it has more than {limits.bytes // 1024 // 1024} MiB.")
        yield Brought(entry.filename, data)
