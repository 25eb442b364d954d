"""Shot records: columns, reading, mapping of foreign exports, checking."""

from rangework.records.columns import COLUMNS, NO_LIE, Column
from rangework.records.mapping import ExportMapping, read_mapping
from rangework.records.reading import check_records, read_records, read_sound_rows
from rangework.records.shots import FRAME_COLUMNS, ShotRecords, merge_records
from rangework.records.suggest import suggest_mapping
from rangework.records.writing import write_canonical

__all__ = [
    "COLUMNS",
    "FRAME_COLUMNS",
    "NO_LIE",
    "Column",
    "ExportMapping",
    "ShotRecords",
    "check_records",
    "merge_records",
    "read_mapping",
    "read_records",
    "read_sound_rows",
    "suggest_mapping",
    "write_canonical",
]
