"""The tables of the logbook, one script a version.

Small columns repeat little: device and calibration stand in ``benches``, one row for each that was ever used. Taps
are float64 in little-endian order, 8 bytes each. The index serves the list (newest first) and the trends (one drill
of one learner over time). ``WITHOUT ROWID`` is not used: rows are appended in order of ``id`` and stay short.
"""

# What marks the file as a logbook of this program ("TALY").
APPLICATION_ID = 0x54414C59

VERSIONS = (
    """
    CREATE TABLE learners (
        id INTEGER PRIMARY KEY,
        name TEXT NOT NULL UNIQUE
    ) STRICT;
    CREATE TABLE sittings (
        id INTEGER PRIMARY KEY,
        learner INTEGER NOT NULL REFERENCES learners ON DELETE CASCADE,
        started TEXT NOT NULL
    ) STRICT;
    CREATE INDEX sittings_of ON sittings (learner);
    CREATE TABLE benches (
        id INTEGER PRIMARY KEY,
        device TEXT NOT NULL,
        calibration TEXT NOT NULL,
        UNIQUE (device, calibration)
    ) STRICT;
    CREATE TABLE trials (
        id INTEGER PRIMARY KEY,
        uid BLOB NOT NULL UNIQUE,
        at TEXT NOT NULL,
        learner INTEGER NOT NULL REFERENCES learners ON DELETE CASCADE,
        sitting INTEGER REFERENCES sittings ON DELETE SET NULL,
        bench INTEGER NOT NULL REFERENCES benches,
        drill TEXT NOT NULL,
        rung INTEGER NOT NULL,
        seed INTEGER NOT NULL,
        version INTEGER NOT NULL,
        mode TEXT NOT NULL,
        groove TEXT NOT NULL,
        tempo_bpm REAL NOT NULL,
        taps BLOB NOT NULL,
        value TEXT NOT NULL,
        result TEXT,
        void TEXT,
        simulated INTEGER NOT NULL,
        CHECK ((result IS NULL) = (void IS NOT NULL))
    ) STRICT;
    CREATE INDEX trials_of ON trials (learner, drill, at);
    CREATE INDEX trials_in ON trials (sitting);
    """,
)
SCHEMA_VERSION = len(VERSIONS)
