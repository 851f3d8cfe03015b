-- A record of form 2, as the program wrote it; never to be edited.
PRAGMA application_id = 1349280116;
PRAGMA user_version = 2;
BEGIN TRANSACTION;
CREATE TABLE learners (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    folded TEXT NOT NULL UNIQUE,
    made REAL NOT NULL,
    exam TEXT,
    last_used REAL NOT NULL
);
INSERT INTO "learners" VALUES(1,'Ada','ada',1790000000.0,NULL,1790000001.0);
CREATE TABLE migrations (name TEXT PRIMARY KEY, at REAL NOT NULL);
INSERT INTO "migrations" VALUES('learners, sittings, turns',1790000000.0);
INSERT INTO "migrations" VALUES('marks of a message',1790000000.0);
CREATE TABLE said (
    turn INTEGER NOT NULL REFERENCES turns (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    kind TEXT NOT NULL,
    about TEXT,
    verdict TEXT,
    step INTEGER,
    text TEXT NOT NULL,
    malrules TEXT NOT NULL, marks INTEGER, marks_of INTEGER,
    PRIMARY KEY (turn, number)
);
INSERT INTO "said" VALUES(1,1,'say',NULL,NULL,NULL,'Question 1: 5 of 10 marks.','[]',5,10);
INSERT INTO "said" VALUES(1,2,'say',NULL,NULL,NULL,'Marks: 5 of 10 marks.','[]',NULL,NULL);
CREATE TABLE seen (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    turn INTEGER NOT NULL,
    said INTEGER NOT NULL,
    key TEXT NOT NULL,
    network TEXT NOT NULL,
    skills TEXT NOT NULL,
    answer TEXT NOT NULL,
    outcome TEXT NOT NULL,
    options INTEGER NOT NULL,
    helped INTEGER NOT NULL,
    weak INTEGER NOT NULL,
    malrules TEXT NOT NULL,
    sure INTEGER NOT NULL,
    blamed TEXT NOT NULL,
    chances TEXT NOT NULL,
    UNIQUE (turn, said),
    FOREIGN KEY (turn, said) REFERENCES said (turn, number) ON DELETE CASCADE
);
CREATE TABLE sittings (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learners (id) ON DELETE CASCADE,
    began REAL NOT NULL,
    opening TEXT NOT NULL,
    since INTEGER NOT NULL,
    continues TEXT REFERENCES sittings (id) ON DELETE CASCADE,
    version TEXT NOT NULL
);
INSERT INTO "sittings" VALUES(1,'214ea654b37260143d3c70400aeb332b',1,1790000000.0,'{"marked": ["C1 = 3 uF -- C2 = 7 uF"], "seed": null}',0,NULL,'');
CREATE TABLE turns (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    sitting TEXT NOT NULL REFERENCES sittings (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    at REAL NOT NULL,
    line TEXT NOT NULL,
    problem TEXT NOT NULL,
    open INTEGER NOT NULL,
    about TEXT NOT NULL,
    UNIQUE (sitting, number)
);
INSERT INTO "turns" VALUES(1,'214ea654b37260143d3c70400aeb332b',1,1790000001.0,'C = 10 uF','1',0,'');
CREATE INDEX sittings_of_learner ON sittings (learner);
CREATE INDEX sittings_continued ON sittings (continues);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('learners',1);
INSERT INTO "sqlite_sequence" VALUES('sittings',1);
INSERT INTO "sqlite_sequence" VALUES('turns',1);
COMMIT;
